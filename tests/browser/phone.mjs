// Judges what a phone at the box does: its side of the sealed channel, held to the standards and to the desk.
//
//   node phone.mjs <program> [--counts FILE] [--only NAME]
//
// In: the program, with `answers` built beside it. Out: one line for each check, its faults below it; exit code 1 when a check failed, 2 when none could be made.

import { readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { answersBeside } from './lib/answers.mjs';
import { Report } from './lib/report.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));

async function main() {
  const { values, positionals } = parseArgs({ allowPositionals: true, options: { counts: { type: 'string' }, only: { type: 'string', multiple: true, default: [] } } });
  if (positionals.length !== 1) throw new Error('name the program');
  const files = readdirSync(path.join(here, 'phone')).filter((file) => values.only.length === 0 || values.only.includes(path.basename(file, '.mjs'))).sort();
  if (files.length === 0) throw new Error(`no check is called ${values.only.join(' or ')}`);
  const desk = { program: path.resolve(positionals[0]), get answers() { return answersBeside(positionals[0]); } };
  let passed = 0;
  for (const file of files) {
    const { name, check } = await import(`./phone/${file}`);
    const started = Date.now();
    const report = new Report(name);
    await check(desk, report).catch((error) => report.fault('this check', `could not finish: ${error.stack ?? error}`));
    report.close();
    console.log(report.text((Date.now() - started) / 1000));
    passed += report.faults.length === 0 ? 1 : 0;
  }
  console.log(`the phone: ${passed} passed, ${files.length - passed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${files.length - passed}\n`);
  return passed === files.length ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The phone could not be judged: ${error.message}`);
    process.exitCode = 2;
  },
);
