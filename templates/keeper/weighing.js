// The weigh-in sheet: what is shown and what a tap does. Storage, undo and elements come from sheet.js above; rules, slips and the file from the modules between.
//
// In: the sheet's data as publish wrote it, what was tapped. Out: the page, and one CSV file for `weigh`. Nothing leaves the phone but by a tap on save or share.

const { make, fill, say } = Sheet;
const data = Sheet.data();
const here = data.puppies.filter((puppy) => puppy.here).sort((a, b) => (a.order ?? Infinity) - (b.order ?? Infinity) || 0);
const ids = here.map((puppy) => puppy.id);
const byId = new Map(data.puppies.map((puppy) => [puppy.id, puppy]));
const fresh = { weighIns: {}, open: null, puppy: null, about: false, typed: '', unit: data.ounces ? 'oz' : 'g', by: '', saved: {}, asking: false, count: 0 };
const kept = Sheet.keep(`litterfolio-weighing-${data.kennel}-${data.litter}`, fresh, () => draw());
let fault = '';
/** While letters are typed into a field, the field stays as it is. */
let typing = false;

// --- Time ------------------------------------------------------------------------------------------------------------------------------------------

/** Now, in local seconds. In a kennel whose today is pinned the hour is real and the day is that one. */
function nowLocal() {
  const local = localOf(data.offsets, Math.floor(Date.now() / 1000));
  return data.pinned ? localSeconds(`${data.made} 00:00`) + (local % 86400) : local;
}
const today = () => localText(nowLocal()).slice(0, 10);

function ago(at) {
  const hours = (instant(data.offsets, nowLocal()) - instant(data.offsets, at)) / 3600;
  if (hours < 0) return `at ${localText(at).slice(11)}`;
  if (hours < 1 / 60) return 'just now';
  if (hours < 1) return `${Math.round(hours * 60)} min ago`;
  return hours < 48 ? `${Math.round(hours)} h ago` : `${Math.floor(hours / 24)} days ago`;
}

/** `9 Oct` or `9 Oct, 07:30`. */
const dayWords = (at) => `${Number(at.slice(8, 10))} ${MONTHS[Number(at.slice(5, 7)) - 1].slice(0, 3)}`;
const timeWords = (at) => `${dayWords(at)}, ${at.slice(11, 16)}`;

// --- What is known --------------------------------------------------------------------------------------------------------------------------------

const onSheet = () => Object.entries(kept.state.weighIns).map(([key, each]) => ({ key, ...each })).sort((a, b) => (a.at < b.at ? -1 : Number(a.at > b.at)));
const current = () => (kept.state.open === null ? null : kept.state.weighIns[kept.state.open] ?? null);
const readable = (typed) => readWeight(typed, kept.state.unit);
const show = (grams) => showWeight(grams, data.ounces);

/** All weigh-ins in order; with a weight that is typed but not kept yet, if one is given. */
function known(puppy = null, text = null) {
  const all = onSheet();
  if (puppy !== null && text !== null) {
    const mine = all.find((each) => each.key === kept.state.open);
    if (mine) mine.weights = { ...mine.weights, [puppy]: text };
  }
  return inOrder(data, all, readWeight);
}

/** Those of the open weigh-in left out: what was known before it. */
function before(puppy) {
  const at = current() ? localSeconds(current().at) : Infinity;
  return growthOf(data, byId.get(puppy), known()).filter((point) => point.at < at || (point.isBirth && point.at <= at)).at(-1) ?? null;
}

const isNew = (weighIn) => Object.keys(newWeights(data, weighIn)).length > 0;
const unsaved = () => onSheet().filter((each) => isNew(each) && kept.state.saved[each.key] !== row(data, ids, each));
const taken = (at, except) => data.weigh_ins.some((each) => each.at.slice(0, 16).replace('T', ' ') === at) || onSheet().some((each) => each.at === at && each.key !== except);

const toTop = () => { document.getElementById('body').scrollTop = 0; };

// --- What a tap does ---------------------------------------------------------------------------------------------------------------------------------

function begin() {
  let at = nowLocal();
  while (taken(localText(at), null)) at += 60;
  const key = `w${kept.state.count + 1}`;
  const weighIn = { at: localText(at), by: kept.state.by, remark: '', weights: {}, skipped: {} };
  kept.setAll('the new weigh-in', [[['weighIns', key], weighIn], [['open'], key], [['puppy'], ids[0]], [['typed'], ''], [['count'], kept.state.count + 1], [['about'], false]]);
  toTop();
  say(`A weigh-in begins. ${byId.get(ids[0]).name} first.`);
}

/** Whoever comes next and has neither a weight nor been skipped; nobody when all are through. */
function nextAfter(puppy, weights, skipped) {
  const from = ids.indexOf(puppy);
  const order = [...ids.slice(from + 1), ...ids.slice(0, from + 1)];
  return order.find((id) => id !== puppy && !weights[id] && !skipped[id]) ?? null;
}

function goOn(words, changes, puppy, weights, skipped) {
  const next = nextAfter(puppy, weights, skipped);
  kept.setAll(words, [...changes, [['typed'], ''], [['puppy'], next]]);
  toTop();
  say(`${words}. ${next ? `Next: ${byId.get(next).name}.` : 'All are through.'}`);
}

function keepWeight() {
  const { open, puppy, typed } = kept.state;
  const read = readable(typed);
  if (!read) return;
  const weighIn = current();
  goOn(`${byId.get(puppy).name} ${read.text}`, [[['weighIns', open, 'weights', puppy], read.text], [['weighIns', open, 'skipped', puppy], undefined]], puppy, { ...weighIn.weights, [puppy]: read.text }, weighIn.skipped);
}

function skip() {
  const { open, puppy } = kept.state;
  const weighIn = current();
  const skipped = { ...weighIn.skipped, [puppy]: true };
  goOn(`${byId.get(puppy).name} skipped`, [[['weighIns', open, 'skipped', puppy], true], [['weighIns', open, 'weights', puppy], undefined]], puppy, { ...weighIn.weights, [puppy]: undefined }, skipped);
}

/** The keeper says that two puppies were exchanged on this scale: each gets the other's weight. */
function exchange(other) {
  const { open, puppy, typed } = kept.state;
  const weighIn = current();
  const mine = readable(typed)?.text ?? weighIn.weights[puppy];
  const weights = { ...weighIn.weights, [puppy]: weighIn.weights[other], [other]: mine };
  const changes = [puppy, other].map((id) => [['weighIns', open, 'weights', id], weights[id]]);
  goOn(`${byId.get(puppy).name} and ${byId.get(other).name} exchanged`, changes, puppy, weights, weighIn.skipped);
}

function openPuppy(id) {
  kept.look(['puppy'], id);
  kept.look(['typed'], '');
  toTop();
}

function undo() {
  const words = kept.undo();
  if (words) say(`Taken back: ${words}.`);
}

function moveTo(text) {
  const at = text.replace('T', ' ').slice(0, 16);
  const ordinary = /^\d{4}-\d\d-\d\d \d\d:\d\d$/.test(at);
  if (!ordinary) fault = 'This is no day and time.';
  else if (at.slice(0, 10) < data.born) fault = `The litter was born on ${dayWords(data.born)}.`;
  else if (at > localText(nowLocal())) fault = 'That time is still to come.';
  else if (taken(at, kept.state.open)) fault = 'There is a weigh-in at this time already.';
  else fault = '';
  if (fault === '') kept.set('the time', ['weighIns', kept.state.open, 'at'], at);
  else draw();
}

const fileName = () => `${data.litter}-weights-${localText(nowLocal()).replace(/[-:]/g, '').replace(' ', '-')}.csv`;

function handedOver() {
  kept.look(['saved'], Object.fromEntries(onSheet().map((each) => [each.key, row(data, ids, each)])));
}

function save() {
  Sheet.save(fileName(), fileOf(data, ids, onSheet()), 'text/csv');
  handedOver();
  say('The file was handed to the browser.');
}

async function share(sharable) {
  try {
    await navigator.share(sharable);
    handedOver();
  } catch { /* the keeper thought better of it */ }
}

/** What stands on the pad, and in which unit. */
function type(typed, unit = kept.state.unit) {
  kept.look(['typed'], typed);
  if (unit !== kept.state.unit) kept.look(['unit'], unit);
}

// --- What is shown ---------------------------------------------------------------------------------------------------------------------------------

const dot = (puppy) => (puppy.ribbon ? make('span', { class: 'dot', style: { '--ribbon': puppy.ribbon.hex }, 'aria-hidden': 'true' }) : null);
const urgency = (word) => make('span', { class: `urgency urgency-${word.replaceAll(' ', '-')}` }, word);
const quiet = (words, act, has = {}) => make('button', { type: 'button', class: 'quiet-key', onclick: act, ...has }, words);
const line = (label, ...value) => make('div', {}, make('dt', { class: 'label' }, label), make('dd', {}, ...value));

function vetLine() {
  if (!data.vet) return null;
  return make('p', { class: 'vet' }, `${data.vet.clinic}: `, make('a', { href: `tel:${data.vet.phone.replaceAll(' ', '')}` }, data.vet.phone));
}

/** Findings as a list, with the cautions and the vet's number beside them. */
function foundList(findings, withName) {
  if (findings.length === 0) return [];
  const entry = (each) => make('li', { class: `found-${each.rule}` },
    make('p', {}, urgency(each.urgency), withName ? make('span', { class: 'name' }, `${byId.get(each.puppy).name} `) : null, each.what),
    make('p', { class: 'small' }, `${each.limit} (${each.source})`));
  const calm = findings.every((each) => each.urgency === 'steady');
  return [calm ? null : vetLine(), make('ul', { class: 'found' }, findings.map(entry)), make('p', { class: 'small cautions' }, data.cautions)];
}

const isSlipNow = (each, weighIn) => each.at === weighIn.at && each.rule.startsWith('slip-');

/** A slip that is suspected in this very weigh-in: said before it is kept. */
function slipNotice(each, weighIn, puppy) {
  const partner = each.other && (each.puppy === puppy ? each.other : each.puppy);
  const both = partner && weighIn.weights[partner] && ids.includes(partner);
  return make('div', { class: 'notice pressing', role: 'alert' },
    make('p', {}, make('strong', {}, each.rule === 'slip-exchanged' ? `Exchanged with ${byId.get(partner).name}?` : 'A slip of the pen?')),
    both ? make('div', { class: 'keys one' }, make('button', { type: 'button', class: 'key', id: 'exchange', onclick: () => exchange(partner) }, `Yes, exchange ${byId.get(puppy).name} and ${byId.get(partner).name}`)) : null,
    make('p', {}, `${byId.get(each.puppy).name} ${each.what}`),
    make('p', { class: 'small' }, `${each.limit}. Look at the ribbon and the scale again.`));
}

/** No slip that explains it, and yet more than a puppy gains or loses in that time: said before it is kept. */
function doubtNotice(point) {
  if (!point?.change || !isTooFast(data.slip_model, point.days - point.change.hours / 24, point.days, point.grams / (point.grams - point.change.grams))) return null;
  return make('div', { class: 'notice', role: 'alert' }, make('p', {}, make('strong', {}, 'Read the scale again. '), `A puppy hardly ${point.change.grams > 0 ? 'gains' : 'loses'} so much in ${Math.round(point.change.hours)} h.`));
}

/** What the sheet answers to a weight: changes, findings, slips. */
function answer(puppy, weighIn, text) {
  const all = known(puppy, text);
  const at = localSeconds(weighIn.at);
  const point = growthOf(data, byId.get(puppy), all).find((each) => each.at === at && !each.isBirth);
  const findings = findingsOf(data, all, today(), slips).filter((each) => each.puppy === puppy || each.other === puppy);
  const slipped = findings.filter((each) => isSlipNow(each, weighIn));
  const change = point?.change && make('span', {}, showChange(point.change, data.ounces), make('span', { class: 'small' }, ` in ${Math.round(point.change.hours)} h`));
  const doubt = slipped.length > 0 ? null : doubtNotice(point);
  return {
    slipped: slipped.length > 0 || doubt !== null,
    parts: [
      make('dl', { class: 'answer' },
        change ? line('since last', change) : null,
        point && point.sinceBirth !== null ? line('since birth', showChange({ grams: point.grams - byId.get(puppy).birth_grams, percent: point.sinceBirth }, data.ounces)) : null),
      ...slipped.map((each) => slipNotice(each, weighIn, puppy)),
      ...(doubt ? [doubt] : []),
      ...foundList(findings.filter((each) => each.puppy === puppy && !isSlipNow(each, weighIn) && !(doubt && each.urgency === 'steady')), false),
    ],
  };
}

function lastWords(id) {
  const last = before(id);
  if (!last) return 'not weighed yet';
  return `${last.isBirth ? 'at birth' : 'last'} ${show(last.grams)}, ${ago(last.at)}`;
}

function weighedLine(id, weighIn) {
  const puppy = byId.get(id);
  const text = weighIn.weights[id];
  const point = text && growthOf(data, puppy, known()).find((each) => each.at === localSeconds(weighIn.at) && !each.isBirth);
  const value = text
    ? [text, point?.change ? make('span', { class: 'small figure' }, showChange(point.change, data.ounces)) : null]
    : [weighIn.skipped[id] ? 'skipped' : '–', make('span', { class: 'small figure' }, lastWords(id))];
  return make('li', {}, make('button', { type: 'button', class: 'line weighed', id: `line-${id}`, 'aria-current': kept.state.puppy === id ? 'true' : null, onclick: () => openPuppy(id) },
    make('span', {}, dot(puppy), make('span', { class: 'name' }, puppy.name), puppy.ribbon ? make('span', { class: 'small ribbon' }, ` ${puppy.ribbon.name}`) : null),
    make('span', { class: `line-value${text ? '' : ' open'}` }, value)));
}

function drawHead() {
  const weighIn = current();
  if (!weighIn) return [];
  const words = `${timeWords(weighIn.at)}${weighIn.by ? `, by ${weighIn.by}` : ''}${weighIn.remark ? ', with a remark' : ''}`;
  return [make('div', { class: 'head-row' }, make('p', { class: 'figure' }, words), quiet(kept.state.about ? 'back to the scale' : 'time, name, remark', () => { fault = ''; kept.look(['about'], !kept.state.about); }, { id: 'about', 'aria-expanded': String(kept.state.about) }))];
}

function aboutForm(weighIn) {
  const open = kept.state.open;
  const field = (label, input) => make('label', { class: 'field' }, make('span', { class: 'label' }, label), input);
  const write = (words, paths) => (event) => {
    typing = true;
    kept.setAll(words, paths.map((path) => [path, Sheet.clean(event.target.value).replace(/\s+/g, ' ').slice(0, 400)]), true);
    typing = false;
  };
  return [
    field('weighed at', make('input', { type: 'datetime-local', id: 'about-at', value: weighIn.at.replace(' ', 'T'), onchange: (event) => moveTo(event.target.value) })),
    fault ? make('p', { class: 'notice', role: 'alert' }, fault) : null,
    field('who weighs', make('input', { type: 'text', id: 'about-by', autocomplete: 'off', maxlength: '60', value: weighIn.by, oninput: write('who weighs', [['weighIns', open, 'by'], ['by']]) })),
    field('remark', make('textarea', { id: 'about-remark', rows: '3', maxlength: '400', oninput: write('the remark', [['weighIns', open, 'remark']]) }, weighIn.remark)),
  ];
}

function drawWeighing(weighIn) {
  const { puppy, typed } = kept.state;
  const lines = [make('h2', {}, 'All puppies'), make('ul', {}, ids.map((id) => weighedLine(id, weighIn)))];
  if (kept.state.about) return { body: aboutForm(weighIn), dock: [quiet('Back to the scale', () => { fault = ''; kept.look(['about'], false); }, { id: 'back', class: 'main-key' })] };
  if (puppy === null) {
    const findings = findingsOf(data, known(), today(), slips).filter((each) => ids.includes(each.puppy));
    return {
      body: [make('h2', {}, `${Object.keys(weighIn.weights).length} of ${ids.length} weighed`), ...lines.slice(1), ...(findings.length > 0 ? [make('h2', {}, 'Findings'), ...foundList(findings, true)] : [])],
      dock: [make('button', { type: 'button', class: 'main-key', id: 'finish', onclick: () => { kept.look(['open'], null); toTop(); } }, 'Done'), undoKey()],
    };
  }
  const own = byId.get(puppy);
  const read = readable(typed);
  const text = read?.text ?? (typed === '' ? weighIn.weights[puppy] ?? null : null);
  const said = text ? answer(puppy, weighIn, text) : { slipped: false, parts: [] };
  const words = typed === '' ? (weighIn.weights[puppy] ? 'kept' : '') : read ? '' : 'This is no weight yet.';
  return {
    body: [
      make('section', { class: 'on-scale', 'aria-labelledby': 'ask' },
        make('div', { class: 'on-scale-head', style: own.ribbon ? { '--ribbon': own.ribbon.hex } : {} },
          make('h2', { id: 'ask' }, own.name), own.ribbon ? make('span', {}, dot(own), ` ${own.ribbon.name}`) : null, make('p', { class: 'figure' }, lastWords(puppy))),
        ...said.parts),
      ...lines,
    ],
    dock: [
      make('p', { class: 'pad-shown' }, make('output', { class: `pad-value${typed.length > 5 ? ' long' : ''}`, id: 'pad-value' }, typed === '' ? weighIn.weights[puppy] ?? '–' : `${typed.trimEnd()} ${kept.state.unit}`), make('span', { class: 'small', id: 'pad-said' }, words), undoKey()),
      Sheet.pad({
        typed, unit: kept.state.unit, type,
        pass: { id: 'skip', words: 'skip', act: skip },
        keep: { id: 'keep', words: said.slipped && read ? 'keep all the same' : 'keep', off: !read, act: keepWeight },
      }),
    ],
  };
}

function undoKey() {
  const last = kept.last();
  return quiet(last ? `undo: ${last}` : 'nothing to undo', undo, { id: 'undo', class: 'quiet-key undo', 'aria-disabled': String(!last) });
}

function notices() {
  const waiting = unsaved().length;
  const ahead = data.ahead.at(-1);
  const parts = [];
  if (!kept.works) parts.push(make('p', { class: 'notice pressing', role: 'alert' }, 'This browser keeps nothing: what you tap is lost when the page is closed. Save the file as soon as all are weighed, or open the sheet in another browser.'));
  if (kept.unreadable) parts.push(make('p', { class: 'notice' }, 'What this phone had kept of this sheet could not be read. It was put aside, and the sheet is empty.'));
  if (waiting > 0) parts.push(make('p', { class: 'notice', id: 'waiting' }, make('strong', {}, waiting === 1 ? 'One weigh-in stands on this phone only. ' : `${waiting} weigh-ins stand on this phone only. `), `Save ${waiting === 1 ? 'it' : 'them'} to a file, and have the program take that in.`));
  if (today() > ahead.day) parts.push(make('p', { class: 'notice' }, `This sheet was made on ${dayWords(data.made)}. It no longer knows what is due, so nobody is called steady: publish again, and copy the new sheet over.`));
  const differing = onSheet().flatMap((each) => disagreeing(data, each, readWeight).map((puppy) => `${puppy.name} on ${timeWords(each.at)}`));
  if (differing.length > 0) parts.push(make('p', { class: 'notice' }, `The records hold another weight than this sheet: ${differing.join('; ')}. The records were taken.`));
  return parts;
}

function standing(weighIn) {
  if (!isNew(weighIn)) return Object.keys(weighIn.weights).length > 0 ? 'in the records' : 'nobody weighed yet';
  return kept.state.saved[weighIn.key] === row(data, ids, weighIn) ? 'in a file' : 'on this phone only';
}

function sheetLines() {
  const all = onSheet();
  if (all.length === 0) return [];
  const entry = (each) => make('li', {}, make('button', { type: 'button', class: 'line weighed', id: `open-${each.key}`, onclick: () => { kept.look(['open'], each.key); kept.look(['puppy'], nextAfter(ids.at(-1), each.weights, each.skipped)); toTop(); } },
    make('span', { class: 'line-value figure' }, timeWords(each.at)),
    make('span', {}, `${Object.keys(each.weights).length} of ${ids.length} weighed`, make('span', { class: 'small' }, `${each.by ? `by ${each.by}, ` : ''}${standing(each)}`))));
  return [make('h2', {}, 'Weigh-ins on this sheet'), make('ul', {}, all.map(entry)), clearing()];
}

function clearing() {
  if (!kept.state.asking) return make('div', { class: 'keys one' }, quiet('Clear this sheet …', () => kept.look(['asking'], true), { id: 'clear' }));
  const waiting = unsaved().length;
  return make('div', { class: 'notice', role: 'alert' },
    make('p', {}, waiting > 0 ? `${waiting === 1 ? 'One weigh-in is' : `${waiting} weigh-ins are`} in no file yet. Save first, or clear all the same?` : 'All of this is in a file or in the records. Clear the sheet?'),
    make('div', { class: 'keys two' },
      make('button', { type: 'button', class: 'key', id: 'clear-no', onclick: () => kept.look(['asking'], false) }, 'No, leave it'),
      make('button', { type: 'button', class: 'key', id: 'clear-yes', onclick: () => { kept.clear(); say('The sheet is empty.'); } }, waiting > 0 ? 'Yes, lose them' : 'Yes, clear')));
}

function restLine(id) {
  const puppy = byId.get(id);
  const last = growthOf(data, puppy, known()).at(-1);
  return make('li', { class: 'line weighed' },
    make('span', {}, dot(puppy), make('span', { class: 'name' }, puppy.name), puppy.ribbon ? make('span', { class: 'small ribbon' }, ` ${puppy.ribbon.name}`) : null),
    make('span', { class: 'line-value figure' }, last ? show(last.grams) : '–', make('span', { class: 'small' }, last ? `${last.isBirth ? 'at birth, ' : ''}${ago(last.at)}` : 'not weighed yet')));
}

function drawRest() {
  const findings = findingsOf(data, known(), today(), slips).filter((each) => ids.includes(each.puppy));
  const file = fileOf(data, ids, onSheet());
  const any = onSheet().some(isNew);
  const sharable = any ? Sheet.sharable(fileName(), file, 'text/csv') : null;
  const bring = kept.cleared() && onSheet().length === 0;
  return {
    body: [...notices(), make('h2', {}, 'Last weighed'), make('ul', {}, ids.map(restLine)), ...sheetLines(),
      bring ? make('div', { class: 'keys one' }, quiet('Bring back what was cleared', () => kept.bringBack(), { id: 'bring-back' })) : null,
      ...(findings.length > 0 ? [make('h2', {}, 'Findings'), ...foundList(findings, true)] : [])],
    dock: [
      make('button', { type: 'button', class: 'main-key', id: 'begin', onclick: begin }, 'Begin a weigh-in'),
      any ? make('div', { class: sharable ? 'keys two' : 'keys one' },
        make('button', { type: 'button', class: `key${unsaved().length > 0 ? '' : ' done'}`, id: 'save', onclick: save }, unsaved().length > 0 ? 'Save the file' : 'Save the file again'),
        sharable ? make('button', { type: 'button', class: 'key', id: 'share', onclick: () => share(sharable) }, 'Share it') : null) : null,
      onSheet().length > 0 ? undoKey() : null,
    ],
  };
}

function drawNobody() {
  return { body: [make('h2', {}, 'Nobody to weigh'), make('p', {}, 'No puppy of this litter is here: none was born alive, or all are in their new homes. When the records say otherwise, publish again.')], dock: [] };
}

function draw() {
  const weighIn = current();
  if (typing) {
    fill(document.getElementById('head'), drawHead());
    return;
  }
  const { body, dock } = here.length === 0 ? drawNobody() : weighIn ? drawWeighing(weighIn) : drawRest();
  fill(document.getElementById('head'), drawHead());
  fill(document.getElementById('body'), body);
  const place = document.getElementById('dock');
  place.hidden = dock.length === 0;
  fill(place, dock);
}

// A keyboard does for the pad where there is one.
addEventListener('keydown', (event) => {
  const { puppy, about, typed } = kept.state;
  if (!current() || puppy === null || about || event.ctrlKey || event.metaKey || event.altKey || event.target.matches('input, textarea')) return;
  if (/^[\d.]$/.test(event.key)) type(Sheet.pressed(typed, event.key));
  else if (event.key === 'Backspace') type(Sheet.lessOne(typed));
  else if (event.key === 'Enter' && event.target === document.body) keepWeight();
  else return;
  event.preventDefault();
});

draw();
// Hours go on while nobody taps.
setInterval(() => { if (document.visibilityState === 'visible' && !kept.state.about) draw(); }, 60_000);
