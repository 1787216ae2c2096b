// Pictures taken at the box. Each is kept on the phone until the desk has taken it in: the bytes in the browser's own store of files, sent in sealed pieces after all that was tapped, and from where they were when a
// connection broke. Used by phone.mjs, which stands below in the same element.

const PIECE = 150_000;
/** Pictures that wait, by id: what is said of each, without its bytes. */
const pictures = new Map();
/** Bytes of those that this browser cannot keep. */
const sparePictures = new Map();

/** Asks the browser's store of files; nothing where there is none. */
function store(mode, ask) {
  return new Promise((done, failed) => {
    let opening = null;
    try { opening = indexedDB.open('litterfolio-phone', 1); } catch (error) { failed(error); return; }
    opening.onupgradeneeded = () => opening.result.createObjectStore('pictures', { keyPath: 'id' });
    opening.onerror = () => failed(opening.error);
    opening.onsuccess = () => {
      const base = opening.result;
      const turn = base.transaction('pictures', mode);
      const asked = ask(turn.objectStore('pictures'));
      turn.oncomplete = () => { base.close(); done(asked.result); };
      turn.onabort = () => { base.close(); failed(turn.error); };
      turn.onerror = turn.onabort;
    };
  });
}

const withoutBytes = ({ bytes, ...rest }) => ({ ...rest, size: bytes.byteLength });
async function readPictures() {
  try {
    for (const each of await store('readonly', (files) => files.getAll())) if (!pictures.has(each.id)) pictures.set(each.id, { ...withoutBytes(each), have: 0 });
    draw(false);
    if (pictures.size > 0) soon(0);
  } catch { /* there is no such store here: a picture is kept while the page is open */ }
}
async function pictureBytes(picture) {
  const spared = sparePictures.get(picture.id);
  return new Uint8Array(spared ?? (await store('readonly', (files) => files.get(picture.id))).bytes);
}

/** Keeps a picture at once, and begins to send. */
async function keepPicture(file, litter, whose, name) {
  const bytes = await file.arrayBuffer();
  const picture = { id: newId(), litter: litter.id, whose, words: `A picture of ${name}, ${wallText()}`, sha256: toHex(sha256(new Uint8Array(bytes))), taken: Date.now(), unfit: '' };
  try {
    await store('readwrite', (files) => files.put({ ...picture, bytes }));
  } catch {
    works = false;
    sparePictures.set(picture.id, bytes);
  }
  pictures.set(picture.id, { ...picture, size: bytes.byteLength, have: 0 });
  say(`Kept: ${picture.words}`);
  go({ form: null });
  soon(0);
}

async function dropPicture(id) {
  pictures.delete(id);
  sparePictures.delete(id);
  await store('readwrite', (files) => files.delete(id)).catch(() => {});
}

const toSend = () => [...pictures.values()].filter((each) => !each.unfit).sort((a, b) => a.taken - b.taken)[0] ?? null;
const pictureWaits = async () => (toSend() ? 0 : null);

/** What is to be said next: a piece, or that the picture is whole. */
async function nextPicture() {
  const picture = toSend();
  if (!picture) return null;
  const { id, litter, words, whose, size } = picture;
  if (picture.have >= size) return { picture, entries: [{ id, act: 'picture', litter, words, fields: [['whose', whose], ['sha256', picture.sha256]] }] };
  const part = (await pictureBytes(picture)).subarray(picture.have, picture.have + PIECE);
  let text = '';
  for (let from = 0; from < part.length; from += 8192) text += String.fromCharCode(...part.subarray(from, from + 8192));
  return { picture, entries: [], piece: { id, size, at: picture.have, bytes: btoa(text) } };
}

/** What the desk said of a piece or of the whole; when to go on, ms. */
async function pictureTold({ picture, piece }, told) {
  if (piece) {
    picture.have = told.piece?.have ?? picture.have;
    if (told.piece?.why) await unfit(picture, told.piece.why);
    return told.piece?.why || told.piece?.have > piece.at ? 0 : 1500;
  }
  const became = told.entries.find((each) => each.id === picture.id);
  if (became?.became === 'later') {
    // It may have to be sent again: the desk says how much it has.
    if (!/being looked at/.test(became.words)) picture.have = 0;
    return 1500;
  }
  if (became?.became === 'unfit') await unfit(picture, became.words);
  else if (became) await dropPicture(picture.id);
  return 0;
}
async function unfit(picture, why) {
  picture.unfit = why;
  const bytes = (await pictureBytes(picture)).buffer;
  const { size, have, ...rest } = picture;
  await store('readwrite', (files) => files.put({ ...rest, bytes })).catch(() => {});
}

// --- What is shown -----------------------------------------------------------------------------------------------------------------------------

function drawPicture(litter) {
  const choices = [...litter.puppies.map((each) => [each.id, each.name]), ['litter', 'The whole litter']];
  const whose = make('select', { id: 'whose' }, choices.map(([id, name]) => make('option', { value: id, selected: id === at.form.whose }, name)));
  const input = make('input', { type: 'file', id: 'picture', accept: 'image/*', capture: 'environment', onchange: async () => {
    const [file] = input.files;
    const [id, name] = choices.find(([known]) => known === whose.value);
    if (file) await keepPicture(file, litter, id, name).catch(() => go({ form: at.form, note: 'This picture cannot be read. Take it once more.' }));
  } });
  return {
    body: [make('h2', { id: 'ask' }, 'A picture'), at.note ? make('p', { class: 'notice', role: 'alert' }, at.note) : null,
      make('form', { onsubmit: (event) => event.preventDefault() }, make('label', { class: 'field' }, make('span', { class: 'label' }, 'Of'), whose), make('label', { class: 'field' }, make('span', { class: 'label' }, 'Take it with the camera'), input)),
      make('p', { class: 'small' }, 'Its family and you may see it. At the desk you can show it to everyone.')],
    dock: [make('div', { class: 'keys one' }, button('back', 'Back', () => go({ form: null })))],
  };
}

/** Pictures that wait, each with a way to save it: some phones keep none that a page took. */
function drawPictures() {
  if (pictures.size === 0) return [];
  const line = (each, place) => make('li', { class: 'task' }, make('p', {}, each.words), make('p', { class: 'small' }, each.unfit || `${Math.floor((each.have / each.size) * 100)} % sent`),
    make('div', { class: 'keys two' }, button(`picture-save-${place}`, 'Save it', async () => Sheet.save(`${each.whose}-${each.id.slice(0, 6)}.jpg`, await pictureBytes(each), 'image/jpeg'), { 'aria-label': `Save it: ${each.words}` }),
      each.unfit ? button(`picture-drop-${place}`, 'Drop it', async () => { await dropPicture(each.id); draw(); }, { 'aria-label': `Drop it: ${each.words}` }) : null));
  return [make('h2', {}, pictures.size === 1 ? 'One picture' : `${pictures.size} pictures`), make('ul', {}, [...pictures.values()].map(line))];
}
