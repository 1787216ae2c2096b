// A whole delivery of six by planned section: puppies a minute apart, one stillborn, a wrong entry undone, a reload in the middle. What was tapped is in the records afterwards, to the second.

import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { parse } from 'yaml';

export const name = 'a delivery of six, tapped on a phone with no network, is in the records to the second';

const DAY = '2026-11-08';
const REMARKS = 'Came "fast": 6 # all – here’s hoping\\ok';
const at = (time) => `${DAY}T${time}Z`; // In November the clock on the wall in London is UTC.

/** What the keeper sees and says in the whelping room, and so what must be in the records. */
const BORN = [
  { id: 'green', ribbon: 'green', sex: 'female', colour: 'black', born: '09:09:32', order: 1, horn: 'left', weight: '221 g', first_breath: '15 s', palate: 'intact', placenta: 'out',
    vigour: [{ at: '5 min', heart: 2, breathing: 2, reflex: 1, movement: 2, gums: 2 }] },
  { id: 'blue', ribbon: 'blue', sex: 'male', colour: 'wheaten', born: '09:10:40', order: 2, horn: 'left', weight: '198 g', first_breath: '75 s', palate: 'intact', placenta: 'out' },
  { id: 'yellow', ribbon: 'yellow', sex: 'female', colour: 'brindle with a white star', born: '09:11:38', order: 3, horn: 'right', weight: '187.5 g', first_breath: '25 s', palate: 'intact', placenta: 'out' },
  { id: 'puppy-4', sex: 'male', born: '09:14:05', order: 4, horn: 'right', weight: '120 g', placenta: 'out', fate: 'stillborn' },
  { id: 'red', ribbon: 'red', sex: 'male', colour: 'black', born: '09:16:59', order: 5, horn: 'right', weight: '7 3/4 oz', first_breath: '9 s', palate: 'intact', placenta: 'out' },
  { id: 'fern-two', name: 'Fern Two!', ribbon: 'purple', sex: 'female', colour: 'wheaten', born: '09:18:20', order: 6, horn: 'left', weight: '203 g', first_breath: '0 s', palate: 'cleft', placenta: 'retained',
    newborn: { limbs: 'normal', navel: 'normal', anus: 'normal', skull: 'normal', eyes: 'normal', tail: 'kink, near the tip', skin: 'normal', suck: 'normal' }, remarks: 'Milk may come through the nose.' },
];
const BIRTH = {
  on: DAY, how: 'planned section', placentas: 5,
  surgery: { clinic: 'Northgate Vets', incisions: 2, adhesions: 'few', for_build: false, remarks: 'closed in two layers' },
  remarks: `Began 09:02:11. ${REMARKS}`,
};

/** Answers the questions of the puppy that is open, from horn to placenta. */
async function fillIn(page, puppy) {
  await page.tap(`horn-${puppy.horn}`, `sex-${puppy.sex}`);
  if (puppy.ribbon) await page.tap(`ribbon-${puppy.ribbon}`);
  await page.type(/^[\d.]+/.exec(puppy.weight)[0]);
  await page.tap('pad-done');
}

async function expectText(report, page, id, wanted, when) {
  const said = (await page.text(id)).replaceAll(/\s+/g, ' ');
  report.expect(said === wanted, when, `${id} says “${said}” instead of “${wanted}”`);
  report.saw('words read on the sheet');
}

async function firstThree(page, report) {
  await page.at(at('09:02:11'));
  await page.tap('how-planned-section');
  await page.at(at('09:09:32'));
  await page.tap('born');
  await page.at(at('09:09:47'));
  await page.tap('breath-now');
  await fillIn(page, { ...BORN[0], weight: '212 g' });
  await page.tap('palate-intact', 'placenta-out');
  await page.locator('#dock button', { hasText: /^black$/ }).click();
  // Two puppies a minute apart, and neither breathes yet.
  await page.at(at('09:10:40'));
  await page.tap('born');
  await page.at(at('09:11:38'));
  await page.tap('born');
  await page.at(at('09:11:50'));
  await page.waitForFunction(() => /1:10/.test(document.getElementById('chip-2').textContent) && /0:12/.test(document.getElementById('chip-3').textContent));
  report.saw('clocks that ran side by side', 2);
  await page.picture('two-clocks');
  // The older one is asked for first, and it is pressed for once a minute is over; the younger one stands below it.
  report.expect(await page.text('ask') === 'Puppy 2: first breath', 'two that do not breathe', `the sheet asks “${await page.text('ask')}”`);
  report.expect(await page.isVisible('#slow') && await page.isVisible('#breathes-3'), 'two that do not breathe', 'one of them is out of sight');
  await page.at(at('09:11:55'));
  await page.tap('breath-now');
  await page.at(at('09:12:03'));
  report.expect(await page.text('ask') === 'Puppy 3: first breath', 'the younger one', `the sheet asks “${await page.text('ask')}”`);
  await page.tap('breath-now');
  await expectText(report, page, 'count-puppies', '3 of 6', 'after three');
  await expectText(report, page, 'count-placentas', '2', 'after three');
}

/** The battery is dead, the phone is started again: everything stands where it stood. */
async function reload(page, report, when) {
  const before = await page.evaluate(() => ({ body: document.getElementById('body').innerText, counts: document.getElementById('counts').innerText, dock: document.getElementById('dock').innerText.split('\nBorn now')[0].trim() }));
  await page.reload();
  const after = await page.evaluate(() => ({ body: document.getElementById('body').innerText, counts: document.getElementById('counts').innerText, dock: document.getElementById('dock').innerText.split('\nBorn now')[0].trim() }));
  for (const part of ['body', 'counts', 'dock']) report.expect(before[part] === after[part], when, `${part} was “${before[part]}” before the reload, “${after[part]}” after it`);
  report.saw('reloads');
}

async function mendAndFill(page, report) {
  // A girl, not a boy: undone, and said again.
  await page.tap('horn-right', 'sex-male');
  await expectText(report, page, 'line-sex', 'Sex male', 'a wrong entry');
  await page.tap('undo');
  await expectText(report, page, 'line-sex', 'Sex not noted', 'a wrong entry undone');
  report.expect(await page.text('ask') === 'Puppy 3: sex', 'a wrong entry undone', `the sheet then asks “${await page.text('ask')}”`);
  await page.tap('sex-female', 'ribbon-yellow');
  await page.type('187.5');
  await page.tap('pad-done', 'palate-intact', 'placenta-out');
  await page.fill('#colour-typed', 'brindle with a white star');
  await page.tap('chip-2');
  await fillIn(page, BORN[1]);
  await page.tap('palate-intact', 'placenta-out');
  await page.locator('#dock button', { hasText: /^wheaten$/ }).click();
  // Nobody was born: the tap is taken back, number and all.
  await page.at(at('09:13:20'));
  await page.tap('born');
  await expectText(report, page, 'count-puppies', '4 of 6', 'a tap too many');
  await page.tap('undo');
  await expectText(report, page, 'count-puppies', '3 of 6', 'a tap too many undone');
}

async function lastThree(page, report) {
  await page.at(at('09:14:05'));
  await page.tap('born', 'breath-still');
  await fillIn(page, BORN[3]);
  // Of a stillborn puppy nobody has looked at palate and colour; its placenta came.
  await page.tap('later', 'placenta-out');
  // Puppy 1 is five minutes old.
  await page.at(at('09:14:40'));
  await page.tap('chip-1', 'line-vigour', 'score-new');
  for (const [item, points] of Object.entries(BORN[0].vigour[0])) if (item !== 'at') await page.tap(`score-${item}-${points}`);
  report.expect(/9 of 10: no distress/.test(await page.text('dock')), 'vigour', `the dock says “${await page.text('dock')}”`);
  await page.tap('score-done');
  // An earlier entry is put right.
  await page.tap('line-weight');
  await page.type('221');
  await page.tap('pad-done');
  await page.at(at('09:16:59'));
  await page.tap('born');
  await page.at(at('09:17:08'));
  await page.tap('breath-now', 'horn-right', 'sex-male', 'ribbon-red');
  // In ounces, and what cannot be is doubted.
  await page.tap('pad-unit');
  await page.type('775');
  report.expect(/No birth weight/.test(await page.text('pad-said')), 'the number pad', '775 oz is taken for a birth weight');
  await page.tap('pad-back', 'pad-back', 'pad-back', 'pad-7', 'pad-3-4', 'pad-done', 'palate-intact', 'placenta-out');
  await page.locator('#dock button', { hasText: /^black$/ }).click();
  await page.at(at('09:18:20'));
  await page.tap('born', 'breath-once', 'horn-left', 'sex-female');
  report.expect(await page.getAttribute('#ribbon-green', 'aria-disabled') === 'true', 'ribbons', 'a worn ribbon can be given again');
  await page.tap('ribbon-purple', 'pad-unit');
  await page.type('203');
  await page.tap('pad-done', 'palate-cleft', 'placenta-retained');
  await page.locator('#dock button', { hasText: /^wheaten$/ }).click();
  await page.tap('more-newborn');
  await page.fill('#newborn-tail-seen', BORN[5].newborn.tail);
  await page.tap('newborn-all', 'newborn-done', 'more-words');
  await page.fill('#words-name', BORN[5].name);
  await page.fill('#words-remarks', BORN[5].remarks);
  await page.tap('words-done');
  await page.at(at('09:25:31'));
  await page.waitForFunction(() => document.getElementById('count-since').textContent === '7 min');
  await expectText(report, page, 'count-puppies', '6 of 6', 'after six');
  await expectText(report, page, 'count-placentas', '1', 'after six');
}

async function end(page, report, kennel) {
  await page.tap('end');
  report.expect(await page.isVisible('#notice-unsaved'), 'the end', 'does not say that nothing is saved yet');
  await page.tap('line-placentas', 'placentas-done', 'line-clinic', 'clinic-0', 'line-incisions', 'incisions-more', 'incisions-done', 'line-adhesions', 'adhesions-1', 'line-build', 'build-no', 'line-surgeon');
  await page.fill('#surgeon-typed', BIRTH.surgery.remarks);
  await page.tap('litter-done', 'line-remarks');
  await page.fill('#remarks-typed', REMARKS);
  await page.tap('litter-done');
  await page.picture('end');
  const file = await save(page, kennel, 'birth.yaml');
  report.expect(!(await page.isVisible('#notice-unsaved')), 'the end', 'says that nothing is saved after the file was');
  return file;
}

async function save(page, kennel, called) {
  const [download] = await Promise.all([page.waitForEvent('download'), page.tap('save')]);
  const file = path.join(kennel.work, called);
  await download.saveAs(file);
  return { file, name: download.suggestedFilename() };
}

/** The records hold what was tapped and everything that stood there, byte for byte. */
function checkRecord(kennel, report, before) {
  const text = readFileSync(kennel.record, 'utf8');
  report.expect(text.startsWith(before), 'litter.yaml', 'is not the old text with lines below it');
  const { birth, puppies, ...rest } = parse(text, { schema: 'core' });
  const same = (where, found, wanted) => report.expect(JSON.stringify(found) === JSON.stringify(wanted), where, `holds ${JSON.stringify(found)} instead of ${JSON.stringify(wanted)}`);
  const sorted = (value) => (value && typeof value === 'object' && !Array.isArray(value) ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, inner]) => [key, sorted(inner)])) : value);
  same('birth', sorted(birth), sorted(BIRTH));
  same('the number of puppies', puppies.length, BORN.length);
  BORN.forEach((wanted, place) => { same(wanted.id, sorted(puppies[place]), sorted(wanted)); report.saw('puppies compared'); });
  same('the rest', rest, parse(before, { schema: 'core' }));
}

async function takeIn(kennel, report, { file, name }) {
  report.expect(name === `birth-winter-2026-${DAY}.yaml`, 'the file', `is called ${name}`);
  const before = readFileSync(kennel.record, 'utf8');
  const unasked = kennel.ask(['take-in', file]);
  report.expect(unasked.status === 2 && readFileSync(kennel.record, 'utf8') === before, 'take-in with nobody to ask', `ends with ${unasked.status}: ${unasked.stderr}`);
  const taken = kennel.ask(['take-in', file, '--yes']);
  report.expect(taken.status === 0 && /the birth and 6 puppies taken in/.test(taken.stdout), 'take-in', `says ${taken.stdout}${taken.stderr}`);
  for (const line of readFileSync(file, 'utf8').split('\n').filter((each) => /^\s*(born|weight):/.test(each))) report.expect(taken.stdout.includes(line.trim().replace(/^- /, '')), 'take-in', `does not show “${line}”`);
  checkRecord(kennel, report, before);
  const after = readFileSync(kennel.record, 'utf8');
  const twice = kennel.ask(['take-in', '-', '--yes'], `\ufeff${readFileSync(file, 'utf8').replaceAll('\n', '\r\n')}`);
  report.expect(twice.status === 0 && /nothing was taken in/.test(twice.stdout) && readFileSync(kennel.record, 'utf8') === after, 'take-in a second time, with CRLF and a byte order mark', `says ${twice.stdout}${twice.stderr}`);
  const other = path.join(kennel.work, 'other.yaml');
  writeFileSync(other, readFileSync(file, 'utf8').replace('198 g', '189 g'));
  const differs = kennel.ask(['take-in', other, '--yes']);
  report.expect(differs.status === 1 && /weight/.test(differs.stderr) && /litter\.yaml/.test(differs.stderr) && readFileSync(kennel.record, 'utf8') === after, 'take-in of another weight', `ends with ${differs.status}: ${differs.stderr}`);
  const inspected = kennel.ask(['inspect', '--json']);
  const errors = JSON.parse(inspected.stdout).problems.filter((problem) => problem.severity === 'error');
  report.expect(inspected.status === 0, 'inspect', `finds ${JSON.stringify(errors)}`);
  const published = kennel.ask(['publish']);
  report.expect(published.status === 0, 'publish', published.stderr);
  report.saw('runs of the program', 6);
}

/** A sheet is cleared in two taps, warns when it is not saved, and can be brought back. */
async function clear(page, report) {
  await page.tap('clear');
  report.expect(/The file of it is saved/.test(await page.text('dock')), 'clearing', `says “${await page.text('dock')}”`);
  await page.tap('clear-yes');
  report.expect(await page.isVisible('#how-natural'), 'clearing', 'does not begin anew');
  await page.reload();
  report.expect(await page.isVisible('#how-natural'), 'clearing', 'does not last');
  await page.tap('bring-back');
  await expectText(report, page, 'count-puppies', '6 of 6', 'brought back');
}

export async function check(kennel, report) {
  const page = await kennel.open(kennel.sheet, at('09:00:00'));
  await firstThree(page, report);
  await page.at(at('09:12:30'));
  await reload(page, report, 'a reload in the middle');
  await mendAndFill(page, report);
  await lastThree(page, report);
  await reload(page, report, 'a reload near the end');
  await takeIn(kennel, report, await end(page, report, kennel));
  await clear(page, report);
  for (const line of page.seen.console) report.fault('the sheet', `console: ${line}`);
  for (const request of page.seen.requests) report.expect(/^(file|blob|data|about):/.test(request), 'the sheet', `asks for ${request}`);
  await page.shut();
}
