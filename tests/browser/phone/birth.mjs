// A delivery of eight on two phones over a line that is cut at random: each birth is pressed on one of them, what is looked at afterwards is tapped on either, a page is opened anew in the middle. At the
// end the records equal what was tapped, to the second, and both phones show one list of births. A birth that both noted is asked about at the desk.

import { readFileSync } from 'node:fs';
import path from 'node:path';
import YAML from 'yaml';
import { cutting, dice } from '../lib/cutting.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'a delivery of eight, tapped on two phones over a line that is cut, is in the records to the second';

const DAY = '2026-11-08';
const DAY_BEFORE = '2026-11-07';
const LITTER = 'winter-2026';
const RIBBONS = ['green', 'blue', 'yellow', 'red', 'purple', 'orange', 'pink', 'white'];
const CHECKS = ['limbs', 'navel', 'anus', 'skull', 'eyes', 'tail', 'skin', 'suck'];
const inOrder = (value) => (value && typeof value === 'object' ? JSON.stringify(Object.entries(value).sort()) : String(value));
const tap = async (page, ...ids) => { for (const id of ids) await page.locator(`#${id}`).click(); };
const record = (kennel) => YAML.parse(readFileSync(path.join(kennel, 'content/litters', LITTER, 'litter.yaml'), 'utf8'), { schema: 'core' });
const settled = (page) => page.waitForFunction(() => !Object.keys(localStorage).some((key) => key.startsWith('litterfolio-phone-entry-')), null, { timeout: 120_000 });
const seconds = () => new Promise((done) => { setTimeout(done, 1100); });

async function pair(box, keeper, named, random, wire, cuts) {
  const { link } = await box.code(keeper, named);
  // Time goes on in these windows.
  const page = await box.phone(link, { prepare: async (each) => { await each.clock.setSystemTime(new Date()); await cutting(each, random, wire, cuts); } });
  await page.locator('#tab-birth').waitFor();
  await tap(page, 'tab-birth');
  if (await page.locator('#litter').count() > 0) await page.locator('#litter').selectOption(LITTER);
  return page;
}

/** Presses a birth and answers what the records need; what was kept. The first was born before it was pressed. */
async function deliver(page, sex, ribbon, isLate) {
  await tap(page, 'born-now');
  let [, born] = /^Kept: a puppy born at (\d\d:\d\d:\d\d)$/.exec(await page.locator('#said').textContent());
  let first_breath = '0 s';
  if (isLate) {
    await seconds();
    await tap(page, 'breath-now');
    const pressed = born;
    const breath = () => page.evaluate(() => JSON.parse(localStorage.getItem(Object.keys(localStorage).find((key) => key.startsWith('litterfolio-phone-birth-')))).say.first_breath);
    // A breath that was measured comes so much later after the birth.
    first_breath = `${Number.parseInt(await breath(), 10) + 70} s`;
    await tap(page, 'more-born', 'earlier-60', 'earlier-10');
    [, born] = /^Born at (\d\d:\d\d:\d\d)$/.exec(await page.locator('#said').textContent());
    const [before, after] = [born, pressed].map((clock) => clock.split(':').reduce((sum, part) => sum * 60 + Number(part), 0));
    if ((after - before + 86_400) % 86_400 !== 70) throw new Error(`70 s before ${pressed} is ${born}`);
    if (await breath() !== first_breath) throw new Error(`the first breath is ${await breath()}, and should be ${first_breath}`);
    await tap(page, 'earlier-done');
  } else {
    await tap(page, 'breath-once');
  }
  await tap(page, `sex-${sex}`, `ribbon-${ribbon}`);
  return { born, sex, ribbon, first_breath };
}

async function lookAt(page, puppy, grams, random) {
  for (const digit of grams) await tap(page, `pad-${digit}`);
  await tap(page, 'keep');
  puppy.weight = `${grams} g`;
  puppy.palate = random() < 0.9 ? 'intact' : 'cleft';
  puppy.placenta = random() < 0.8 ? 'out' : 'retained';
  await tap(page, `palate-${puppy.palate}`, `placenta-${puppy.placenta}`);
  puppy.colour = (await page.locator('#colour-0').textContent()).trim();
  await tap(page, 'colour-0');
  await tap(page, 'more-checks', 'check-navel');
  await page.locator('#check-skin-seen').fill('a graze');
  const isAll = random() < 0.5;
  await tap(page, isAll ? 'checks-all' : 'checks-keep');
  puppy.newborn = { ...(isAll ? Object.fromEntries(CHECKS.map((item) => [item, 'normal'])) : {}), navel: 'normal', skin: 'a graze' };
}

export async function check(box, report) {
  const random = dice(20261108);
  const cuts = { before: 0, after: 0 };
  const { keeper, kennel, desk } = await box.begin(box.copy(DAY));
  const wire = [];
  const pages = [];
  for (const named of ['Box', 'Table']) pages.push(await pair(box, keeper, named, random, wire, cuts));
  const before = record(kennel);
  const tapped = [];
  for (const [place, ribbon] of RIBBONS.entries()) {
    const page = pages[place % 2];
    if (await page.locator('#how-natural').count() > 0) await tap(page, 'how-natural');
    const puppy = await deliver(page, random() < 0.5 ? 'female' : 'male', ribbon, place === 0);
    tapped.push(puppy);
    report.saw('births tapped');
    // Half of them are looked at on the phone that noted them, half on the other one.
    if (place % 4 < 2) {
      await lookAt(page, puppy, String(190 + Math.floor(random() * 99)), random);
    } else {
      await tap(page, 'skip', 'later', 'later', 'later');
      const other = pages[(place + 1) % 2];
      const row = other.locator('#body .line', { hasText: ribbon === 'red' ? / red/ : ribbon });
      await row.first().waitFor();
      await row.first().click();
      await lookAt(other, puppy, String(190 + Math.floor(random() * 99)), random);
      report.saw('puppies looked at on the other phone');
    }
    await seconds();
    if (place === 4) {
      // In the middle of a puppy the page is closed and opened again: the press is still there.
      await tap(page, 'born-now');
      const [, born] = /(\d\d:\d\d:\d\d)$/.exec(await page.locator('#said').textContent());
      await page.reload();
      await tap(page, 'tab-birth');
      if (await page.locator('#litter').count() > 0) await page.locator('#litter').selectOption(LITTER);
      await page.locator('#body .line', { hasText: born }).click();
      await tap(page, 'more-gone', 'gone-yes');
      report.expect(await page.locator('#body .line', { hasText: born }).count() === 0, 'a press too many', 'stays');
      report.saw('pages opened again');
    }
  }
  // One birth noted by both, without a ribbon: nobody can tell whether it is one or two.
  for (const page of pages) await page.waitForFunction((many) => document.querySelectorAll('#body .line').length === many && !document.getElementById('body').textContent.includes('waits to be sent'), tapped.length);
  for (const page of pages) {
    await tap(page, 'born-now');
    await seconds();
  }
  for (const page of pages) page.isCut = false;
  for (const [place, page] of pages.entries()) {
    // The second hears at first nothing of what became of its birth: one answer may be to what was asked before it.
    page.isDeaf = place === 1;
    await tap(page, 'breath-once', 'sex-male', 'later', 'skip', 'later', 'later', 'later');
    const before = page.lost;
    for (let tries = 0; page.isDeaf && page.lost < before + 3 && tries < 60; tries += 1) await seconds();
    report.expect(!page.isDeaf || page.lost >= before + 3, 'answers', 'were not lost');
    page.isDeaf = false;
    await settled(page);
  }
  // What the desk answered is drawn a moment after it was kept.
  const asking = async () => (await Promise.all(pages.map((page) => page.locator('#body').textContent()))).filter((text) => text.includes('a question at the desk')).length;
  for (let tries = 0; tries < 10 && await asking() === 0; tries += 1) await seconds();
  report.expect(await asking() === 1, 'a birth that both noted', `stands as a question on ${await asking()} phones`);
  const after = record(kennel);
  // The day of the birth is that of the first puppy, who may have been born before midnight; whoever was born on another day is written with it.
  const dayOf = (clock) => (clock > '12' && tapped.at(-1).born < '12' ? DAY_BEFORE : DAY);
  const begins = dayOf(tapped[0].born);
  report.expect(after.birth.on === begins && after.birth.how === 'natural', 'the birth', `is ${JSON.stringify(after.birth)}`);
  const sorted = [...after.puppies].sort((a, b) => a.order - b.order);
  report.expect(sorted.length === tapped.length + 1, 'the records', `hold ${sorted.length} puppies for ${tapped.length} and one that was noted twice`);
  for (const [place, wanted] of tapped.entries()) {
    const found = sorted[place];
    const day = dayOf(wanted.born);
    const written = { ...wanted, born: day === begins ? wanted.born : `${day} ${wanted.born}` };
    for (const [key, said] of Object.entries(written)) report.expect(inOrder(found?.[key]) === inOrder(said), `puppy ${place + 1}`, `${key} is ${inOrder(found?.[key])}, and was tapped as ${inOrder(said)}`);
    report.saw('puppies compared');
  }
  report.expect(JSON.stringify({ ...after, birth: null, puppies: null }) === JSON.stringify({ ...before, birth: null, puppies: null }), 'the rest of the record', 'is not as it was');
  await keeper.goto(new URL('-desk/phones', desk.book).href);
  report.expect(await keeper.getByRole('button', { name: 'It is that puppy' }).count() === 1, 'a birth that both noted', 'is not asked about once');
  await screen(keeper, path.join(box.screens, 'box-question-of-a-birth.png'));
  await keeper.getByRole('button', { name: 'It is that puppy' }).click();
  await keeper.getByRole('heading', { name: 'Connected phones' }).waitFor();
  report.expect(record(kennel).puppies.length === tapped.length + 1, 'the same puppy', 'was written twice');
  for (const page of pages) await page.waitForFunction(() => !document.getElementById('body').textContent.includes('a question at the desk'));
  const lists = [];
  for (const page of pages) {
    await page.waitForFunction((many) => JSON.parse(localStorage.getItem('litterfolio-phone')).view.litters.find((each) => each.whelping?.born.length === many), tapped.length + 1);
    lists.push(await page.evaluate((id) => JSON.parse(localStorage.getItem('litterfolio-phone')).view.litters.find((each) => each.id === id).whelping.born.map((each) => each.at), LITTER));
    const faults = page.seen.console.filter((line) => !/Failed to load resource|ERR_FAILED|ERR_CONNECTION/.test(line));
    report.expect(faults.length === 0, 'a console', `says ${faults.join('; ')}`);
  }
  report.expect(JSON.stringify(lists[0]) === JSON.stringify(lists[1]), 'the lists of births', `differ: ${lists.join(' and ')}`);
  report.saw('requests that never arrived', cuts.before);
  report.saw('answers that were lost', cuts.after);
}
