// The whelping sheet. The hour of birth belongs to the dam and the puppies, so every tap is one answer, kept at once: clocks are counted from stamped times, and a reload, a dead battery
// or a call loses nothing. Several puppies may be open, since they come a minute apart.
'use strict';

(() => {
  const { make, fill, now, local, passed, choices, say } = Sheet;
  const page = Sheet.data();
  const SCREEN = { puppies: 'puppies', end: 'end' };
  const FRESH = { how: null, began: null, puppies: {}, placentas: null, surgery: {}, remarks: '', jumps: [], lastTap: null, saved: null, look: { screen: SCREEN.puppies, puppy: null, ask: null, later: {} } };
  const kept = Sheet.keep(`litterfolio-whelping ${page.kennel} ${page.litter ?? ''}`, FRESH, () => render());
  const $ = (id) => document.getElementById(id);
  const S = () => kept.state;

  // --- What is asked of a puppy, in this order ----------------------------------------------------------------------------------------------

  const ASKS = {
    breath: { name: 'First breath', panel: askBreath, open: (p) => isNothing(p.breath), for: (p) => p.fate !== 'stillborn', value: (p) => (isNothing(p.breath) ? '' : p.breath === 0 ? 'at once' : `after ${p.breath} s`) },
    horn: { name: 'Horn', panel: askHorn, open: (p) => !p.horn, for: () => BirthFile.isSection(S()), value: (p) => p.horn },
    sex: { name: 'Sex', panel: askSex, open: (p) => !p.sex, for: () => true, value: (p) => p.sex },
    ribbon: { name: 'Ribbon', panel: askRibbon, open: (p) => !p.ribbon, for: (p) => p.fate !== 'stillborn', value: (p) => p.ribbon },
    weight: { name: 'Weight', panel: askWeight, open: (p) => !p.weight, for: () => true, value: (p) => p.weight && BirthFile.weight(p.weight) },
    palate: { name: 'Palate', panel: askPalate, open: (p) => !p.palate, for: () => true, value: (p) => p.palate },
    placenta: { name: 'Placenta', panel: askPlacenta, open: (p) => !p.placenta, for: () => true, value: (p) => p.placenta },
    colour: { name: 'Colour', panel: askColour, open: (p) => !p.colour, for: () => true, value: (p) => p.colour },
    vigour: { name: 'Vigour', panel: askVigour, for: (p) => p.fate !== 'stillborn', value: vigourWords },
    newborn: { name: 'Checks', panel: askNewborn, for: () => true, value: newbornWords },
    fate: { name: 'Alive', panel: askFate, for: () => true, value: (p) => p.fate ?? '' },
    born: { name: 'Born at', panel: askBorn, for: () => true, value: (p) => shownTime(p.born) },
    words: { name: 'Name, remarks', panel: askWords, for: () => true, value: (p) => [p.name, p.remarks].filter(Boolean).join(': ') },
    gone: { name: 'Take out', panel: askGone, for: () => false },
  };
  const LONGEST_BREATH = page.longest_first_breath;

  const isNothing = (value) => value === null || value === undefined;
  const ordered = () => BirthFile.inOrder(S());
  const placeOf = (key) => ordered().findIndex(([other]) => other === key) + 1;
  const called = (key) => `puppy ${placeOf(key)}`;
  const current = () => S().look.puppy;
  const runs = (p) => isNothing(p.breath) && !p.fate && now() - p.born <= LONGEST_BREATH * 1000;
  const hexOf = (ribbon) => page.ribbons.find((one) => one.name === ribbon)?.hex;
  const ribbonStyle = (ribbon) => (ribbon ? { '--ribbon': hexOf(ribbon) } : {});
  const dot = (ribbon) => ribbon && make('span', { class: 'dot', style: ribbonStyle(ribbon) });

  function shownTime(stamp) {
    const { day, time } = local(stamp, page.zone);
    return day === BirthFile.dayOf(S(), page.zone) ? time : `${time}, ${day}`;
  }

  /** Puppies that do not breathe yet, the oldest first. None of them may leave the sight. */
  const breathless = () => ordered().filter(([, p]) => runs(p));
  const isSlow = (p) => now() - p.born >= page.slow_breath * 1000;
  const isPutOff = (key, ask) => (S().look.later[key] ?? []).includes(ask);

  /** Where the sheet goes when something is settled: to the oldest puppy that does not breathe yet, or else to the next question of this one. */
  function onward(key) {
    const first = breathless().find(([other]) => !isPutOff(other, 'breath'));
    return first ? { puppy: first[0], ask: 'breath' } : { puppy: key, ask: key === null ? null : nextAsk(key) };
  }

  /** The first thing not asked yet, and not put off. */
  function nextAsk(key) {
    const puppy = S().puppies[key];
    return Object.keys(ASKS).find((ask) => ASKS[ask].open?.(puppy) && ASKS[ask].for(puppy) && !isPutOff(key, ask)) ?? null;
  }

  // --- Changes ------------------------------------------------------------------------------------------------------------------------------

  /** A step. The moment of each tap is kept, so that a clock that was set back is noticed. */
  function change(words, changes, typing = false) {
    const at = now();
    const all = [...changes];
    if (S().lastTap !== null && at < S().lastTap - 2000) {
      all.push([['jumps'], [...S().jumps, { from: S().lastTap, to: at }]]);
      // The word about it stands at the top.
      scrollTo(0, 0);
    }
    all.push([['lastTap'], at]);
    say('');
    kept.setAll(words, all, typing);
  }

  /** An answer about one puppy; then the next question. */
  function answer(key, field, value, words, moves = true) {
    const look = { ...S().look, puppy: key };
    const wasOpen = ASKS[field]?.open?.(S().puppies[key]);
    change(`${words ?? ASKS[field].name.toLowerCase()} of ${called(key)}`, [[['puppies', key, field], value]]);
    if (moves) {
      const settled = field === 'breath' || field === 'fate';
      const asked = wasOpen || isNothing(value) || settled;
      kept.look(['look'], { ...look, ...(settled ? onward(key) : { ask: asked ? nextAsk(key) : null }) });
      scrollTo(0, 0);
    }
    const said = isNothing(value) ? 'taken back' : typeof value === 'object' ? ASKS[field].value(S().puppies[key]) : value;
    say(`${ASKS[field].name} of ${called(key)}: ${field === 'breath' && !isNothing(value) ? `${value} s` : said}`);
  }

  function bornNow() {
    const born = now();
    const key = String(1 + Math.max(0, ...Object.keys(S().puppies).map(Number)));
    change(`puppy ${Object.keys(S().puppies).length + 1}`, [[['puppies', key], { born }]]);
    kept.look(['look'], { ...S().look, screen: SCREEN.puppies, ...onward(key) });
    const older = current() !== key;
    say(`Puppy ${placeOf(key)}, born at ${shownTime(born)}${older ? `; puppy ${placeOf(current())} does not breathe yet` : ''}`);
    listen();
    scrollTo(0, 0);
  }

  const open = (key, ask) => { kept.look(['look'], { ...S().look, puppy: key, ask }); scrollTo(0, 0); };

  /** Takes back the last step, and asks again what that step had answered. */
  function undo() {
    const [first, k, field] = kept.steps.at(-1)?.was[0]?.[0] ?? [];
    const words = kept.undo();
    if (first === 'puppies' && S().puppies[k] && ASKS[field]) open(k, field === 'fate' && runs(S().puppies[k]) ? 'breath' : field);
    else if (first === 'puppies' && S().puppies[k]) open(k, nextAsk(k));
    else if (current() && !S().puppies[current()]) { const { puppy, ask } = onward(ordered().at(-1)?.[0] ?? null); open(puppy, ask); }
    say(words ? `Taken back: ${words}` : 'There is nothing to take back');
  }

  // --- Pieces -------------------------------------------------------------------------------------------------------------------------------

  const key = (id, words, act, { small, shape = '', off = false } = {}) =>
    make('button', { type: 'button', class: `key ${shape}`, id, 'aria-disabled': off ? 'true' : undefined, onclick: off ? undefined : act }, words, small ? make('span', { class: 'small' }, small) : null);
  const keys = (shape, ...kids) => make('div', { class: `keys ${shape}` }, kids);
  const quiet = (id, words, act) => make('button', { type: 'button', class: 'quiet-key', id, onclick: act }, words);
  /** Time since a stamp, told anew every second. */
  const since = (stamp, shape) => make('span', { class: shape, 'data-since': stamp }, passed(now() - stamp));
  /** A time counted in whole minutes. */
  const minutes = (stamp) => make('span', { 'data-minutes': stamp }, inMinutes(stamp));
  const inMinutes = (stamp) => { const all = Math.max(0, Math.floor((now() - stamp) / 60_000)); return all < 100 ? `${all} min` : `${Math.floor(all / 60)} h ${String(all % 60).padStart(2, '0')}`; };

  function typed(id, label, value, write, more = {}) {
    const area = more.lines;
    return make('label', { class: 'field' }, make('span', { class: 'label' }, label),
      make(area ? 'textarea' : 'input', { id, value: value ?? '', type: area ? undefined : 'text', autocomplete: 'off', maxlength: area ? '2000' : '200', ...more.has, oninput: (event) => write(event.target.value) }));
  }

  // While letters are typed nothing is drawn anew, or the keyboard of the phone would close.
  let typing = false;
  function type(words, path) {
    return (value) => {
      typing = true;
      change(words, [[path, value]], true);
      typing = false;
      counts();
      renderUndo();
    };
  }

  function putOff(k, ask) {
    kept.look(['look', 'later', k], [...(S().look.later[k] ?? []), ask]);
    kept.look(['look'], { ...S().look, ...(ask === 'breath' ? onward(k) : { ask: nextAsk(k) }) });
  }

  // --- The questions ------------------------------------------------------------------------------------------------------------------------

  function askBreath(k, p) {
    const past = now() - p.born;
    const seconds = Math.max(0, Math.floor(past / 1000));
    if (isNothing(p.breath)) {
      const over = seconds > LONGEST_BREATH;
      return [
        make('p', { class: `clock${isSlow(p) ? ' slow' : ''}`, id: isSlow(p) ? 'slow' : undefined }, since(p.born, ''), isSlow(p) && !over ? make('span', { class: 'small' }, `no breath in ${page.slow_breath} s`) : null),
        make('button', { type: 'button', class: 'main-key light', id: 'breath-now', 'aria-disabled': over ? 'true' : undefined, onclick: () => { if (!over) answer(k, 'breath', Math.max(0, Math.floor((now() - p.born) / 1000))); } }, 'Breathing now'),
        over ? make('p', { class: 'small' }, 'More than half an hour: write what happened into the remarks.') : null,
        keys('two', key('breath-once', 'Breathed at once', () => answer(k, 'breath', 0)), key('breath-still', 'Stillborn', () => answer(k, 'fate', 'stillborn', 'stillborn'))),
      ];
    }
    const move = (by) => answer(k, 'breath', Math.min(LONGEST_BREATH, Math.max(0, p.breath + by)), undefined, false);
    return [
      make('p', { class: 'clock' }, `${p.breath} s`),
      make('div', { class: 'pad' }, key('breath-10', '−10 s', () => move(-10)), key('breath-1', '−1 s', () => move(-1)), key('breath+1', '+1 s', () => move(1)), key('breath+10', '+10 s', () => move(10))),
      keys('two', key('breath-none', 'Not breathing yet', () => answer(k, 'breath', null, undefined, false), { small: 'the clock goes on' }), key('breath-ok', 'Right', () => open(k, nextAsk(k)))),
    ];
  }

  function askHorn(k, p) { return [choices('horn', [['left', 'left'], ['right', 'right']], p.horn, (v) => answer(k, 'horn', v), 'two')]; }
  function askSex(k, p) { return [choices('sex', [['female', 'female'], ['male', 'male']], p.sex, (v) => answer(k, 'sex', v), 'two')]; }
  function askPalate(k, p) { return [choices('palate', [['intact', 'intact'], ['cleft', 'cleft'], ['not looked at', 'not looked at']], p.palate, (v) => answer(k, 'palate', v))]; }
  function askPlacenta(k, p) { return [choices('placenta', [['out', 'out'], ['retained', 'retained'], ['not seen', 'not seen']], p.placenta, (v) => answer(k, 'placenta', v))]; }
  function askFate(k, p) {
    return [choices('fate', [['stillborn', 'stillborn'], ['died', 'died later', 'after it had lived']], p.fate, (v) => {
      change(`fate of ${called(k)}`, [[['puppies', k, 'fate'], v], [['puppies', k, 'on'], v === 'died' ? local(now(), page.zone).day : null]]);
      open(k, nextAsk(k));
    }, 'two')];
  }

  function askRibbon(k, p) {
    const worn = new Map(ordered().filter(([other, one]) => other !== k && one.ribbon && !one.fate).map(([other, one]) => [one.ribbon, `on ${placeOf(other)}`]));
    for (const ribbon of page.worn) if (!worn.has(ribbon)) worn.set(ribbon, 'in the records');
    return [make('div', { class: 'keys ribbons', role: 'group', 'aria-labelledby': 'ask' }, page.ribbons.map(({ name }) => make('button', {
      type: 'button', class: 'key ribbon-key', id: `ribbon-${name}`, 'aria-pressed': String(p.ribbon === name), 'aria-disabled': worn.has(name) ? 'true' : undefined,
      onclick: () => { if (!worn.has(name)) answer(k, 'ribbon', p.ribbon === name ? null : name); },
    }, dot(name), name, worn.has(name) ? make('span', { class: 'small' }, worn.get(name)) : null)))];
  }

  let onPad = null;
  function askWeight(k, p) {
    if (onPad?.key !== k) onPad = { key: k, typed: '', unit: p.weight?.unit ?? S().look.unit ?? page.unit };
    const { typed, unit } = onPad;
    const { least, most } = page.birth_weights;
    const weighs = typed === '' ? null : Sheet.grams(typed, unit);
    const doubt = typed === '' ? '' : weighs === null ? 'This is no number yet.' : weighs < least || weighs > most ? `No birth weight: ${least} to ${most} g.` : '';
    const stands = typed !== '' ? `${typed.trimEnd()} ${unit}` : p.weight ? BirthFile.weight(p.weight) : '–';
    return [
      make('p', { class: 'pad-shown' }, make('output', { class: 'pad-value', id: 'pad-value', 'aria-live': 'off' }, stands), make('span', { class: 'small', role: 'status', id: 'pad-said' }, doubt)),
      Sheet.pad({
        typed, unit,
        type: (text, unit) => { onPad = { key: k, typed: text, unit }; renderDock(); },
        pass: p.weight ? { id: 'pad-pass', words: 'close', act: () => { onPad = null; open(k, null); } } : { id: 'pad-pass', words: 'later', act: () => { onPad = null; putOff(k, 'weight'); } },
        keep: {
          id: 'pad-done', words: 'keep', off: doubt !== '' || weighs === null,
          act: () => {
            onPad = null;
            kept.look(['look', 'unit'], unit);
            answer(k, 'weight', { typed, unit });
          },
        },
      }),
    ];
  }

  function askColour(k, p) {
    const others = ordered().map(([, one]) => one.colour).filter(Boolean);
    const quick = [...new Set([...others, ...page.colours])].slice(0, 9);
    return [
      make('div', { class: 'keys', role: 'group', 'aria-labelledby': 'ask' }, quick.map((colour, place) =>
        make('button', { type: 'button', class: 'key', id: `colour-${place}`, 'aria-pressed': String(p.colour === colour), onclick: () => answer(k, 'colour', p.colour === colour ? null : colour) }, colour))),
      typed('colour-typed', 'Another', p.colour, type(`colour of ${called(k)}`, ['puppies', k, 'colour'])),
    ];
  }

  function totalOf(score) {
    const points = page.vigour.map((item) => score[item.key]);
    return points.some(isNothing) ? null : points.reduce((sum, one) => sum + one, 0);
  }
  function vigourWords(p) {
    return Object.values(p.vigour ?? {}).sort((a, b) => a.at - b.at).map((score) => {
      const total = totalOf(score);
      return `${total === null ? 'not complete' : `${total} of 10`} at ${score.at} min`;
    }).join(', ');
  }

  function askVigour(k, p) {
    const all = Object.entries(p.vigour ?? {}).sort(([, a], [, b]) => a.at - b.at);
    const chosen = S().look.score && p.vigour?.[S().look.score] ? S().look.score : null;
    const age = Math.max(0, Math.floor((now() - p.born) / 60_000));
    if (!chosen) {
      const fresh = String(1 + Math.max(0, ...Object.keys(p.vigour ?? {}).map(Number)));
      return [keys('one', all.map(([n, score]) => key(`score-${n}`, `At ${score.at} min`, () => kept.look(['look', 'score'], n), { small: totalOf(score) === null ? 'not complete' : `${totalOf(score)} of 10` })),
        key('score-new', [`Score now: `, minutes(p.born)], () => {
          change(`a score of ${called(k)}`, [[['puppies', k, 'vigour', fresh], { at: Math.floor((now() - p.born) / 60_000) }]]);
          kept.look(['look', 'score'], fresh);
        }, { off: age > 1440, small: 'after birth; 5 min is usual' }))];
    }
    const score = p.vigour[chosen];
    const total = totalOf(score);
    const moveAt = (by) => change(`minutes of a score of ${called(k)}`, [[['puppies', k, 'vigour', chosen, 'at'], Math.min(1440, Math.max(0, score.at + by))]]);
    return [
      make('div', { class: 'ask-head' }, quiet('score-earlier', '−1', () => moveAt(-1)), make('p', {}, `${score.at} min after birth`), quiet('score-later', '+1', () => moveAt(1))),
      make('div', {}, page.vigour.map((item) => make('div', { class: 'score', role: 'group', 'aria-label': item.name }, make('span', {}, item.name), [0, 1, 2].map((points) =>
        make('button', { type: 'button', class: 'key', id: `score-${item.key}-${points}`, 'aria-pressed': String(score[item.key] === points), onclick: () => change(`${item.name} of ${called(k)}`, [[['puppies', k, 'vigour', chosen, item.key], score[item.key] === points ? null : points]]) },
          String(points), make('span', { class: 'small' }, item.words[points])))))),
      make('p', {}, total === null ? 'The total is unknown until all five are there.' : `${total} of 10: ${page.classes[total]}. The vet decides what it means.`),
      keys('two', key('score-gone', 'Take it out', () => { change(`a score of ${called(k)}`, [[['puppies', k, 'vigour', chosen], undefined]]); kept.look(['look', 'score'], null); }), key('score-done', 'Done', () => { kept.look(['look'], { ...S().look, score: null, ask: null }); })),
    ];
  }

  function newbornWords(p) {
    const looked = page.checks.filter((item) => p.newborn?.[item]);
    const odd = looked.filter((item) => p.newborn[item] !== 'normal').map((item) => `${item}: ${p.newborn[item]}`);
    return looked.length === 0 ? '' : `${looked.length} of ${page.checks.length} looked at${odd.length > 0 ? `; ${odd.join('; ')}` : ''}`;
  }
  function askNewborn(k, p) {
    const set = (item, value) => change(`${item} of ${called(k)}`, [[['puppies', k, 'newborn', item], value]]);
    const noted = page.checks.filter((item) => p.newborn?.[item]).length;
    const rest = page.checks.length - noted;
    // The key says what will stand in the record: a look that nobody tapped was not made.
    const stands = noted === 0 ? 'nothing is noted yet' : rest === 0 ? 'all are noted' : `${noted} noted, ${rest} not looked at`;
    return [
      keys('two', key('newborn-all', noted === 0 ? 'All are normal' : 'The rest is normal', () => change(`checks of ${called(k)}`, page.checks.filter((item) => !p.newborn?.[item]).map((item) => [['puppies', k, 'newborn', item], 'normal'])), { off: rest === 0, small: 'I looked at each' }), key('newborn-done', noted === 0 ? 'Close' : 'Done', () => open(k, null), { small: stands })),
      make('div', {}, page.checks.map((item) => make('div', { class: 'look', role: 'group', 'aria-label': item }, make('span', {}, item),
        make('button', { type: 'button', class: 'key', id: `newborn-${item}`, 'aria-pressed': String(p.newborn?.[item] === 'normal'), onclick: () => set(item, p.newborn?.[item] === 'normal' ? null : 'normal') }, p.newborn?.[item] ? 'normal' : 'normal?'),
        make('input', { type: 'text', id: `newborn-${item}-seen`, 'aria-label': `${item}: what was seen`, placeholder: 'what was seen', autocomplete: 'off', maxlength: '200', value: p.newborn?.[item] === 'normal' ? '' : p.newborn?.[item] ?? '',
          oninput: (event) => type(`${item} of ${called(k)}`, ['puppies', k, 'newborn', item])(event.target.value || null) })))),
    ];
  }

  function askBorn(k, p) {
    const move = (by) => change(`time of ${called(k)}`, [[['puppies', k, 'born'], p.born + by * 1000]]);
    return [
      make('p', { class: 'clock whole' }, local(p.born, page.zone).time),
      make('div', { class: 'pad' }, key('born-60', '−1 min', () => move(-60)), key('born-5', '−5 s', () => move(-5)), key('born+5', '+5 s', () => move(5)), key('born+60', '+1 min', () => move(60))),
      make('label', { class: 'field' }, make('span', { class: 'label' }, 'Or type it: 09:14:32'), make('input', { type: 'text', id: 'born-typed', inputmode: 'text', autocomplete: 'off', maxlength: '8', value: local(p.born, page.zone).time })),
      keys('two', key('born-set', 'Set this time', () => setBorn(k, p, $('born-typed').value)), key('born-gone', 'No puppy', () => open(k, 'gone'), { small: 'take the entry out' })),
    ];
  }
  function setBorn(k, p, text) {
    const [, hours, mins, secs = '00'] = /^\s*([01]?\d|2[0-3])[:.]([0-5]\d)(?:[:.]([0-5]\d))?\s*$/.exec(text) ?? [];
    const stamp = hours === undefined ? null : Sheet.stampNear(`${hours.padStart(2, '0')}:${mins}:${secs}`, p.born, page.zone);
    if (stamp === null) return say(hours === undefined ? 'Write hours, minutes and seconds: 09:14:32' : 'The clocks jumped over this time that night');
    change(`time of ${called(k)}`, [[['puppies', k, 'born'], stamp]]);
    open(k, null);
    return say(`Puppy ${placeOf(k)} was born at ${shownTime(stamp)}`);
  }

  function askWords(k, p) {
    return [
      typed('words-name', 'Name in the records', p.name, type(`name of ${called(k)}`, ['puppies', k, 'name']), { has: { placeholder: BirthFile.names(S())[k] } }),
      typed('words-remarks', 'Remarks, for you alone', p.remarks, type(`remarks on ${called(k)}`, ['puppies', k, 'remarks']), { lines: true }),
      keys('one', key('words-done', 'Done', () => open(k, null))),
    ];
  }

  function askGone(k) {
    return [make('p', {}, `Take out puppy ${placeOf(k)} with all that was tapped for it? Undo brings it back.`),
      keys('two', key('gone-no', 'Keep it', () => open(k, null)), key('gone-yes', 'Take it out', () => { change(called(k), [[['puppies', k], undefined]]); open(ordered().at(-1)?.[0] ?? null, null); say('Taken out; undo brings it back'); }))];
  }

  // --- The birth as a whole -----------------------------------------------------------------------------------------------------------------

  const HOWS = [['natural', 'Natural'], ['assisted', 'Assisted', 'helped, no surgery'], ['planned section', 'Planned section'], ['emergency section', 'Emergency section']];
  const section = () => BirthFile.isSection(S());
  const LITTER = {
    how: { name: 'Birth', value: () => S().how, panel: () => [choices('how', HOWS, S().how, (v) => { if (v) { change('the kind of birth', [[['how'], v]]); kept.look(['look', 'ask'], null); } }, 'two')] },
    began: { name: 'Began at', value: () => shownTime(S().began), panel: askBegan },
    placentas: { name: 'Placentas', value: () => (isNothing(S().placentas) ? '' : `${S().placentas} counted`), panel: () => count('placentas', 'placentas', ['placentas'], S().placentas ?? ordered().filter(([, p]) => p.placenta === 'out').length) },
    clinic: { name: 'Clinic', for: section, value: () => S().surgery.clinic, panel: () => quick('clinic', page.clinics) },
    incisions: { name: 'Incisions', for: section, value: () => (isNothing(S().surgery.incisions) ? '' : String(S().surgery.incisions)), panel: () => count('incisions', 'incisions', ['surgery', 'incisions'], S().surgery.incisions ?? 1) },
    adhesions: { name: 'Adhesions', for: section, value: () => S().surgery.adhesions, panel: () => quick('adhesions', ['none', 'few', 'many']) },
    build: { name: 'For build', for: section, value: () => S().surgery.build, panel: () => [make('p', {}, 'Was the section needed because of the build of the dam or her puppies?'), choices('build', [['yes', 'yes'], ['no', 'no']], S().surgery.build, (v) => { change('the reason for the section', [[['surgery', 'build'], v]]); kept.look(['look', 'ask'], null); }, 'two')] },
    surgeon: { name: 'Surgeon', for: section, value: () => S().surgery.remarks, panel: () => [typed('surgeon-typed', 'What the surgeon said', S().surgery.remarks, type('the surgeon’s remarks', ['surgery', 'remarks']), { lines: true }), doneKey()] },
    remarks: { name: 'Remarks', value: () => S().remarks, panel: () => [typed('remarks-typed', 'Remarks on the birth, for you alone', S().remarks, type('remarks', ['remarks']), { lines: true }), doneKey()] },
    clear: { name: 'Clear', for: () => false, panel: askClear },
    text: { name: 'The file as text', for: () => false, panel: () => [make('pre', { tabindex: '0', id: 'text-shown', role: 'region', 'aria-label': 'The file as text' }, fileText()), doneKey()] },
  };
  const doneKey = () => keys('one', key('litter-done', 'Done', () => kept.look(['look', 'ask'], null)));

  function quick(field, options) {
    const value = S().surgery[field];
    return [
      make('div', { class: 'keys', role: 'group', 'aria-labelledby': 'ask' }, options.map((one, place) => make('button', { type: 'button', class: 'key', id: `${field}-${place}`, 'aria-pressed': String(one === value), onclick: () => { change(`the ${field}`, [[['surgery', field], one === value ? null : one]]); kept.look(['look', 'ask'], null); } }, one))),
      typed(`${field}-typed`, 'In other words', value, type(`the ${field}`, ['surgery', field])), doneKey(),
    ];
  }
  function count(id, words, path, value) {
    const set = (to) => change(`the ${words}`, [[path, Math.min(30, Math.max(0, to))]]);
    return [make('div', { class: 'keys' }, key(`${id}-less`, '−', () => set(value - 1)), make('p', { class: 'clock', id: `${id}-value` }, String(value)), key(`${id}-more`, '+', () => set(value + 1))),
      keys('two', key(`${id}-none`, 'Not counted', () => { change(`the ${words}`, [[path, null]]); kept.look(['look', 'ask'], null); }), key(`${id}-done`, 'Counted', () => { set(value); kept.look(['look', 'ask'], null); }))];
  }
  function askBegan() {
    const move = (by) => change('the beginning', [[['began'], S().began + by * 1000]]);
    return [make('p', { class: 'clock whole' }, local(S().began, page.zone).time),
      make('div', { class: 'pad' }, key('began-3600', '−1 h', () => move(-3600)), key('began-300', '−5 min', () => move(-300)), key('began-60', '−1 min', () => move(-60)), key('began+60', '+1 min', () => move(60))), doneKey()];
  }

  const fileText = () => BirthFile.text(S(), page);
  const isSaved = () => S().saved !== null && S().saved === fileText();
  const isBegun = () => S().how !== null;

  /** Names stay what they are once they are in a file, so that a second file speaks of the same puppies. */
  function settle() {
    const found = BirthFile.names(S());
    for (const [k] of ordered()) kept.look(['puppies', k, 'id'], found[k]);
    kept.look(['saved'], fileText());
  }
  function saveFile() {
    settle();
    Sheet.save(BirthFile.fileName(S(), page), fileText());
    say('Saved. Look for it among your downloads, and take it in at the computer.');
  }
  async function shareFile() {
    settle();
    const what = Sheet.sharable(BirthFile.fileName(S(), page), fileText());
    try {
      await navigator.share(what);
      say('Handed on.');
    } catch {
      kept.look(['saved'], null);
      say('Nothing was shared; saving the file works as well.');
    }
  }
  function askClear() {
    const saved = isSaved();
    return [
      make('p', {}, `Clear the sheet of ${ordered().length === 1 ? '1 puppy' : `${ordered().length} puppies`}? ${saved ? 'The file of it is saved.' : 'It has not been saved as a file.'}`),
      keys('two', key('clear-no', saved ? 'Keep the sheet' : 'Save the file first', () => { if (!saved) saveFile(); kept.look(['look', 'ask'], null); }), key('clear-yes', saved ? 'Clear it' : 'Clear it all the same', () => { kept.clear(); say('Cleared. What stood here can be brought back until the next clearing.'); })),
    ];
  }

  // --- The screens --------------------------------------------------------------------------------------------------------------------------

  function counts() {
    if (!isBegun()) return fill($('counts'));
    const all = ordered();
    const out = isNothing(S().placentas) ? all.filter(([, p]) => p.placenta === 'out').length : S().placentas;
    const of = page.counted ? ` of ${page.counted.puppies}` : '';
    const last = all.length > 0 ? Math.max(...all.map(([, p]) => p.born)) : null;
    const one = (id, value, words) => make('div', {}, make('dt', {}, words), make('dd', { id }, value));
    return fill($('counts'),
      one('count-puppies', `${all.length}${of}`, all.length === 1 && !of ? 'puppy' : 'puppies'),
      one('count-placentas', String(Math.max(0, all.length - out)), 'placentas to come'),
      last === null ? one('count-since', minutes(S().began), 'since it began') : one('count-since', minutes(last), 'since the last puppy'));
  }

  function notices() {
    const found = [];
    if (!kept.works) found.push(make('p', { class: 'notice pressing', id: 'notice-storage' }, 'This browser keeps nothing here (a private window, or no room left). What you tap is lost when this page closes: save the file often, or use the paper sheet.'));
    if (kept.unreadable) found.push(make('p', { class: 'notice', id: 'notice-unreadable' }, 'What this browser kept of an earlier sheet could not be read; it was put aside.'));
    const jump = S().jumps.at(-1);
    if (jump && jump.seen !== true) {
      found.push(make('div', { class: 'notice pressing', id: 'notice-clock' }, make('p', {}, `The phone’s clock was set back by ${passed(jump.from - jump.to)}, at ${local(jump.from, page.zone).time}. Times from before and after do not fit: look at them.`),
        quiet('clock-seen', 'Seen', () => kept.look(['jumps'], S().jumps.map((one) => ({ ...one, seen: true }))))));
    }
    if (S().look.screen === SCREEN.end && isBegun() && ordered().length > 0 && !isSaved()) found.push(make('p', { class: 'notice', id: 'notice-unsaved' }, S().saved === null ? 'Not saved as a file yet: it is on this phone alone.' : 'Changed since it was saved as a file: save it again.'));
    return found;
  }

  function chip([k, p], place) {
    const stands = p.fate ? p.fate : isNothing(p.breath) ? (runs(p) ? since(p.born, 'chip-clock') : 'no breath noted') : nextAsk(k) ? 'to fill in' : 'filled in';
    return make('li', {}, make('button', { type: 'button', class: 'key chip', id: `chip-${k}`, style: ribbonStyle(p.ribbon), 'aria-current': k === current() ? 'true' : undefined, onclick: () => open(k, nextAsk(k)) },
      make('span', { class: 'chip-who' }, make('span', { class: 'hidden' }, 'Puppy '), String(place + 1), p.ribbon ? ` ${p.ribbon}` : ''), typeof stands === 'string' ? make('span', { class: 'small' }, stands) : stands));
  }

  const line = (id, name, value, now_, act) => make('li', {}, make('button', { type: 'button', class: 'line', id, 'aria-current': now_ ? 'true' : undefined, onclick: act }, make('span', { class: 'label' }, name), make('span', { class: `line-value${value ? '' : ' open'}` }, value || 'not noted')));

  function puppiesBody() {
    const k = current();
    const p = k && S().puppies[k];
    const tray = make('ul', { class: 'tray', 'aria-label': 'Puppies' }, ordered().map(chip));
    if (!p) return [tray, make('p', {}, ordered().length === 0 ? 'When the first puppy is out, tap “Born now”: its clock starts, and the questions follow one by one.' : 'Tap a puppy to fill it in.')];
    return [tray,
      make('div', { class: 'puppy-head', style: ribbonStyle(p.ribbon) }, dot(p.ribbon), make('h2', { id: 'puppy' }, `Puppy ${placeOf(k)}`), make('span', { class: 'small figure' }, `${p.ribbon ?? 'no ribbon'}, born ${shownTime(p.born)}`)),
      make('ul', { 'aria-labelledby': 'puppy' }, Object.entries(ASKS).filter(([, ask]) => ask.for(p)).map(([name, ask]) => line(`line-${name}`, ask.name, name === 'fate' && !p.fate ? 'no loss noted' : ask.value(p), S().look.ask === name, () => open(k, name))))];
  }

  function endBody() {
    const missing = BirthFile.needed(S());
    return [
      make('h2', {}, 'The end of the birth'),
      make('ul', {}, Object.entries(LITTER).filter(([, one]) => (one.for ?? (() => true))()).map(([name, one]) => line(`line-${name}`, one.name, one.value(), S().look.ask === name, () => kept.look(['look', 'ask'], name)))),
      missing.length > 0 ? make('div', { class: 'notice gap', id: 'notice-needed' }, make('p', {}, 'The records will ask for this before they take the file in:'), make('ul', {}, missing.map((words) => make('li', {}, words)))) : null,
    ];
  }

  function cautions() {
    return make('details', { id: 'cautions', class: 'gap' }, make('summary', {}, 'When to call the vet'),
      make('ul', { class: 'cautions' }, page.cautions.map((words) => make('li', {}, words))),
      page.vet ? make('p', {}, `${page.vet.clinic}: `, make('a', { class: 'tap', href: `tel:${page.vet.phone.replaceAll(' ', '')}` }, page.vet.phone)) : make('p', { class: 'small' }, 'kennel.yaml names no emergency vet: write the number on the paper sheet now.'));
  }

  function startBody() {
    return [make('p', {}, 'How are the puppies coming? One tap notes the time and begins the sheet; both can be changed later.'),
      make('p', { class: 'small gap' }, `Everything stays on this phone until you save it as a file. Times are those of ${page.zone}${Intl.DateTimeFormat().resolvedOptions().timeZone === page.zone ? '' : ', whatever zone this phone shows'}. The phone’s clock says ${local(now(), page.zone).time}.`),
      keys('one gap', quiet('print', 'Print the paper sheet', () => print())),
      kept.cleared() ? keys('one gap', quiet('bring-back', 'Bring back the cleared sheet', () => kept.bringBack())) : null];
  }

  // What is opened by hand stays open while the page is drawn anew.
  const wasOpen = (id) => $(id)?.open === true;

  function renderBody() {
    const cautionsOpen = wasOpen('cautions');
    const body = !isBegun() ? startBody() : S().look.screen === SCREEN.end ? endBody() : puppiesBody();
    fill($('body'), notices(), body, cautions());
    $('cautions').open = cautionsOpen;
  }

  function panel() {
    const { ask, screen } = S().look;
    if (screen === SCREEN.end) {
      const asked = LITTER[ask];
      return asked ? [make('div', { class: 'ask-head' }, make('h2', { id: 'ask' }, asked.name)), ...asked.panel()] : [];
    }
    const k = current();
    const p = k && S().puppies[k];
    if (!p) return [];
    const asked = ASKS[ask];
    if (!asked) {
      return [make('h2', { id: 'ask' }, `Puppy ${placeOf(k)}: when there is time`),
        keys('', ...['vigour', 'newborn', 'words'].filter((name) => ASKS[name].for(p)).map((name) => key(`more-${name}`, ASKS[name].name, () => open(k, name))))];
    }
    // The number pad has keys of its own for this.
    const away = ask === 'weight' ? null : asked.open?.(p) ? quiet('later', 'later', () => putOff(k, ask)) : quiet('close', 'close', () => open(k, null));
    const silence = ask === 'breath' && runs(p) && isSlow(p) ? quiet('sound', S().look.silent ? 'sound on' : 'sound off', () => kept.look(['look', 'silent'], !S().look.silent)) : null;
    return [make('div', { class: 'ask-head' }, make('h2', { id: 'ask' }, `${called(k).replace('p', 'P')}: ${asked.name.toLowerCase()}`), silence, away), ...asked.panel(k, p)];
  }

  const undoKey = () => make('button', { type: 'button', class: 'quiet-key', id: 'undo', 'aria-disabled': kept.last() ? undefined : 'true', onclick: undo }, 'Undo', make('span', { class: 'small', id: 'undo-what' }, kept.last() ? ` ${kept.last()}` : ''));
  function renderUndo() { $('undo-what')?.replaceChildren(kept.last() ? ` ${kept.last()}` : ''); }

  /** Every puppy that does not breathe yet and whose clock is not in the question above: its time, and the one key that it needs. */
  function strip() {
    const asked = S().look.screen === SCREEN.puppies && S().look.ask === 'breath' ? current() : null;
    const rows = breathless().filter(([k]) => k !== asked).map(([k, p]) => make('li', { class: `breathless${isSlow(p) ? ' pressing' : ''}`, 'data-born': p.born, style: ribbonStyle(p.ribbon) },
      make('button', { type: 'button', class: 'quiet-key', id: `waits-${k}`, onclick: () => { kept.look(['look'], { ...S().look, screen: SCREEN.puppies }); open(k, 'breath'); } },
        make('span', {}, `Puppy ${placeOf(k)}${p.ribbon ? ` ${p.ribbon}` : ''}, no breath yet`), since(p.born, 'chip-clock')),
      make('button', { type: 'button', class: 'key', id: `breathes-${k}`, onclick: () => { const look = { ...S().look }; answer(k, 'breath', Math.max(0, Math.floor((now() - p.born) / 1000)), undefined, false); kept.look(['look'], look); } }, 'Breathing now')));
    return rows.length > 0 ? make('ul', { class: 'strip', 'aria-label': 'Not breathing yet' }, rows) : null;
  }

  function bar() {
    if (!isBegun()) return [choices('how', HOWS, null, (v) => { change('the beginning', [[['how'], v], [['began'], now()]]); say('The sheet has begun.'); }, 'two')];
    if (S().look.screen === SCREEN.end) {
      const canShare = Boolean(Sheet.sharable(BirthFile.fileName(S(), page), 'x'));
      const asked = Boolean(LITTER[S().look.ask]);
      return [
        asked ? null : make('button', { type: 'button', class: 'main-key', id: 'save', onclick: saveFile }, 'Save the file'),
        asked ? null : keys('', canShare ? key('share', 'Share it', shareFile) : null, key('text', 'See it as text', () => kept.look(['look', 'ask'], 'text')), key('clear', 'Clear this sheet', () => kept.look(['look', 'ask'], 'clear'))),
        make('div', { class: 'bar' }, quiet('back', 'Back to the puppies', () => kept.look(['look'], { ...S().look, screen: SCREEN.puppies, ask: null })), undoKey()),
      ];
    }
    return [
      make('div', { class: 'bar' }, make('button', { type: 'button', class: 'main-key', id: 'born', onclick: bornNow }, 'Born now'), undoKey()),
    ];
  }

  function renderDock() {
    const dock = $('dock');
    const scrolled = dock.querySelector('.panel')?.scrollTop ?? 0;
    const said = $('said') ?? make('p', { class: 'said small', id: 'said', role: 'status' });
    const asked = `${S().look.screen} ${current()} ${S().look.ask} ${S().look.score}`;
    fill(dock, make('div', { class: 'panel' }, (isBegun() ? panel() : [make('h2', { id: 'ask' }, 'Begin now')]).filter(Boolean)), strip(), bar(), said);
    dock.querySelector('.panel').scrollTop = asked === dock.dataset.asked ? scrolled : 0;
    dock.dataset.asked = asked;
  }

  /** The way to the end stands in the head: it is wanted once, and must not be under the thumb all night. */
  function head() {
    $('app').classList.toggle('begun', isBegun());
    const toEnd = isBegun() && S().look.screen !== SCREEN.end;
    const unsaved = ordered().length > 0 && !isSaved();
    fill($('to-end'), toEnd ? quiet('end', unsaved ? 'End, save' : 'End', () => { kept.look(['look'], { ...S().look, screen: SCREEN.end, ask: null }); scrollTo(0, 0); }) : null);
  }

  function render() {
    if (typing) return;
    head();
    counts();
    renderBody();
    renderDock();
  }

  // --- The alarm ----------------------------------------------------------------------------------------------------------------------------

  // A browser gives sound only after a tap, and some phones shake: whichever there is says that a puppy has not breathed. The words stand on the screen either way.
  let sound = null;
  function listen() {
    try { sound ??= new AudioContext(); if (sound.state === 'suspended') sound.resume(); } catch { /* no sound here */ }
  }
  function alarm() {
    try { navigator.vibrate?.([300, 150, 300]); } catch { /* this phone does not shake */ }
    if (!sound || S().look.silent) return;
    for (const start of [0, 0.25]) {
      const tone = sound.createOscillator();
      const level = sound.createGain();
      level.gain.value = 0.2;
      tone.frequency.value = 880;
      tone.connect(level).connect(sound.destination);
      tone.start(sound.currentTime + start);
      tone.stop(sound.currentTime + start + 0.15);
    }
  }
  const rung = {};
  /** Once when a puppy is slow to breathe, and again each half minute. */
  function ring() {
    for (const [k, p] of breathless().filter(([, one]) => isSlow(one))) {
      const round = Math.floor((now() - p.born) / 30_000);
      if (rung[k] === round) continue;
      rung[k] = round;
      // Nothing is drawn anew while letters may be typed.
      if (S().look.ask === 'breath') renderDock();
      for (const row of document.querySelectorAll('.breathless')) row.classList.toggle('pressing', isSlow({ born: Number(row.dataset.born) }));
      alarm();
      say(`Puppy ${placeOf(k)} has not breathed for ${passed(now() - p.born)}`);
    }
  }

  function tick() {
    ring();
    for (const each of document.querySelectorAll('[data-since]')) each.textContent = passed(now() - Number(each.dataset.since));
    for (const each of document.querySelectorAll('[data-minutes]')) each.textContent = inMinutes(Number(each.dataset.minutes));
  }

  render();
  Sheet.measure(document.querySelector('.head'), $('dock'));
  setInterval(tick, 500);
  // A phone that slept shows the right time at once.
  document.addEventListener('visibilitychange', tick);
  addEventListener('beforeunload', (event) => { if (!kept.works && isBegun() && !isSaved()) event.preventDefault(); });
})();
