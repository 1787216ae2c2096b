// A page that is looked at shows a change by itself, keeps its place, and asks nobody else for anything; the files on the disk stay as they were made.

import { readFileSync } from 'node:fs';
import path from 'node:path';

export const name = 'pages of a desk reload by themselves when something else is to be seen, and not otherwise';

const KENNEL = 'content/kennel.yaml';
const OWNERS = 'content/owners.yaml';

/** How often a page was loaded, as far as it can tell by itself. */
async function mark(page) {
  await page.evaluate(() => { globalThis.isStillHere = true; });
}
const isStillHere = (page) => page.evaluate(() => globalThis.isStillHere === true);

export async function check({ browser, desk }, report) {
  const site = await browser.open(desk.site);
  const book = await browser.open(new URL('people.html', desk.book).href);
  for (const page of [site, book]) await mark(page);

  desk.change(KENNEL, 'summary: Scottish Terriers', 'summary: Terriers of Scotland');
  await site.waitForFunction(() => document.body.innerText.includes('Terriers of Scotland'));
  report.expect(!(await isStillHere(site)), 'the site', 'shows the new text without having been loaded again');
  report.saw('pages reloaded');

  // Something that only the keeper sees: the book is loaded again, the site is not.
  await mark(site);
  await book.waitForFunction(() => globalThis.isStillHere !== true);
  await mark(book);
  desk.change(OWNERS, 'Has seen Finch', 'Has met Finch');
  await book.waitForFunction(() => document.body.innerText.includes('Has met Finch'));
  report.saw('pages reloaded');
  report.expect(await isStillHere(site), 'the site', 'was loaded again although it did not change');

  // The same bytes saved once more change nothing.
  await mark(book);
  const before = desk.said().length;
  desk.write(KENNEL, desk.text(KENNEL));
  await desk.hears(/all as before/, before);
  report.expect((await isStillHere(site)) && (await isStillHere(book)), 'a save without a change', 'loaded a page again');
  report.saw('saves without a change');

  // A window that is hidden holds no connection; shown again, it catches up.
  await site.evaluate(() => {
    Object.defineProperty(document, 'visibilityState', { configurable: true, get: () => 'hidden' });
    document.dispatchEvent(new Event('visibilitychange'));
  });
  desk.change(KENNEL, 'Terriers of Scotland', 'Terriers of the north');
  await book.waitForFunction(() => globalThis.isStillHere !== true);
  report.expect(await isStillHere(site), 'a hidden page', 'was loaded again although nobody looks at it');
  await site.evaluate(() => {
    Object.defineProperty(document, 'visibilityState', { configurable: true, get: () => 'visible' });
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await site.waitForFunction(() => document.body.innerText.includes('Terriers of the north'));
  report.saw('pages that caught up');

  for (const page of [site, book]) {
    const own = new URL(page.url()).origin;
    for (const url of page.seen.requests) report.expect(url.startsWith(own) || url.startsWith('data:'), page.url(), `asks ${url}`);
    for (const said of page.seen.console) report.fault(page.url(), `says on the console: ${said}`);
    report.saw('requests', page.seen.requests.length);
  }
  const file = readFileSync(path.join(desk.kennel, '.litterfolio/desk/public/index.html'), 'utf8');
  report.expect(!file.includes('-desk/'), 'index.html', 'the script was written into the file');
  for (const page of [site, book]) await page.shut();
  report.expect((await desk.end()) === 0, 'the end', 'the exit code is not 0');
}
