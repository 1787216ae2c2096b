// Kennels of random litters, for holding the weigh-in sheet against the program: births, losses, gaps, clock changes, exchanged puppies, slips of the pen, grams and ounces.
//
// In: a seed. Out: the files of a kennel folder as they were when its sheets were published, those of the day on which the sheets are read, and the weigh-ins that were tapped between the two.
// Everything is drawn from one seed, so a case that fails can be made again.

const DAY = 86400;
const ZONES = ['Europe/London', 'Europe/Berlin', 'America/New_York', 'Australia/Lord_Howe', 'Asia/Tokyo', 'America/St_Johns', 'Pacific/Chatham', 'Africa/Casablanca', 'America/Santiago'];
// Some days after clocks changed in one half of the world or the other, and some when they did not.
const TODAYS = ['2026-03-31', '2026-04-09', '2026-10-27', '2026-11-06', '2026-07-15', '2026-03-12'];
const BREEDS = ['Scottish Terrier', 'Labrador Retriever', 'Maltese', 'Rottweiler'];
const CHECKED = 'palate: intact, newborn: { limbs: normal, navel: normal, anus: normal, skull: normal, eyes: normal, tail: normal, skin: normal, suck: strong }';

/** Random numbers from a seed (mulberry32, public domain). */
export function dice(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const between = (least, most) => least + next() * (most - least);
  return {
    next, between,
    whole: (least, most) => Math.floor(between(least, most + 1)),
    chance: (share) => next() < share,
    pick: (list) => list[Math.floor(next() * list.length)],
    bell: (spread) => (next() + next() + next() + next() - 2) * spread * 1.73,
  };
}

const textOf = (seconds) => new Date(seconds * 1000).toISOString().slice(0, 16).replace('T', ' ');
const dayOf = (seconds) => textOf(seconds).slice(0, 10);

/** A local time, or an hour later when the clocks of the place skipped it. */
const hours = new Map();
function onClocks(zone, local) {
  if (!hours.has(zone)) hours.set(zone, new Intl.DateTimeFormat('sv-SE', { timeZone: zone, dateStyle: 'short', timeStyle: 'medium' }));
  const shown = (utc) => Date.parse(`${hours.get(zone).format(utc * 1000).replace(' ', 'T')}Z`) / 1000;
  // The zone's distance from UTC a day before and a day after: one of them holds at this time, unless it was skipped.
  const was = [-DAY, DAY].map((by) => shown(local + by) - (local + by)).some((offset) => shown(local - offset) === local);
  return was ? local : local + 3600;
}

/** A weight as somebody may write it. */
function written(rng, grams, unit) {
  const ounces = grams / 28.349523125;
  if (unit === 'oz') {
    if (ounces >= 20 && rng.chance(0.5)) return `${Math.floor(ounces / 16)} lb ${Math.round((ounces % 16) * 10) / 10 === 16 ? 15.9 : Math.round((ounces % 16) * 10) / 10} oz`.replace(/ lb 0 oz/, ' lb 0 oz');
    if (rng.chance(0.4)) {
      const quarters = Math.max(1, Math.round(ounces * 4));
      return `${Math.floor(quarters / 4)}${quarters % 4 ? ` ${['', '1/4', '1/2', '3/4'][quarters % 4]}` : ''} oz`.replace(/^0 /, '');
    }
    return `${Math.max(0.1, Math.round(ounces * 10) / 10)} oz`;
  }
  if (unit === 'kg') return `${Math.max(0.01, Math.round(grams / 10) / 100)} kg`;
  if (rng.chance(0.1)) return `${Math.max(1, Math.round(grams * 2)) / 2} g`;
  return `${Math.max(1, Math.round(grams))} g`;
}

/** How a puppy gains, as a factor a day at an age. */
function habit(rng) {
  const kind = rng.pick(['well', 'well', 'well', 'well', 'slow', 'fading', 'stands', 'late', 'sprints', 'swings']);
  const well = (age) => (age < 1 ? rng.between(-0.05, 0.04) : age < 7 ? 0.075 : age < 28 ? 0.047 : 0.024);
  const gains = {
    well,
    slow: (age) => well(age) * 0.55,
    fading: (age) => (age < 2 ? -0.03 : -0.02),
    stands: (age) => (age > 4 ? 0.002 : well(age)),
    // Gains more than the handbook's mean for days, then next to nothing.
    sprints: (age) => (age < 1 ? rng.between(-0.02, 0.04) : age < 4.5 ? 0.12 : 0.015),
    // Gains and loses in turn when it is weaned.
    swings: (age) => (age < 26 ? well(age) : Math.floor(age / 3) % 2 ? -0.02 : 0.04),
    late: (age) => (age < 2.5 ? -0.045 : well(age)),
  };
  return gains[kind];
}

function puppies(rng, born, published, zone, isLate) {
  const usual = rng.between(110, 480);
  return Array.from({ length: rng.chance(0.1) ? 1 : rng.whole(2, 10) }, (_, index) => {
    const late = rng.whole(0, 20) * 60 * 25;
    const own = onClocks(zone, Math.min(born + late, Math.max(published - 3600, born)));
    const stillborn = rng.chance(0.04);
    const died = !stillborn && rng.chance(0.06) ? Math.max(own, Math.min(born + rng.whole(0, 12) * DAY, published)) : null;
    const about = usual * (1 + rng.bell(0.14)) * (rng.chance(0.06) ? 0.6 : 1);
    // Some weigh whole hundreds and then whole hundredths of that: as much as a limit, and neither more nor less.
    const whole = rng.chance(0.12);
    const birth = whole ? Math.max(100, Math.round(about / 100) * 100) : about;
    return {
      id: `p${index + 1}`, own, weight: rng.chance(isLate ? 0.3 : 0.92) ? birth : null, birth, whole, gain: habit(rng), stillborn, died, ribbon: ['green', 'blue', 'red', 'pink', 'lime', 'navy', 'grey', 'brown', 'white', 'orange'][index],
      born: rng.chance(0.85) ? textOf(own) : null, birthUnit: rng.chance(0.2) ? 'oz' : 'g', placed: rng.chance(0.3), checked: rng.chance(0.9),
    };
  });
}

/** True weights of a puppy on its way: the day's gain, a little scatter. */
function weightsOf(rng, puppy, born, times) {
  let log = Math.log(puppy.birth);
  let last = born;
  return times.map((at) => {
    for (let t = last; t < at; t += DAY / 4) log += puppy.gain((t - born) / DAY) * (Math.min(DAY / 4, at - t) / DAY);
    last = at;
    const weight = Math.exp(log + rng.bell(0.012));
    return puppy.whole ? Math.round((weight / puppy.birth) * 100) * (puppy.birth / 100) : weight;
  });
}

/** One slip of the pen, as people make them. */
function spoil(rng, grams) {
  const digits = String(Math.round(grams));
  const place = rng.whole(0, digits.length - 1);
  return Math.max(1, rng.pick([
    () => grams * 10, () => grams / 10, () => grams / 28.349523125, () => grams * 28.349523125, () => Number(digits.slice(0, place) + digits.slice(place + 1)) || grams,
    () => Number([...digits].reverse().join('')) || grams,
  ])());
}

function timesOf(rng, born, until, zone, isLate) {
  const times = [];
  let at = born + (isLate ? rng.whole(25, 32) * DAY : 0) + rng.whole(3, 16) * 3600 + rng.whole(0, 59) * 60;
  const step = rng.pick([8, 12, 12, 12, 24, 24, 48]);
  // Some weigh when the clock strikes: then clocks may change in that very minute.
  const strikes = rng.chance(0.25);
  while (at <= until && times.length < 70) {
    times.push(onClocks(zone, strikes ? at - (at % 3600) : at));
    const age = (at - born) / DAY;
    const hours = age > 28 ? rng.pick([24, 72, 96, 168]) : rng.chance(0.05) ? rng.whole(20, 90) : step;
    // To the minute as a clock shows it; now and then at the same hour every day.
    at += Math.max(60, hours * 3600 + (rng.chance(0.4) ? 0 : rng.whole(-70, 70) * 60));
  }
  return times;
}

/** One litter, born so many local seconds after 1970. */
function litter(rng, id, born, published, now, zone) {
  // Some come to the scale for the first time when they are weaned.
  const isLate = rng.chance(0.1);
  const all = puppies(rng, born, published, zone, isLate);
  const times = timesOf(rng, born, now, zone, isLate);
  const unit = rng.pick(['g', 'g', 'g', 'oz', 'oz', 'kg']);
  const weights = new Map(all.map((puppy) => [puppy.id, weightsOf(rng, puppy, born, times)]));
  const rows = times.map((at, index) => {
    const alive = all.filter((puppy) => at >= puppy.own && !puppy.stillborn && (puppy.died === null || dayOf(at) <= dayOf(puppy.died)) && rng.chance(0.93));
    const grams = new Map(alive.map((puppy) => [puppy.id, weights.get(puppy.id)[index]]));
    if (grams.size > 1 && rng.chance(0.03)) {
      const [a, b] = [rng.pick(alive).id, rng.pick(alive).id];
      const kept = grams.get(a);
      grams.set(a, grams.get(b));
      grams.set(b, kept);
    }
    if (grams.size > 0 && rng.chance(0.02)) {
      const one = rng.pick(alive).id;
      grams.set(one, spoil(rng, grams.get(one)));
    }
    return { at: textOf(at), weights: Object.fromEntries([...grams].map(([puppy, value]) => [puppy, written(rng, value, rng.chance(0.05) ? 'oz' : unit)])) };
  }).filter((row) => Object.keys(row.weights).length > 0);
  const line = (puppy) => [
    `  - { id: ${puppy.id}, sex: female, ribbon: ${puppy.ribbon}`, puppy.born ? `born: "${puppy.born}"` : '', puppy.weight ? `weight: ${written(rng, puppy.weight, puppy.birthUnit)}` : '', puppy.stillborn || puppy.died !== null ? '' : puppy.placed ? 'offer: placed' : 'offer: available',
    puppy.stillborn ? `fate: stillborn, on: ${dayOf(puppy.own)}` : puppy.died !== null ? `fate: died, on: ${dayOf(puppy.died)}` : '', puppy.checked ? CHECKED : 'palate: intact',
  ].filter((part) => part !== '').join(', ');
  const ill = all.filter((puppy) => !puppy.stillborn && puppy.died === null && rng.chance(0.05));
  const cold = all.filter((puppy) => !puppy.stillborn && puppy.died === null && rng.chance(0.05));
  const days = rng.whole(0, 3);
  const recent = (puppy) => dayOf(Math.max(puppy.own, published - days * DAY));
  const health = [...ill.map((puppy) => `- { on: ${recent(puppy)}, for: ${puppy.id}, illness: { signs: quiet } }`), ...cold.map((puppy) => `- { on: ${recent(puppy)}, for: ${puppy.id}, temperature: ${rng.pick(['33.9', '35.5', '38.9'])} °C }`)];
  if (rng.chance(0.3)) for (let day = 14; born + day * DAY <= published; day += 14) health.push(`- { on: ${dayOf(born + day * DAY)}, for: all, worming: { product: Vermisol } }`);
  const record = `name: Litter ${id}\ndam: dam-${id}\nsire: sire\nbirth: { on: ${dayOf(born)}, how: natural }\npuppies:\n${all.map(line).map((text) => `${text} }`).join('\n')}\n`;
  return { id, record, health: health.length > 0 ? `${health.join('\n')}\n` : '[]\n', rows };
}

function thresholds(rng) {
  if (rng.chance(0.5)) return null;
  const own = [
    ['early_loss', `${rng.whole(2, 8)} %`], ['total_loss', `${rng.whole(4, 15)} %`], ['birth_weight_by', `${rng.whole(2, 5)} days`], ['stand_still', `${rng.whole(10, 40)} h`], ['least_gain_week_1', `${rng.whole(3, 8)} %`],
    ['least_gain_later', `${rng.whole(2, 5)}.5 %`], ['doubled_by', `${rng.whole(8, 16)} days`], ['light_at_birth', `${rng.whole(10, 30)} %`], ['behind_litter', `${rng.whole(10, 30)} %`], ['weigh_in_gap', `${rng.whole(8, 60)} h`],
  ].filter(() => rng.chance(0.7));
  return own.map(([name, value]) => `${name}: ${value}`).join(', ');
}

function weightsFile(rows) {
  return rows.length === 0 ? '[]\n' : `${rows.map((row) => `- at: ${row.at}\n${Object.entries(row.weights).map(([id, text]) => `  ${id}: ${text}\n`).join('')}`).join('')}`;
}

/** One kennel: `files(full)` gives path and text of every file, with all weigh-ins or those that were there when its sheets were published. */
export function randomKennel(seed, litters) {
  const rng = dice(seed);
  const zone = rng.pick(ZONES);
  const later = rng.chance(0.12) ? rng.whole(15, 25) : rng.whole(0, 12);
  const now = Date.parse(`${rng.pick(TODAYS)}T${String(rng.whole(6, 22)).padStart(2, '0')}:${String(rng.whole(0, 59)).padStart(2, '0')}:00Z`) / 1000;
  const published = now - later * DAY;
  const ounces = rng.chance(0.4);
  const own = thresholds(rng);
  const kennel = `name: Testholm\nbreed: ${rng.pick(BREEDS)}\ncontact: { keeper: K, email: k@testholm.example }\ncountry: GB\ntime_zone: ${zone}\nunits: ${ounces ? 'oz' : 'g'}\n`;
  const all = Array.from({ length: litters }, (_, index) => {
    const age = rng.chance(0.75) ? rng.between(0, 30 - Math.min(later, 20)) : rng.between(0, 88);
    // Births, like weigh-ins, to the minute.
    const born = Math.floor((published - age * DAY) / 60) * 60;
    return litter(rng, `l${index + 1}`, born, published, now, zone);
  });
  const files = (full) => new Map([
    ['kennel.yaml', `${kennel}as_of: ${dayOf(full ? now : published)}\n`],
    ['dogs/sire.yaml', 'name: Sire\nsex: male\nborn: 2020-01-01\n'],
    ...(own ? [['care-plan.yaml', `thresholds: { ${own} }\n`]] : []),
    ...all.flatMap((one) => [
      [`dogs/dam-${one.id}.yaml`, `name: Dam of ${one.id}\nsex: female\nborn: 2020-01-01\n`],
      [`litters/${one.id}/litter.yaml`, one.record],
      [`litters/${one.id}/health.yaml`, one.health],
      [`litters/${one.id}/weights.yaml`, weightsFile(full ? one.rows : one.rows.filter((row) => row.at <= textOf(published)))],
    ]),
  ]);
  const tapped = new Map(all.map((one) => [one.id, one.rows.filter((row) => row.at > textOf(published))]));
  return { seed, zone, ounces, later, today: dayOf(now), files, tapped, moment: `${dayOf(now + 2 * DAY)}T12:00:00Z` };
}
