// While a record is broken its problem stands in place of every page, in our own look and without a barrier, and goes away when it is mended.

import path from 'node:path';
import { findBarriers } from '../lib/axe.mjs';
import { VIEWS, inViews } from '../lib/browser.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'problems stand in place of the pages, readable on phone and desktop, light and dark, until they are mended';

const KENNEL = 'content/kennel.yaml';
const OWNERS = 'content/owners.yaml';

async function examine(table, report) {
  const page = await table.browser.open(table.desk.site, VIEWS[0]);
  await inViews(page, VIEWS, async (view, how) => {
    await findBarriers(page, report, `problems (${how})`);
    await screen(page, path.join(table.screens, `desk-problems-${view.scheme}-${view.viewport.width}.png`));
    report.saw('views');
  });
  await page.shut();
}

export async function check(table, report) {
  const { browser, desk } = table;
  const before = { [KENNEL]: desk.text(KENNEL), [OWNERS]: desk.text(OWNERS) };
  const site = await browser.open(new URL('puppies.html', desk.site).href);
  const book = await browser.open(new URL('dogs.html', desk.book).href);

  desk.change(KENNEL, 'time_zone:', 'tmie_zone:');
  desk.change(OWNERS, 'takes:', 'take:');
  desk.write('content/litters/summer-2026/notes/unfinished.md', '---\ndate: 2026-13-40\ntitle: A note whose day is none, under a title that goes on for longer than most screens are wide\n');
  for (const page of [site, book]) {
    await page.waitForFunction(() => ['in the records', 'kennel.yaml:', 'tmie_zone', 'owners.yaml:', 'unfinished.md'].every((words) => document.body.innerText.includes(words)));
    const marked = await page.$$eval('mark', (marks) => marks.map((mark) => mark.textContent));
    report.expect(marked.includes('tmie_zone'), page.url(), `marks ${marked.join(', ')} and not the word that is wrong`);
    report.saw('pages replaced');
  }
  await examine(table, report);

  for (const [name, text] of Object.entries(before)) desk.write(name, text);
  desk.write('content/litters/summer-2026/notes/unfinished.md', '---\ndate: 2026-10-08\ntitle: A note\n---\nFinished.\n');
  for (const page of [site, book]) {
    await page.waitForFunction(() => !document.body.innerText.includes('in the records') && document.querySelector('link[rel=stylesheet]'));
    report.saw('pages that came back');
  }
  report.expect(new URL(site.url()).pathname === '/puppies.html', 'the site', `came back at ${site.url()}`);
  await site.shut();
  await book.shut();
}
