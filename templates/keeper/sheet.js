// What every sheet for the phone is made of. It works from a file with no network: what is tapped is kept in the browser's own storage at once, can be taken back, and leaves
// the phone as a file that the keeper saves or shares. A sheet's own script stands below this one, in the same element.
'use strict';

const Sheet = (() => {
  /** An element: `on…` are listeners, `style` holds custom properties, true and false switch attributes, all else is an attribute. */
  function make(tag, has = {}, ...kids) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(has)) {
      if (value === undefined || value === null || value === false) continue;
      if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
      else if (name === 'style') for (const [property, colour] of Object.entries(value)) element.style.setProperty(property, colour);
      else if (name === 'value') element.value = value;
      else element.setAttribute(name, value === true ? '' : value);
    }
    element.append(...kids.flat().filter((kid) => kid !== null && kid !== undefined && kid !== false));
    return element;
  }

  /** Fills an element anew; whoever had the focus has it again, found by its id. */
  function fill(root, ...kids) {
    const focused = document.activeElement && root.contains(document.activeElement) ? document.activeElement.id : '';
    root.replaceChildren(...kids.flat().filter(Boolean));
    const again = focused && document.getElementById(focused);
    if (again) again.focus({ preventScroll: true });
  }

  const copy = (value) => (value === undefined ? undefined : JSON.parse(JSON.stringify(value)));
  const MOST_STEPS = 400;

  function storage() {
    try {
      const probe = 'litterfolio-probe';
      localStorage.setItem(probe, '1');
      localStorage.removeItem(probe);
      return localStorage;
    } catch {
      return null;
    }
  }

  /**
   * Keeps a sheet. `kept.state` is plain data; it changes through `set` alone, which stores it at once and remembers the step, so that `undo` can take it back. `kept.works` says whether
   * anything is stored at all; `changed` is called after every change, from this window or another.
   */
  function keep(key, fresh, changed) {
    const store = storage();
    const kept = { state: copy(fresh), steps: [], works: store !== null, unreadable: false };

    function read(text) {
      const { state, steps } = JSON.parse(text);
      if (typeof state !== 'object' || state === null || !Array.isArray(steps)) throw new Error('not a sheet');
      kept.state = { ...copy(fresh), ...state };
      kept.steps = steps;
    }

    function load() {
      const text = store && store.getItem(key);
      if (!text) return;
      try {
        read(text);
      } catch {
        // Put aside, so that the next tap does not write over what somebody may still read.
        kept.unreadable = true;
        store.setItem(`${key}-unreadable`, text);
      }
    }

    function write() {
      if (!store) return;
      try {
        store.setItem(key, JSON.stringify({ state: kept.state, steps: kept.steps }));
        kept.works = true;
      } catch {
        kept.works = false;
      }
    }

    /** Puts a value at a path and gives back what was there. */
    function put(path, value) {
      let place = kept.state;
      for (const step of path.slice(0, -1)) place = place[step] ??= {};
      const last = path[path.length - 1];
      const before = copy(place[last]);
      if (value === undefined) delete place[last];
      else place[last] = copy(value);
      return before;
    }

    /** Changes one value. `words` says what, for the undo button. With `typing`, letters typed into one field are one step. */
    kept.set = (words, path, value, typing = false) => kept.setAll(words, [[path, value]], typing);
    kept.setAll = (words, changes, typing = false) => {
      const last = kept.steps[kept.steps.length - 1];
      const merges = typing && last && last.typing && JSON.stringify(last.was[0][0]) === JSON.stringify(changes[0][0]);
      const was = changes.map(([path, value]) => [path, put(path, value) ?? null]);
      if (!merges) kept.steps.push({ words, was, typing });
      kept.steps.splice(0, kept.steps.length - MOST_STEPS);
      write();
      changed();
    };

    /** What the window shows, such as which puppy is open: kept, but no step. */
    kept.look = (path, value) => {
      put(path, value);
      write();
      changed();
    };

    kept.undo = () => {
      const step = kept.steps.pop();
      if (!step) return null;
      for (const [path, value] of step.was.slice().reverse()) put(path, value === null ? undefined : value);
      write();
      changed();
      return step.words;
    };
    kept.last = () => (kept.steps.length > 0 ? kept.steps[kept.steps.length - 1].words : null);

    /** Empties the sheet; what stood on it is put aside until the next clearing. */
    kept.clear = () => {
      if (store) {
        try { store.setItem(`${key}-before`, JSON.stringify({ state: kept.state, steps: kept.steps })); } catch { /* no room: the sheet is cleared all the same */ }
      }
      kept.state = copy(fresh);
      kept.steps = [];
      if (store) store.removeItem(key);
      changed();
    };
    kept.cleared = () => Boolean(store && store.getItem(`${key}-before`));
    kept.bringBack = () => {
      try {
        read(store.getItem(`${key}-before`));
        write();
        store.removeItem(`${key}-before`);
      } catch { /* what was put aside cannot be read; the sheet stays as it is */ }
      changed();
    };

    load();
    // Another window of the same sheet changed it: this one follows.
    addEventListener('storage', (event) => {
      if (event.key !== key) return;
      if (event.newValue) { try { read(event.newValue); } catch { return; } } else { kept.state = copy(fresh); kept.steps = []; }
      changed();
    });
    return kept;
  }

  /** Now, in whole seconds: milliseconds since 1970, as stamps are kept. */
  const now = () => Math.floor(Date.now() / 1000) * 1000;

  const formats = new Map();
  /** Day and time of a stamp on the kennel's wall: { day: '2026-11-08', time: '09:14:32' }. */
  function local(stamp, zone) {
    if (!formats.has(zone)) {
      formats.set(zone, new Intl.DateTimeFormat('en-GB', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23' }));
    }
    const parts = Object.fromEntries(formats.get(zone).formatToParts(stamp).map((part) => [part.type, part.value]));
    return { day: `${parts.year}-${parts.month}-${parts.day}`, time: `${parts.hour}:${parts.minute}:${parts.second}` };
  }

  /** The stamps that show this day and time on the kennel's wall: none, one, or two where clocks go back. */
  function stamps(day, time, zone) {
    const wanted = Date.parse(`${day}T${time}Z`);
    const found = [];
    for (let shift = -14 * 3600; shift <= 14 * 3600; shift += 900) {
      const stamp = wanted - shift * 1000;
      const shown = local(stamp, zone);
      if (shown.day === day && shown.time === time) found.push(stamp);
    }
    return [...new Set(found)].sort((a, b) => a - b);
  }

  /** The stamp that shows this time and lies nearest to `near`; nothing when clocks jumped over it. */
  function stampNear(time, near, zone) {
    const days = [-1, 0, 1].map((days) => local(near + days * 86_400_000, zone).day);
    const all = [...new Set(days)].flatMap((day) => stamps(day, time, zone));
    return all.sort((a, b) => Math.abs(a - near) - Math.abs(b - near))[0] ?? null;
  }

  /** Time that passed, as a clock shows it: `0:42`, `12:05`, `1 h 02`. */
  function passed(milliseconds) {
    const seconds = Math.max(0, Math.floor(milliseconds / 1000));
    const two = (number) => String(number).padStart(2, '0');
    if (seconds < 3600) return `${Math.floor(seconds / 60)}:${two(seconds % 60)}`;
    return `${Math.floor(seconds / 3600)} h ${two(Math.floor((seconds % 3600) / 60))}`;
  }

  /** Keys of which one may be chosen; tapping the chosen one again takes it back. `options`: [value, words, small words, more attributes]. */
  function choices(id, options, chosen, pick, shape = '') {
    return make('div', { class: `keys ${shape}`, role: 'group', 'aria-labelledby': 'ask' }, options.map(([value, words, small, more]) =>
      make('button', { type: 'button', class: 'key', id: `${id}-${String(value).replaceAll(' ', '-')}`, 'aria-pressed': String(value === chosen), onclick: () => pick(value === chosen ? null : value), ...more },
        words, small ? make('span', { class: 'small' }, small) : null)));
  }

  /** `7 3/4` and `7.5` as numbers; nothing where it is none. */
  function number(text) {
    const [, whole, top, bottom] = /^(\d*\.?\d*)(?:\s*(\d)\/(\d))?$/.exec(text.trim()) ?? [];
    if (whole === undefined || (whole === '' && top === undefined) || whole === '.') return null;
    return Number(whole || 0) + (top ? Number(top) / Number(bottom) : 0);
  }

  const GRAMS = { g: 1, oz: 28.349523125, lb: 453.59237 };
  /** A weight in grams from what was typed on the pad: `231`, `8 1/4`, `1 lb 2`. */
  function grams(typed, unit) {
    const [, pounds, rest] = /^(?:(\d+) lb ?)?(.*)$/.exec(typed);
    const value = rest === '' && pounds ? 0 : number(rest);
    return value === null ? null : Number(pounds ?? 0) * GRAMS.lb + value * GRAMS[unit];
  }

  /** What stands on the pad after one more key; the same when the key makes no sense there. */
  function pressed(typed, key) {
    const last = typed.split(/ lb ?/).at(-1);
    if (key === 'lb') return /^\d+$/.test(typed) ? `${typed} lb ` : typed;
    if (key.includes('/')) return /[./]/.test(last) ? typed : `${typed.trimEnd()} ${key}`.trim();
    if (last.includes('/') || (key === '.' && (last === '' || last.includes('.')))) return typed;
    return last.replace('.', '').length + key.length > 6 ? typed : `${typed}${key}`;
  }

  /** What stands on the pad after the last key was taken back. */
  const lessOne = (typed) => typed.replace(/( lb | ?\d\/\d|.)$/, '').trimEnd();

  const FRACTIONS = [['1/4', '¼'], ['1/2', '½'], ['3/4', '¾']];

  /**
   * The number pad of every sheet, for weights in g or oz. `type(typed, unit)` is told of every key; `pass` goes on without a weight, `keep` takes what was typed. Each of the two is
   * `{ id, words, act }`, and `keep.off` says that there is nothing to take yet.
   */
  function pad({ typed, unit, type, pass, keep }) {
    const key = (words, name, act, label, shape = '') => make('button', { type: 'button', class: `key ${shape}`, id: `pad-${name}`, 'aria-label': label, onclick: act }, words);
    const add = (one) => () => type(pressed(typed, one), unit);
    const digit = (one) => key(one, one, add(one));
    const other = unit === 'g' ? 'oz' : 'g';
    const ounces = unit === 'oz' ? [...FRACTIONS.map(([name, sign]) => key(sign, name.replace('/', '-'), add(name), `and ${name} ounce`)), key('lb', 'lb', add('lb'), undefined, 'word')] : [];
    return make('div', { class: 'pad', role: 'group', 'aria-label': 'Number pad' },
      ['1', '2', '3'].map(digit), key(`in ${other}`, 'unit', () => type('', other), undefined, 'word'),
      ['4', '5', '6'].map(digit), key('⌫', 'back', () => type(lessOne(typed), unit), 'Take back the last key'),
      ['7', '8', '9'].map(digit), key('.', 'point', add('.'), 'point'),
      ounces,
      make('button', { type: 'button', class: 'key word', id: pass.id, onclick: pass.act }, pass.words), digit('0'),
      make('button', { type: 'button', class: 'key word chosen wide', id: keep.id, 'aria-disabled': keep.off ? 'true' : undefined, onclick: () => { if (!keep.off) keep.act(); } }, keep.words));
  }

  /** A YAML scalar that reads back as exactly this text. */
  function scalar(value) {
    if (typeof value === 'number' || typeof value === 'boolean') return String(value);
    const plain = /^[A-Za-z][A-Za-z0-9 ()\/.'°-]*$/.test(value) || /^\d{4}-\d\d-\d\d$/.test(value) || /^\d+(\.\d+)?( \d\/\d)? [a-z]+( \d+ [a-z]+)?$/.test(value);
    const word = /^(true|false|yes|no|on|off|null|y|n)$/i.test(value) || /\s$/.test(value);
    return plain && !word ? value : JSON.stringify(value).replace(/[\u007f-\u009f\u2028\u2029]/g, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`);
  }

  /** What no record may hold, taken out of typed text: characters that cannot be seen. */
  const clean = (text) => text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff]/g, '').trim();

  /** Hands a text to the keeper as a file. */
  function save(name, text, type = 'application/yaml') {
    const address = URL.createObjectURL(new Blob([text], { type }));
    const link = make('a', { href: address, download: name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
  }

  /** The file in a shape that this phone can share; nothing where it can share none. */
  function sharable(name, text, type = 'application/yaml') {
    const shapes = [[name, type], [name.replace(/\.\w+$/, '.txt'), 'text/plain']];
    if (!navigator.canShare) return null;
    return shapes.map(([named, kind]) => ({ files: [new File([text], named, { type: kind })] })).find((one) => { try { return navigator.canShare(one); } catch { return false; } }) ?? null;
  }

  /** Words for whoever hears the page. */
  function say(words) {
    const place = document.getElementById('said');
    if (place) place.textContent = words;
  }

  /** The room that head and dock take: the dock ends below the head, and nothing that has the focus is hidden behind either. */
  function measure(head, dock) {
    const told = () => {
      const stands = getComputedStyle(head).position === 'sticky';
      document.documentElement.style.setProperty('--head', `${stands ? head.offsetHeight + 4 : 8}px`);
      document.documentElement.style.setProperty('--dock', `${dock.offsetHeight + 8}px`);
    };
    const watcher = new ResizeObserver(told);
    watcher.observe(head);
    watcher.observe(dock);
    told();
  }

  const data = () => JSON.parse(document.getElementById('sheet-data').textContent);

  return { make, fill, keep, now, local, stamps, stampNear, passed, choices, number, grams, pressed, lessOne, pad, scalar, clean, save, sharable, say, measure, data };
})();
