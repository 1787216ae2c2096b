// A whole litter weighed on a phone, twice, from the file with the network off: a wrong entry undone, the page loaded again in the middle, two puppies exchanged and put right, one skipped, a
// remark; then the file that is saved must say exactly what was tapped, and `weigh` must take it in as it stands.

import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parse } from 'yaml';
import { screen } from '../lib/screens.mjs';

export const name = 'a litter is weighed on the phone, and the file says what was tapped';

const LITTER = 'autumn-2026';

const tap = (page, id) => page.click(`#${id}`);
const press = async (page, keys) => { for (const key of keys) await tap(page, `pad-${key}`); };
const shown = (page, selector = '#body') => page.innerText(selector).then((text) => text.replaceAll(/\s+/g, ' '));
const onPad = (page) => page.innerText('#pad-value');

async function saved(page, id = 'save') {
  const [download] = await Promise.all([page.waitForEvent('download'), tap(page, id)]);
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), 'utf8') };
}

/** The first look: everybody with ribbon, last weight and hours ago, compared with the records. */
async function atRest(book, page, report, puppies) {
  const rest = await shown(page);
  for (const { id, ribbon, last, words } of puppies) {
    for (const each of [words, ribbon, `${last} g`, '12 h ago']) report.expect(rest.includes(each), 'at rest', `does not say “${each}” of ${id}`);
    report.saw('puppies');
  }
  report.expect(!rest.includes('on this phone only'), 'at rest', 'speaks of weigh-ins that are not there');
  report.expect(/call the vet/.test(rest) && rest.includes(book.records.kennel.contact.emergency_vet.phone), 'at rest', 'does not say whom to call');
}

async function firstWeighIn(book, page, report) {
  await tap(page, 'begin');
  report.expect((await shown(page, '#head')).includes('9 Oct, 19:30'), 'first weigh-in', `is not stamped with the time on the wall: ${await shown(page, '#head')}`);
  // Fern: a slip of the thumb, noticed and taken back.
  await press(page, ['2', '6']);
  report.expect((await shown(page)).includes('A slip of the pen?'), 'fern at 26 g', 'is taken for a weight');
  await tap(page, 'keep');
  await tap(page, 'undo');
  report.expect((await onPad(page)) === '26 g', 'undo', `leaves “${await onPad(page)}” on the pad`);
  await press(page, ['7']);
  const said = await shown(page);
  report.expect(said.includes('+8 g, +3.1 %') && said.includes('in 12 h') && said.includes('+55 g, +25.9 %'), 'fern at 267 g', `is answered with “${said.slice(0, 200)}”`);
  await tap(page, 'keep');
  // Reed, then Sage half typed when the battery dies.
  await press(page, ['2', '8', '2']);
  await tap(page, 'keep');
  await press(page, ['2', '3']);
  await page.reload();
  report.expect((await onPad(page)) === '23 g' && (await shown(page, '.on-scale h2')) === 'Sage', 'loaded again', `shows ${await shown(page, '.on-scale h2')} with ${await onPad(page)}`);
  report.expect((await shown(page)).includes('267 g') && (await shown(page)).includes('282 g'), 'loaded again', 'has lost a weight');
  // Sage gets what is Heath's.
  await press(page, ['8']);
  await tap(page, 'keep');
  await tap(page, 'skip');
  await press(page, ['1', '4', '7']);
  const doubt = await shown(page);
  report.expect(doubt.includes('Exchanged with Sage?'), 'heath at 147 g', `is answered with “${doubt.slice(0, 300)}”`);
  report.expect((await page.innerText('#keep')) === 'keep all the same', 'heath at 147 g', 'is kept without a question');
  await screen(page, `${book.screens}/weighing-exchanged.png`, { fullPage: false });
  await tap(page, 'exchange');
  const all = await shown(page);
  report.expect(/Sage ?purple ?147 g/i.test(all) || /Sage \w+ 147 g/.test(all), 'once exchanged', `Sage does not have 147 g: ${all.slice(0, 300)}`);
  // Who weighed, and a remark with everything that a table minds.
  await tap(page, 'about');
  await page.fill('#about-by', 'I.');
  await page.fill('#about-remark', 'Rowan asleep, "let be"; 2 feeds');
  await tap(page, 'back');
  await tap(page, 'finish');
  report.expect((await shown(page, '#waiting')).includes('One weigh-in stands on this phone only'), 'first weigh-in', 'is not said to be on the phone only');
}

async function secondWeighIn(page, report) {
  await page.clock.setFixedTime('2026-10-09T21:05:00Z');
  await tap(page, 'begin');
  report.expect((await shown(page)).includes('last 267 g, 3 h ago'), 'second weigh-in', 'does not compare with the first');
  await press(page, ['unit', '9', '1-2']);
  report.expect((await onPad(page)) === '9 1/2 oz', 'in ounces', `the pad shows ${await onPad(page)}`);
  report.expect((await shown(page)).includes('+2 g, +0.9 %'), 'fern at 9 1/2 oz', `is answered with “${(await shown(page)).slice(0, 160)}”`);
  await tap(page, 'keep');
  await press(page, ['9', 'point', '9']);
  await tap(page, 'keep');
  await press(page, ['unit', '1', '4', '8']);
  await tap(page, 'keep');
  // Skipped puppies can be opened again by their line.
  await tap(page, 'skip');
  await tap(page, 'skip');
  await tap(page, 'line-rowan');
  await press(page, ['3', '0', '1']);
  await tap(page, 'keep');
  await tap(page, 'finish');
}

const EXPECTED = [
  'at,by,remark,fern,reed,sage,rowan,heath',
  '2026-10-09 19:30,I.,"Rowan asleep, ""let be""; 2 feeds",267 g,282 g,147 g,,238 g',
  '2026-10-09 22:05,I.,,9 1/2 oz,9.9 oz,148 g,301 g,',
  '',
].join('\r\n');

/** `weigh` takes the file into a copy of the kennel, on the day after; a second time there is nothing to take. */
function takenIn(book, report, file) {
  const kennel = mkdtempSync(path.join(tmpdir(), 'weighing-'));
  try {
    cpSync(path.join(book.kennel, 'content'), path.join(kennel, 'content'), { recursive: true });
    const pinned = path.join(kennel, 'content/kennel.yaml');
    writeFileSync(pinned, readFileSync(pinned, 'utf8').replace(`as_of: ${book.records.today}`, 'as_of: 2026-10-10'));
    const table = path.join(kennel, file.name);
    writeFileSync(table, file.text);
    const record = path.join(kennel, 'content/litters', LITTER, 'weights.yaml');
    const before = readFileSync(record, 'utf8');
    const weigh = () => spawnSync(book.program, ['--kennel', kennel, 'weigh', LITTER, '--from', table], { encoding: 'utf8' });
    const first = weigh();
    report.expect(first.status === 0, 'weigh --from', `ends with ${first.status}: ${first.stderr.slice(0, 400)}`);
    const after = readFileSync(record, 'utf8');
    report.expect(after.startsWith(before), 'weigh --from', 'changed what stood in weights.yaml');
    const added = parse(after).slice(parse(before).length);
    const expected = [
      { at: '2026-10-09 19:30', by: 'I.', remark: 'Rowan asleep, "let be"; 2 feeds', fern: '267 g', reed: '282 g', sage: '147 g', heath: '238 g' },
      { at: '2026-10-09 22:05', by: 'I.', fern: '9 1/2 oz', reed: '9.9 oz', sage: '148 g', rowan: '301 g' },
    ];
    const sorted = (blocks) => JSON.stringify(blocks.map((block) => Object.entries(block).sort()));
    report.expect(sorted(added) === sorted(expected), 'weigh --from', `added ${JSON.stringify(added)}`);
    report.expect(weigh().status === 0 && readFileSync(record, 'utf8') === after, 'weigh --from', 'takes the same file in twice');
    report.saw('files taken in');
  } finally {
    rmSync(kennel, { recursive: true, force: true });
  }
}

async function cleared(page, report) {
  await tap(page, 'clear');
  await tap(page, 'clear-no');
  report.expect((await shown(page)).includes('Weigh-ins on this sheet'), 'clearing', 'was done although nobody agreed');
  await tap(page, 'clear');
  await tap(page, 'clear-yes');
  report.expect(!(await shown(page)).includes('Weigh-ins on this sheet'), 'clearing', 'leaves weigh-ins');
  await page.reload();
  await tap(page, 'bring-back');
  report.expect((await saved(page)).text === EXPECTED, 'what was cleared and brought back', 'is not what it was');
}

export async function check(book, report) {
  const record = book.records.litters.find((each) => each.id === LITTER);
  const last = { fern: 259, reed: 274, sage: 146, rowan: 292, heath: 231 };
  const puppies = record.puppies.filter((each) => last[each.id]).map((each) => ({ id: each.id, ribbon: each.ribbon, last: last[each.id], words: each.id[0].toUpperCase() + each.id.slice(1) }));
  const page = await book.open(LITTER);
  await atRest(book, page, report, puppies);
  await firstWeighIn(book, page, report);
  await secondWeighIn(page, report);
  const file = await saved(page);
  report.expect(file.name === 'autumn-2026-weights-20261009-2205.csv', 'the file', `is called ${file.name}`);
  report.expect(file.text === EXPECTED, 'the file', `says ${JSON.stringify(file.text)}`);
  report.expect((await page.$('#waiting')) === null, 'the file', 'was saved, and the sheet still warns');
  report.saw('files compared');
  takenIn(book, report, file);
  await cleared(page, report);
  const asked = page.seen.requests.filter((each) => !each.startsWith('blob:') && !each.endsWith(`${LITTER}-weighing.html`));
  report.expect(asked.length === 0, 'the sheet', `asked for ${asked.join(', ')}`);
  report.expect(page.seen.console.length === 0, 'the sheet', `complained: ${page.seen.console.join('; ')}`);
  await page.shut();
}
