// Clocks: over midnight, in the night when summer time ends, on a phone that shows another zone, and when the phone's clock is set back in the middle.

import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { parse } from 'yaml';

export const name = 'times are right over midnight, in the night of the clocks, in another zone, and a clock set back is noticed';

async function fileOf(page) {
  await page.tap('end', 'text');
  const text = await page.locator('#text-shown').textContent();
  await page.tap('litter-done', 'back');
  return { text, ...parse(text, { schema: 'core' }) };
}

/** Summer time ends at 01:00 UTC on 25 October 2026 (Directive 2000/84/EC; the United Kingdom keeps the same date): 01:00 to 02:00 comes twice. */
async function nightOfTheClocks(kennel, report, browser) {
  const page = await kennel.open(kennel.blank, '2026-10-24T22:40:00Z', { browser });
  await page.tap('how-natural');
  const born = ['2026-10-24T22:58:07Z', '2026-10-24T23:03:59Z', '2026-10-25T00:50:00Z', '2026-10-25T01:10:30Z', '2026-10-25T02:00:01Z'];
  for (const moment of born) {
    await page.at(moment);
    await page.tap('born', 'breath-once');
  }
  await page.at('2026-10-25T02:30:00Z');
  await page.waitForFunction(() => document.getElementById('count-since').textContent === '29 min');
  const { text, birth, puppies } = await fileOf(page);
  const wanted = ['23:58:07', '2026-10-25 00:03:59', '2026-10-25 01:50:00', '2026-10-25 01:10:30', '2026-10-25 02:00:01'];
  report.expect(birth.on === '2026-10-24', 'the night of the clocks', `the litter's day is ${birth.on}`);
  report.expect(JSON.stringify(puppies.map((puppy) => puppy.born)) === JSON.stringify(wanted), 'the night of the clocks', `times are ${puppies.map((puppy) => puppy.born)}`);
  report.expect(JSON.stringify(puppies.map((puppy) => puppy.order)) === '[1,2,3,4,5]', 'the night of the clocks', 'the order is another');
  report.expect(/first time round/.test(puppies[2].remarks) && /second time round/.test(puppies[3].remarks) && puppies[4].remarks === undefined, 'the night of the clocks', `the hour that came twice is not told: ${text}`);
  report.expect(birth.remarks === 'Began 23:40:00.', 'the night of the clocks', birth.remarks);
  report.saw('puppies of that night', puppies.length);
  await page.shut();
}

/** The clock on the wall is the kennel's, whatever zone the phone shows. */
async function anotherZone(kennel, report) {
  const page = await kennel.open(kennel.sheet, '2026-11-08T23:50:00Z', { browser: await kennel.browser('America/New_York') });
  report.expect(/whatever zone this phone shows/.test(await page.text('body')), 'a phone in another zone', 'does not say whose times these are');
  await page.tap('how-emergency-section');
  await page.at('2026-11-09T00:10:15Z');
  await page.tap('born');
  const { birth, puppies } = await fileOf(page);
  report.expect(birth.on === '2026-11-09' && puppies[0].born === '00:10:15' && birth.remarks === 'Began 2026-11-08 23:50:00.', 'a phone in another zone', JSON.stringify({ birth, puppies }));
  report.saw('zones');
  await page.shut();
}

async function setBack(kennel, report, browser) {
  const page = await kennel.open(kennel.blank, '2026-11-08T09:00:00Z', { browser });
  await page.tap('how-assisted');
  await page.at('2026-11-08T09:20:00Z');
  await page.tap('born');
  await page.at('2026-11-08T08:21:00Z');
  await page.waitForFunction(() => /0:00/.test(document.getElementById('chip-1').textContent));
  await page.tap('breath-now');
  report.expect(/set back by 59:00, at 09:20:00/.test(await page.text('notice-clock')), 'a clock set back', 'is not noticed');
  const { birth, puppies } = await fileOf(page);
  report.expect(puppies[0].first_breath === '0 s' && /set back from 09:20:00 to 08:21:00/.test(birth.remarks), 'a clock set back', JSON.stringify({ birth, puppies }));
  await page.tap('clock-seen');
  report.expect(!(await page.isVisible('#notice-clock')), 'a clock set back', 'is told for ever');
  // The time is put right by hand, and over midnight to the nearer day.
  await page.tap('line-born');
  await page.fill('#born-typed', '8:20:58');
  await page.tap('born-set');
  report.expect((await page.text('line-born')).includes('08:20:58'), 'a time typed', await page.text('line-born'));
  await page.tap('line-born');
  for (const typed of ['25:00', 'soon', '8:61:00']) {
    await page.fill('#born-typed', typed);
    await page.tap('born-set');
    report.expect(/Write hours/.test(await page.text('said')), 'a time typed', `“${typed}” is taken for a time`);
    report.saw('times typed');
  }
  await page.shut();
}

/** A sheet that names no litter, and a puppy without a sex: the file is saved all the same, and the program says kindly what it needs. */
async function unfinished(kennel, report, browser) {
  const page = await kennel.open(kennel.blank, '2026-11-08T09:00:00Z', { browser });
  await page.tap('how-natural', 'born', 'breath-once', 'sex-male');
  await page.tap('born', 'end');
  report.expect(/Puppy 2 has no sex yet/.test(await page.text('notice-needed')), 'a puppy without a sex', 'is not told');
  await page.tap('back');
  const { text } = await fileOf(page);
  const file = path.join(kennel.work, 'unfinished.yaml');
  writeFileSync(file, text);
  const run = kennel.ask(['take-in', file, '--litter', 'winter-2026', '--yes']);
  report.expect(run.status === 1 && /`sex` is missing/.test(run.stderr) && /unfinished\.yaml:\d+/.test(run.stderr), 'a puppy without a sex', run.stderr);
  writeFileSync(file, text.replace(/(order: 2)/, '$1\n    sex: female'));
  const nameless = kennel.ask(['take-in', file, '--yes']);
  report.expect(nameless.status === 2 && /--litter/.test(nameless.stderr), 'a file without a litter', nameless.stderr);
  const named = kennel.ask(['take-in', file, '--litter', 'Winter 2026', '--yes']);
  report.expect(named.status === 0 && /2 puppies taken in/.test(named.stdout), 'a file without a litter', `${named.stdout}${named.stderr}`);
  report.saw('files');
  await page.shut();
}

/** Where nothing can be kept, the sheet says so at once and works. */
async function withoutStorage(kennel, report, browser) {
  const forbid = () => Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } });
  const page = await kennel.open(kennel.blank, '2026-11-08T09:00:00Z', { browser, before: forbid });
  report.expect(/keeps nothing here/.test(await page.text('notice-storage')), 'a private window', 'does not say that nothing is kept');
  await page.tap('how-natural', 'born', 'breath-once', 'sex-male', 'undo', 'line-sex', 'sex-female');
  report.expect((await page.text('line-sex')).includes('female'), 'a private window', 'does not work');
  report.saw('windows');
  await page.shut();
}

export async function check(kennel, report) {
  const browser = await kennel.browser();
  await nightOfTheClocks(kennel, report, browser);
  await anotherZone(kennel, report);
  await setBack(kennel, report, browser);
  await unfinished(kennel, report, browser);
  await withoutStorage(kennel, report, browser);
}
