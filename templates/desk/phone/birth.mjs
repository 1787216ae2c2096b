// A birth on the phone at the box: *Born now* keeps the second at once; then one question after the other. A puppy is sent when its sex is known and its ribbon was asked; what is looked at
// later is sent by itself. Several phones see one list of births, by one clock: that of the desk. Used by phone.mjs, which stands below in the same element.

const HOWS = [['natural', 'Natural'], ['assisted', 'Assisted', 'helped, no surgery'], ['planned section', 'Planned section'], ['emergency section', 'Emergency section']];
const BIRTHS = 'litterfolio-phone-birth-';
/** How long a puppy that was sent stays beside the list of the desk, ms. */
const STAYS = 3 * 86_400_000;
const birthClock = (ms) => new Date(ms).toISOString().slice(0, 19).replace('T', ' ');
const fromClock = (text) => Date.parse(`${text.replace(' ', 'T')}Z`);
const nothing = (value) => value === undefined || value === null || value === '';

// --- What is kept: each puppy under a key of its own, so that two windows lose none of each other's ----------------------------------------

const spareBirths = new Map();
function ownBirths(litter) {
  const kept = storage ? Object.keys(storage).filter((key) => key.startsWith(BIRTHS)).flatMap((key) => { try { return [JSON.parse(storage.getItem(key))]; } catch { return []; } }) : [];
  const known = new Map([...kept, ...spareBirths.values()].filter(Boolean).map((each) => [each.id, each]));
  return [...known.values()].filter((each) => litter === undefined || each.litter === litter);
}
function keepBirth(own) {
  try {
    storage.setItem(BIRTHS + own.id, JSON.stringify(own));
    spareBirths.delete(own.id);
  } catch {
    works = false;
    spareBirths.set(own.id, own);
  }
}
/** A puppy as it is kept now: the desk may have answered since it was drawn. */
const keptNow = (own) => ownBirths().find((each) => each.id === own.id) ?? own;
function dropBirth(own) {
  spareBirths.delete(own.id);
  storage?.removeItem(BIRTHS + own.id);
}
/** Puppies that were pressed and not sent yet, since something is still to be said. */
const unfinished = () => ownBirths().filter((own) => !own.entry);
const unfinishedWords = (own) => `A puppy born at ${birthClock(own.born)}${own.say.sex ? `, ${own.say.sex}` : ', sex not said yet'}: not finished`;

/** What the desk said of entries, and which of them the keeper has not decided about. */
function birthsTold(told, asked) {
  for (const own of ownBirths().filter((each) => each.entry)) {
    const each = told.find((known) => known.id === own.entry && known.became !== 'later');
    if (each) keepBirth({ ...own, puppy: each.puppy ?? own.puppy, asked: each.became === 'question' });
    // Once the keeper has decided, what came of it stands in the list of the desk.
    else if (wall() - own.born > STAYS || (own.asked && !asked.includes(own.entry))) dropBirth(own);
  }
}

// --- The list of births --------------------------------------------------------------------------------------------------------------------

/** The puppies of a birth in the order of their times: those of the desk, and those that stand on this phone alone. */
function births(litter) {
  const rows = litter.whelping.born.map((each) => ({
    key: `p-${each.id}`, puppy: each.id, own: null, born: each.at ? fromClock(each.at) : null, name: each.name, isAlive: each.is_alive,
    say: { sex: each.sex, ribbon: each.ribbon?.name, weight: each.weight, colour: each.colour, markings: each.has_markings ? 'markings noted' : null, horn: each.horn, first_breath: each.first_breath, palate: each.palate, placenta: each.placenta, ...Object.fromEntries(each.looked.map((item) => [`newborn_${item}`, 'noted'])), vigour: each.vigour.length > 0 ? each.vigour.map((at) => `at ${at}`).join(', ') : null },
  }));
  for (const own of ownBirths(litter.id)) {
    const there = own.asked ? null : rows.find((row) => !row.own && (own.puppy ? row.puppy === own.puppy : own.entry && row.born === own.born && row.say.sex === own.say.sex));
    if (there) there.own = own;
    else rows.push({ key: `o-${own.id}`, puppy: own.puppy ?? null, own, born: own.born, name: null, isAlive: own.say.stillborn !== 'yes', say: { ...own.say } });
  }
  for (const entry of waiting().filter((each) => each.act === 'newborn' && each.litter === litter.id)) {
    const row = rows.find((each) => each.puppy === value(entry, 'puppy') || (each.own?.entry && each.own.entry === value(entry, 'birth')));
    if (row) for (const [key, said] of entry.fields) if (key === 'vigour_at') row.say.vigour = `at ${said}`; else if (ASKED[key] || key.startsWith('newborn_')) row.say[key] ??= said;
  }
  return rows.sort((a, b) => (a.born ?? 0) - (b.born ?? 0));
}
const howOf = (litter) => litter.whelping.how ?? state.hows?.[litter.id] ?? null;
const laterOf = (row) => at.later[row.key] ?? row.own?.later ?? [];
const breathRuns = (row, most) => row.isAlive && nothing(row.say.first_breath) && row.born !== null && wall() - row.born <= most * 1000;
const breathSeconds = (row) => Math.max(0, Math.floor((wall() - row.born) / 1000));

// --- What is asked, in this order ------------------------------------------------------------------------------------------------------------

const ASKED = {
  first_breath: { name: 'First breath', panel: askBreath, for: (row, litter) => row.isAlive && breathRuns(row, litter.whelping.longest_first_breath) },
  horn: { name: 'Horn', panel: (row, litter) => pick(row, litter, 'horn', ['left', 'right'], 'two'), for: (row, litter) => /section/.test(howOf(litter) ?? '') },
  sex: { name: 'Sex', panel: (row, litter) => pick(row, litter, 'sex', ['female', 'male'], 'two'), for: () => true },
  ribbon: { name: 'Ribbon', panel: askRibbon, for: (row) => row.isAlive },
  weight: { name: 'Weight', panel: askWeight, for: () => true },
  palate: { name: 'Palate', panel: (row, litter) => pick(row, litter, 'palate', ['intact', 'cleft'], 'two'), for: () => true },
  placenta: { name: 'Placenta', panel: (row, litter) => pick(row, litter, 'placenta', ['out', 'retained'], 'two'), for: () => true },
  colour: { name: 'Colour', panel: (row, litter) => askTyped(row, litter, 'colour', litter.whelping.colours), for: () => true },
  markings: { name: 'Markings', panel: (row, litter) => askTyped(row, litter, 'markings', []), for: () => true },
  checks: { name: 'Checks', panel: askChecks, for: (row, litter) => row.isAlive && leftToCheck(row, litter).length > 0 },
  born: { name: 'Born earlier', panel: askBorn, for: (row) => row.own !== null && !row.own.entry && nothing(row.say.vigour_at) },
  vigour: { name: 'Vigour', panel: askVigour, for: (row) => row.isAlive && row.born !== null && breathSeconds(row) < 86_400 },
};
/** What is asked by itself; markings, checks, vigour and another time are opened by hand. */
const BY_ITSELF = ['first_breath', 'horn', 'sex', 'ribbon', 'weight', 'palate', 'placenta', 'colour'];
const isOpen = (row, ask) => ask === 'checks' || ask === 'born' || nothing(row.say[ask]);
/** Items of the newborn checklist that nobody noted yet. */
const leftToCheck = (row, litter) => litter.whelping.checks.filter((item) => nothing(row.say[`newborn_${item}`]));
const nextAsk = (row, litter) => BY_ITSELF.find((ask) => isOpen(row, ask) && ASKED[ask].for(row, litter) && !laterOf(row).includes(ask)) ?? null;

/** A puppy that does not breathe yet is asked about before all others. */
function onward(shown, key) {
  // The desk may have been heard since this was drawn.
  const litter = litters().find((each) => each.id === shown.id) ?? shown;
  const rows = births(litter);
  const first = rows.find((row) => row.own && breathRuns(row, litter.whelping.longest_first_breath) && !laterOf(row).includes('first_breath'));
  const row = first ?? rows.find((each) => each.key === key || each.own?.id === key.slice(2) || `p-${each.puppy}` === key);
  go({ newborn: row?.key ?? null, ask: row ? nextAsk(row, litter) : null, typed: '', score: null });
}

function bornNow(litter) {
  const own = { id: toHex(random(12)), litter: litter.id, born: Math.floor(wall() / 1000) * 1000, say: {}, later: [], seen: litter.whelping.born.map((each) => each.id), entry: null, puppy: null };
  keepBirth(own);
  alarmReady();
  onward(litter, `o-${own.id}`);
  say(`Kept: a puppy born at ${birthClock(own.born).slice(11)}`);
}

/** An answer; a puppy that is not sent yet keeps it, of another it is an entry of its own. */
function answer(row, litter, said, words) {
  const kept = row.own && keptNow(row.own);
  if (kept && !kept.entry) {
    Object.assign(kept.say, said);
    keepBirth(kept);
    sendBirth(kept, litter);
  } else {
    const target = row.puppy ? [['puppy', row.puppy]] : [['birth', row.own.entry], ['born', birthClock(row.own.born)]];
    enter('newborn', litter.id, `${rowName(row)}: ${words}`, [...target, ...Object.entries(said)]);
    // What the desk asks about stands in no list of it yet.
    const own = row.own && ownBirths().find((each) => each.id === row.own.id);
    if (own) keepBirth({ ...own, say: { ...said, ...own.say } });
  }
  onward(litter, row.key);
}
function putOff(row, litter, ask) {
  at.later[row.key] = [...laterOf(row), ask];
  if (row.own) {
    const own = { ...keptNow(row.own), later: at.later[row.key] };
    keepBirth(own);
    if (!own.entry) sendBirth(own, litter);
  }
  onward(litter, row.key);
}
const rowName = (row) => row.name ?? `puppy born at ${birthClock(row.born).slice(11)}`;

/** Sends a puppy once there is what the records need. */
function sendBirth(own, litter) {
  const { sex, ribbon, stillborn } = own.say;
  if (!sex || !(ribbon || stillborn || own.later.includes('ribbon'))) return;
  const how = howOf(litter);
  const chosen = !litter.whelping.how;
  const said = Object.entries(own.say).filter(([, each]) => !nothing(each));
  const words = `A puppy born at ${birthClock(own.born)}, ${said.map(([key, each]) => (key === 'stillborn' ? key : each)).join(', ')}`;
  own.entry = newId();
  keepBirth(own);
  enter('born', own.litter, words, [['born', birthClock(own.born)], ['how', how], ...said, ...own.seen.map((each) => ['seen', each])], own.entry);
  // Another phone may have begun the same birth otherwise.
  if (chosen && !state.toldHow.includes(litter.id)) {
    state.toldHow = [...state.toldHow, litter.id];
    keep();
    enter('how', own.litter, `The birth is ${how}`, [['how', how]]);
  }
}

// --- The questions ---------------------------------------------------------------------------------------------------------------------------

function pick(row, litter, key, values, shape) {
  return [Sheet.choices(key, values.map((each) => [each, each]), row.say[key], (said) => { if (said) answer(row, litter, { [key]: said }, said); }, shape)];
}

function askBreath(row, litter) {
  const seconds = breathSeconds(row);
  const over = seconds > litter.whelping.longest_first_breath;
  const slow = seconds >= litter.whelping.slow_breath && !over;
  const isNew = row.own && !row.own.entry;
  return [
    make('p', { class: `clock${slow ? ' slow' : ''}` }, make('span', { 'data-since': row.born }, Sheet.passed(wall() - row.born)), slow ? make('span', { class: 'small' }, `no breath in ${litter.whelping.slow_breath} s`) : null),
    make('button', { type: 'button', class: 'main-key light', id: 'breath-now', 'aria-disabled': over ? 'true' : null, onclick: () => { if (!over) answer(row, litter, { first_breath: `${breathSeconds(row)} s` }, `first breath after ${breathSeconds(row)} s`); } }, 'Breathing now'),
    make('div', { class: isNew ? 'keys two' : 'keys one' }, button('breath-once', 'Breathed at once', () => answer(row, litter, { first_breath: '0 s' }, 'breathed at once')), isNew ? button('breath-still', 'Stillborn', () => answer(row, litter, { stillborn: 'yes' }, 'stillborn')) : null),
  ];
}

function askRibbon(row, litter) {
  const worn = new Map(births(litter).filter((each) => each.key !== row.key && each.isAlive && each.say.ribbon).map((each) => [each.say.ribbon, rowName(each)]));
  return [make('div', { class: 'keys ribbons', role: 'group', 'aria-labelledby': 'ask' }, litter.whelping.ribbons.map((ribbon) => make('button', {
    type: 'button', class: 'key ribbon-key', id: `ribbon-${ribbon.name}`, 'aria-disabled': worn.has(ribbon.name) ? 'true' : null, onclick: () => { if (!worn.has(ribbon.name)) answer(row, litter, { ribbon: ribbon.name }, ribbon.name); },
  }, make('span', { class: 'dot', style: { '--ribbon': ribbon.hex } }), ribbon.name, worn.has(ribbon.name) ? make('span', { class: 'small' }, 'is worn') : null)))];
}

function askWeight(row, litter) {
  const { least, most } = litter.whelping.birth_weights;
  const grams = at.typed === '' ? null : Sheet.grams(at.typed, state.unit);
  const doubt = at.typed === '' ? '' : grams === null ? 'This is no number yet.' : grams < least || grams > most ? `No birth weight: ${least} to ${most} g.` : '';
  return [
    make('p', { class: 'pad-shown' }, make('output', { class: 'pad-value', id: 'pad-value' }, at.typed === '' ? '–' : `${at.typed.trimEnd()} ${state.unit}`), make('span', { class: 'small', role: 'status' }, doubt)),
    Sheet.pad({
      typed: at.typed, unit: state.unit, type: (typed, unit) => { at.typed = typed; state.unit = unit; keep(); draw(); }, pass: { id: 'skip', words: 'later', act: () => putOff(row, litter, 'weight') },
      keep: { id: 'keep', words: 'keep', off: doubt !== '' || grams === null, act: () => { const text = weightText(at.typed, state.unit); answer(row, litter, { weight: text }, text); } },
    }),
  ];
}

function askTyped(row, litter, key, picks) {
  const form = make('form', { onsubmit: (event) => { event.preventDefault(); take(); } }, field(key, picks.length > 0 ? 'Another' : ASKED[key].name));
  const take = () => { const text = Sheet.clean(form.elements[key].value); if (text) answer(row, litter, { [key]: text }, text); };
  return [picks.length > 0 ? make('div', { class: 'keys', role: 'group', 'aria-labelledby': 'ask' }, picks.map((each, place) => button(`${key}-${place}`, each, () => answer(row, litter, { [key]: each }, each)))) : null,
    form, make('div', { class: 'keys one' }, button(`${key}-set`, 'Keep it', take))];
}

function askVigour(row, litter) {
  const { vigour, classes } = litter.whelping;
  at.score ??= { at: Math.floor(breathSeconds(row) / 60) };
  const points = vigour.map((item) => at.score[item.key]);
  const total = points.some(nothing) ? null : points.reduce((sum, one) => sum + one, 0);
  const keepIt = () => {
    const said = vigour.filter((item) => !nothing(at.score[item.key])).map((item) => [`vigour_${item.key}`, String(at.score[item.key])]);
    answer(row, litter, Object.fromEntries([['vigour_at', `${at.score.at} min`], ...said]), `vigour at ${at.score.at} min`);
  };
  return [
    make('p', {}, `${at.score.at} min after birth`),
    make('div', {}, vigour.map((item) => make('div', { class: 'score', role: 'group', 'aria-label': item.name }, make('span', {}, item.name), [0, 1, 2].map((one) =>
      make('button', { type: 'button', class: 'key', id: `score-${item.key}-${one}`, 'aria-pressed': String(at.score[item.key] === one), onclick: () => { at.score[item.key] = one; draw(); } }, String(one), make('span', { class: 'small' }, item.words[one])))))),
    make('p', {}, total === null ? 'The total is unknown until all five are there.' : `${total} of 10: ${classes[total]}. The vet decides what it means.`),
    make('div', { class: 'keys one' }, button('score-keep', 'Keep the score', () => { if (points.some((each) => !nothing(each))) keepIt(); }, { 'aria-disabled': points.every(nothing) ? 'true' : null })),
  ];
}

/** The newborn checklist: what nobody tapped was not looked at, and stays so. */
function askChecks(row, litter) {
  at.score ??= {};
  const left = leftToCheck(row, litter);
  const saidNow = () => left.filter((item) => Sheet.clean(at.score[item] ?? '')).map((item) => [item, Sheet.clean(at.score[item])]);
  const take = (items) => answer(row, litter, Object.fromEntries(items.map(([item, words]) => [`newborn_${item}`, words])), items.map(([item, words]) => `${item} ${words}`).join(', '));
  const seen = (item) => { at.score[item] = at.score[item] === 'normal' ? '' : 'normal'; draw(); };
  return [
    make('div', { class: 'keys two' },
      button('checks-all', [saidNow().length === 0 ? 'All are normal' : 'The rest is normal', make('span', { class: 'small' }, 'I looked at each')], () => take(left.map((item) => [item, Sheet.clean(at.score[item] ?? '') || 'normal']))),
      button('checks-keep', ['Keep these', make('span', { class: 'small' }, 'the rest stays open')], () => { if (saidNow().length > 0) take(saidNow()); })),
    make('div', {}, left.map((item) => make('div', { class: 'look', role: 'group', 'aria-label': item }, make('span', {}, item),
      make('button', { type: 'button', class: 'key', id: `check-${item}`, 'aria-pressed': String(at.score[item] === 'normal'), onclick: () => seen(item) }, 'normal'),
      make('input', { type: 'text', id: `check-${item}-seen`, 'aria-label': `${item}: what was seen`, placeholder: 'what was seen', autocomplete: 'off', maxlength: '200', value: at.score[item] === 'normal' ? '' : at.score[item] ?? '',
        // Nothing is drawn anew while somebody types: the key that is pressed next would go from under the finger.
        oninput: (event) => { at.score[item] = event.target.value; event.target.previousElementSibling.setAttribute('aria-pressed', 'false'); } })))),
  ];
}

/** A puppy that was pressed later than it was born. */
function askBorn(row, litter) {
  const move = (seconds) => {
    const own = keptNow(row.own);
    own.born -= seconds * 1000;
    // A breath that the clock measured came as much later after the birth; one that came at once still did.
    const breath = Number.parseInt(own.say.first_breath, 10) + seconds;
    if (breath > seconds) own.say.first_breath = breath <= litter.whelping.longest_first_breath ? `${breath} s` : null;
    keepBirth(own);
    draw();
    say(`Born at ${birthClock(own.born).slice(11)}`);
  };
  const steps = [[10, '10 s'], [60, '1 min'], [300, '5 min'], [3600, '1 h']];
  return [make('p', { class: 'clock whole' }, birthClock(row.born).slice(11)), make('p', { class: 'small' }, 'How much earlier was it born than you pressed?'),
    make('div', { class: 'keys' }, steps.map(([seconds, words]) => button(`earlier-${seconds}`, `${words} earlier`, () => move(seconds)))),
    make('div', { class: 'keys one' }, button('earlier-done', 'That is right', () => onward(litter, row.key)))];
}

function askGone(row, litter) {
  return [make('p', {}, `Take out ${rowName(row)} with all that was tapped for it?`),
    make('div', { class: 'keys two' }, button('gone-no', 'Keep it', () => go({ ask: nextAsk(row, litter) })), button('gone-yes', 'Take it out', () => { dropBirth(row.own); go({ newborn: null, ask: null }); say('Taken out'); }))];
}

/** A weight as the records want it. */
const weightText = (typed, unit) => (/lb\s*$/.test(typed) ? typed.trim() : `${typed.trim().replace(/^\./, '0.').replace(/\.$/, '')} ${unit}`);

// --- What is shown -----------------------------------------------------------------------------------------------------------------------------

function drawBirth(litter) {
  if (!howOf(litter)) {
    return { body: [make('h2', { id: 'ask' }, 'How do the puppies come?'), make('p', {}, 'Press it when the first puppy is near. Each birth is then kept with the second of your press.'), birthCautions(litter)],
      dock: [Sheet.choices('how', HOWS, null, (how) => { state.hows = { ...state.hows, [litter.id]: how }; keep(); go({}); }, 'two')] };
  }
  const rows = births(litter);
  const row = rows.find((each) => each.key === at.newborn || (each.own && `o-${each.own.id}` === at.newborn)) ?? null;
  const last = rows.filter((each) => each.born !== null).at(-1);
  const sure = rows.filter((each) => !each.own?.asked);
  const alive = sure.filter((each) => each.isAlive).length;
  const facts = [['born', sure.length], ['alive', alive], ['placentas', sure.filter((each) => each.say.placenta === 'out').length]];
  const list = rows.map((each, place) => make('li', {}, make('button', { type: 'button', class: 'line weighed', id: `born-${place + 1}`, style: {}, 'aria-current': each === row ? 'true' : null, onclick: () => go({ newborn: each.key, ask: nextAsk(each, litter), typed: '', score: null }) },
    make('span', {}, ribbonDot(each, litter), make('span', { class: 'name' }, `${place + 1}. ${each.name ?? 'Puppy'}`), make('span', { class: 'small figure' }, each.born === null ? 'no time' : birthClock(each.born).slice(11))),
    make('span', { class: 'small figure' }, rowWords(each)))));
  const strip = rows.filter((each) => each !== row && breathRuns(each, litter.whelping.longest_first_breath) && each.own).map((each) => make('li', { class: `breathless${breathSeconds(each) >= litter.whelping.slow_breath ? ' pressing' : ''}` },
    make('button', { type: 'button', class: 'quiet-key', id: `waits-${each.key}`, onclick: () => go({ newborn: each.key, ask: 'first_breath' }) }, make('span', {}, `${rowName(each)}, no breath yet`), make('span', { class: 'chip-clock', 'data-since': each.born }, Sheet.passed(wall() - each.born))),
    button(`breathes-${each.key}`, 'Breathing now', () => { const seconds = breathSeconds(each); answer(each, litter, { first_breath: `${seconds} s` }, `first breath after ${seconds} s`); })));
  return {
    body: [
      make('dl', { class: 'counts' }, facts.map(([name, many]) => make('div', {}, make('dt', {}, name), make('dd', {}, String(many))))),
      make('p', { class: 'small' }, [last ? [make('span', { 'data-since': last.born }, Sheet.passed(wall() - last.born)), ' since the last puppy'] : 'No puppy yet', litter.whelping.counted ? `; ${litter.whelping.counted.puppies} counted by ${litter.whelping.counted.by}` : ''].flat()),
      state.told.length > 0 ? make('p', { class: 'notice' }, 'There are questions at the desk: look under Sent?') : null,
      row ? null : make('h2', { id: 'ask' }, rows.length > 0 ? 'The puppies so far' : 'Press when a puppy is born'),
      make('ul', {}, list),
      row ? moreOf(row, litter) : null,
      birthCautions(litter),
    ],
    dock: [panelOf(row, litter), strip.length > 0 ? make('ul', { class: 'strip', 'aria-label': 'Not breathing yet' }, strip) : null, make('button', { type: 'button', class: 'main-key', id: 'born-now', onclick: () => bornNow(litter) }, 'Born now')],
  };
}

function panelOf(row, litter) {
  if (!row || !ASKED[at.ask] && at.ask !== 'gone') return null;
  const title = `${row.name ?? 'Puppy'}${row.born === null ? '' : `, ${birthClock(row.born).slice(11)}`}: ${at.ask === 'gone' ? 'take it out' : ASKED[at.ask].name.toLowerCase()}`;
  const away = at.ask === 'gone' || at.ask === 'weight' ? null : make('button', { type: 'button', class: 'quiet-key', id: 'later', onclick: () => putOff(row, litter, at.ask) }, at.ask === 'sex' && row.own && !row.own.entry ? 'close' : 'later');
  const asked = at.ask === 'gone' ? askGone(row, litter) : ASKED[at.ask].panel(row, litter);
  return make('div', { class: 'panel' }, make('div', { class: 'ask-head' }, make('h2', { id: 'ask' }, title), away), asked);
}

/** What is open of a puppy, and what can be looked at when there is time. */
function moreOf(row, litter) {
  const open = Object.keys(ASKED).filter((ask) => ask !== at.ask && ASKED[ask].for(row, litter) && (isOpen(row, ask) || ask === 'vigour'));
  return [make('h2', {}, `${row.name ?? 'This puppy'}: when there is time`), at.ask && ASKED[at.ask] ? null : make('p', { id: 'ask', class: 'small' }, rowWords(row)),
    make('div', { class: 'keys' }, open.map((ask) => button(`more-${ask}`, ASKED[ask].name, () => go({ ask, typed: '', score: null }))), row.own && !row.own.entry ? button('more-gone', 'No puppy', () => go({ ask: 'gone' })) : null)].flat();
}

function rowWords(row) {
  const { sex, ribbon, weight, colour, markings, palate, placenta } = row.say;
  const parts = [sex ?? 'sex not said yet', ribbon, weight, colour, markings, palate === 'cleft' ? 'palate cleft' : null, placenta === 'retained' ? 'placenta retained' : null, row.isAlive ? null : 'not alive'];
  const where = !row.own ? null : row.own.asked ? 'a question at the desk' : !row.own.entry ? 'not finished' : !row.name ? 'waits to be sent' : null;
  return [...parts, where].filter(Boolean).join(', ');
}
function ribbonDot(row, litter) {
  const ribbon = litter.whelping.ribbons.find((each) => each.name === row.say.ribbon);
  return ribbon ? make('span', { class: 'dot', style: { '--ribbon': ribbon.hex } }) : null;
}
const birthCautions = (litter) => make('details', {}, make('summary', {}, 'When to call the vet'), make('ul', { class: 'cautions' }, litter.whelping.cautions.map((words) => make('li', {}, words))));

// --- The alarm: once when a puppy is slow to breathe, and again each half minute ---------------------------------------------------------------

let birthSound = null;
function alarmReady() {
  try { birthSound ??= new AudioContext(); if (birthSound.state === 'suspended') birthSound.resume(); } catch { /* no sound here */ }
}
const rung = {};
function birthTick() {
  for (const each of document.querySelectorAll('[data-since]')) each.textContent = Sheet.passed(wall() - Number(each.dataset.since));
  const litter = at.tab === 'birth' ? current() : null;
  if (!litter?.whelping || !howOf(litter)) return;
  const { slow_breath: slow, longest_first_breath: most } = litter.whelping;
  for (const row of births(litter).filter((each) => each.own && breathRuns(each, most) && breathSeconds(each) >= slow)) {
    const round = Math.floor(breathSeconds(row) / 30);
    if (rung[row.own.id] === round) continue;
    rung[row.own.id] = round;
    draw(false);
    say(`${rowName(row)} has not breathed for ${Sheet.passed(wall() - row.born)}`);
    try { navigator.vibrate?.([300, 150, 300]); } catch { /* this phone does not shake */ }
    if (!birthSound) continue;
    for (const start of [0, 0.25]) {
      const [tone, level] = [birthSound.createOscillator(), birthSound.createGain()];
      level.gain.value = 0.2;
      tone.frequency.value = 880;
      tone.connect(level).connect(birthSound.destination);
      tone.start(birthSound.currentTime + start);
      tone.stop(birthSound.currentTime + start + 0.15);
    }
  }
}
