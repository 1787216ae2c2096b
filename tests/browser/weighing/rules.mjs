// The sheet's rules against the program's own, on random litters: what was published, with what was tapped since, must give the same findings as all of it in the records, to the word, the
// same growth and the same trends. Then every threshold, age and number of trends is spoilt in turn, and a difference must be seen: a judge that cannot fail proves nothing.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { inOrder } from '../../../templates/keeper/weighing-file.mjs';
import { daysBetween, findingsOf, growthOf, readWeight, trendOf } from '../../../templates/keeper/weighing-rules.mjs';
import { slips } from '../../../templates/keeper/weighing-slips.mjs';
import { ask } from '../lib/answers.mjs';
import { randomKennel } from '../lib/random-litters.mjs';

export const name = 'the sheet finds what the program finds, on random litters';

const KENNELS = 72;
const LITTERS = 33;
// What stands on weights; everything else comes with the data.
const BESIDE = ['low-vigour', 'palate-cleft', 'newborn-finding', 'not-looked-at', 'cold', 'temperature', 'illness', 'care-overdue'];

function put(folder, files) {
  for (const [name, text] of files) {
    mkdirSync(path.dirname(path.join(folder, name)), { recursive: true });
    writeFileSync(path.join(folder, name), text);
  }
  return folder;
}

const near = (one, other) => one === other || (one !== null && other !== null && Math.abs(one - other) <= Math.max(1e-9 * Math.max(Math.abs(one), Math.abs(other)), 1e-9));

/** Numbers taken out of a text, and what is left. */
const numbers = (text) => text.match(/-?\d+(\.\d+)?/g) ?? [];
const words = (text) => text.replaceAll(/-?\d+(\.\d+)?/g, '#');

/** Whether two texts differ in the last printed place of one number alone: a figure exactly between two printed ones may be rounded either way, since logarithms differ in their last bit. */
function isTie(one, other) {
  const [a, b] = [numbers(one), numbers(other)];
  return words(one) === words(other) && a.every((text, index) => {
    const places = (text.split('.')[1] ?? '').length;
    return Math.abs(Number(text) - Number(b[index])) < 1.001 * 10 ** -places && places === (b[index].split('.')[1] ?? '').length;
  });
}

/** Looks for slips, once for the same weights: hardly a number that is spoilt has a part in them, and looking takes most of the time. */
function remembered() {
  let last = null;
  return (lines, model) => {
    const weights = JSON.stringify(lines);
    if (last?.weights !== weights || last.model !== model) last = { weights, model, found: slips(lines, model) };
    return last.found;
  };
}

/** The cases of all kennels: the sheet's data, all weigh-ins, the day, and what the program says. */
async function cases(book, report) {
  const all = [];
  const work = mkdtempSync(path.join(os.tmpdir(), 'weighing-'));
  try {
    for (let from = 0; from < KENNELS; from += 12) {
      const kennels = Array.from({ length: 12 }, (_, index) => randomKennel(20261009 + from + index, LITTERS));
      const questions = kennels.flatMap((kennel) => [['weighing_sheets', false], ['weighed_litters', true]].map(([question, full]) => ({ ask: question, folder: put(path.join(work, `${kennel.seed}-${full}`), kennel.files(full)), now: kennel.moment })));
      const answers = await ask(book.answers, questions);
      kennels.forEach((kennel, index) => {
        const [sheets, later] = [answers[2 * index], answers[2 * index + 1]];
        for (const sheet of sheets) {
          const tapped = kennel.tapped.get(sheet.litter).map((row) => ({ ...row, skipped: {} }));
          all.push({ where: `kennel ${kennel.seed}, ${sheet.litter} (${kennel.zone})`, sheet, weighIns: inOrder(sheet, tapped, readWeight), today: later.today, expected: later.litters[sheet.litter], slips: remembered() });
          report.saw(tapped.length > 0 ? 'litters weighed since' : 'litters as published');
        }
      });
    }
  } finally {
    rmSync(work, { recursive: true });
  }
  return all;
}

/** What the program says of weights, as far as the sheet can know it. */
function wanted({ sheet, today, expected }) {
  const known = sheet.ahead.some((each) => each.day === today);
  const found = expected.findings.filter((each) => each.puppy !== null);
  // After two weeks the sheet no longer knows what is found beside weights, nor who left since.
  const gone = known ? [] : expected.gone;
  return known ? found : found.filter((each) => !['steady', 'call-closed'].includes(each.rule) && !BESIDE.includes(each.rule) && !gone.includes(each.puppy));
}

function got({ sheet, weighIns, today, expected, slips: found }, other = {}) {
  const known = sheet.ahead.some((each) => each.day === today);
  const all = findingsOf({ ...sheet, ...other }, weighIns, today, found);
  return known ? all : all.filter((each) => !expected.gone.includes(each.puppy));
}

/** The first difference between findings, or nothing; `ties` counts figures that lie exactly between two printed ones. */
function difference(ours, theirs, ties) {
  const line = (each) => (each ? `${each.puppy} ${each.urgency} ${each.rule}: ${each.what} [${each.limit}; ${each.source}]` : 'nothing');
  for (let index = 0; index < Math.max(ours.length, theirs.length); index += 1) {
    const [one, other] = [ours[index], theirs[index]];
    const alike = one && other && one.puppy === other.puppy && one.rule === other.rule && one.urgency === other.urgency && one.limit === other.limit && one.source === other.source && near(one.days ?? null, other.days);
    if (!alike) return `says “${line(one)}”, the program “${line(other)}”`;
    if (one.what === other.what) continue;
    if (!isTie(one.what, other.what)) return `says “${one.what}”, the program “${other.what}”`;
    ties.count += 1;
  }
  return null;
}

function judgeGrowth(one, report) {
  for (const puppy of one.sheet.puppies) {
    const ours = growthOf(one.sheet, puppy, one.weighIns);
    const theirs = one.expected.puppies[puppy.id];
    const same = ours.length === theirs.growth.length && ours.every((point, index) => {
      const other = theirs.growth[index];
      const change = (key) => near(point.change?.[key] ?? null, other.change?.[key] ?? null);
      return point.grams === other.grams && point.isBirth === other.is_birth && near(point.days, other.days) && near(point.sinceBirth, other.since_birth) && ['grams', 'percent', 'hours'].every(change);
    });
    report.expect(same, one.where, 'has another growth than the program');
    const [trend, other] = [trendOf(ours, one.sheet.trend), theirs.trend];
    const alike = trend === null || other === null ? trend === other : near(trend.perDay, other.per_day) && near(trend.low, other.low) && near(trend.high, other.high) && trend.weights === other.weights && near(trend.days, other.days);
    report.expect(alike, one.where, `has the trend ${JSON.stringify(trend)}, the program ${JSON.stringify(other)}`);
    report.saw('puppies');
    report.saw('weights', ours.length);
  }
}

export async function check(book, report) {
  const all = await cases(book, report);
  const ties = { count: 0 };
  const rules = new Map();
  for (const one of all) {
    one.wanted = wanted(one);
    const theirs = one.wanted;
    for (const each of theirs) rules.set(each.rule, (rules.get(each.rule) ?? 0) + 1);
    const found = difference(got(one), theirs, ties);
    if (found) report.fault(one.where, found);
    report.saw('findings', theirs.length);
    judgeGrowth(one, report);
  }
  // Rounding alone must not become a way out.
  report.expect(ties.count * 10000 <= report.counts.get('findings'), 'random litters', `${ties.count} texts differ in a last place`);
  const asked = ['early-loss', 'total-loss', 'under-birth-weight', 'no-gain', 'late-loss', 'no-birth-weight', 'gain-under-band', 'not-doubled', 'behind-litter', 'under-own-gain', 'call-closed', 'light-at-birth', 'very-low-birth-weight', 'weigh-in-missed', 'steady', 'slip-value', 'slip-exchanged', 'care-overdue', 'illness'];
  for (const rule of asked) report.expect((rules.get(rule) ?? 0) >= 20, 'random litters', `${rule} occurs ${rules.get(rule) ?? 0} times, too seldom to be judged`);
  for (const limit of Object.keys(all[0].sheet.limits)) {
    const isNoticed = all.some((one) => {
      const { value, source } = one.sheet.limits[limit];
      return difference(got(one, { limits: { ...one.sheet.limits, [limit]: { value: value * 1.25, source } } }), one.wanted, ties) !== null;
    });
    report.expect(isNoticed, 'random litters', `with ${limit} spoilt by a quarter nobody notices`);
    report.saw('spoilt thresholds noticed', isNoticed ? 1 : 0);
  }
  // The numbers that are no keeper's to choose; some of them seldom decide.
  for (const group of ['ages', 'trend']) {
    for (const name of Object.keys(all[0].sheet[group])) {
      const isNoticed = all.some((one) => [1.25, 0.75, 3].some((by) => {
        const own = one.sheet[group];
        return difference(got(one, { [group]: { ...own, [name]: own[name] * by } }), one.wanted, ties) !== null;
      }));
      report.expect(isNoticed, 'random litters', `with ${name} of ${group} spoilt nobody notices`);
      report.saw('spoilt ages and numbers of trends noticed', isNoticed ? 1 : 0);
    }
  }
  report.expect(all.some((one) => daysBetween(one.sheet.made, one.today) > 13), 'random litters', 'no sheet was older than it knows');
}
