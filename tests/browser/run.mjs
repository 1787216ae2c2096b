// Looks at a published site with a real browser and says what is wrong with it.
//
//   node run.mjs <public> <private> [--kennel DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the visitor's site, the keeper's book, and the kennel folder that both were made from (default: the current folder).
// Out: one line for each check, its faults below it; exit code 1 when a check failed, 2 when none could be made.
// Each file in checks/ exports a `name` and `check(site, report)`. A check that looked at nothing has failed: an empty site
// must never read as a good one.

import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { Report } from './lib/report.mjs';
import { openSite } from './lib/site.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));

function readArguments() {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      kennel: { type: 'string', default: '.' },
      screens: { type: 'string', default: path.join(here, 'out') },
      counts: { type: 'string' },
      only: { type: 'string', multiple: true, default: [] },
    },
  });
  if (positionals.length !== 2) throw new Error('name two folders: the visitor\'s site and the keeper\'s book');
  return { publicDir: path.resolve(positionals[0]), privateDir: path.resolve(positionals[1]), ...values };
}

async function loadChecks(only) {
  const files = readdirSync(path.join(here, 'checks')).filter((file) => file.endsWith('.mjs')).sort();
  const checks = [];
  for (const file of files) checks.push({ file: path.basename(file, '.mjs'), ...(await import(`./checks/${file}`)) });
  const chosen = checks.filter((each) => only.length === 0 || only.includes(each.file));
  if (chosen.length === 0) throw new Error(`no check is called ${only.join(' or ')}; there are ${checks.map((each) => each.file).join(', ')}`);
  return chosen;
}

async function runOne(each, site) {
  const started = Date.now();
  const report = new Report(each.name);
  try {
    await each.check(site, report);
  } catch (error) {
    report.fault('this check', `could not finish: ${error.stack ?? error}`);
  }
  report.close();
  console.log(report.text((Date.now() - started) / 1000));
  return report.faults.length === 0;
}

async function main() {
  const options = readArguments();
  const checks = await loadChecks(options.only);
  mkdirSync(options.screens, { recursive: true });
  const site = await openSite(options);
  let passed = 0;
  try {
    for (const each of checks) passed += (await runOne(each, site)) ? 1 : 0;
  } finally {
    await site.close();
  }
  const failed = checks.length - passed;
  console.log(`browser: ${passed} passed, ${failed} failed`);
  if (options.counts) writeFileSync(options.counts, `${passed} ${failed}\n`);
  return failed === 0 ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The browser checks could not be made: ${error.message}`);
    process.exitCode = 2;
  },
);
