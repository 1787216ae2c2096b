// The page of a phone at the box. Every entry is kept on the phone at once, sent in order, and said again until the desk has answered it; the desk takes each once, by its id. Nothing
// leaves the phone but sealed. `Sheet` and the functions of sealing.mjs stand above, in the same element.

const { make, fill, say } = Sheet;
const HOME = 'litterfolio-phone';
const TRIES = [700, 1500, 3000, 5000, 8000];
const PATIENCE = 12_000;
const AT_ONCE = 40;

const storage = (() => {
  try {
    localStorage.setItem('litterfolio-probe', '1');
    localStorage.removeItem('litterfolio-probe');
    return localStorage;
  } catch {
    return null;
  }
})();

// --- What is kept ------------------------------------------------------------------------------------------------------------------------

/** `who` pairs this phone; `view` is what the desk told last; `ahead` is how far the kennel's wall is ahead of this clock; `told` are words of the desk on entries; `hows` says of each litter how its puppies come, as it was chosen here, and `toldHow` of which the desk was told; `found` is what the program found of weights, `entered` what was entered last, `refused` what could not be taken back. */
const fresh = { who: null, desk: '', name: '', view: null, ahead: null, heard: null, told: [], unit: 'g', hows: {}, toldHow: [], found: [], entered: [], refused: null };
const state = { ...fresh };
function read() {
  try {
    Object.assign(state, fresh, JSON.parse(storage.getItem(HOME)) ?? {});
  } catch { /* nothing is kept yet, or it cannot be read: entries have keys of their own */ }
}
read();
let works = storage !== null;

function keep() {
  try {
    storage.setItem(HOME, JSON.stringify(state));
    works = true;
  } catch {
    works = false;
  }
}

// Each entry has a key of its own, so that two windows of this page lose none of each other's.
const spare = new Map();
const entryKey = (entry) => `${HOME}-entry-${entry.order}-${entry.id}`;
function waiting() {
  const kept = storage ? Object.keys(storage).filter((key) => key.startsWith(`${HOME}-entry-`)).flatMap((key) => { try { return [JSON.parse(storage.getItem(key))]; } catch { return []; } }) : [];
  return [...kept, ...spare.values()].filter(Boolean).sort((a, b) => (a.order < b.order ? -1 : a.order > b.order ? 1 : 0));
}

const random = (length) => crypto.getRandomValues(new Uint8Array(length));

let count = 0;
const newId = () => toHex(random(12));
/** Keeps an entry at once, and begins to send. */
function enter(act, litter, words, fields, id = newId()) {
  count += 1;
  const order = `${String(Date.now()).padStart(15, '0')}-${String(count).padStart(5, '0')}`;
  const entry = { id, order, act, litter, words, fields };
  try {
    storage.setItem(entryKey(entry), JSON.stringify(entry));
  } catch {
    works = false;
    spare.set(entry.id, entry);
  }
  if (!['back', 'how'].includes(act)) {
    state.entered = [...state.entered, { id, litter, words }].slice(-20);
    keep();
  }
  say(`Kept: ${words}`);
  draw();
  soon(0);
  return entry;
}

function dropEntry(entry) {
  spare.delete(entry.id);
  storage?.removeItem(entryKey(entry));
}

// --- The clock on the kennel's wall ------------------------------------------------------------------------------------------------------

/** Now on the kennel's wall, as milliseconds of a clock without zones. Before the desk was heard, this phone's own wall. */
const wall = () => Date.now() + (state.ahead ?? -new Date().getTimezoneOffset() * 60_000);
const wallText = (at = wall()) => new Date(at).toISOString().slice(0, 16).replace('T', ' ');
function ago(at) {
  const hours = (wall() - Date.parse(`${at.replace(' ', 'T')}Z`)) / 3_600_000;
  if (!Number.isFinite(hours) || hours < 0) return '';
  if (hours < 1) return `${Math.round(hours * 60)} min ago`;
  return hours < 48 ? `${Math.round(hours)} h ago` : `${Math.round(hours / 24)} days ago`;
}

// --- Talking with the desk ---------------------------------------------------------------------------------------------------------------

let line = null;
let run = null;
let number = 0;
let connected = 'not connected';
const desk = () => state.desk || location.origin;

/** Somebody asked with a limit on time. */
async function asked(path, options = {}) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE);
  try {
    return await fetch(`${desk()}${path}`, { ...options, signal: stop.signal, cache: 'no-store', credentials: 'omit', referrerPolicy: 'no-referrer' });
  } finally {
    clearTimeout(timer);
  }
}

/** Keys of this page for this run of the desk. A page never uses a number twice, and a page that is opened again has new keys. */
function begin(hex) {
  if (!/^[0-9a-f]{32}$/.test(hex)) throw new Error('this is no desk');
  run = hex;
  number = 0;
  line = channel(state.who.code, fromHex(state.who.id), fromHex(hex), random(16));
}

async function talk(entries, piece) {
  for (let turn = 0; turn < 2; turn += 1) {
    if (!line) begin((await (await asked('/run')).text()).trim());
    const mine = number;
    number += 1;
    const message = new TextEncoder().encode(JSON.stringify({ entries: entries.map(({ id, act, litter, words, fields }) => ({ id, act, litter, words, fields })), piece }));
    const answer = await asked('/say', { method: 'POST', body: line.envelope(mine, message) });
    if (answer.ok) {
      const opened = line.answer(mine, new Uint8Array(await answer.arrayBuffer()));
      if (opened) return JSON.parse(new TextDecoder().decode(opened));
      throw new Error('this was not the desk');
    }
    const now = (await answer.text()).trim();
    if (answer.status !== 403 || !/^[0-9a-f]{32}$/.test(now) || now === run) break;
    // The desk was begun anew: other keys.
    line = null;
  }
  return null;
}

let timer = null;
let busy = false;
let failed = 0;
function soon(after) {
  clearTimeout(timer);
  timer = setTimeout(send, after);
}

async function send() {
  if (busy || !state.who) return;
  busy = true;
  let rest = TRIES[Math.min(failed, TRIES.length - 1)];
  try {
    const all = waiting();
    const began = Date.now();
    // What was tapped goes before a picture, which is sent piece by piece.
    const picture = all.length === 0 ? await nextPicture() : null;
    const told = picture ? await talk(picture.entries, picture.piece) : await talk(all.slice(0, AT_ONCE));
    if (told === null) {
      connected = 'the desk does not know this phone';
      failed += 1;
    } else {
      take(told, all, began);
      failed = 0;
      connected = 'connected';
      const more = picture ? await pictureTold(picture, told) : await pictureWaits();
      if (waiting().length === 0 && more !== null) rest = more;
      else rest = waiting().length > 0 && told.entries.every((each) => each.became !== 'later') ? 0 : at.tab === 'birth' ? 3000 : 15_000;
    }
  } catch {
    failed += 1;
    connected = 'out of reach';
  }
  busy = false;
  draw(false);
  soon(rest);
}

function take(told, all, began) {
  birthsTold(told.entries, told.asked);
  for (const each of told.entries) {
    const entry = all.find((known) => known.id === each.id);
    if (!entry) continue;
    if (each.became !== 'later') dropEntry(entry);
    if (each.became === 'question' && told.asked.includes(each.id)) state.told.push({ id: entry.id, words: entry.words, why: each.words, at: wallText() });
    if (each.became === 'later') state.later = each.words;
    if (each.became === 'refused') state.refused = { words: entry.words, why: each.words };
    if (entry.act === 'weigh' && ['written', 'already'].includes(each.became)) state.found = [...state.found.filter((known) => known.isAsked), { words: entry.words, lines: each.found, isAsked: each.is_asked }].slice(-12);
    if (entry.act === 'back' && ['written', 'already'].includes(each.became)) forgotten(value(entry, 'entry'));
  }
  if (told.entries.every((each) => each.became !== 'later')) state.later = '';
  // What the keeper has decided is no question any more.
  state.told = state.told.filter((each) => !each.id || told.asked.includes(each.id)).slice(-20);
  state.name = told.name;
  // The desk looked at its clock just before it answered.
  const ahead = Date.parse(`${told.now}Z`) - Date.now();
  if (state.ahead === null || Math.abs(ahead - state.ahead) > 500 || Date.now() - began < 400) state.ahead = ahead;
  state.heard = wallText();
  if (told.view && !state.view) state.unit = told.view.ounces ? 'oz' : 'g';
  if (told.view) state.view = told.view;
  keep();
}

/** What was taken back stands nowhere on this phone any more. */
function forgotten(id) {
  const own = ownBirths().find((each) => each.entry === id);
  if (own) dropBirth(own);
}

/** The last entry of this phone is taken back at the desk, as long as nothing rests on it there. */
function takeBack() {
  const last = state.entered.at(-1);
  if (!last) return;
  state.entered = state.entered.slice(0, -1);
  state.refused = null;
  const found = state.found.filter((each) => each.words !== last.words);
  state.found = found;
  enter('back', last.litter, `Take back: ${last.words}`, [['entry', last.id]]);
}

// --- Pairing -----------------------------------------------------------------------------------------------------------------------------

function pair(typed) {
  const symbols = codeSymbols(typed);
  if (!symbols) return false;
  state.who = { code: symbols, id: toHex(random(16)) };
  state.desk = '';
  line = null;
  keep();
  connected = 'connecting';
  draw();
  soon(0);
  return true;
}

/** The secret stands behind the # of the link, which no browser sends; it goes from the address line at once. */
function fromLink() {
  const typed = location.hash.slice(1);
  if (!typed) return;
  history.replaceState(null, '', '/');
  if (!state.who || (connected !== 'connected' && waiting().length === 0)) pair(typed);
  else linked = typed;
}
let linked = '';

// --- What is shown -----------------------------------------------------------------------------------------------------------------------

/** Where the keeper is on this page; not kept. */
const at = { tab: 'weigh', litter: null, puppy: null, typed: '', form: null, note: '', address: false, newborn: null, ask: null, score: null, later: {} };
const button = (id, words, act, more = {}) => make('button', { type: 'button', class: 'key', id, onclick: act, ...more }, words);
const dot = (of) => (of.ribbon ? make('span', { class: 'dot', style: { '--ribbon': of.ribbon.hex } }) : null);
const litters = () => state.view?.litters ?? [];
/** The litter that was chosen; before one was, the first with puppies. One that was chosen and is gone is no other one. */
const current = () => at.litter !== null ? litters().find((each) => each.id === at.litter) ?? null : litters().find((each) => (at.tab === 'birth' ? each.whelping : each.puppies.length > 0)) ?? litters()[0] ?? null;
function go(changes) {
  Object.assign(at, changes);
  at.note = changes.note ?? '';
  draw();
  document.getElementById('body').scrollTop = 0;
}

/** The weight of a puppy that stands on this phone and was not answered yet. */
const ownWeight = (litter, id) => waiting().filter((each) => each.act === 'weigh' && each.litter === litter && value(each, 'puppy') === id).at(-1);
const value = (entry, name) => entry.fields.find(([known]) => known === name)?.[1];

function lastWords(litter, of) {
  const own = ownWeight(litter.id, of.id);
  if (own) return `${value(own, 'weight')}, waits to be sent`;
  return of.last ? `${of.last.shown}${of.last.at ? `, ${ago(of.last.at)}` : ' at birth'}` : 'not weighed yet';
}

/** Those who are weighed, the dam last. */
const scale = (litter) => [...litter.puppies, { id: 'dam', name: `${litter.dam}, the dam`, ribbon: null, last: litter.dam_last }];

function drawWeigh(litter) {
  const everybody = scale(litter);
  const own = everybody.find((each) => each.id === at.puppy);
  const rows = everybody.map((each) => make('li', {}, make('button', { type: 'button', class: 'line weighed', id: `line-${each.id}`, 'aria-current': each.id === at.puppy ? 'true' : null, onclick: () => go({ puppy: each.id, typed: '' }) },
    make('span', {}, dot(each), make('span', { class: 'name' }, each.name), each.ribbon ? make('span', { class: 'small' }, each.ribbon.name) : null), make('span', { class: 'small figure' }, lastWords(litter, each)))));
  const body = own
    ? [make('div', { class: 'on-scale-head', style: own.ribbon ? { '--ribbon': own.ribbon.hex } : {} }, make('h2', { id: 'ask' }, own.name), own.ribbon ? make('span', {}, dot(own), ` ${own.ribbon.name}`) : null, make('p', { class: 'figure' }, lastWords(litter, own))), make('ul', {}, rows)]
    : [make('h2', { id: 'ask' }, 'Who is on the scale?'), make('ul', {}, rows)];
  if (!own) return { body: [body[0], ...foundNow(), ...body.slice(1)], dock: [] };
  const grams = Sheet.grams(at.typed, state.unit);
  const next = () => everybody[everybody.indexOf(own) + 1]?.id ?? null;
  const doubt = doubtOf(own, grams);
  const keepIt = () => {
    const text = weightText(at.typed, state.unit);
    const when = wallText();
    enter('weigh', litter.id, `${own.name}, ${text} at ${when}`, [['puppy', own.id], ['at', when], ['weight', text]]);
    go({ puppy: next(), typed: '' });
  };
  return {
    body: [body[0], ...foundNow(), doubt ? make('p', { class: 'notice', role: 'alert' }, doubt) : null, ...body.slice(1)],
    dock: [
      make('p', { class: 'pad-shown' }, make('output', { class: 'pad-value', id: 'pad-value' }, at.typed === '' ? '–' : `${at.typed.trimEnd()} ${state.unit}`)),
      Sheet.pad({ typed: at.typed, unit: state.unit, type: (typed, unit) => { at.typed = typed; state.unit = unit; keep(); draw(); }, pass: { id: 'skip', words: 'skip', act: () => go({ puppy: next(), typed: '' }) }, keep: { id: 'keep', words: doubt ? 'keep all the same' : 'keep', off: grams === null || grams <= 0, act: keepIt } }),
    ],
  };
}

/** What the program found of the weights that were sent; a weight without a question is no sign that all is well. */
function foundNow() {
  if (state.found.length === 0) return [];
  const asked = state.found.filter((each) => each.isAsked);
  const last = state.found.at(-1);
  return [
    ...asked.map((each) => make('div', { class: 'notice' }, make('p', {}, make('strong', {}, each.words)), make('ul', {}, each.lines.map((line) => make('li', {}, line))))),
    asked.length > 0 ? make('div', { class: 'keys one' }, button('found-seen', 'I have seen it', () => { state.found = []; keep(); draw(); })) : null,
    last.isAsked ? null : make('p', { class: 'small', id: 'found' }, `${last.words}${last.lines.length > 0 ? `: ${last.lines.join('; ')}` : ''}. Nothing was asked about it: that is no sign that all is well.`),
  ].filter(Boolean);
}

/** A weight far from the last one may be a slip of the finger. The desk looks closer when it is written. */
function doubtOf(own, grams) {
  if (grams === null || !own.last) return null;
  const change = (grams / own.last.grams - 1) * 100;
  const days = own.last.at ? (wall() - Date.parse(`${own.last.at.replace(' ', 'T')}Z`)) / 86_400_000 : 1;
  const { below, above, above_a_day: more } = state.view?.far_off ?? {};
  // What was kept by an older page lacks them: the desk asks.
  if (below === undefined) return null;
  if (change >= below && change <= above + more * days) return null;
  return `Last ${own.last.shown}: is this right? Look at the scale again.`;
}

// Kinds of entries: [name, words, what has to be said, what may be said].
const KINDS = [
  ['temperature', 'Temperature', [['value', 'Temperature: 38.2 (°C) or 100.8 (°F)']], []],
  ['feed', 'A feed by hand', [['what', 'What was fed']], [['amount', 'How much, with its unit: 3.5 ml'], ['how', 'How: bottle, tube, spoon']]],
  ['illness', 'Signs of illness', [['signs', 'What was seen']], [['advice', 'What was advised'], ['by', 'Who advised']]],
  ['worming', 'Worming', [['product', 'Product, as it is printed on the label']], [['batch', 'Batch'], ['given', 'What was given, in the words of the label or the vet']]],
  ['parasite', 'Against fleas, ticks or mites', [['product', 'Product, as it is printed on the label']], [['batch', 'Batch'], ['given', 'What was given, in the words of the label or the vet']]],
  ['vaccination', 'Vaccination', [['product', 'Product, as it is printed on the label']], [['against', 'Against, with commas'], ['batch', 'Batch'], ['by', 'Who gave it']]],
  ['check', 'A check, by the vet or by you', [['by', 'Who looked']], [['findings', 'What was found'], ['advice', 'What was advised']]],
  ['done', 'Done', [['item', 'Item of the care plan']], []],
];
const TIMED = ['temperature', 'feed'];

/** A temperature as it is recorded; null for what no body has. A bare number is in the unit in which a dog can have it. */
function warmth(text) {
  const [, digits, unit] = /^(\d+(?:[.,]\d+)?)\s*[°º]?\s*([cf]?)$/i.exec(text.trim()) ?? [];
  if (digits === undefined) return null;
  const number = Number(digits.replace(',', '.'));
  const isF = unit === '' ? number >= 60 : unit.toUpperCase() === 'F';
  const celsius = isF ? (number - 32) / 1.8 : number;
  return celsius >= 20 && celsius <= 45 ? `${number} ${isF ? '°F' : '°C'}` : null;
}

function field(name, words, text = '') {
  return make('label', { class: 'field' }, make('span', { class: 'label' }, words), make('input', { type: 'text', id: `f-${name}`, name, value: text, autocomplete: 'off', maxlength: '400', inputmode: name === 'value' ? 'decimal' : undefined }));
}

function drawEntries(litter) {
  if (at.form?.kind === 'picture') return drawPicture(litter);
  if (at.form) return drawForm(litter, at.form);
  return {
    body: [make('h2', { id: 'ask' }, 'What was done or seen?'), make('div', { class: 'keys two' }, KINDS.filter(([kind]) => kind !== 'done').map(([kind, words]) => button(`kind-${kind}`, words, () => go({ form: { kind, whom: [] } }))), button('kind-remark', 'A remark', () => go({ form: { kind: 'remark', whom: [] } })), button('kind-picture', 'A picture', () => go({ form: { kind: 'picture', whom: [] } })))],
    dock: [],
  };
}

function drawForm(litter, { kind, whom, item, words: task, typed: before = [] }) {
  const isRemark = kind === 'remark';
  const [, words, needs, may] = isRemark ? ['', 'A remark', [['text', 'What is to be remembered']], []] : KINDS.find(([known]) => known === kind) ?? [kind, kind, [], []];
  const all = isRemark ? litter.puppies : scale(litter);
  const asks = needs.filter(([name]) => !(name === 'item' && item));
  const ticks = make('div', { class: 'ticks', role: 'group', 'aria-labelledby': 'ask' }, all.map((each) => make('label', {}, make('input', { type: 'checkbox', name: 'for', value: each.id, id: `for-${each.id}`, checked: whom.includes(each.id) || (whom.includes('all') && each.id !== 'dam') }), dot(each), ` ${each.name}`)));
  const form = make('form', { onsubmit: (event) => { event.preventDefault(); done(); } }, ticks, [...asks, ...may].map(([name, label]) => field(name, label, before.find(([known]) => known === name)?.[1])));
  /** The form once more, with what was typed and what is wrong with it. */
  const again = (note, typed, wrong = null) => {
    const ticked = [...form.querySelectorAll('input[name=for]:checked')].map((each) => each.value);
    go({ form: { ...at.form, whom: ticked, typed }, note });
    if (wrong) document.getElementById(`f-${wrong}`)?.focus();
  };
  const done = () => {
    const chosen = [...form.querySelectorAll('input[name=for]:checked')].map((each) => each.value);
    const typed = [...form.querySelectorAll('input[type=text]')].map((each) => [each.name, Sheet.clean(each.value)]).filter(([, text]) => text !== '');
    const texts = typed.map(([name, text]) => [name, name === 'value' ? warmth(text) : text]);
    const wrong = typed.find((each, place) => texts[place][1] === null);
    if (wrong) return again(`“${wrong[1]}” is no temperature of a body: write it as 38.2 or 100.8.`, typed, 'value');
    const missing = asks.find(([name]) => !texts.some(([known]) => known === name));
    if (missing) return again(`${missing[1]}: this is needed.`, typed, missing[0]);
    if (chosen.length === 0 && !isRemark) return again('Say for whom it was.', typed);
    const names = all.filter((each) => chosen.includes(each.id)).map((each) => each.name).join(', ') || 'the litter';
    const when = wallText();
    if (isRemark) {
      const text = texts[0][1];
      enter('remark', litter.id, `${names}: ${text}`, [['title', text.slice(0, 60)], ['text', text], ['date', when.slice(0, 10)], ...chosen.map((each) => ['puppies', each])]);
    } else {
      const own = kind === 'temperature' ? chosen.flatMap((each) => [[each, texts[0][1]], ['puppy', each]]) : chosen.map((each) => ['for', each]);
      const rest = kind === 'temperature' ? [] : texts;
      const time = TIMED.includes(kind) ? ['at', when] : ['on', when.slice(0, 10)];
      enter('tend', litter.id, `${task ?? words}: ${names}${texts.length > 0 ? `, ${texts.map(([, text]) => text).join(', ')}` : ''}, ${when}`, [['kind', kind], time, ...own, ...rest, ...(item ? [['item', item]] : [])]);
    }
    return go({ form: null, tab: at.from ?? at.tab, from: null });
  };
  return {
    body: [make('h2', { id: 'ask' }, task ?? words), at.note ? make('p', { class: 'notice', role: 'alert' }, at.note) : null, form],
    dock: [make('div', { class: 'keys two' }, button('back', 'Back', () => go({ form: null, tab: at.from ?? at.tab, from: null })), button('record', 'Record it', done, { class: 'key chosen' }))],
  };
}

function drawRound() {
  const tasks = state.view?.tasks ?? [];
  const line = (task, place) => {
    const tick = task.tick;
    const act = () => {
      if (tick.kind === 'weigh') return go({ tab: 'weigh', litter: task.litter, puppy: tick.whom[0] === 'all' ? null : tick.whom[0], typed: '' });
      return go({ tab: 'enter', from: 'round', litter: task.litter, form: { kind: tick.kind, whom: tick.whom, item: tick.item, words: task.what } });
    };
    const known = tick && litters().some((each) => each.id === task.litter) && (tick.kind === 'weigh' || KINDS.some(([kind]) => kind === tick.kind));
    return make('li', { class: 'task' }, make('p', {}, task.urgency === 'today' ? null : make('span', { class: 'urgency' }, task.urgency), make('strong', {}, task.who), `: ${task.what}`), make('p', { class: 'small' }, `${task.litter_name}${task.times > 1 ? `, ${task.times} times` : ''}`),
      known ? make('div', { class: 'keys one' }, button(`task-${place}`, tick.kind === 'weigh' ? 'Weigh' : 'Done, record it', act, { 'aria-label': `${tick.kind === 'weigh' ? 'Weigh' : 'Done, record it'}: ${task.who}, ${task.what}` })) : null);
  };
  return { body: [make('h2', { id: 'ask' }, 'Today’s round'), tasks.length > 0 ? make('ul', {}, tasks.map(line)) : make('p', {}, 'Nothing is on the round today.'), make('p', { class: 'small' }, state.view?.cautions ?? '')], dock: [] };
}

const fileName = () => `at-the-box-${wallText().replace(/[: ]/g, '-')}.txt`;
/** What waits, for people to read and to type, whatever becomes of this phone. */
const fileText = () => [`Entries that wait on the phone “${state.name || 'not named yet'}”, ${wallText()}`, '', ...waiting().map((each) => `${each.litter}: ${each.words}`), ...unfinished().map((own) => `${own.litter}: ${unfinishedWords(own)}`), ...[...pictures.values()].map((each) => `${each.litter}: ${each.words} (the picture is saved with a key of its own)`), ''].join('\n');

function drawWaiting() {
  const all = waiting();
  const open = unfinished();
  const some = all.length + open.length + pictures.size > 0;
  const file = some ? fileText() : '';
  const sharable = some ? Sheet.sharable(fileName(), file, 'text/plain') : null;
  return {
    body: [
      make('h2', { id: 'ask' }, all.length === 0 ? pictures.size > 0 ? 'Pictures wait' : 'Nothing waits' : all.length === 1 ? 'One entry waits' : `${all.length} entries wait`),
      make('p', {}, all.length + pictures.size === 0 ? 'All that was entered here is at the desk.' : 'They are kept on this phone and sent by themselves, as soon as the desk is in reach. Leave this page open, or open it again at home.'),
      open.length > 0 ? make('p', { class: 'notice' }, `${open.length === 1 ? 'One puppy is' : `${open.length} puppies are`} not finished under Birth: it is sent when its sex is known and its ribbon was asked.`) : null,
      state.later ? make('p', { class: 'notice' }, `The desk says: ${state.later}`) : null,
      make('ul', {}, all.map((each) => make('li', { class: 'line' }, make('span', {}, each.litter), make('span', {}, each.words)))),
      ...drawPictures(),
      ...(state.told.length > 0 ? [make('h2', {}, 'Questions at the desk'), make('p', { class: 'small' }, 'These were not written as they were. They wait at the desk, on the page of phones.'), make('ul', {}, state.told.map((each) => make('li', { class: 'task' }, make('p', {}, each.words), make('p', { class: 'small' }, each.why)))), make('div', { class: 'keys one' }, button('seen', 'I have seen them', () => { state.told = []; keep(); draw(); }))] : []),
      state.refused ? make('p', { class: 'notice' }, `Not taken back: ${state.refused.words}. ${state.refused.why}`) : null,
      ...(state.entered.length > 0 ? [make('h2', {}, 'The last entry'), make('p', {}, state.entered.at(-1).words), make('div', { class: 'keys one' }, button('take-back', 'Take it back', takeBack))] : []),
      make('h2', {}, 'This phone'),
      make('p', {}, `${state.name ? `It is called ${state.name}. ` : ''}${state.heard ? `The desk was last heard at ${state.heard}.` : 'The desk was not heard yet.'}`),
      at.address ? make('form', { onsubmit: (event) => { event.preventDefault(); moved(event.target.elements.address.value); } }, field('address', 'Address that the desk shows now'), make('div', { class: 'keys two' }, button('address-no', 'Back', () => go({ address: false })), make('button', { class: 'key', id: 'address-yes' }, 'Use it'))) : make('div', { class: 'keys one' }, button('address', 'The desk has another address now', () => go({ address: true }))),
      at.note ? make('p', { class: 'notice', role: 'alert' }, at.note) : null,
    ],
    dock: some ? [make('div', { class: sharable ? 'keys two' : 'keys one' }, button('save', 'Save them as a file', () => Sheet.save(fileName(), file, 'text/plain')), sharable ? button('share', 'Share the file', () => navigator.share(sharable).catch(() => {})) : null)] : [],
  };
}

function moved(typed) {
  const text = typed.trim().replace(/^http:\/\//, '').replace(/[/#].*$/, '');
  if (!/^(\d{1,3}(\.\d{1,3}){3}|\[[0-9a-f:]+\]):\d{1,5}$/i.test(text)) return go({ address: true, note: 'This is no address of a desk: it looks like 192.168.1.5:6390.' });
  state.desk = `http://${text}`;
  line = null;
  keep();
  soon(0);
  return go({ address: false });
}

function drawPairing() {
  const fields = make('form', { onsubmit: (event) => { event.preventDefault(); if (!pair(event.target.elements.code.value)) go({ note: 'There is a slip in the code: compare it with the one on the screen.' }); } },
    field('code', 'The code that the desk shows'), make('div', { class: 'keys one' }, make('button', { class: 'key', id: 'pair' }, 'Connect')));
  return { body: [make('h2', { id: 'ask' }, 'Connect this phone'), make('p', {}, 'Open the page of phones at the desk and scan its square with the camera of this phone, or type its code here.'), at.note ? make('p', { class: 'notice', role: 'alert' }, at.note) : null, fields], dock: [] };
}

function drawFirst() {
  const unknown = connected === 'the desk does not know this phone';
  return {
    body: [make('h2', { id: 'ask' }, unknown ? 'The desk does not know this phone' : 'Connecting'),
      make('p', {}, unknown ? 'Its code was used up, has run out, or the phone was sent away. Ask for a new code at the desk.' : 'The desk is asked. When nothing comes: is this phone in the same network, and are phones still listened to?'),
      make('div', { class: 'keys one' }, button('again', 'Type another code', () => { state.who = null; keep(); go({}); }))],
    dock: [],
  };
}

function notices() {
  const parts = [];
  if (!works) parts.push(make('p', { class: 'notice pressing', role: 'alert' }, 'This browser keeps nothing: what you tap is lost when the page is closed before it was sent. Open the page in another browser, not in a private window.'));
  if (state.view && connected === 'the desk does not know this phone') parts.push(make('p', { class: 'notice' }, 'The desk does not know this phone any more. What waits stays here: save it as a file, or connect this phone again with a new code. '), make('div', { class: 'keys one' }, button('again', 'Connect it again', () => { state.who = null; keep(); go({}); })));
  if (linked) parts.push(make('p', { class: 'notice' }, 'A new code was scanned, and this phone is connected already. '), make('div', { class: 'keys two' }, button('link-no', 'Leave it as it is', () => { linked = ''; draw(); }), button('link-yes', 'Connect anew', () => { pair(linked); linked = ''; draw(); })));
  return parts;
}

const TABS = [['birth', 'Birth'], ['weigh', 'Weigh'], ['enter', 'Enter'], ['round', 'Round'], ['waits', 'Sent?']];

/** A birth has its page while there is one, or what was tapped of one. */
const tabsNow = () => TABS.filter(([tab]) => tab !== 'birth' || litters().some((each) => each.whelping) || unfinished().length > 0);

function parts() {
  if (!state.who) return drawPairing();
  if (!state.view) return waiting().length > 0 ? drawWaiting() : drawFirst();
  if (at.tab === 'waits') return drawWaiting();
  if (at.tab === 'round') return drawRound();
  const litter = current();
  if (!litter) return { body: [make('h2', { id: 'ask' }, 'No litter'), make('p', {}, at.litter === null ? 'The records have no litter of now.' : 'This litter is no longer one of now.'), at.litter === null ? null : make('div', { class: 'keys one' }, button('others', 'Other litters', () => go({ litter: null, form: null, puppy: null })))], dock: [] };
  if (at.tab === 'birth') return litter.whelping ? drawBirth(litter) : { body: [make('h2', { id: 'ask' }, 'No birth'), make('p', {}, 'This litter is neither expected nor just born. Choose another one, or begin it at the desk.')], dock: [] };
  return at.tab === 'weigh' ? drawWeigh(litter) : drawEntries(litter);
}

let held = false;
let waits = false;
function letGo() {
  setTimeout(() => { held = false; if (waits) { waits = false; draw(false); } }, 60);
}
addEventListener('pointerdown', () => { held = true; });
for (const name of ['pointerup', 'pointercancel']) addEventListener(name, letGo);

/** What stands in a form is not drawn away under the keeper's fingers. */
const typing = () => Boolean(document.activeElement?.closest?.('form'));

function draw(force = true) {
  const litter = current();
  const all = waiting().length + pictures.size;
  document.getElementById('title').textContent = litter && at.tab !== 'round' && at.tab !== 'waits' ? litter.name : state.view?.kennel ?? 'At the box';
  document.getElementById('standing').textContent = state.who ? `${connected}${all > 0 ? `, ${all} to send` : ''}` : 'not connected';
  if (!force && (typing() || at.form || at.address)) return;
  if (!force && held) {
    // Nothing is drawn away under a finger.
    waits = true;
    return;
  }
  const { body, dock } = parts();
  const choose = state.view && litters().length > 1 && ['birth', 'weigh', 'enter'].includes(at.tab) && !at.form && !at.puppy
    ? make('label', { class: 'field' }, make('span', { class: 'label' }, 'Litter'), make('select', { id: 'litter', onchange: (event) => go({ litter: event.target.value }) }, litters().map((each) => make('option', { value: each.id, selected: each.id === litter.id }, each.name)))) : null;
  fill(document.getElementById('body'), ...notices(), choose, ...body);
  const place = document.getElementById('dock');
  place.classList.toggle('asks', at.tab === 'birth');
  const tabs = state.view && !at.form && !(at.tab === 'weigh' && at.puppy) && !(at.tab === 'birth' && at.ask) ? make('div', { class: 'tabs', role: 'group', 'aria-label': 'Pages' }, tabsNow().map(([tab, words]) => button(`tab-${tab}`, tab === 'waits' && all > 0 ? `${all} to send` : words, () => go({ tab, puppy: null, form: null, from: null, newborn: null, ask: null, typed: '' }), { 'aria-pressed': String(at.tab === tab) }))) : null;
  const back = at.tab === 'weigh' && at.puppy ? button('done', 'Done weighing', () => go({ puppy: null, typed: '' }), { class: 'quiet-key' }) : null;
  place.hidden = dock.length === 0 && !tabs && !back;
  fill(place, ...dock, back, tabs);
}

addEventListener('storage', (event) => { if (event.key === HOME) read(); draw(false); });
addEventListener('online', () => soon(0));
addEventListener('hashchange', () => { fromLink(); draw(); });
document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') soon(0); });
setInterval(birthTick, 500);
readPictures();
fromLink();
draw();
soon(0);
