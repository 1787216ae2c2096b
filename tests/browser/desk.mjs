// Looks at a running desk with a real browser while records change, and says what is wrong with it.
//
//   node desk.mjs <program> [--kennel DIR] [--work DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the program, and a kennel folder, of which a copy is made for each check. Out: one line for each check, its faults below it; exit code 1 when a check failed, 2 when none could be made.

import { cpSync, mkdirSync, mkdtempSync, readdirSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { startBrowser } from './lib/browser.mjs';
import { startDesk } from './lib/desk.mjs';
import { Report } from './lib/report.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));
const READ_ON = { today: '2026-10-09', zone: 'Europe/London' };

/** A folder in which no kennel stands yet. */
const emptyIn = (work) => mkdtempSync(path.join(work, 'kennel-'));

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
  const files = readdirSync(path.join(here, 'desk')).filter((file) => values.only.length === 0 || values.only.includes(path.basename(file, '.mjs'))).sort();
  if (files.length === 0) throw new Error(`no check is called ${values.only.join(' or ')}`);
  const browser = await startBrowser(READ_ON, values.screens);
  let passed = 0;
  try {
    for (const file of files) {
      const { name, check, begins } = await import(`./desk/${file}`);
      const started = Date.now();
      const report = new Report(name);
      let desk = null;
      try {
        const [program, work] = [positionals[0], values.work].map((each) => path.resolve(each));
        desk = await startDesk(program, begins === 'empty' ? emptyIn(work) : copyOf(path.resolve(values.kennel), work));
        browser.give(desk.cookie);
        await check({ browser, desk, program, screens: path.resolve(values.screens) }, report);
      } catch (error) {
        report.fault('this check', `could not finish: ${error.stack ?? error}\n${desk?.said() ?? ''}`);
      } finally {
        await desk?.end();
      }
      report.close();
      console.log(report.text((Date.now() - started) / 1000));
      passed += report.faults.length === 0 ? 1 : 0;
    }
  } finally {
    await browser.close();
  }
  console.log(`desk: ${passed} passed, ${files.length - passed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${files.length - passed}\n`);
  return passed === files.length ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The desk could not be checked: ${error.message}`);
    process.exitCode = 2;
  },
);
