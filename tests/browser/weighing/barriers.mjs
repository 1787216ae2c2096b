// The sheet in every state it can be in: axe-core, light and dark, on phone and desk; the size of what is tapped; nothing wider than the window; the Nu HTML checker. A sheet of a litter of
// which nobody is left is looked at as well.

import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { runChecker } from '../checks/html.mjs';
import { findBarriers } from '../lib/axe.mjs';
import { VIEWS, inViews } from '../lib/browser.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'the sheet has no barrier, and its HTML is as the standards want it';

const LEAST = 44;

const tap = (page, ...ids) => ids.reduce((before, id) => before.then(() => page.click(`#${id}`)), Promise.resolve());
// Each state with the taps that lead there from the one before.
const STATES = [
  ['at rest', []],
  ['first on the scale', ['begin']],
  ['a slip suspected', ['pad-2', 'pad-6']],
  ['pounds and ounces', ['pad-unit', 'pad-1', 'pad-lb', 'pad-2']],
  ['a weight kept', ['pad-unit', 'pad-2', 'pad-6', 'pad-7', 'keep']],
  ['a puppy that loses', ['skip', 'pad-1', 'pad-2', 'pad-0']],
  ['time, name, remark', ['about']],
  ['two exchanged', ['back', 'pad-back', 'pad-back', 'pad-back', 'pad-2', 'pad-3', 'pad-8', 'keep', 'skip', 'pad-1', 'pad-4', 'pad-7']],
  ['all through', ['exchange']],
  ['with something to save', ['finish']],
  ['asked whether to clear', ['clear']],
  ['a weigh-in opened again', ['clear-no', 'open-w1']],
];

// Runs inside the page: what is tapped, with the smaller of its sides.
function targets() {
  return [...document.querySelectorAll('a[href], button, input, textarea, summary')].filter((each) => each.checkVisibility())
    .map((each) => ({ what: `${each.localName} “${(each.textContent || each.id).trim().slice(0, 30)}”`, side: Math.min(each.getBoundingClientRect().width, each.getBoundingClientRect().height) }));
}

async function examine(page, report, where, sizes) {
  await findBarriers(page, report, where);
  for (const { what, side } of await page.evaluate(targets)) {
    report.expect(side >= LEAST, where, `${what} is ${side.toFixed(1)} px`);
    sizes.push(side);
  }
  report.saw('views');
}

/** A kennel with one litter of which nobody lives, published. */
function nobodyLeft(book, work) {
  const files = {
    'kennel.yaml': 'name: Testholm\nbreed: Scottish Terrier\ncontact: { keeper: K, email: k@testholm.example }\ncountry: GB\ntime_zone: Europe/London\nas_of: 2026-10-09\n',
    'dogs/dam.yaml': 'name: Dam\nsex: female\nborn: 2020-01-01\n',
    'dogs/sire.yaml': 'name: Sire\nsex: male\nborn: 2020-01-01\n',
    'litters/l/litter.yaml': 'name: L\ndam: dam\nsire: sire\nbirth: { on: 2026-10-05, how: natural, placentas: 1 }\npuppies:\n  - { id: ash, sex: male, fate: stillborn }\n',
  };
  for (const [file, text] of Object.entries(files)) {
    mkdirSync(path.dirname(path.join(work, 'content', file)), { recursive: true });
    writeFileSync(path.join(work, 'content', file), text);
  }
  execFileSync(book.program, ['publish', '--kennel', work, '--public', path.join(work, 'public'), '--private', path.join(work, 'private')], { stdio: 'pipe' });
  return path.join(work, 'private', 'litters', 'l-weighing.html');
}

export async function check(book, report) {
  const work = mkdtempSync(path.join(os.tmpdir(), 'weighing-'));
  const html = book.sheets.map((litter) => book.file(litter));
  const sizes = [];
  // What the script put in by way of the object model is no inline style to a browser; to the checker, which only reads, it would be one.
  const keep = async (page, file) => {
    html.push(path.join(work, file));
    const text = await page.evaluate(() => `<!doctype html>\n${document.documentElement.outerHTML}`);
    writeFileSync(html.at(-1), text.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ''));
  };
  const sheet = await book.open('autumn-2026', VIEWS[0]);
  for (const [index, [state, taps]] of STATES.entries()) {
    await tap(sheet, ...taps);
    await inViews(sheet, VIEWS, async (view, how) => {
      await examine(sheet, report, `${state} (${how})`, sizes);
      await screen(sheet, path.join(book.screens, `weighing-${index}-${view.scheme}-${view.viewport.width}.png`), { fullPage: false });
    });
    await keep(sheet, `${index}.html`);
  }
  await sheet.shut();
  const empty = nobodyLeft(book, work);
  html.push(empty);
  const page = await (await book.browser()).open(pathToFileURL(empty).href, VIEWS[0]);
  report.expect((await page.innerText('#body')).includes('Nobody to weigh'), 'a litter of which nobody is left', 'does not say so');
  await examine(page, report, 'nobody to weigh', []);
  await page.shut();
  for (const message of await runChecker(html)) {
    report.fault(path.basename(String(message.url)), `${message.subType ?? message.type}: ${message.message} «${(message.extract ?? '').replaceAll(/\s+/g, ' ').trim().slice(0, 120)}»`);
  }
  report.saw('files for the Nu checker', html.length);
  report.saw('things to tap', sizes.length);
  report.saw(`px the smallest`, Math.floor(Math.min(...sizes)));
  rmSync(work, { recursive: true });
}
