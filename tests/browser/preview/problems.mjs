// While a record is broken its problem stands in place of every page, in our own look and without a barrier, and goes away when it is mended.

import { createRequire } from 'node:module';
import path from 'node:path';
import { DESK, PHONE } from '../lib/browser.mjs';

export const name = 'problems stand in place of the pages, readable on phone and desktop, light and dark, until they are mended';

const axe = createRequire(import.meta.url)('axe-core');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const VIEWS = [PHONE, DESK].flatMap((viewport) => ['light', 'dark'].map((scheme) => ({ viewport, scheme })));
const KENNEL = 'content/kennel.yaml';
const OWNERS = 'content/owners.yaml';

async function examine(desk, report, what, url, view) {
  const page = await desk.browser.open(url, view);
  const where = `${what} (${view.scheme}, ${view.viewport.width} px)`;
  await page.evaluate(axe.source);
  const result = await page.evaluate((tags) => globalThis.axe.run(document, { runOnly: { type: 'tag', values: tags }, resultTypes: ['violations'] }), TAGS);
  report.expect(result.passes.length > 0, where, 'axe found nothing to pass, so it saw no page');
  for (const violation of result.violations) report.fault(where, `${violation.id} (${violation.impact}): ${violation.help}: ${violation.nodes[0].target.join(' ')}`);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  report.expect(wide <= 0, where, `is ${wide} px wider than the window`);
  await page.screenshot({ path: path.join(desk.screens, `preview-${what.replaceAll(' ', '-')}-${view.scheme}-${view.viewport.width}.png`), fullPage: true });
  report.saw('views');
  await page.shut();
}

export async function check(desk, report) {
  const { browser, preview } = desk;
  const before = { [KENNEL]: preview.text(KENNEL), [OWNERS]: preview.text(OWNERS) };
  const site = await browser.open(new URL('puppies.html', preview.site).href);
  const book = await browser.open(new URL('dogs.html', preview.book).href);

  preview.change(KENNEL, 'time_zone:', 'tmie_zone:');
  preview.change(OWNERS, 'takes:', 'take:');
  preview.write('content/litters/summer-2026/notes/unfinished.md', '---\ndate: 2026-13-40\ntitle: A note whose day is none, under a title that goes on for longer than most screens are wide\n');
  for (const page of [site, book]) {
    await page.waitForFunction(() => ['in the records', 'kennel.yaml:', 'tmie_zone', 'owners.yaml:', 'unfinished.md'].every((words) => document.body.innerText.includes(words)));
    const marked = await page.$$eval('mark', (marks) => marks.map((mark) => mark.textContent));
    report.expect(marked.includes('tmie_zone'), page.url(), `marks ${marked.join(', ')} and not the word that is wrong`);
    report.saw('pages replaced');
  }
  for (const view of VIEWS) await examine(desk, report, 'problems', preview.site, view);

  for (const [name, text] of Object.entries(before)) preview.write(name, text);
  preview.write('content/litters/summer-2026/notes/unfinished.md', '---\ndate: 2026-10-08\ntitle: A note\n---\nFinished.\n');
  for (const page of [site, book]) {
    await page.waitForFunction(() => !document.body.innerText.includes('in the records') && document.querySelector('link[rel=stylesheet]'));
    report.saw('pages that came back');
  }
  report.expect(new URL(site.url()).pathname === '/puppies.html', 'the site', `came back at ${site.url()}`);
  await site.shut();
  await book.shut();
}
