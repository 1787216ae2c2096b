// Looks at a running preview with a real browser while records change, and says what is wrong with it.
//
//   node preview.mjs <program> [--kennel DIR] [--work DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the program, and a kennel folder, of which a copy is made for each check. Out: one line for each check, its faults below it; exit code 1 when a check failed, 2 when none could be made.

import { cpSync, mkdirSync, mkdtempSync, readdirSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { startBrowser } from './lib/browser.mjs';
import { startPreview } from './lib/preview.mjs';
import { Report } from './lib/report.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));
const READ_ON = { today: '2026-10-09', zone: 'Europe/London' };

/** A copy of the kennel with its secrets, so that sealed pages can be seen, and without what was made of it. */
function copyOf(kennel, work) {
  const copy = mkdtempSync(path.join(work, 'kennel-'));
  for (const name of ['content', 'codes.yaml', 'signing-keys.json']) cpSync(path.join(kennel, name), path.join(copy, name), { recursive: true });
  return copy;
}

async function main() {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      kennel: { type: 'string', default: '.' },
      work: { type: 'string', default: os.tmpdir() },
      screens: { type: 'string', default: path.join(here, 'out') },
      counts: { type: 'string' },
      only: { type: 'string', multiple: true, default: [] },
    },
  });
  if (positionals.length !== 1) throw new Error('name the program');
  for (const folder of [values.screens, values.work]) mkdirSync(folder, { recursive: true });
  const files = readdirSync(path.join(here, 'preview')).filter((file) => values.only.length === 0 || values.only.includes(path.basename(file, '.mjs'))).sort();
  if (files.length === 0) throw new Error(`no check is called ${values.only.join(' or ')}`);
  const browser = await startBrowser(READ_ON, values.screens);
  let passed = 0;
  try {
    for (const file of files) {
      const { name, check } = await import(`./preview/${file}`);
      const started = Date.now();
      const report = new Report(name);
      let preview = null;
      try {
        preview = await startPreview(path.resolve(positionals[0]), copyOf(path.resolve(values.kennel), path.resolve(values.work)));
        browser.give(preview.cookie);
        await check({ browser, preview, screens: path.resolve(values.screens) }, report);
      } catch (error) {
        report.fault('this check', `could not finish: ${error.stack ?? error}\n${preview?.said() ?? ''}`);
      } finally {
        await preview?.end();
      }
      report.close();
      console.log(report.text((Date.now() - started) / 1000));
      passed += report.faults.length === 0 ? 1 : 0;
    }
  } finally {
    await browser.close();
  }
  console.log(`preview: ${passed} passed, ${files.length - passed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${files.length - passed}\n`);
  return passed === files.length ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The preview could not be checked: ${error.message}`);
    process.exitCode = 2;
  },
);
