// Four phones at once: from the press on each to the records, measured. What the program found of a weight is told on the phone, the last entry is taken back from it, and a task of the round is ticked: it is in the
// records and gone from the round of every phone.

import { readFileSync } from 'node:fs';
import path from 'node:path';
import { findBarriers } from '../lib/axe.mjs';

export const name = 'four phones at once are in the records at once; a task is ticked, a finding told, an entry taken back';

const LITTER = 'autumn-2026';
/** The longest time from a press to the records, ms: a debug build beside all other judges has to hold it too. How long it takes is measured by benches. */
const LONGEST = 15_000;
const tap = async (page, ...ids) => { for (const id of ids) await page.locator(`#${id}`).click(); };
const settled = (page) => page.waitForFunction(() => !Object.keys(localStorage).some((key) => key.startsWith('litterfolio-phone-entry-')));
const choose = async (page, litter) => { if (await page.locator('#litter').count() > 0) await page.locator('#litter').selectOption(litter); };

async function until(holds) {
  const begun = Date.now();
  while (!holds() && Date.now() - begun < 60_000) await new Promise((done) => { setTimeout(done, 10); });
  return Date.now() - begun;
}

async function atOnce(box, report, keeper, weights) {
  const pages = [];
  for (const named of ['One', 'Two', 'Three', 'Four']) {
    const page = await box.phone((await box.code(keeper, named)).link);
    await tap(page, 'tab-weigh');
    await choose(page, LITTER);
    pages.push(page);
  }
  const ids = await pages[0].evaluate((id) => JSON.parse(localStorage.getItem('litterfolio-phone')).view.litters.find((each) => each.id === id).puppies.map((each) => each.id), LITTER);
  for (const [place, page] of pages.entries()) await tap(page, `line-${ids[place]}`, 'pad-3', 'pad-1', `pad-${place + 1}`);
  const waits = await Promise.all(pages.map(async (page, place) => {
    const begun = Date.now();
    await page.locator('#keep').click();
    await until(() => weights().includes(`${ids[place]}: 31${place + 1} g`));
    return Date.now() - begun;
  }));
  for (const [place, took] of waits.entries()) {
    report.expect(took < LONGEST, `phone ${place + 1}`, `its weight was in the records after ${took} ms`);
    report.saw('phones at once');
  }
  report.saw('ms from the press to the records, at most', Math.max(...waits));
  return { pages, ids };
}

async function tick(report, pages, health) {
  const [page, other] = pages;
  await tap(page, 'tab-round');
  const tasks = page.locator('#body .task', { has: page.getByRole('button', { name: /^Done, record it/ }) });
  const before = await tasks.count();
  report.expect(before > 0, 'the round', 'has nothing to tick');
  const words = (await tasks.first().locator('p').first().textContent()).trim();
  const there = health();
  await tasks.first().getByRole('button').click();
  for (const input of await page.locator('#body form input[type=text]').all()) if (await input.getAttribute('name') !== 'batch') await input.fill((await input.getAttribute('name')) === 'value' ? '38.2' : 'as on the label');
  await tap(page, 'record');
  await settled(page);
  report.expect(health() !== there, words, 'was ticked, and health.yaml is as it was');
  for (const each of [page, other]) {
    await tap(each, 'tab-waits', 'tab-round');
    await each.reload();
    await tap(each, 'tab-round');
    await each.waitForFunction((gone) => ![...document.querySelectorAll('#body .task')].some((task) => task.textContent.includes(gone) && task.querySelector('button')), words);
    report.saw('rounds without the task');
  }
}

async function findAndTakeBack(page, report, weights, id) {
  await tap(page, 'tab-weigh');
  await choose(page, LITTER);
  await tap(page, `line-${id}`, 'pad-1', 'pad-6', 'pad-1', 'keep');
  await settled(page);
  await page.locator('#found-seen').waitFor();
  const said = await page.locator('#body .notice').first().innerText();
  report.expect(/161 g/.test(said) && said.split('\n').length > 1, 'a weight far too low', `the phone says “${said}”`);
  await findBarriers(page, report, 'what the program found');
  report.saw('findings told');
  await tap(page, 'done', 'tab-waits', 'take-back');
  await settled(page);
  await until(() => !weights().includes(`${id}: 161 g`));
  report.expect(!weights().includes(`${id}: 161 g`), 'the last entry', 'was taken back, and stands in the records');
  report.saw('entries taken back');
}

export async function check(box, report) {
  // The day after: whatever the hour is, the records of the kennel's own day are past.
  const { keeper, kennel } = await box.begin(box.copy('2026-10-10'));
  const text = (file) => readFileSync(path.join(kennel, 'content/litters', LITTER, file), 'utf8');
  const { pages, ids } = await atOnce(box, report, keeper, () => text('weights.yaml'));
  for (const page of pages) await tap(page, 'done');
  // One that nobody weighed in this minute: two weights of one minute would be a question.
  await findAndTakeBack(pages[0], report, () => text('weights.yaml'), ids[pages.length]);
  await tick(report, pages, () => text('health.yaml'));
  for (const page of pages) report.expect(page.seen.console.length === 0, 'a console', `says ${page.seen.console.join('; ')}`);
}
