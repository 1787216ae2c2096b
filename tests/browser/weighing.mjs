// Weighs litters on the phone's sheet with a real browser, holds its rules against the program, and says what is wrong with it.
//
//   node weighing.mjs <private> [--kennel DIR] [--program FILE] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the keeper's book that `publish` wrote, the kennel it was made from, the program, with `answers` built beside it. Out: as lib/runner.mjs says.

import { readdirSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { answersBeside } from './lib/answers.mjs';
import { PHONE, startBrowser } from './lib/browser.mjs';
import { readRecords } from './lib/records.mjs';
import { run } from './lib/runner.mjs';

/** The keeper's book with its sheets, and what checks ask of it. */
function openBook({ named: [folder], kennel, program, screens }) {
  const records = readRecords(kennel);
  const sheets = readdirSync(path.join(folder, 'litters')).filter((file) => file.endsWith('-weighing.html')).map((file) => file.replace('-weighing.html', ''));
  if (sheets.length === 0) throw new Error(`${folder} holds no weigh-in sheet`);
  let browser = null;
  return {
    folder, kennel, records, sheets, screens, program,
    get answers() { return answersBeside(program); },
    /** The browser is started by whoever needs it first. */
    browser: async () => (browser ??= await startBrowser(records, screens)),
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

run({
  folder: 'weighing',
  judged: 'weigh-in sheets',
  named: ['the keeper\'s book'],
  options: ['program'],
  async open(values) {
    const book = openBook(values);
    return { make: ({ check }, report) => check(book, report), close: book.close };
  },
});
