// Weighs litters on the phone's sheet with a real browser, holds its rules against the program, and says what is wrong with it.
//
//   node weighing.mjs <private> [--kennel DIR] [--program FILE] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the keeper's book that `publish` wrote, the kennel it was made from, the program, with `answers` built beside it. Out: one line for each check, its faults below it; exit code 1 when a
// check failed, 2 when none could be made.

import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { answersBeside } from './lib/answers.mjs';
import { PHONE, startBrowser } from './lib/browser.mjs';
import { readRecords } from './lib/records.mjs';
import { Report } from './lib/report.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));

function openDesk(folder, values) {
  const kennel = path.resolve(values.kennel);
  const records = readRecords(kennel);
  const sheets = readdirSync(path.join(folder, 'litters')).filter((file) => file.endsWith('-weighing.html')).map((file) => file.replace('-weighing.html', ''));
  if (sheets.length === 0) throw new Error(`${folder} holds no weigh-in sheet`);
  let browser = null;
  return {
    folder, kennel, records, sheets, screens: values.screens,
    program: path.resolve(values.program),
    get answers() { return answersBeside(values.program); },
    /** The browser is started by whoever needs it first. */
    browser: async () => (browser ??= await startBrowser(records, values.screens)),
    file: (litter) => path.join(folder, 'litters', `${litter}-weighing.html`),
    /** Opens a sheet from its file on a phone without network, on the day that the demo is held at. */
    async open(litter, options = {}) {
      const page = await (await this.browser()).open(pathToFileURL(this.file(litter)).href, { viewport: PHONE, now: `${records.today}T18:30:00Z`, ...options });
      await page.context().setOffline(true);
      return page;
    },
    close: async () => { await browser?.close(); },
  };
}

async function main() {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      kennel: { type: 'string', default: '.' }, program: { type: 'string', default: 'target/release/litterfolio' }, screens: { type: 'string', default: path.join(here, 'out') },
      counts: { type: 'string' }, only: { type: 'string', multiple: true, default: [] },
    },
  });
  if (positionals.length !== 1) throw new Error('name one folder: the keeper\'s book');
  mkdirSync(values.screens, { recursive: true });
  const files = readdirSync(path.join(here, 'weighing')).filter((file) => values.only.length === 0 || values.only.includes(path.basename(file, '.mjs'))).sort();
  if (files.length === 0) throw new Error(`no check is called ${values.only.join(' or ')}`);
  const desk = openDesk(path.resolve(positionals[0]), values);
  let passed = 0;
  try {
    for (const file of files) {
      const { name, check } = await import(`./weighing/${file}`);
      const started = Date.now();
      const report = new Report(name);
      await check(desk, report).catch((error) => report.fault('this check', `could not finish: ${error.stack ?? error}`));
      report.close();
      console.log(report.text((Date.now() - started) / 1000));
      passed += report.faults.length === 0 ? 1 : 0;
    }
  } finally {
    await desk.close();
  }
  console.log(`weigh-in sheets: ${passed} passed, ${files.length - passed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${files.length - passed}\n`);
  return passed === files.length ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The weigh-in sheets could not be judged: ${error.message}`);
    process.exitCode = 2;
  },
);
