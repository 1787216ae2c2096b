// What every judge does that is a folder of checks: reads its arguments, makes the checks in the order of their files, and says what came of each.
//
//   node JUDGE.mjs … [--kennel DIR] [--program FILE] [--work DIR] [--screens DIR] [--look] [--counts FILE] [--only NAME]
//
// In: what the judge is called, what must be named to it, and how its checks begin. Out: one line for each check, its faults below it; exit code 1 when a check failed, 2 when none could be
// made. Each file of the folder exports a `name` and `check`. A check that looked at nothing has failed: an empty site must never read as a good one.

import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { Report } from './report.mjs';
import { wantScreens } from './screens.mjs';

const here = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const FOLDERS = { kennel: '.', program: 'target/release/litterfolio', work: os.tmpdir(), screens: path.join(here, 'out') };

/** What was asked for: all paths from the root; `named` is what stands without an option. */
function readArguments(named, options) {
  const texts = ['kennel', 'screens', ...options];
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      ...Object.fromEntries(texts.map((name) => [name, { type: 'string', default: FOLDERS[name] }])),
      counts: { type: 'string' },
      look: { type: 'boolean', default: false },
      only: { type: 'string', multiple: true, default: [] },
    },
  });
  if (positionals.length !== named.length) throw new Error(`name ${named.join(' and ')}`);
  const paths = texts.map((name) => [name, path.resolve(values[name])]);
  return { ...values, ...Object.fromEntries(paths), named: positionals.map((each) => path.resolve(each)) };
}

async function loadChecks(folder, only) {
  const files = readdirSync(path.join(here, folder)).filter((file) => file.endsWith('.mjs')).sort();
  const chosen = files.filter((file) => only.length === 0 || only.includes(path.basename(file, '.mjs')));
  if (chosen.length === 0) throw new Error(`no check is called ${only.join(' or ')}; there are ${files.map((file) => path.basename(file, '.mjs')).join(', ')}`);
  return Promise.all(chosen.map(async (file) => ({ file: path.basename(file, '.mjs'), ...(await import(`../${folder}/${file}`)) })));
}

/** Makes one check; true when it found no fault. */
async function made(each, stage) {
  await stage.before?.();
  const started = Date.now();
  const report = new Report(each.name);
  try {
    await stage.make(each, report);
  } catch (error) {
    report.fault('this check', `could not finish: ${error.stack ?? error}`);
  }
  report.close();
  console.log(report.text((Date.now() - started) / 1000));
  return report.faults.length === 0;
}

async function judge({ folder, judged, named, options = [], open }) {
  const values = readArguments(named, options);
  const checks = await loadChecks(folder, values.only);
  wantScreens(values.look);
  for (const name of ['screens', 'work']) if (values[name]) mkdirSync(values[name], { recursive: true });
  const stage = await open(values);
  let passed = 0;
  try {
    for (const each of checks) passed += (await made(each, stage)) ? 1 : 0;
  } finally {
    await stage.close?.();
  }
  const failed = checks.length - passed;
  console.log(`${judged}: ${passed} passed, ${failed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${failed}\n`);
  return failed === 0 ? 0 : 1;
}

/**
 * Runs a judge. `folder` has its checks, `judged` is what they look at, `named` what must be named without an option, `options` those of its own. `open` is given the arguments and returns
 * `make`, which makes a check with its report, and if need be `before`, whose time is not that of the check, and `close`.
 */
export function run(how) {
  judge(how).then(
    (code) => { process.exitCode = code; },
    (error) => {
      console.error(`${how.judged} could not be judged: ${error.message}`);
      process.exitCode = 2;
    },
  );
}
