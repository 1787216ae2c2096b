// The weigh-ins of a sheet: put in order, held against the records, and written as the file that `weigh` takes in.
//
// In: the sheet's data, the weigh-ins tapped on it: { at: '2026-10-09 19:30', by, remark, weights: { fern: '231 g' }, skipped }. Out: weigh-ins in grams for the rules, rows of a CSV file (RFC 4180),
// one for each weigh-in. Pure functions; `read` is the function that reads a weight as typed.

const minuteOf = (at) => at.slice(0, 16).replace('T', ' ');

/** What the records hold for one time, by puppy. */
function recordsAt(data, at) {
  return Object.assign({}, ...data.weigh_ins.filter((each) => minuteOf(each.at) === minuteOf(at)).map((each) => each.grams));
}

/** The weights of a weigh-in on the sheet that the records do not have yet: { puppy: text }. */
export function newWeights(data, weighIn) {
  const known = recordsAt(data, weighIn.at);
  return Object.fromEntries(data.puppies.map((puppy) => puppy.id).filter((id) => weighIn.weights[id] && known[id] === undefined).map((id) => [id, weighIn.weights[id]]));
}

/** Puppies for which sheet and records hold different weights of one time. */
export function disagreeing(data, weighIn, read) {
  const known = recordsAt(data, weighIn.at);
  return data.puppies.filter(({ id }) => weighIn.weights[id] && known[id] !== undefined && read(weighIn.weights[id], 'g').grams !== known[id]);
}

/** All weigh-ins, those of the records and those of the sheet, in the order of time, as the rules take them. */
export function inOrder(data, weighIns, read) {
  const own = weighIns.map((each) => ({ at: each.at, grams: Object.fromEntries(Object.entries(newWeights(data, each)).map(([id, text]) => [id, read(text, 'g').grams])) }));
  const all = [...data.weigh_ins, ...own.filter((each) => Object.keys(each.grams).length > 0)];
  const second = (each) => Date.parse(`${each.at.replace(' ', 'T')}Z`);
  return all.sort((a, b) => second(a) - second(b));
}

function cell(text) {
  return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** One row: when, by whom, a remark, and a weight or nothing for each puppy. */
export function row(data, ids, weighIn) {
  const weights = newWeights(data, weighIn);
  return [weighIn.at, weighIn.by ?? '', weighIn.remark ?? '', ...ids.map((id) => weights[id] ?? '')].map(cell).join(',');
}

/** The whole file: what the records do not have yet, in the order of time. */
export function fileOf(data, ids, weighIns) {
  const fresh = weighIns.filter((each) => Object.keys(newWeights(data, each)).length > 0);
  fresh.sort((a, b) => (a.at < b.at ? -1 : Number(a.at > b.at)));
  return `${[['at', 'by', 'remark', ...ids].join(','), ...fresh.map((each) => row(data, ids, each))].join('\r\n')}\r\n`;
}
