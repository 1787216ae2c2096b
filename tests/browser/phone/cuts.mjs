// Two phones weigh a litter on four days while the network is cut at random, before a request arrives and after; pages are opened anew, the desk is killed and begun again. At the end the records hold
// what was tapped, each weight once; where both phones weighed a puppy in one minute and differ, the second waits as a question at the desk. And the capture of all requests holds no name, weight or code.

import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import YAML from 'yaml';
import { cutting, dice } from '../lib/cutting.mjs';

export const name = 'two phones weigh a litter over a network that is cut at random: nothing lost, nothing twice, nothing readable';

const LITTER = 'autumn-2026';
const DAYS = ['2026-10-09', '2026-10-10', '2026-10-11', '2026-10-12'];

/** The kennel's next day begins, and both phones have heard of it. */
async function nextDay(kennel, phones, day) {
  const file = path.join(kennel, 'content/kennel.yaml');
  writeFileSync(file, readFileSync(file, 'utf8').replace(/^as_of:.*$/m, `as_of: ${day}`));
  const isThere = (begins) => JSON.parse(localStorage.getItem('litterfolio-phone')).heard?.startsWith(begins);
  // A busy machine is no fault of the phones.
  for (const { page } of phones) await page.waitForFunction(isThere, day, { timeout: 300_000 });
}

const weights = (kennel) => YAML.parse(readFileSync(path.join(kennel, 'content/litters', LITTER, 'weights.yaml'), 'utf8'), { schema: 'failsafe' });

export async function check(box, report) {
  const random = dice(20261009);
  const wire = [];
  const cuts = { before: 0, after: 0 };
  let { desk, keeper, kennel } = await box.begin(box.copy(DAYS[0]));
  const before = weights(kennel);
  const phones = [];
  for (const named of ['Table', 'Box']) {
    const { link, code } = await box.code(keeper, named);
    const page = await box.phone(link, { prepare: (each) => cutting(each, random, wire, cuts) });
    await page.locator('#tab-weigh').waitFor();
    report.expect(!page.url().includes('#'), named, 'the code still stands in the address line');
    phones.push({ page, code, named });
    report.saw('phones paired');
  }
  const tapped = [];
  const ids = await phones[0].page.evaluate(() => JSON.parse(localStorage.getItem('litterfolio-phone')).view.litters.find((each) => each.id === 'autumn-2026').puppies.map((each) => each.id));
  for (const [round, day] of DAYS.entries()) {
    // Each phone has half of the litter, and on the last day both have all of it.
    if (round > 0) await nextDay(kennel, phones, day);
    for (const [which, { page }] of phones.entries()) {
      await page.locator('#tab-weigh').click();
      if (await page.locator('#litter').count() > 0) await page.locator('#litter').selectOption(LITTER);
      for (const id of ids.filter((_, place) => round === DAYS.length - 1 || (place + round) % 2 === which)) {
        const grams = String(300 + Math.floor(random() * 99));
        await page.locator(`#line-${id}`).click();
        for (const digit of grams) await page.locator(`#pad-${digit}`).click();
        await page.locator('#keep').click();
        const [, words, at] = /^Kept: (.* at (\d{4}-\d\d-\d\d \d\d:\d\d))$/.exec(await page.locator('#said').textContent());
        tapped.push({ key: `${at} ${id}`, weight: `${grams} g`, words });
        report.saw('weights tapped');
      }
      await page.locator('#done').click();
      // A page that is closed and opened again knows what waits.
      if (random() < 0.5) {
        await page.reload();
        await page.locator('#tab-weigh').waitFor();
        report.saw('pages opened again');
      }
    }
    // The desk is killed in the middle of it, and begun again at the same address.
    if (round === 1) {
      await desk.kill();
      const address = new URL(phones[0].page.url()).host;
      ({ desk, keeper } = await box.begin(kennel));
      report.expect((await keeper.locator('code').first().textContent()).includes(address), 'the desk that was begun again', `is not at ${address}`);
    }
  }
  for (const { page } of phones) {
    page.isCut = false;
    await page.waitForFunction(() => !Object.keys(localStorage).some((key) => key.startsWith('litterfolio-phone-entry-')), null, { timeout: 120_000 });
  }
  const after = weights(kennel);
  const written = new Map();
  for (const block of after) {
    for (const [id, weight] of Object.entries(block)) {
      if (['at', 'by', 'remark'].includes(id)) continue;
      const key = `${block.at.slice(0, 16)} ${id}`;
      report.expect(!written.has(key), key, 'stands twice in the records');
      written.set(key, weight);
    }
  }
  report.expect(JSON.stringify(after.slice(0, before.length)) === JSON.stringify(before), 'what stood in the records before', 'is not as it was');
  await keeper.goto(new URL('-desk/phones', desk.book).href);
  const asked = await keeper.locator('main').innerText();
  for (const { key, weight, words } of tapped) {
    const isAsked = asked.includes(words) && tapped.some((other) => other.key === key && other.words !== words);
    report.expect(written.get(key) === weight || isAsked, key, `was tapped as ${weight}, the records hold ${written.get(key) ?? 'nothing'}, and nobody is asked`);
    if (isAsked && written.get(key) !== weight) report.saw('questions at the desk');
  }
  const known = before.reduce((sum, block) => sum + Object.keys(block).filter((id) => !['at', 'by', 'remark'].includes(id)).length, 0);
  const times = new Set(tapped.map(({ key }) => key)).size;
  report.expect(written.size === known + times, 'the records', `hold ${written.size - known} new weights, for ${times} times of puppies`);
  report.saw('requests that never arrived', cuts.before);
  report.saw('answers that were lost', cuts.after);
  const heard = Buffer.concat(wire).toString('latin1').toLowerCase();
  for (const word of [...ids, LITTER, 'entries', 'puppy', ...phones.map(({ code }) => code.toLowerCase()), ...tapped.map(({ weight }) => weight)]) report.expect(!heard.includes(word.toLowerCase()), 'what went over the network', `holds “${word}”`);
  report.saw('bytes heard', heard.length);
  for (const { page, named } of phones) {
    const faults = page.seen.console.filter((line) => !/Failed to load resource|ERR_FAILED|ERR_CONNECTION/.test(line));
    report.expect(faults.length === 0, named, `its console says ${faults.join('; ')}`);
  }
}
