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

/** A share in percent as it is rounded to be shown; what is less than 10^-7 percentage points does not count. */
function settled(percent) {
  return (Math.sign(percent) * Math.round(Math.abs(percent) * 1e7)) / 1e7;
}

/** A difference with its sign; none has none. */
function signed(value, size) {
  if (/^0(\.0)? /.test(size)) return size;
  return `${value < 0 ? '−' : '+'}${size}`;
}

/** A number to a tenth; one below zero has the sign for minus, and no other has a sign. */
const withMinus = (value) => fixed(settled(value), 1).replace(/^-(?=0\.0$)/, '').replace('-', '−');

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
  return `${signed(grams, showWeight(Math.abs(grams), ounces))}, ${signed(percent, `${fixed(settled(Math.abs(percent)), 1)} %`)}`;
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
  if (!(nanograms >= GRAM_NG && nanograms <= 200000 * GRAM_NG)) return null;
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

const MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];

/** `6 October 2026` of `2026-10-06`, and `6 October 2026, 07:30` of `2026-10-06 07:30`. */
export function inWords(text) {
  const day = `${Number(text.slice(8, 10))} ${MONTHS[Number(text.slice(5, 7)) - 1]} ${text.slice(0, 4)}`;
  return text.length > 10 ? `${day}, ${text.slice(11)}` : day;
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
  return weights.map(({ at, grams, isBirth }, index) => {
    const time = instant(data.offsets, at);
    const before = weights[index - 1];
    const change = before
      ? { grams: grams - before.grams, percent: percent(before.grams, grams), hours: (time - instant(data.offsets, before.at)) / 3600 }
      : null;
    return { at, grams, isBirth, days: (time - start) / 3600 / 24, change, sinceBirth: puppy.birth_grams !== null && !isBirth ? percent(puppy.birth_grams, grams) : null };
  });
}

/** How much one weight is above another, %. */
function percent(before, after) {
  return (after / before - 1) * 100;
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
export function theilSen(x, y, z) {
  const all = [];
  for (let i = 0; i < x.length; i += 1) {
    for (let j = 0; j < i; j += 1) if (x[i] !== x[j]) all.push((y[i] - y[j]) / (x[i] - x[j]));
  }
  if (all.length === 0) return null;
  all.sort((a, b) => a - b);
  const n = x.length;
  const variance = (n * (n - 1) * (2 * n + 5) - tiesAmong(x) - tiesAmong(y)) / 18;
  if (variance < 0) return null;
  const reach = z * Math.sqrt(variance);
  const high = Math.min(roundEven((all.length + reach) / 2), all.length - 1);
  const low = Math.max(roundEven((all.length - reach) / 2) - 1, 0);
  const middle = all.length >> 1;
  const slope = all.length % 2 === 1 ? all[middle] : (all[middle - 1] + all[middle]) / 2;
  return { slope, low: all[low], high: all[high] };
}

/** The trend of the latest weights, % a day; nothing when there are not enough. What is enough stands in the sheet's data. */
export function trendOf(points, model) {
  if (points.length === 0) return null;
  const end = points.at(-1).days;
  const enough = (from) => points.length - from >= model.fewest && end - points[from].days >= model.shortest;
  let from = points.length;
  while (from > 0) {
    const next = from - 1;
    const within = end - points[next].days <= model.longest && points.length - next <= model.most;
    if (from < points.length && enough(from) && !within) break;
    from = next;
  }
  return enough(from) ? trendOver(points.slice(from), model) : null;
}

/** The trend of the last three days alone, without the first day of life. */
function recentTrend(points, model) {
  const end = points.at(-1).days;
  const from = points.findIndex((point) => end - point.days <= model.recent && point.days >= model.after_first_day);
  return from >= 0 && points.length - from >= model.fewest_recent ? trendOver(points.slice(from), model) : null;
}

function trendOver(window, { z }) {
  const slope = theilSen(window.map((point) => point.days), window.map((point) => Math.log(point.grams)), z);
  if (slope === null) return null;
  const percent = (value) => (Math.exp(value) - 1) * 100;
  return { perDay: percent(slope.slope), low: percent(slope.low), high: percent(slope.high), weights: window.length, days: window.at(-1).days - window[0].days };
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
    this.trend = trendOf(this.points, litter.data.trend);
  }

  find(urgency, rule, what, limit, source, days = null) {
    this.found.push({ urgency, rule, puppy: this.puppy.id, what, limit, source, days });
  }

  findAt(days, urgency, rule, what, limit, source) {
    const last = localText(this.points.at(-1)?.at ?? 0).slice(0, 10);
    const stale = this.points.length > 0 && daysBetween(last, this.litter.today) > this.litter.data.ages.stale ? `, when last weighed on ${inWords(last)}` : '';
    this.find(urgency, rule, `${what}${stale}${this.doubtful ? '; look at the slip of the pen first' : ''}`, limit, source, days);
  }

  show(grams) {
    return showWeight(grams, this.litter.data.ounces);
  }

  has(rule) {
    return this.found.some((each) => each.rule === rule);
  }
}

/** Hours between weigh-ins at an age in days; nothing after four weeks. */
function weighInGap(own) {
  const { age, litter: { data: { limits, ages } } } = own;
  if (age > ages.every_second_day) return null;
  return age > ages.daily && limits.weigh_in_gap.value < limits.every_second_day.value ? limits.every_second_day : limits.weigh_in_gap;
}

/** The same in days, once a week after four weeks: a weight that is older says nothing of today. */
function daysBetweenWeighIns(own) {
  const limit = weighInGap(own);
  return limit === null ? own.litter.data.ages.weekly : Math.max(Math.ceil(limit.value / 24), 1);
}

function missed(own) {
  const { age, litter: { today } } = own;
  const limit = weighInGap(own);
  if (limit === null || age < 1) return;
  const days = daysBetweenWeighIns(own);
  const last = own.points.findLast((point) => !point.isBirth);
  const day = last && localText(last.at).slice(0, 10);
  if (last && daysBetween(day, today) <= days) return;
  own.find(WATCH, 'weigh-in-missed', last ? `was last weighed on ${inWords(day)}` : 'has not been weighed since birth', `at least every ${fixed(limit.value, 0)} h; ends with the next weigh-in`, limit.source);
}

/** What is printed decides. */
const shown = (value) => Number(fixed(settled(value), 1));

/** The least gain at the age of a weight. */
function leastGain(own, last) {
  const { limits, ages } = own.litter.data;
  return last.days < ages.first_week ? limits.least_gain_week_1 : limits.least_gain_later;
}

/** Whether the gain lies in its band, once the loss of the first days is over. */
function gainsWell(own, after) {
  const last = own.points.at(-1);
  return last !== undefined && last.days > after && own.trend !== null && shown(own.trend.perDay) >= leastGain(own, last).value;
}

function lightAtBirth(own) {
  const { puppy, age, litter: { data } } = own;
  const { limits, ages, rounding } = data;
  if (puppy.birth_grams === null || age > ages.light_at_birth) return;
  const under = underLittermates(own, own.points[0], data.puppies.filter((each) => each.born_alive));
  const limit = limits.light_at_birth;
  if (under !== null && under >= limit.value - rounding && !gainsWell(own, ages.first_days)) {
    const what = `was ${fixed(settled(under), 0)} % lighter at birth than the mean of its littermates (${own.show(puppy.birth_grams)})`;
    own.findAt(0, WATCH, 'light-at-birth', what, `${fixed(limit.value, 0)} % or more under the mean of the others; ends when its gain is in the band after day 2`, limit.source);
  }
  if (puppy.very_low !== null && !gainsWell(own, ages.first_week)) {
    const { breed, under: border, source } = puppy.very_low;
    const words = `under ${border} g in that breed; ends when its gain is in the band after the first week`;
    own.findAt(0, WATCH, 'very-low-birth-weight', `had a very low birth weight for a ${breed} (${own.show(puppy.birth_grams)})`, words, source);
  }
}

/** The highest weight and how much of it is lost, %, when that is too much. */
function totalLoss(points, { limits, rounding }) {
  const top = Math.max(...points.map((point) => point.grams));
  const lost = -percent(top, points.at(-1).grams);
  return lost >= limits.total_loss.value - rounding ? { top, lost } : null;
}

/** What later weights are held against: the birth weight, or where that is missing the highest weight of the first day; nothing where there is neither. */
function startWeight(points, { ages }) {
  const first = points[0];
  if (first.isBirth) return first;
  const ofFirstDay = points.filter((point) => point.days <= ages.first_weighed);
  return ofFirstDay.reduce((highest, point) => (highest === null || point.grams > highest.grams ? point : highest), null);
}

/** `its birth weight`, or what stands for it. */
function firstWeight(own, start) {
  if (start.isBirth) return 'its birth weight';
  const which = start.days > own.points[0].days ? 'the highest weight of its first day' : 'its first weight';
  const hours = start.days * 24;
  return own.puppy.born === null ? `${which}, at about ${fixed(hours, 0)} h` : `${which}, at ${fixed(hours, 1)} h`;
}

/** The same inside a sentence. */
const inPassing = (own, start) => (start.isBirth ? firstWeight(own, start) : `${firstWeight(own, start)},`);

/** That the birth weight is missing, where it is. */
const missing = (start) => (start.isBirth ? '' : '; no birth weight is on record');

/** The weight of day 2 and its change, when too much was lost by then and not regained. */
function earlyLoss(points, data) {
  const { limits, ages, rounding } = data;
  const [start, last] = [startWeight(points, data), points.at(-1)];
  if (start === null) return null;
  const dayTwo = points.findLast((point) => !point.isBirth && point.days > start.days && point.days <= ages.day_two_until && point.days >= ages.day_two_from);
  if (!dayTwo) return null;
  const change = percent(start.grams, dayTwo.grams);
  return change <= -limits.early_loss.value + rounding && last.grams < start.grams ? { dayTwo, change } : null;
}

function isUnderBirthWeight(points, data) {
  const [start, last] = [startWeight(points, data), points.at(-1)];
  return start !== null && last.days > data.limits.birth_weight_by.value && last.grams < start.grams;
}

/** Without a birth weight and a weight of the first day nobody knows what was lost since birth, nor when it has doubled. That is no news any more once it gains well. */
function noBirthWeight(own) {
  const { points, litter: { data } } = own;
  if (startWeight(points, data) !== null || gainsWell(own, data.ages.first_week)) return;
  const what = 'has no birth weight, and was not weighed in its first day: a loss since birth and doubling cannot be judged';
  own.find(WATCH, 'no-birth-weight', what, 'weighed within 24 h of birth; ends when a birth weight is written, or when its gain is in the band after the first week', data.no_birth_weight_source);
}

/**
 * A loss after four weeks: so much of the highest weight that no full stomach explains it, or at two weigh-ins running. Two weights that are both far down are a call; one odd weight, the highest
 * or the last, is at most a watch.
 */
function lostLate(points, { limits, ages, rounding }) {
  const last = points.at(-1);
  const earlier = points.slice(0, -1);
  if (earlier.length === 0 || last.isBirth || last.days <= ages.first_weeks) return null;
  const lost = (from, now) => -percent(from.grams, now.grams) + rounding;
  const highest = (some) => some.reduce((top, point) => (point.grams >= top.grams ? point : top));
  const found = (from, limit, isCall) => ({ from, lost: -percent(from.grams, last.grams), limit, isCall, isTwice: isCall || limit === limits.lost_twice });
  const before = earlier.slice(0, -1);
  if (before.length > 0) {
    const from = highest(before);
    if ([earlier.at(-1), last].every((point) => lost(from, point) >= limits.late_loss_sure.value)) return found(from, limits.late_loss_sure, true);
  }
  const from = highest(earlier);
  // Of one heavier weight alone it is not known whether that was a full stomach.
  const heavier = earlier.filter((point) => point.grams > last.grams).length;
  const limit = heavier > 1 || earlier.length === 1 ? limits.late_loss_sure : limits.late_loss;
  if (lost(from, last) >= limit.value) return found(from, limit, false);
  const between = earlier.at(-1);
  const third = earlier.at(-2);
  const twice = third && third.grams > between.grams && between.grams > last.grams;
  return twice && lost(third, last) >= limits.lost_twice.value ? found(third, limits.lost_twice, false) : null;
}

function lateLoss(own, last) {
  const loss = lostLate(own.points, own.litter.data);
  if (loss === null || own.has('total-loss')) return;
  const { from, limit } = loss;
  const what = `has lost ${fixed(settled(loss.lost), 1)} % since ${inWords(localText(from.at).slice(0, 10))} (${own.show(from.grams)} to ${own.show(last.grams)})${loss.isTwice ? ', at two weigh-ins' : ''}`;
  own.findAt(last.days, loss.isCall ? CALL : WATCH, 'late-loss', what, `${limit.value} % or more after four weeks; weigh again within a day; ends when less is missing`, limit.source);
}

function loss(own, last) {
  const { points, litter: { data, data: { limits } } } = own;
  const start = startWeight(points, data);
  const total = totalLoss(points, data);
  if (total) {
    const what = `has lost ${fixed(settled(total.lost), 1)} % of its highest weight (${own.show(total.top)} to ${own.show(last.grams)})`;
    own.findAt(last.days, CALL, 'total-loss', what, `${fixed(limits.total_loss.value, 0)} % or more; ends when less is missing`, limits.total_loss.source);
  }
  if (start === null) return;
  const then = start.isBirth ? 'at birth' : 'then';
  const early = earlyLoss(points, data);
  if (early) {
    const { dayTwo, change } = early;
    const than = start.isBirth ? 'at birth' : inPassing(own, start);
    const what = `weighed ${fixed(settled(-change), 1)} % less than ${than} on day ${fixed(dayTwo.days, 0)} (${own.show(start.grams)} to ${own.show(dayTwo.grams)}${missing(start)})`;
    own.findAt(dayTwo.days, CALL, 'early-loss', what, `${limits.early_loss.value} % or more by day 2; ends when it weighs what it did ${then}`, limits.early_loss.source);
  }
  if (isUnderBirthWeight(points, data)) {
    const what = `is still under ${inPassing(own, start)} at ${fixed(last.days, 1)} days (${own.show(last.grams)} against ${own.show(start.grams)}${missing(start)})`;
    own.findAt(last.days, CALL, 'under-birth-weight', what, `after ${fixed(limits.birth_weight_by.value, 0)} days; ends when it weighs what it did ${then}`, limits.birth_weight_by.source);
  }
}

/** How far the last weight lies under the one that its own gain until then led to expect, %; nothing where the weights before it are too few, or not of these days. */
function underOwnGain(points, { limits, ages, trend: model }) {
  const [before, last] = [points.slice(0, -1), points.at(-1)];
  if (before.length === 0 || last.isBirth || last.days - before.at(-1).days > ages.next_day) return null;
  const trend = recentTrend(before, model) ?? trendOf(before, model);
  if (trend === null) return null;
  // No more is expected of it than the handbook's mean at its age.
  const perDay = Math.min(trend.perDay, (last.days < ages.first_week ? limits.mean_gain_week_1 : limits.mean_gain_later).value);
  const expected = before.slice(-3).map((point) => Math.log(point.grams) + Math.log(1 + perDay / 100) * (last.days - point.days));
  expected.sort((x, y) => x - y);
  return (1 - last.grams / Math.exp(expected[1])) * 100;
}

function underOwn(own, last) {
  const { limits, ages } = own.litter.data;
  const under = underOwnGain(own.points, own.litter.data);
  if (under === null || under < limits.under_own_gain.value || last.days <= ages.first_days || own.has('total-loss')) return;
  const what = `weighs ${fixed(settled(under), 0)} % less than its own gain of the days before led to expect (${own.show(last.grams)})`;
  own.findAt(last.days, WATCH, 'under-own-gain', what, `${limits.under_own_gain.value} % or more; weigh again in a few hours; ends with a weight nearer to it`, limits.under_own_gain.source);
}

/** Since when a puppy has gained nothing: the weight at least so many days before the last that is no lighter, and from there back as long as none was. */
function withoutGainSince(points, last, days) {
  const before = points.findLastIndex((point) => last.days - point.days >= days);
  if (before < 0 || points[before].grams < last.grams) return null;
  let since = before;
  while (since > 0 && points[since - 1].grams >= last.grams) since -= 1;
  return points[since];
}

/**
 * Since which weight a puppy has gained nothing, and whether that is a call. After the first week a day's gain is not far more than what a weight scatters: there the weight before has to say
 * the same, or the puppy to lie well under its own gain; where that is not known, nothing more is asked for.
 */
function standsStill(points, data) {
  const { limits, ages } = data;
  const last = points.at(-1);
  if (last.isBirth || !(last.days > ages.first_day)) return null;
  // An hour's play: nobody weighs to the minute. In the first day a stand-still is usual.
  const day = (limits.stand_still.value - 1) / 24;
  const since = withoutGainSince(points, last, day);
  if (since === null) return null;
  const isSure = () => {
    const earlier = points.slice(0, -1);
    const twice = withoutGainSince(earlier, earlier.at(-1), day) !== null;
    const under = underOwnGain(points, data);
    return twice || under === null || under >= limits.no_gain_under.value;
  };
  return last.days < ages.first_week || isSure() ? { since, isCall: last.days <= ages.call_until || (last.days - since.days) * 24 >= ages.call_after_hours } : null;
}

function standStill(own, last) {
  const { limits } = own.litter.data;
  const found = standsStill(own.points, own.litter.data);
  if (found === null) return;
  const limit = limits.stand_still;
  const hours = (last.days - found.since.days) * 24;
  const howLong = hours < 72 ? `${fixed(Math.max(hours, limit.value), 0)} h` : `${fixed(hours / 24, 0)} days`;
  const what = `has gained nothing in ${howLong} (${own.show(found.since.grams)} to ${own.show(last.grams)})`;
  own.findAt(last.days, found.isCall ? CALL : WATCH, 'no-gain', what, `${fixed(limit.value, 0)} h after the first day; ends when it weighs more than a day before`, limit.source);
}

function weekWithoutGain(own, last) {
  const limit = own.litter.data.limits.week_without_gain;
  const before = withoutGainSince(own.points, last, limit.value);
  if (before === null) return;
  const what = `has gained nothing in ${fixed(last.days - before.days, 0)} days (${own.show(before.grams)} to ${own.show(last.grams)})`;
  own.findAt(last.days, WATCH, 'no-gain', what, 'a week without gain; ends when it weighs more than a week before', limit.source);
}

/** A gain is under its band when the whole of its interval is: that of the usual trend, or that of the last three days, which knows earlier of a puppy that has stopped. */
function underTheBand(own, last) {
  const { ages, trend: model } = own.litter.data;
  const limit = leastGain(own, last);
  // The loss of the first day is left out of it, or half of every litter would be named on the second.
  if (!(last.days > ages.first_days) || own.has('no-gain')) return;
  const isUnder = (trend) => trend !== null && shown(trend.high) < limit.value;
  const trend = [own.trend, recentTrend(own.points, model)].find(isUnder);
  if (trend === undefined) return;
  const what = `${trend.perDay < 0 ? 'loses' : 'gains'} ${withMinus(Math.abs(trend.perDay))} % a day (gain ${withMinus(trend.low)} to ${withMinus(trend.high)}) over ${fixed(trend.days, 1)} days`;
  own.findAt(last.days, WATCH, 'gain-under-band', what, `at least ${limit.value} % a day at this age; ends when the gain may be that again`, limit.source);
}

/** The birth weight or what stands for it, where the last weight is not twice as much. */
function startNotDoubled(points, data) {
  const start = startWeight(points, data);
  return start !== null && points.at(-1).grams < (2 - data.rounding) * start.grams ? start : null;
}

/** Published days differ (8 to 14): who gains as it should is let be for a while. */
function notDoubled(own, last) {
  const { limits: { doubled_by: limit }, ages } = own.litter.data;
  const start = startNotDoubled(own.points, own.litter.data);
  if (start === null || last.days < limit.value) return;
  if (last.days < ages.doubled_latest && gainsWell(own, ages.first_days)) return;
  const what = `has not doubled ${inPassing(own, start)} at ${fixed(last.days, 0)} days (${own.show(last.grams)} from ${own.show(start.grams)}${missing(start)})`;
  own.findAt(last.days, WATCH, 'not-doubled', what, `by day ${fixed(limit.value, 0)}; ends when it has, or before day ${ages.doubled_latest} when its gain is in the band`, limit.source);
}

/** How far a weight lies under the mean of the littermates that were weighed with it, %. In place of a weight that looks misread stands what was probably meant, unless the puppy's own does. */
function underLittermates({ puppy, litter: { growth, likely } }, point, all) {
  const same = (other) => other.isBirth === point.isBirth && (point.isBirth || other.at === point.at);
  const others = all.filter((each) => each.id !== puppy.id).map((each) => growth.get(each.id).find(same)).filter(Boolean);
  return underMean(point.grams, others.map((other) => (likely.has(point) ? other.grams : likely.get(other) ?? other.grams)));
}

function behind(own, last) {
  const { points, litter: { data, likely } } = own;
  const limit = data.limits.behind_litter;
  const underAt = (point) => underLittermates(own, point, data.puppies.filter((each) => each.alive));
  const under = underAt(last);
  if (under === null || under < limit.value - data.rounding) return;
  // Whoever was born small and keeps its place is no watch. With nothing to compare it with, the weight itself speaks.
  const sound = points.filter((point) => !likely.has(point));
  const before = sound.findLast((point) => last.days - point.days >= data.ages.falling) ?? sound[0];
  const then = before ? underAt(before) : null;
  if (then !== null && under - then < data.limits.falling_by.value) return;
  const what = `weighs ${fixed(settled(under), 0)} % less than the mean of its littermates at the same weigh-in (${own.show(last.grams)})`;
  own.findAt(last.days, WATCH, 'behind-litter', what, `${fixed(limit.value, 0)} % or more under the mean of the others, and falling; ends when it keeps its place for three days`, limit.source);
}

function growthRules(own) {
  missed(own);
  lightAtBirth(own);
  const last = own.points.at(-1);
  if (!last || last.isBirth) return;
  loss(own, last);
  if (last.days > own.litter.data.ages.first_weeks) {
    lateLoss(own, last);
    weekWithoutGain(own, last);
    return;
  }
  noBirthWeight(own);
  underOwn(own, last);
  standStill(own, last);
  underTheBand(own, last);
  notDoubled(own, last);
  behind(own, last);
}

/** The calls that weights up to the last of these make, with why. */
function callsOf(points, data) {
  const calls = [];
  if (points.at(-1).isBirth) return calls;
  if (totalLoss(points, data)) calls.push(['total-loss', 'weight lost']);
  else if (lostLate(points, data)?.isCall) calls.push(['late-loss', 'weight lost after four weeks']);
  if (earlyLoss(points, data)) calls.push(['early-loss', 'lighter on day 2 than at first']);
  if (isUnderBirthWeight(points, data)) calls.push(['under-birth-weight', 'under its first weight']);
  if (points.at(-1).days <= data.ages.first_weeks && standsStill(points, data)?.isCall) calls.push(['no-gain', 'no gain']);
  return calls;
}

/**
 * What is said when no other rule spoke. Only of a gain within its band: where that is missed by a little, and the weights are too few to tell, nothing is said. In the first days, whose loss the gain
 * still holds, any gain will do, but not a loss. Nor is it said of a weight that is older than the time between weigh-ins at the age of today, or while one of its weights looks misread.
 */
function steady(own) {
  const { trend, points, litter: { today, data, data: { ages, limits } } } = own;
  const last = points.at(-1);
  if (own.found.length > 0 || own.doubtful || trend === null || last.days > ages.first_weeks) return;
  if (daysBetween(localText(last.at), today) > daysBetweenWeighIns(own)) return;
  if (last.days >= ages.doubled_published && startNotDoubled(points, data) !== null) return;
  const day = (limits.stand_still.value - 1) / 24;
  if (shown(trend.perDay) <= 0) return;
  if (last.days > ages.first_days && shown(trend.perDay) < leastGain(own, last).value) return;
  if (last.days > ages.first_day && withoutGainSince(points, last, day) !== null) return;
  const start = startWeight(points, data);
  const cannot = '; it has no birth weight and was not weighed in its first day: a loss since birth and doubling cannot be judged';
  const against = start?.isBirth ? '' : start === null ? cannot : `; no birth weight is on record: loss and doubling are counted from ${firstWeight(own, start)}`;
  const what = `gains ${withMinus(trend.perDay)} % a day (${withMinus(trend.low)} to ${withMinus(trend.high)}) over ${trend.weights} weights in ${fixed(trend.days, 1)} days${against}`;
  own.findAt(last.days, STEADY, 'steady', what, 'no other rule spoke', 'all rules of this page');
}

/** A call on an earlier weight of these days that later weights have closed is not dropped without a word: a watch where the puppy cannot be called steady. */
function closed(own) {
  const { points, litter: { data, data: { limits } } } = own;
  const last = points.at(-1);
  if (!last || last.isBirth) return;
  const urgency = own.has('steady') ? STEADY : WATCH;
  const told = [];
  for (let end = points.length - 1; end > 0; end -= 1) {
    const then = points[end - 1];
    const { value: days, source } = then.days > data.ages.first_weeks ? limits.closed_for_later : limits.closed_for;
    if (last.days - then.days > days || then.isBirth) break;
    for (const [rule, why] of callsOf(points.slice(0, end), data)) {
      if (told.includes(rule) || own.has(rule)) continue;
      told.push(rule);
      const what = `the call of ${inWords(localText(then.at))} (${why}) is closed: since then ${own.show(then.grams)} to ${own.show(last.grams)}`;
      own.findAt(last.days, urgency, 'call-closed', what, `a call is not dropped without a word; ends ${fixed(days, 0)} days after it`, source);
    }
  }
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
  const found = slips(points.map((own) => own.map((point) => ({ weighIn: weighInOf(point), days: point.days, grams: point.grams }))), data.slip_model);
  const when = (point) => (point.isBirth ? 'at birth' : `on ${inWords(localText(point.at))}`);
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
      limit: `${likelyWords(slip.timesLikelier)} times likelier than as written; nothing was changed; ends when it is put right`, source: data.slip_source, days: point.days,
    });
  }
  const lines = found.flatMap((slip) => (slip.what === 'value' ? [slip.line] : slip.lines));
  litter.likely = new Map(found.filter((slip) => slip.what === 'value').map((slip) => [points[slip.line][slip.mark], slip.likelyGrams]));
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
    if (ahead) {
      steady(own);
      closed(own);
    }
    found.push(...own.found);
  }
  const worst = new Map();
  const rank = (finding) => URGENCIES.indexOf(finding.urgency);
  const text = (a, b) => (a < b ? -1 : Number(a > b));
  for (const finding of found) worst.set(finding.puppy, Math.max(worst.get(finding.puppy) ?? 0, rank(finding)));
  return found.sort((a, b) => worst.get(b.puppy) - worst.get(a.puppy) || text(a.puppy, b.puppy) || rank(b) - rank(a) || text(a.rule, b.rule));
}
