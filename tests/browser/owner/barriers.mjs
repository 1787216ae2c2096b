// Sealed pages, locked and open, and the page on which a record is checked: axe-core, light and dark, on phone and desk; sizes of what is tapped; nothing wider than the window; the Nu HTML checker.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { runChecker } from '../checks/html.mjs';
import { findBarriers } from '../lib/axe.mjs';
import { DESK, PHONE } from '../lib/browser.mjs';

export const name = 'sealed pages have no barrier, and their HTML is as the standards want it';

const VIEWS = [PHONE, DESK].flatMap((viewport) => ['light', 'dark'].map((scheme) => ({ viewport, scheme })));

// Runs inside the page: what is tapped and smaller than it should be, but for links within running text.
function smallTargets() {
  const shown = [...document.querySelectorAll('a[href], button, input, summary')].filter((each) => each.checkVisibility() && !each.closest('.prose, .skip, .masthead-name, footer'));
  return shown.flatMap((each) => {
    const { width, height } = each.getBoundingClientRect();
    const least = each.matches('button, input, summary, .ask, .file, .jump a') ? 44 : 24;
    return each.matches('.skip') || (height >= least - 0.5 && width >= 24) ? [] : [`${each.localName} “${each.textContent.trim().slice(0, 30)}” is ${Math.round(width)} × ${Math.round(height)} px`];
  });
}

async function examine(desk, page, report, where) {
  await findBarriers(page, report, where);
  for (const small of await page.evaluate(smallTargets)) report.fault(where, small);
  report.saw('views');
}

export async function check(desk, report) {
  const work = mkdtempSync(path.join(os.tmpdir(), 'sealed-'));
  const html = [];
  const keep = async (page, file) => {
    html.push(path.join(work, file));
    // What the script put in by way of the object model is no inline style to a browser; to the checker, which only reads, it would be one.
    const text = await page.evaluate(() => `<!doctype html>\n${document.documentElement.outerHTML}`);
    writeFileSync(html.at(-1), text.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ''));
  };
  for (const view of VIEWS) {
    const how = `${view.scheme}, ${view.viewport.width} px`;
    for (const sealed of view === VIEWS[0] ? desk.pages : desk.pages.slice(0, 2)) {
      const page = await desk.browser.open(desk.file(sealed.page), view);
      await examine(desk, page, report, `${sealed.page} locked (${how})`);
      await desk.type(page, 'no code');
      await desk.said(page);
      await examine(desk, page, report, `${sealed.page} with an error (${how})`);
      await desk.type(page, sealed.code);
      await desk.opened(page);
      await page.$$eval('details', (all) => all.forEach((each) => { each.open = true; }));
      await examine(desk, page, report, `${sealed.page} open (${how})`);
      if (view === VIEWS[0]) await keep(page, `open-${path.basename(sealed.page)}`);
      await page.shut();
    }
    const page = await desk.browser.open(desk.http('record-check.html'), view);
    await page.setInputFiles('#record-file', desk.pages[0].files.find((file) => file.endsWith('.json')));
    await page.waitForSelector('[data-stands]');
    await page.$$eval('details', (all) => all.forEach((each) => { each.open = true; }));
    await examine(desk, page, report, `record-check.html (${how})`);
    if (view === VIEWS[0]) await keep(page, 'open-check.html');
    await page.shut();
  }
  html.push(path.join(desk.folder, 'record-check.html'), ...desk.pages.map((sealed) => path.join(desk.folder, sealed.page)));
  for (const message of await runChecker(html)) {
    report.fault(path.basename(String(message.url)), `${message.subType ?? message.type}: ${message.message} «${(message.extract ?? '').replaceAll(/\s+/g, ' ').trim().slice(0, 120)}»`);
  }
  report.saw('files for the Nu checker', html.length);
  rmSync(work, { recursive: true });
}
