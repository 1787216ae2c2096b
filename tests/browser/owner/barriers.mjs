// Sealed pages, locked and open, and the page on which a record is checked: axe-core, light and dark, on phone and desk; sizes of what is tapped; nothing wider than the window; the Nu HTML checker.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { runChecker } from '../checks/html.mjs';
import { findBarriers } from '../lib/axe.mjs';
import { VIEWS, inViews } from '../lib/browser.mjs';

export const name = 'sealed pages have no barrier, and their HTML is as the standards want it';

// Runs inside the page: what is tapped and smaller than it should be, but for links within running text.
function smallTargets() {
  const shown = [...document.querySelectorAll('a[href], button, input, summary')].filter((each) => each.checkVisibility() && !each.closest('.prose, .skip, .masthead-name, footer'));
  return shown.flatMap((each) => {
    const { width, height } = each.getBoundingClientRect();
    const least = each.matches('button, input, summary, .ask, .file, .jump a') ? 44 : 24;
    return each.matches('.skip') || (height >= least - 0.5 && width >= 24) ? [] : [`${each.localName} “${each.textContent.trim().slice(0, 30)}” is ${Math.round(width)} × ${Math.round(height)} px`];
  });
}

async function examine(page, report, views, state) {
  await inViews(page, views, async (view, how) => {
    const where = `${state} (${how})`;
    await findBarriers(page, report, where);
    for (const small of await page.evaluate(smallTargets)) report.fault(where, small);
    report.saw('views');
  });
}

export async function check(site, report) {
  const work = mkdtempSync(path.join(os.tmpdir(), 'sealed-'));
  const html = [];
  const keep = async (page, file) => {
    html.push(path.join(work, file));
    // What the script put in by way of the object model is no inline style to a browser; to the checker, which only reads, it would be one.
    const text = await page.evaluate(() => `<!doctype html>\n${document.documentElement.outerHTML}`);
    writeFileSync(html.at(-1), text.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ''));
  };
  const unfold = (page) => page.$$eval('details', (all) => all.forEach((each) => { each.open = true; }));
  for (const [place, sealed] of site.pages.entries()) {
    const views = place < 2 ? VIEWS : VIEWS.slice(0, 1);
    const page = await site.browser.open(site.file(sealed.page), VIEWS[0]);
    await examine(page, report, views, `${sealed.page} locked`);
    await site.type(page, 'no code');
    await site.said(page);
    await examine(page, report, views, `${sealed.page} with an error`);
    await site.type(page, sealed.code);
    await site.opened(page);
    await unfold(page);
    await examine(page, report, views, `${sealed.page} open`);
    await keep(page, `open-${path.basename(sealed.page)}`);
    await page.shut();
  }
  const page = await site.browser.open(site.http('record-check.html'), VIEWS[0]);
  await page.setInputFiles('#record-file', site.pages[0].files.find((file) => file.endsWith('.json')));
  await page.waitForSelector('[data-stands]');
  await unfold(page);
  await examine(page, report, VIEWS, 'record-check.html');
  await keep(page, 'open-check.html');
  await page.shut();
  html.push(path.join(site.folder, 'record-check.html'), ...site.pages.map((sealed) => path.join(site.folder, sealed.page)));
  for (const message of await runChecker(html)) {
    report.fault(path.basename(String(message.url)), `${message.subType ?? message.type}: ${message.message} «${(message.extract ?? '').replaceAll(/\s+/g, ' ').trim().slice(0, 120)}»`);
  }
  report.saw('files for the Nu checker', html.length);
  rmSync(work, { recursive: true });
}
