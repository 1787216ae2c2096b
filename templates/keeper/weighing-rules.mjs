// What the weigh-in sheet says of weights: the program's own rules of growth, computed on the phone (src/husbandry/findings/growth.rs and what it stands on).
//
// In: the sheet's data as publish wrote it, weigh-ins, a day. Out: weights read and shown, growth, trends, findings. Pure functions that ask neither clock nor page; a judge holds them against
// the program on thousands of random litters. Thresholds, their sources and the clock changes come with the data; nothing of them stands here.

const OUNCE_NG = 28349523125;
const GRAM_NG = 1e9;
const UNITS = { g: GRAM_NG, gram: GRAM_NG, grams: GRAM_NG, kg: GRAM_NG * 1000, oz: OUNCE_NG, lb: OUNCE_NG * 16, lbs: OUNCE_NG * 16 };
const DAY = 86400;

// --- Numbers in words -------------------------------------------------------------------------------------------------------------------------

/** A number with so many decimals; of two that are equally near, the even one, as the program prints it. */
export function fixed(value, places) {
  const halves = Math.abs(value) * 2 ** (places + 1);
  let text = Math.abs(value).toFixed(places);
  if (Number.isInteger(halves) && halves % 2 === 1) {
    // A tie: toFixed takes the greater one.
    const low = Math.floor(Math.abs(value) * 10 ** places);
    text = ((low % 2 === 0 ? low : low + 1) / 10 ** places).toFixed(places);
  }
  return value < 0 || Object.is(value, -0) ? `-${text}` : text;
}

function signed(value, places) {
  const text = fixed(value, places);
  return text.startsWith('-') ? text : `+${text}`;
}

function trimmed(value, places) {
  const text = fixed(value, places);
  return text.includes('.') ? text.replace(/0+$/, '').replace(/\.$/, '') : text;
}

/** A weight in words: grams (kilograms from 5 kg), or pounds and ounces. */
export function showWeight(grams, ounces) {
  if (!ounces) return grams >= 5000 ? `${trimmed(grams / 1000, 2)} kg` : `${trimmed(grams, 0)} g`;
  const tenths = Math.round((Math.round(grams * GRAM_NG) / OUNCE_NG) * 10);
  const pounds = Math.floor(tenths / 160);
  const left = trimmed((tenths - pounds * 160) / 10, 1);
  return pounds > 0 ? `${pounds} lb ${left} oz` : `${left} oz`;
}

/** A change in words: `+12 g, +5.1 %`. */
export function showChange({ grams, percent }, ounces) {
  const weight = ounces ? `${signed(grams / (OUNCE_NG / GRAM_NG), 1)} oz` : `${signed(grams, 0)} g`;
  return `${weight}, ${signed(percent, 1)} %`;
}

// --- Weights as typed ---------------------------------------------------------------------------------------------------------------------------

/** The fractions that are one character each, and what they stand for. */
const FRACTIONS = { '¼': '1/4', '½': '1/2', '¾': '3/4', '⅐': '1/7', '⅑': '1/9', '⅒': '1/10', '⅓': '1/3', '⅔': '2/3', '⅕': '1/5', '⅖': '2/5', '⅗': '3/5', '⅘': '4/5', '⅙': '1/6', '⅚': '5/6', '⅛': '1/8', '⅜': '3/8', '⅝': '5/8', '⅞': '7/8' };

function readNumber(typed) {
  const text = typed.replaceAll('\u2044', '/').replaceAll(/[¼-¾⅐-⅞]/g, (sign) => ` ${FRACTIONS[sign]} `);
  const whole = (part) => (/^\d{1,9}$/.test(part) ? Number(part) : null);
  const fraction = (part) => {
    const [top, bottom] = part.split('/').map(whole);
    return part.split('/').length === 2 && top !== null && bottom > 0 && top < bottom ? top / bottom : null;
  };
  const words = text.split(/\s+/).filter((word) => word !== '');
  if (words.length === 1) {
    if (words[0].includes('/')) return fraction(words[0]);
    const decimal = words[0].replace(',', '.');
    return /^(\d+(\.\d*)?|\.\d+)$/.test(decimal) && decimal.length <= 15 ? Number(decimal) : null;
  }
  if (words.length !== 2) return null;
  const [one, part] = [whole(words[0]), fraction(words[1])];
  return one === null || part === null ? null : one + part;
}

/** A weight as typed, a bare number in `unit` (g or oz): its grams and how to write it down; nothing when it is none. `1 lb 2` is pounds and ounces. */
export function readWeight(typed, unit) {
  const match = /^([\d.,/ \u2044¼-¾⅐-⅞]*)([a-z]*)\s*([\d.,/ \u2044¼-¾⅐-⅞]*)(oz)?$/i.exec(typed.trim());
  if (!match) return null;
  const [, head, written, tail, last] = match;
  const value = readNumber(head);
  if (value === null) return null;
  const name = (written || unit).toLowerCase();
  const factor = UNITS[name];
  let nanograms = value * (factor ?? NaN);
  let text = `${head.trim().replace(/\s+/g, ' ')} ${name}`;
  if (tail.trim() !== '' || last) {
    const ounces = readNumber(tail);
    if (factor !== UNITS.lb || written === '' || ounces === null || ounces >= 16) return null;
    nanograms = (value * 16 + ounces) * OUNCE_NG;
    text += ` ${tail.trim().replace(/\s+/g, ' ')} oz`;
  }
  if (!(nanograms >= 1 && nanograms <= 200000 * GRAM_NG)) return null;
  return { grams: Math.round(nanograms) / GRAM_NG, text };
}

// --- Time -----------------------------------------------------------------------------------------------------------------------------------------

/** Seconds of a local time `2026-10-06 07:30`, counted as if there were no zones. */
export function localSeconds(text) {
  const [, y, m, d, h, min, s] = /^(\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d))?/.exec(text);
  return Date.UTC(y, m - 1, d, h, min, s ?? 0) / 1000;
}

/** `2026-10-06 07:30` of such seconds. */
export function localText(seconds) {
  return new Date(seconds * 1000).toISOString().slice(0, 16).replace('T', ' ');
}

/** Whole days from one `2026-10-06` to another. */
export function daysBetween(from, to) {
  return Math.round((Date.parse(`${to.slice(0, 10)}T00:00Z`) - Date.parse(`${from.slice(0, 10)}T00:00Z`)) / 1000 / DAY);
}

/** The day on which a puppy was born, from which its days count: its own, or the litter's where no time of its own is known. */
export function bornOn(data, puppy) {
  return puppy.born === null ? data.born : puppy.born.slice(0, 10);
}

function earliest(offsets, local) {
  for (let index = 0; index < offsets.length; index += 1) {
    const utc = local - offsets[index][1];
    const from = index === 0 ? -Infinity : offsets[index][0];
    const until = offsets[index + 1]?.[0] ?? Infinity;
    if (utc >= from && utc < until) return utc;
  }
  return null;
}

/** The instant of a local time: one that clocks skip is as long after the day before as on any other day, one that occurs twice is taken the first time. */
export function instant(offsets, local) {
  const found = earliest(offsets, local);
  if (found !== null) return found;
  const eve = earliest(offsets, local - DAY);
  return eve === null ? local : eve + DAY;
}

/** The local time of an instant, in seconds. */
export function localOf(offsets, utc) {
  const now = offsets.findLast(([from], index) => index === 0 || utc >= from);
  return utc + now[1];
}

// --- Growth ----------------------------------------------------------------------------------------------------------------------------------------

/** The weights of one puppy in the order of time, with what changed. `weighIns` are { at, grams: { id: grams } } in the order of time. */
export function growthOf(data, puppy, weighIns) {
  const own = weighIns.filter((each) => each.grams[puppy.id] !== undefined);
  const noon = localSeconds(`${data.born} 12:00`);
  const first = own.length > 0 ? localSeconds(own[0].at) : noon;
  const born = puppy.born === null ? Math.min(noon, first) : localSeconds(puppy.born);
  const weights = own.map((each) => ({ at: localSeconds(each.at), grams: each.grams[puppy.id], isBirth: false }));
  if (puppy.birth_grams !== null) weights.unshift({ at: born, grams: puppy.birth_grams, isBirth: true });
  const start = instant(data.offsets, born);
  const percent = (before, after) => (after / before - 1) * 100;
  return weights.map(({ at, grams, isBirth }, index) => {
    const time = instant(data.offsets, at);
    const before = weights[index - 1];
    const change = before
      ? { grams: grams - before.grams, percent: percent(before.grams, grams), hours: (time - instant(data.offsets, before.at)) / 3600 }
      : null;
    return { at, grams, isBirth, days: (time - start) / 3600 / 24, change, sinceBirth: puppy.birth_grams !== null && !isBirth ? percent(puppy.birth_grams, grams) : null };
  });
}

function tiesAmong(values) {
  const counts = new Map();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].reduce((sum, k) => sum + k * (k - 1) * (2 * k + 5), 0);
}

function roundEven(value) {
  const low = Math.floor(value);
  if (value - low === 0.5) return low % 2 === 0 ? low : low + 1;
  return Math.round(value);
}

/** Theil and Sen's slope with Sen's confidence interval. */
export function theilSen(x, y) {
  const all = [];
  for (let i = 0; i < x.length; i += 1) {
    for (let j = 0; j < i; j += 1) if (x[i] !== x[j]) all.push((y[i] - y[j]) / (x[i] - x[j]));
  }
  if (all.length === 0) return null;
  all.sort((a, b) => a - b);
  const n = x.length;
  const variance = (n * (n - 1) * (2 * n + 5) - tiesAmong(x) - tiesAmong(y)) / 18;
  if (variance < 0) return null;
  const reach = 1.959963984540054 * Math.sqrt(variance);
  const high = Math.min(roundEven((all.length + reach) / 2), all.length - 1);
  const low = Math.max(roundEven((all.length - reach) / 2) - 1, 0);
  const middle = all.length >> 1;
  const slope = all.length % 2 === 1 ? all[middle] : (all[middle - 1] + all[middle]) / 2;
  return { slope, low: all[low], high: all[high] };
}

/** The trend of the latest weights, % a day; nothing when there are not enough. */
export function trendOf(points) {
  if (points.length === 0) return null;
  const end = points.at(-1).days;
  const enough = (from) => points.length - from >= 4 && end - points[from].days >= 1.4;
  let from = points.length;
  while (from > 0) {
    const next = from - 1;
    const within = end - points[next].days <= 7 && points.length - next <= 12;
    if (from < points.length && enough(from) && !within) break;
    from = next;
  }
  if (!enough(from)) return null;
  const window = points.slice(from);
  const slope = theilSen(window.map((point) => point.days), window.map((point) => Math.log(point.grams)));
  if (slope === null) return null;
  const percent = (value) => (Math.exp(value) - 1) * 100;
  return { perDay: percent(slope.slope), low: percent(slope.low), high: percent(slope.high), weights: window.length, days: end - window[0].days };
}

/** How far a weight lies under the mean of others, %; nothing for fewer than two others. */
function underMean(own, others) {
  return others.length >= 2 ? (1 - own / (others.reduce((sum, each) => sum + each, 0) / others.length)) * 100 : null;
}

// --- Findings ---------------------------------------------------------------------------------------------------------------------------------------

const STEADY = 'steady';
const WATCH = 'watch';
const CALL = 'call the vet';
const URGENCIES = [STEADY, WATCH, CALL];

/** One puppy and what is found of it. */
class Case {
  constructor(litter, puppy, doubtful) {
    const age = daysBetween(bornOn(litter.data, puppy), litter.today);
    Object.assign(this, { litter, puppy, doubtful, age, found: [], points: litter.growth.get(puppy.id), trend: null });
    this.trend = trendOf(this.points);
  }

  find(urgency, rule, what, limit, source, days = null) {
    this.found.push({ urgency, rule, puppy: this.puppy.id, what, limit, source, days });
  }

  findAt(days, urgency, rule, what, limit, source) {
    const last = localText(this.points.at(-1)?.at ?? 0).slice(0, 10);
    const stale = this.points.length > 0 && daysBetween(last, this.litter.today) > this.litter.data.ages.stale ? `, when last weighed on ${last}` : '';
    this.find(urgency, rule, `${what}${stale}${this.doubtful ? '; look at the slip of the pen first' : ''}`, limit, source, days);
  }

  show(grams) {
    return showWeight(grams, this.litter.data.ounces);
  }

  has(rule) {
    return this.found.some((each) => each.rule === rule);
  }
}

function missed(own) {
  const { age, litter: { data, today } } = own;
  let limit = data.limits.weigh_in_gap;
  if (age > data.ages.every_second_day || age < 1) return;
  if (age > data.ages.daily && limit.value < data.limits.every_second_day.value) limit = data.limits.every_second_day;
  const days = Math.max(Math.ceil(limit.value / 24), 1);
  const last = own.points.findLast((point) => !point.isBirth);
  const day = last && localText(last.at).slice(0, 10);
  if (last && daysBetween(day, today) <= days) return;
  own.find(WATCH, 'weigh-in-missed', last ? `was last weighed on ${day}` : 'has not been weighed since birth', `at least every ${fixed(limit.value, 0)} h`, limit.source);
}

function lightAtBirth(own) {
  const { puppy, age, litter: { data } } = own;
  if (puppy.birth_grams === null || age > data.ages.light_at_birth) return;
  const limit = data.limits.light_at_birth;
  const others = data.puppies.filter((each) => each.id !== puppy.id && each.born_alive && each.birth_grams !== null).map((each) => each.birth_grams);
  const under = underMean(puppy.birth_grams, others);
  if (under !== null && under >= limit.value) {
    const what = `was ${fixed(under, 0)} % lighter at birth than the mean of its littermates (${own.show(puppy.birth_grams)})`;
    own.findAt(0, WATCH, 'light-at-birth', what, `${fixed(limit.value, 0)} % or more under the mean of the others`, limit.source);
  }
  if (puppy.very_low !== null) {
    const { breed, under: border, source } = puppy.very_low;
    own.findAt(0, WATCH, 'very-low-birth-weight', `had a very low birth weight for a ${breed} (${own.show(puppy.birth_grams)})`, `under ${border} g in that breed`, source);
  }
}

function loss(own, last) {
  const { points, litter: { data: { limits } } } = own;
  const top = Math.max(...points.map((point) => point.grams));
  const lost = (1 - last.grams / top) * 100;
  if (lost >= limits.total_loss.value) {
    const what = `has lost ${fixed(lost, 1)} % of its highest weight (${own.show(top)} to ${own.show(last.grams)})`;
    own.findAt(last.days, CALL, 'total-loss', what, `${fixed(limits.total_loss.value, 0)} % or more`, limits.total_loss.source);
  }
  const birth = points[0];
  if (!birth.isBirth) return;
  const dayTwo = points.findLast((point) => !point.isBirth && point.days <= 2.5 && point.days >= 0.5);
  if (dayTwo && dayTwo.sinceBirth <= -limits.early_loss.value + 1e-9 && last.grams < birth.grams) {
    const what = `weighed ${fixed(-dayTwo.sinceBirth, 1)} % less than at birth on day ${fixed(dayTwo.days, 0)} (${own.show(birth.grams)} to ${own.show(dayTwo.grams)})`;
    own.findAt(dayTwo.days, CALL, 'early-loss', what, `${limits.early_loss.value} % or more by day 2`, limits.early_loss.source);
  }
  if (last.days > limits.birth_weight_by.value && last.grams < birth.grams) {
    const what = `is still under its birth weight at ${fixed(last.days, 1)} days (${own.show(last.grams)} against ${own.show(birth.grams)})`;
    own.findAt(last.days, CALL, 'under-birth-weight', what, `after ${fixed(limits.birth_weight_by.value, 0)} days`, limits.birth_weight_by.source);
  }
}

/** Since when a puppy has gained nothing: the weight at least so many days before the last that is no lighter, and from there back as long as none was. */
function withoutGainSince(points, last, days) {
  const before = points.findLastIndex((point) => last.days - point.days >= days);
  if (before < 0 || points[before].grams < last.grams) return null;
  let since = before;
  while (since > 0 && points[since - 1].grams >= last.grams) since -= 1;
  return points[since];
}

function standStill(own, last) {
  const limit = own.litter.data.limits.stand_still;
  const before = last.days > 1 ? withoutGainSince(own.points, last, (limit.value - 1) / 24) : null;
  if (before === null) return;
  const hours = (last.days - before.days) * 24;
  const howLong = hours < 72 ? `${fixed(Math.max(hours, limit.value), 0)} h` : `${fixed(hours / 24, 0)} days`;
  const what = `has gained nothing in ${howLong} (${own.show(before.grams)} to ${own.show(last.grams)})`;
  own.findAt(last.days, last.days <= 14 || hours >= 72 ? CALL : WATCH, 'no-gain', what, `${fixed(limit.value, 0)} h after the first day`, limit.source);
}

function weekWithoutGain(own, last) {
  const limit = own.litter.data.limits.week_without_gain;
  const before = withoutGainSince(own.points, last, limit.value);
  if (before === null) return;
  const what = `has gained nothing in ${fixed(last.days - before.days, 0)} days (${own.show(before.grams)} to ${own.show(last.grams)})`;
  own.findAt(last.days, WATCH, 'no-gain', what, 'a week without gain', limit.source);
}

function underTheBand(own, last) {
  const { trend, litter: { data: { limits } } } = own;
  const limit = last.days < 7 ? limits.least_gain_week_1 : limits.least_gain_later;
  if (trend === null || !(last.days > 2.5) || own.has('no-gain')) return;
  const printed = (Math.sign(trend.perDay) * Math.round(Math.abs(trend.perDay) * 10)) / 10;
  if (!(printed < limit.value)) return;
  const what = `${trend.perDay < 0 ? 'loses' : 'gains'} ${fixed(Math.abs(trend.perDay), 1)} % a day (gain ${fixed(trend.low, 1)} to ${fixed(trend.high, 1)}) over ${fixed(trend.days, 1)} days`;
  own.findAt(last.days, WATCH, 'gain-under-band', what, `at least ${limit.value} % a day at this age`, limit.source);
}

function notDoubled(own, last) {
  const limit = own.litter.data.limits.doubled_by;
  const birth = own.points[0];
  if (!birth.isBirth || last.days < limit.value || last.grams >= 2 * birth.grams) return;
  const what = `has not doubled its birth weight at ${fixed(last.days, 0)} days (${own.show(last.grams)} from ${own.show(birth.grams)})`;
  own.findAt(last.days, WATCH, 'not-doubled', what, `by day ${fixed(limit.value, 0)}`, limit.source);
}

function behind(own, last) {
  const { puppy, litter: { data, growth } } = own;
  const limit = data.limits.behind_litter;
  const living = data.puppies.filter((each) => each.alive && each.id !== puppy.id);
  const others = living.map((each) => growth.get(each.id).find((point) => point.at === last.at && !point.isBirth)).filter(Boolean).map((point) => point.grams);
  const under = underMean(last.grams, others);
  if (under === null || under < limit.value) return;
  const what = `weighs ${fixed(under, 0)} % less than the mean of its littermates at the same weigh-in (${own.show(last.grams)})`;
  own.findAt(last.days, WATCH, 'behind-litter', what, `${fixed(limit.value, 0)} % or more under the mean of the others`, limit.source);
}

function growthRules(own) {
  missed(own);
  lightAtBirth(own);
  const last = own.points.at(-1);
  if (!last || last.isBirth) return;
  loss(own, last);
  if (last.days > own.litter.data.ages.first_weeks) {
    weekWithoutGain(own, last);
    return;
  }
  standStill(own, last);
  underTheBand(own, last);
  notDoubled(own, last);
  behind(own, last);
}

function steady(own) {
  const { trend, points } = own;
  if (own.found.length > 0 || trend === null || points.at(-1).days > own.litter.data.ages.first_weeks) return;
  const what = `gains ${fixed(trend.perDay, 1)} % a day (${fixed(trend.low, 1)} to ${fixed(trend.high, 1)}) over ${trend.weights} weights in ${fixed(trend.days, 1)} days`;
  own.find(STEADY, 'steady', what, 'no other rule spoke', 'all rules of this page');
}

// --- Slips as findings ---------------------------------------------------------------------------------------------------------------------------------

function likelyWords(times) {
  if (times < 1e4) return 'thousands of';
  return times < 1e6 ? 'ten thousands of' : 'millions of';
}

function valueWords({ kind, likelyGrams }, written) {
  if (kind.digits) return `does not fit the weights around it: ${kind.words} about ${fixed(likelyGrams, 0)} g would fit`;
  const [times, way] = written > likelyGrams ? [written / likelyGrams, 'heavy'] : [likelyGrams / written, 'light'];
  return `${fixed(times, times < 99.95 ? 1 : 0)} times too ${way}: ${kind.words}`;
}

/** The slips of a litter as findings, and the puppies of which a weight is doubtful. */
function slipFindings(litter, slips) {
  const { data, growth } = litter;
  const moments = [...new Set([...growth.values()].flat().filter((point) => !point.isBirth).map((point) => point.at))].sort((a, b) => a - b);
  const number = new Map(moments.map((at, index) => [at, index + 1]));
  const weighInOf = (point) => (point.isBirth ? 0 : number.get(point.at));
  const points = data.puppies.map((puppy) => growth.get(puppy.id));
  const found = slips(points.map((own) => own.map((point) => ({ weighIn: weighInOf(point), days: point.days, grams: point.grams }))));
  const when = (point) => (point.isBirth ? 'at birth' : `on ${localText(point.at)}`);
  const show = (grams) => showWeight(grams, data.ounces);
  const findings = [];
  for (const slip of found) {
    let [puppy, point, other, rule, what] = [null, null, null, 'slip-value', ''];
    if (slip.what === 'value') {
      [puppy, point] = [data.puppies[slip.line], points[slip.line][slip.mark]];
      what = `${show(point.grams)} ${when(point)}: ${valueWords(slip, point.grams)}; ${show(Math.round(slip.likelyGrams * GRAM_NG) / GRAM_NG)} would fit`;
    } else {
      const at = (line) => [data.puppies[line], points[line].find((each) => weighInOf(each) === slip.weighIn)];
      let [first, second] = slip.lines.map(at);
      if (!first[0].alive) [first, second] = [second, first];
      [puppy, point] = first;
      other = second[0].id;
      rule = 'slip-exchanged';
      what = `${show(point.grams)} and ${show(second[1].grams)} of ${second[0].name} ${when(point)}: the weights of these two fit far better the other way round: exchanged in this weigh-in?`;
    }
    if (!puppy.alive) continue;
    findings.push({
      urgency: WATCH, rule, puppy: puppy.id, other, at: point.isBirth ? null : localText(point.at), what: `looks like a slip of the pen: ${what}`,
      limit: `${likelyWords(slip.timesLikelier)} times likelier than as written; nothing was changed`, source: data.slip_source, days: point.days,
    });
  }
  const lines = found.flatMap((slip) => (slip.what === 'value' ? [slip.line] : slip.lines));
  return { findings, doubtful: new Set(lines.map((line) => data.puppies[line].id)) };
}

/**
 * All findings about the puppies of a litter on the day `today` (`2026-10-09`), those with the most urgent first, as the program would make them of the same weights. `weighIns` are all of
 * them, in the order of time; `slips` is the function that looks for slips. What the program says beside the weights stands in the data for two weeks; after that nobody is called steady.
 */
export function findingsOf(data, weighIns, today, slips) {
  if (daysBetween(data.born, today) > data.ages.history) return [];
  const growth = new Map(data.puppies.map((puppy) => [puppy.id, growthOf(data, puppy, weighIns)]));
  const litter = { data, today, growth };
  const ahead = data.ahead.find((each) => each.day === today);
  const slipped = slipFindings(litter, slips);
  const found = [...slipped.findings];
  for (const puppy of data.puppies) {
    if (!puppy.alive || (ahead ?? data.ahead.at(-1)).gone.includes(puppy.id)) continue;
    const own = new Case(litter, puppy, slipped.doubtful.has(puppy.id));
    growthRules(own);
    own.found.push(...(ahead?.findings ?? []).filter((each) => each.puppy === puppy.id));
    if (ahead) steady(own);
    found.push(...own.found);
  }
  const worst = new Map();
  const rank = (finding) => URGENCIES.indexOf(finding.urgency);
  const text = (a, b) => (a < b ? -1 : Number(a > b));
  for (const finding of found) worst.set(finding.puppy, Math.max(worst.get(finding.puppy) ?? 0, rank(finding)));
  return found.sort((a, b) => worst.get(b.puppy) - worst.get(a.puppy) || text(a.puppy, b.puppy) || rank(b) - rank(a) || text(a.rule, b.rule));
}
