// What pages of the desk do more with script. Every form works without it.
//
// - What was typed and not recorded yet survives a reload (a draft, in this tab alone).
// - A field that is left is looked at by the desk, as if the form were sent; nothing is recorded.
// - A page that answers is read on from its answer.
// - Pictures can be dropped, and what cannot be read is told before it is sent.
'use strict';

(() => {
  const announced = document.createElement('p');
  announced.className = 'hidden';
  announced.setAttribute('role', 'status');
  document.querySelector('main')?.append(announced);

  /** An element with words in it. */
  function make(tag, kind, ...inside) {
    const element = document.createElement(tag);
    if (kind) element.className = kind;
    element.append(...inside);
    return element;
  }

  /** What a field is called. */
  function called(field) {
    const block = field.closest('.field');
    const label = field.labels?.[0] ?? block?.querySelector('label, .name');
    const words = [...(label?.childNodes ?? [])].filter((node) => node.nodeType === Node.TEXT_NODE);
    return words.map((node) => node.textContent.trim()).join(' ').trim() || field.name;
  }

  /** The fields of a form in which something can be typed or chosen. */
  const fieldsOf = (form) =>
    [...form.elements].filter((field) => field.name && !['hidden', 'file', 'submit', 'password', 'fieldset', 'button'].includes(field.type));

  const isTicked = (field) => field.type === 'checkbox' || field.type === 'radio';
  const stands = (field) => (isTicked(field) ? String(field.checked) : field.value);

  /** What stood in a field when the page came. */
  function stood(field) {
    if (isTicked(field)) return String(field.defaultChecked);
    if (field.type !== 'select-one') return field.defaultValue;
    const chosen = [...field.options].find((option) => option.defaultSelected);
    return (chosen ?? field.options[0])?.value ?? '';
  }

  function put(field, value) {
    if (isTicked(field)) field.checked = value === 'true';
    else field.value = value;
    for (let at = field.closest('details'); at; at = at.parentElement.closest('details')) at.open = true;
  }

  // Drafts.

  const DRAFT = 'litterfolio draft ';

  function kept(key) {
    try {
      return JSON.parse(sessionStorage.getItem(key)) ?? null;
    } catch {
      return null;
    }
  }

  function keep(key, draft) {
    try {
      if (draft) sessionStorage.setItem(key, JSON.stringify(draft));
      else sessionStorage.removeItem(key);
    } catch {
      // A browser that keeps nothing: the form works as it does without script.
    }
  }

  /** A form that was sent and led on was recorded: its draft goes. Otherwise it stays. */
  function dropRecorded() {
    const isRecorded = new URLSearchParams(location.search).has('saved');
    try {
      for (const key of Object.keys(sessionStorage).filter((key) => key.startsWith(DRAFT))) {
        const draft = kept(key);
        if (!draft?.isSent) continue;
        keep(key, isRecorded ? null : { ...draft, isSent: false });
      }
    } catch {
      // As above.
    }
  }

  const name = (form, field) => {
    const alike = fieldsOf(form).filter((other) => other.name === field.name);
    return `${field.name} ${alike.indexOf(field)}`;
  };

  function watchDraft(form) {
    const key = DRAFT + form.getAttribute('action');
    // What belongs to the text that the form was made from.
    const base = [...form.elements].filter((field) => field.type === 'hidden' && ['was', 'mark'].includes(field.name));
    // A page that says what is in the way shows what was typed already: what was touched before it was sent counts on.
    const isRefused = document.querySelector('.notice[role="alert"]') !== null;
    const before = new Set(isRefused ? Object.keys(kept(key)?.fields ?? {}) : []);
    const save = () => {
      const touched = fieldsOf(form).filter((field) => stands(field) !== stood(field) || before.has(name(form, field)));
      const draft = {
        fields: Object.fromEntries(touched.map((field) => [name(form, field), stands(field)])),
        base: Object.fromEntries(base.map((field) => [field.name, field.value])),
      };
      keep(key, touched.length > 0 ? draft : null);
    };
    const draft = isRefused ? null : kept(key);
    if (draft) restore(form, key, draft, base);
    if (isRefused) save();
    form.addEventListener('input', save);
    form.addEventListener('submit', () => {
      save();
      const now = kept(key);
      if (now) keep(key, { ...now, isSent: true });
    });
  }

  function restore(form, key, draft, base) {
    const known = new Map(fieldsOf(form).map((field) => [name(form, field), field]));
    const again = Object.entries(draft.fields).filter(([field, value]) => known.has(field) && stands(known.get(field)) !== value);
    if (again.length === 0) {
      keep(key, null);
      return;
    }
    for (const [field, value] of again) put(known.get(field), value);
    // So that what others changed meanwhile is joined with it, or shown beside it.
    for (const field of base) field.value = draft.base[field.name] ?? field.value;
    const leave = make('button', 'quiet', 'Leave it out');
    leave.type = 'button';
    const words = 'What you typed here before stands in the form again. It is not recorded yet.';
    const notice = make('div', 'notice draft', make('p', '', words), leave);
    notice.setAttribute('role', 'status');
    leave.addEventListener('click', () => {
      keep(key, null);
      location.reload();
    });
    form.before(notice);
  }

  // Fields that are looked at while others are still to be filled in.

  function watchSlips(form) {
    const touched = new Set();
    let asking = null;
    let waiting = 0;

    async function ask() {
      asking?.abort();
      asking = new AbortController();
      const sent = new URLSearchParams(new FormData(form));
      sent.set('try', 'yes');
      let page = null;
      try {
        const answer = await fetch(form.action, { method: 'POST', body: sent, signal: asking.signal, redirect: 'error' });
        if (answer.status === 200) page = new DOMParser().parseFromString(await answer.text(), 'text/html');
        else if (answer.status !== 204) return;
      } catch {
        return; // The desk is away, or asked again meanwhile: sending the form says the rest.
      }
      for (const field of touched) show(field, page);
    }

    function show(field, page) {
      const block = field.closest('.field');
      if (!block) return;
      const alike = page?.getElementById('form')?.elements.namedItem(field.name);
      const found = (alike instanceof RadioNodeList ? alike[0] : alike)?.closest('.field');
      const slips = [...(found?.querySelectorAll('.problem') ?? [])].map((slip) => document.importNode(slip, true));
      const before = [...block.querySelectorAll('.problem')];
      const words = (all) => all.map((slip) => slip.textContent).join(' ');
      if (words(before) === words(slips)) return;
      for (const slip of before) slip.remove();
      const told = block.querySelector(':scope > [id^="h."]:is(div)') ?? block;
      const twice = told.querySelector(':scope > .twice');
      for (const slip of slips) {
        slip.id = '';
        if (twice) twice.before(slip);
        else told.append(slip);
      }
      block.classList.toggle('wrong', slips.length > 0);
      describe(block, field, slips);
      if (slips.length > 0) announced.textContent = `${called(field)}: ${words(slips)}`;
      else announced.textContent = '';
    }

    /** Says of a field what is wrong with it to those who cannot see it. */
    function describe(block, field, slips) {
      if (slips.length > 0) field.setAttribute('aria-invalid', 'true');
      else field.removeAttribute('aria-invalid');
      if (block.querySelector(':scope > div[id^="h."]')) return;
      const own = `t.${field.id || field.name}`;
      const others = (field.getAttribute('aria-describedby') ?? '').split(' ').filter((id) => id && id !== own);
      if (slips.length > 0) {
        slips[0].id = own;
        others.push(own);
      }
      if (others.length > 0) field.setAttribute('aria-describedby', others.join(' '));
      else field.removeAttribute('aria-describedby');
    }

    form.addEventListener('change', (event) => {
      if (!event.target.name || event.target.type === 'file') return;
      touched.add(event.target);
      clearTimeout(waiting);
      waiting = setTimeout(ask, 150);
    });
    form.addEventListener('submit', () => {
      clearTimeout(waiting);
      asking?.abort();
    });
  }

  // Pictures.

  /** The most bytes that are taken in at once. */
  const MOST = 256 * 1024 * 1024;

  /** What the first bytes of a file say of it: nothing when it can be read here. */
  async function foreign(file) {
    const bytes = new Uint8Array(await file.slice(0, 32).arrayBuffer());
    const text = String.fromCharCode(...bytes);
    const isOurs = text.startsWith('\xff\xd8\xff') || text.startsWith('\x89PNG\r\n\x1a\n') || (text.startsWith('RIFF') && text.slice(8, 12) === 'WEBP');
    if (isOurs) return '';
    if (bytes.length === 0) return 'This file is empty.';
    const brand = text.slice(4, 8) === 'ftyp' ? text.slice(8, 12) : '';
    if (/^(hei|hev|mif|msf)/.test(brand)) {
      return 'This is in the format of some phones (HEIC), which cannot be read here. Send it to yourself as JPEG, or set the camera to “most compatible”.';
    }
    if (brand) return 'This is a film or a format of its own, which cannot be read here. Save it as JPEG.';
    if (/^(II\*\0|MM\0\*|IIU\0|FUJIFILM)/.test(text)) return 'This is a camera’s raw picture or a TIFF, which cannot be read here. Save it as JPEG.';
    return 'This is no picture that can be read here: JPEG, PNG and WebP can.';
  }

  const size = (bytes) => (bytes < 100_000 ? `${Math.max(1, Math.round(bytes / 1000))} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`);

  function watchPictures(input) {
    const block = input.closest('.field');
    const list = make('ul', 'chosen');
    block.append(list);
    let turn = 0;

    function choose(files) {
      const all = new DataTransfer();
      for (const file of files) all.items.add(file);
      input.files = all.files;
      void shown();
    }

    async function shown() {
      const mine = ++turn;
      const files = [...input.files];
      const whys = await Promise.all(files.map((file) => foreign(file).catch(() => 'This file cannot be read.')));
      if (mine !== turn) return;
      const rows = files.map((file, at) => {
        const leave = make('button', 'quiet', 'Leave out');
        leave.type = 'button';
        leave.setAttribute('aria-label', `Leave out: ${file.name}`);
        leave.addEventListener('click', () => {
          choose(files.filter((_, other) => other !== at));
          input.focus();
        });
        const row = make('li', '', make('span', 'where', `${file.name}, ${size(file.size)}`), leave);
        if (whys[at]) row.append(make('p', 'problem', whys[at]));
        return row;
      });
      const sum = files.reduce((bytes, file) => bytes + file.size, 0);
      if (sum > MOST) rows.push(make('li', '', make('p', 'problem', `These are ${size(sum)} together; up to ${size(MOST)} can be sent at once.`)));
      list.replaceChildren(...rows);
      const odd = whys.filter(Boolean).length;
      if (files.length > 0) announced.textContent = `${files.length} chosen${odd > 0 ? `, ${odd} of them cannot be read here` : ''}.`;
    }

    input.addEventListener('change', () => void shown());
    const isOfFiles = (event) => [...(event.dataTransfer?.types ?? [])].includes('Files');
    let above = 0;
    const mark = () => document.body.classList.toggle('dropping', above > 0);
    addEventListener('dragenter', (event) => {
      if (!isOfFiles(event)) return;
      above += 1;
      mark();
    });
    addEventListener('dragleave', (event) => {
      if (!isOfFiles(event)) return;
      above = Math.max(0, above - 1);
      mark();
    });
    addEventListener('dragover', (event) => {
      if (isOfFiles(event)) event.preventDefault();
    });
    // Wherever it is dropped: a browser would open it in place of the page.
    addEventListener('drop', (event) => {
      if (!isOfFiles(event)) return;
      event.preventDefault();
      above = 0;
      mark();
      choose([...input.files, ...event.dataTransfer.files]);
    });
    if (input.files.length > 0) void shown();
  }

  /** Where a page answers, the Tab key goes on from what it says: from the field that is in the way, or from what was recorded. */
  function goOn() {
    const refused = document.querySelector('.notice[role="alert"]');
    const at = (refused && document.querySelector('main form [aria-invalid="true"]')) ?? refused ?? document.querySelector('.notice[role="status"]');
    if (!at || location.hash) return;
    if (at.matches('.notice')) at.tabIndex = -1;
    for (let box = at.closest('details'); box; box = box.parentElement.closest('details')) box.open = true;
    at.focus({ preventScroll: at.matches('.notice') });
  }

  dropRecorded();
  goOn();
  for (const form of document.querySelectorAll('form[data-tried]')) {
    watchDraft(form);
    watchSlips(form);
  }
  const pictures = document.querySelector('form[enctype] input[type="file"][multiple]');
  if (pictures) watchPictures(pictures);
})();
