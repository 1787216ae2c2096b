// The numbers by which slips of the pen are told: they stand once, in the program, and reach the sheet's script with its data.
//
// In: the numbers as the program puts them into a published sheet, random litters in which every slip they know of occurs. Each number in turn is changed, and the script must answer otherwise: one
// that stands in the script as well, or that it does not use, is seen here.

import { readFileSync } from 'node:fs';
import { slips } from '../../../templates/keeper/weighing-slips.mjs';
import { dice } from '../lib/random-litters.mjs';

export const name = 'the sheet tells slips of the pen by the program’s numbers alone';

const LITTERS = 400;
/** What a number is multiplied by, until somebody notices: a little, and far more for limits that seldom decide. */
const SPOILT = [1.25, 0.8, 3, 1e6, 1e-6];

/** A weight as a slip leaves it: times any factor that the program knows, a digit pressed twice, left out, or changed with its neighbour. */
function spoil(rng, grams, model) {
  const digits = String(Math.round(grams));
  const place = rng.whole(1, digits.length - 1);
  const [before, after] = [digits.slice(0, place), digits.slice(place)];
  return rng.pick([
    () => grams / rng.pick(model.explain.factors).factor,
    () => Number(before + before.at(-1) + after),
    () => Number(before + after.slice(1)),
    () => Number(before.slice(0, -1) + after[0] + before.at(-1) + after.slice(1)),
  ])();
}

/** The lines of one litter, with `exchanges` of its weigh-ins exchanged between two puppies. */
function litter(rng, model, { puppies, weighIns, scatter, exchanges, slipped, least, most }) {
  const times = Array.from({ length: weighIns }, () => rng.between(0.1, 40)).sort((a, b) => a - b);
  const gain = (days) => 0.065 * Math.min(days, 7) + 0.04 * Math.max(days - 7, 0);
  const weights = Array.from({ length: puppies }, () => rng.between(least, most)).map((birth) => {
    const own = rng.between(0.5, 1.1);
    return times.map((days) => Math.round(birth * Math.exp(own * gain(days) + rng.bell(scatter))));
  });
  const exchanged = new Set();
  while (exchanged.size < exchanges) exchanged.add(rng.whole(0, weighIns - 1));
  for (const at of exchanged) [weights[0][at], weights.at(-1)[at]] = [weights.at(-1)[at], weights[0][at]];
  return weights.map((line) => line
    .map((grams, at) => ({ weighIn: at + 1, days: times[at], grams: rng.chance(slipped) ? spoil(rng, grams, model) : grams }))
    // A weight that was reckoned from ounces is no whole number, or nearly one.
    .map((mark) => (rng.chance(0.2) ? { ...mark, grams: mark.grams + rng.pick([0.3, 0.9e-6, 1.1e-6]) } : mark))
    .filter(() => weighIns === 1 || rng.chance(0.95)));
}

function litters(model) {
  const rng = dice(20261129);
  const usual = () => ({ puppies: rng.whole(1, 9), weighIns: rng.whole(1, 30), scatter: rng.pick([0.005, 0.012, 0.04]), exchanges: 0, slipped: rng.pick([0.02, 0.1, 0.3]), least: 120, most: 480 });
  const drawn = Array.from({ length: LITTERS }, (_, index) => {
    const one = usual();
    // Some with single weights, some of giants (or of a scale in another unit), some with exchanges.
    if (index % 5 === 0) return { ...one, weighIns: 1, puppies: rng.whole(3, 9), slipped: 0.2 };
    if (index % 5 === 1) return { ...one, least: 6000, most: 20000 };
    if (index % 5 < 4) return { ...one, puppies: rng.whole(2, 5), weighIns: rng.whole(2, 25), exchanges: rng.whole(1, 2), slipped: rng.pick([0, 0.03]) };
    return one;
  });
  // More exchanges than are looked for.
  const many = { puppies: 2, weighIns: 90, scatter: 0.001, exchanges: 44, slipped: 0, least: 150, most: 400 };
  return [...drawn, many].map((one) => litter(rng, model, one));
}

/** Every number of the model as the path to it. */
function numbersIn(value, path = []) {
  if (typeof value === 'number') return [path];
  return typeof value === 'object' ? Object.entries(value).flatMap(([key, each]) => numbersIn(each, [...path, key])) : [];
}

function changed(model, path, by) {
  const copy = structuredClone(model);
  const holder = path.slice(0, -1).reduce((value, key) => value[key], copy);
  holder[path.at(-1)] *= by;
  return copy;
}

export async function check(book, report) {
  const models = book.sheets.map((sheet) => {
    const [, data] = /<script type="application\/json" id="sheet-data">(.*?)<\/script>/s.exec(readFileSync(book.file(sheet), 'utf8'));
    return JSON.parse(data).slip_model;
  });
  const [model] = models;
  report.expect(models.every((each) => JSON.stringify(each) === JSON.stringify(model)), 'the sheets', 'are given different numbers');
  const all = litters(model);
  const answers = all.map((lines) => JSON.stringify(slips(lines, model)));
  report.saw('litters', all.length);
  report.saw('slips found', answers.reduce((sum, answer) => sum + JSON.parse(answer).length, 0));
  const numbers = numbersIn(model);
  report.expect(numbers.length > 60, 'the sheets', `hold ${numbers.length} numbers only`);
  for (const path of numbers) {
    const others = SPOILT.map((by) => changed(model, path, by));
    const isNoticed = all.some((lines, index) => others.some((other) => JSON.stringify(slips(lines, other)) !== answers[index]));
    report.expect(isNoticed, path.join('.'), 'may be changed and nobody notices: does the script have a number of its own?');
    report.saw('changed numbers noticed', isNoticed ? 1 : 0);
  }
}
