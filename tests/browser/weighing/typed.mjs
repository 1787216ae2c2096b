// Weights as they are typed on the pad, read by the sheet and by the program: the same grams, or refused by both; and what the sheet writes into its file reads back as the same weight.

import { fixed, readWeight, showWeight } from '../../../templates/keeper/weighing-rules.mjs';
import { ask } from '../lib/answers.mjs';
import { dice } from '../lib/random-litters.mjs';

export const name = 'a weight typed on the sheet is the weight that the program reads';

const RANDOM = 6000;
const ORDINARY = ['231 g', '8.1 oz', '8,1 oz', '8 1/4 oz', '1 lb 2', '1 lb 2 oz', '1 lb 2 1/4 oz', '3/4 oz', '0.212 kg', '1 lb', '212g', ' 212  g ', '.5 oz', ',34 kg', '10 ¾ oz', '10¾ oz', '7 3⁄4 oz', '⅔ oz', '1 lb 2 ½ oz', '1 lb ½'];
const NONE = ['', 'g', '-5 g', '0 g', '212 stone', '1 lb 20 oz', '1 oz 2 g', '201 kg', '7 4/3 oz', '7/0 oz', '1.2.3 g', '.', '. g', '¾ ¾ oz', '10.5 ¾ oz', '¾/4 oz', '¾5 oz', '1 2 g', '212 g g', '1e3 g', '1 kg 2 oz', '1 lb 2 g', 'lb 2 oz', '1 lb oz'];
const SIGNS = ['0', '1', '2', '7', '9', '.', ',', ' ', '/', '1/4', ' 3/4', '½', '¾', '⅛', '⁄', ' oz', ' g', ' lb ', 'kg', 'x'];

async function refusing(book, texts) {
  // The library answers each; a refusal is an answer here.
  const questions = texts.map((text) => ({ ask: 'weight', text }));
  return ask(book.answers, questions, true);
}

export async function check(book, report) {
  const rng = dice(1959);
  const random = Array.from({ length: RANDOM }, () => Array.from({ length: rng.whole(1, 6) }, () => rng.pick(SIGNS)).join(''));
  const texts = [...ORDINARY, ...NONE, ...random];
  const answers = await refusing(book, texts);
  const written = [];
  texts.forEach((text, index) => {
    const theirs = answers[index];
    const ours = readWeight(text, '');
    // A bare number is the pad's own unit; the program asks for it.
    if (theirs === null) report.expect(ours === null, `“${text}”`, `is ${ours?.grams} g on the sheet and none to the program`);
    else if (report.expect(ours !== null && ours.grams === theirs.grams, `“${text}”`, `is ${ours?.grams} g on the sheet and ${theirs.grams} g to the program`)) {
      written.push([ours, theirs]);
      [false, true].forEach((ounces, which) => report.expect(showWeight(ours.grams, ounces) === theirs.shown[which], `“${text}”`, `is shown as ${showWeight(ours.grams, ounces)}, by the program as ${theirs.shown[which]}`));
    }
    report.saw(theirs === null ? 'texts that are no weight' : 'weights');
  });
  const again = await refusing(book, written.map(([ours]) => ours.text));
  again.forEach((theirs, index) => report.expect(theirs !== null && theirs.grams === written[index][0].grams, `“${written[index][0].text}”`, 'stands in the file and is not read back as the same weight'));
  for (const [typed, unit, grams, text] of [['231', 'g', 231, '231 g'], ['8 1/4', 'oz', 233.883565781, '8 1/4 oz'], ['1 lb 2', 'oz', 510.29141625, '1 lb 2 oz'], ['8.1', 'oz', 229.631137313, '8.1 oz']]) {
    const read = readWeight(typed, unit);
    report.expect(read !== null && Math.abs(read.grams - grams) < 1e-6 && read.text === text, `${typed} in ${unit}`, `reads as ${JSON.stringify(read)}`);
  }
  // Halves go to the even neighbour, as Rust's own formatting has them (IEEE 754, round half to even).
  for (const [value, places, text] of [[212.5, 0, '212'], [213.5, 0, '214'], [0.25, 1, '0.2'], [0.75, 1, '0.8'], [6.25, 1, '6.2'], [-0.5, 0, '-0'], [2.675, 2, '2.67'], [1.125, 2, '1.12'], [0.35, 1, '0.3']]) {
    report.expect(fixed(value, places) === text, `${value} with ${places} decimals`, `is printed ${fixed(value, places)}`);
  }
}
