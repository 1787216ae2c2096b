// The rest of an owner's page: the form, the code in the address, and what is done with a record once open.js has opened it. In: the elements of owner/locked.html, and the record:
// { title, ribbon, body, files: [{ name, type, label, base64 }], zip, pictures: [{ name, at, length }] }. It asks no network and keeps nothing: closing the page locks it.

const DAY = 86400000;
const find = (id) => document.getElementById(id);
const sentence = (words) => `${words[0].toUpperCase()}${words.slice(1)}.`;
// Said after CLOSED to everybody, whatever the cause: which it was, nobody shall learn from the page.
const PERHAPS = "If the code is certainly right, this file may be damaged or incomplete: load the page again, or ask the kennel.";
// Days after the end of its dates on which an item of the plan still stands in the open.
const SHOWN_AFTER = 30;
const AROUND = "[\\s\"'`´“”„‟‘’‚‛«»‹›.,;…()<>\\[\\]]+";

/** What keeps this browser from opening the page here: the id of the element that says what to do; nothing when it can. */
function hindrance() {
  if (!globalThis.crypto?.subtle) return globalThis.isSecureContext === false ? "unsafe" : "old";
  try {
    return new DecompressionStream("deflate-raw") && null;
  } catch {
    return "old";
  }
}

// The form.

let busy = false;

function say(words, wrong) {
  find("said").textContent = words;
  find("code").setAttribute("aria-invalid", String(wrong));
  if (wrong) find("code").focus();
}

/** The button stays where the focus can rest on it, and does nothing meanwhile. */
function wait(waiting) {
  busy = waiting;
  find("try").setAttribute("aria-disabled", String(waiting));
  find("open").setAttribute("aria-busy", String(waiting));
}

/** A code freed of what people copy along with it: a whole link, “code:” before it, quotes and full stops around it, letters of full width. What a code is, readCode decides. */
function freed(typed) {
  const bare = (text) => text.replace(new RegExp(`^${AROUND}|${AROUND}$`, "gu"), "");
  const text = bare(bare(typed).normalize("NFKC"));
  const link = text.indexOf("#");
  // The address of a page alone holds no code.
  if (link < 0 && /^https?:\/\//i.test(text)) return "";
  if (link < 0) return bare(text.replace(/^[\p{L}\s]+:/u, ""));
  const code = text.slice(link + 1);
  try {
    return bare(decodeURIComponent(code));
  } catch {
    return bare(code);
  }
}

async function tryCode(typed) {
  if (busy) return;
  const code = freed(typed);
  if ([...code].every((c) => SEPARATORS.test(c))) return say("Please type the access code.", true);
  const read = readCode(code);
  if (read.problem) return say(sentence(read.problem), true);
  wait(true);
  say("Opening the page. This takes a second or two.", false);
  let record;
  try {
    record = JSON.parse(new TextDecoder().decode(await openSealed(find("sealed").textContent, read.password)));
  } catch {
    // One wording, whatever the reason.
    wait(false);
    return say(`${sentence(CLOSED)} ${PERHAPS}`, true);
  } finally {
    read.password.fill(0);
  }
  show(record);
}

// The open page.

function show(record) {
  // Parsed apart from this page first: nothing in there can run, whatever it holds.
  const opened = new DOMParser().parseFromString(record.body, "text/html");
  document.title = record.title;
  if (record.ribbon) document.documentElement.style.setProperty("--ribbon", record.ribbon);
  document.body.replaceChildren(...opened.body.childNodes);
  const files = new Map(record.files.map((file) => [file.name, new Blob([bytesOf(file.base64)], { type: file.type })]));
  offerFiles(files);
  showPictures(record, files);
  sayToday();
  find("lock")?.addEventListener("click", lock);
  scrollTo(0, 0);
  document.querySelector("h1")?.focus({ preventScroll: true });
}

/** Bytes from base64. */
function bytesOf(base64) {
  const binary = atob(base64);
  const bytes = new Uint8Array(binary.length);
  for (let place = 0; place < binary.length; place++) bytes[place] = binary.charCodeAt(place);
  return bytes;
}

function offerFiles(files) {
  for (const link of document.querySelectorAll("a[data-file]")) {
    const file = files.get(link.dataset.file);
    if (file) link.href = URL.createObjectURL(file);
  }
}

/** Pictures lie in the file of photos as they are. */
function showPictures(record, files) {
  const zip = files.get(record.zip);
  const places = new Map(zip ? record.pictures.map((picture) => [picture.name, picture]) : []);
  for (const image of document.querySelectorAll("img[data-picture]")) {
    const place = places.get(image.dataset.picture);
    if (place) image.src = URL.createObjectURL(zip.slice(place.at, place.at + place.length, "image/jpeg"));
    else image.remove();
  }
}

/** Forgets everything that was opened by loading the page again. */
function lock() {
  clearAddress();
  location.reload();
}

// What depends on today. The dates beside it are true without it.

const many = (n, unit) => (n === 1 ? `1 ${unit}` : `${n} ${unit}s`);
const dayOf = (iso) => Math.floor(Date.parse(`${iso}T00:00:00Z`) / DAY);

/** The day that the reader's calendar shows. */
function thisDay() {
  const now = new Date();
  return Math.floor(Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()) / DAY);
}

/** Whole months of the calendar; a birthday that its month does not have falls on that month's last day. */
function months(born, on) {
  const [from, to] = [born, on].map((day) => new Date(day * DAY));
  const apart = (to.getUTCFullYear() - from.getUTCFullYear()) * 12 + to.getUTCMonth() - from.getUTCMonth();
  const last = new Date(Date.UTC(to.getUTCFullYear(), to.getUTCMonth() + 1, 0)).getUTCDate();
  return to.getUTCDate() < Math.min(from.getUTCDate(), last) ? apart - 1 : apart;
}

/** An age in the words of the program; nothing for a clock that runs behind. */
function ageInWords(born, on) {
  const [age, grown] = [on - born, months(born, on)];
  if (age < 0) return "";
  if (age === 0) return "born today";
  if (age < 14) return `${many(age, "day")} old today`;
  if (grown < 6) return `${many(Math.floor(age / 7), "week")}${age % 7 === 0 ? "" : ` and ${many(age % 7, "day")}`} old today`;
  return `now ${grown === 12 || grown >= 24 ? many(Math.floor(grown / 12), "year") : many(grown, "month")} old`;
}

function dueInWords(from, until, on) {
  const last = new Date(until * DAY).toLocaleDateString(document.querySelector("main").dataset.dates ?? "en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });
  const over = from === until ? "this date has passed" : `the last day, ${last}, has passed`;
  if (on > until) return `${over}: the vet’s later papers say whether it was done`;
  if (on === until) return "due today";
  if (on >= from) return `due now, by ${last}`;
  if (from - on === 1) return from === until ? "tomorrow" : "from tomorrow";
  return `in ${from - on} days`;
}

function sayToday() {
  const today = thisDay();
  const add = (place, words, more) => {
    place.textContent = words && ` (${words})`;
    place.classList.toggle("due", Boolean(more));
  };
  for (const place of document.querySelectorAll("[data-born]")) add(place, ageInWords(dayOf(place.dataset.born), today));
  for (const place of document.querySelectorAll("[data-from]")) {
    const [from, until] = [dayOf(place.dataset.from), dayOf(place.dataset.until)];
    add(place, dueInWords(from, until, today), today >= from && today <= until + SHOWN_AFTER);
  }
  for (const word of document.querySelectorAll("[data-over]")) {
    if (today > dayOf(word.dataset.over)) word.textContent = word.dataset.then;
  }
  sayUnrecorded(today);
  foldEarlier(today);
}

/** What the breeder had to see to before the puppy left, and has no entry here, is not recorded from the day of leaving on: it goes from what comes next to there. */
function sayUnrecorded(today) {
  for (const word of document.querySelectorAll("[data-left]")) word.hidden = today < dayOf(word.dataset.left);
  for (const item of document.querySelectorAll("[data-stays]")) {
    if (today >= dayOf(item.dataset.stays)) item.remove();
  }
}

/** What was planned for days that are long over leaves the card for the vet, and is folded where the plan stands. */
function foldEarlier(today) {
  const over = (item) => today > dayOf(item.querySelector("[data-until]").dataset.until) + SHOWN_AFTER;
  for (const list of document.querySelectorAll("[data-next]")) {
    const next = [...list.children].filter((item) => !over(item)).slice(0, Number(list.dataset.next));
    for (const item of list.children) item.hidden = !next.includes(item);
    if (next.length === 0) instead(list);
  }
  const folded = document.querySelector("[data-earlier]");
  if (!folded) return;
  const lists = [...document.querySelectorAll("[data-planned]")];
  const earlier = lists.flatMap((list) => [...list.children]).filter(over);
  folded.querySelector("ul").append(...earlier);
  folded.hidden = earlier.length === 0;
  for (const list of lists.filter((each) => each.children.length === 0)) {
    list.previousElementSibling.hidden = true;
    list.hidden = true;
  }
  if (lists.every((list) => list.hidden)) instead(lists.at(-1));
}

/** Shows the words that stand ready for an empty list. */
function instead(list) {
  list.hidden = true;
  const words = list.parentElement.querySelector(":scope > [data-none]");
  if (words) words.hidden = false;
}

// What is folded is unfolded for paper, and folded again afterwards.

addEventListener("beforeprint", () => {
  for (const folded of document.querySelectorAll("details:not([open])")) {
    folded.dataset.folded = "";
    folded.open = true;
  }
});
addEventListener("afterprint", () => {
  for (const unfolded of document.querySelectorAll("details[data-folded]")) {
    unfolded.open = false;
    delete unfolded.dataset.folded;
  }
});

// Here it begins.

{
  // Whoever reads this has the whole page.
  find("unfinished")?.remove();
  const code = codeFromAddress();
  const hindered = hindrance();
  if (hindered) {
    find(hindered).hidden = false;
    const safely = find("safely");
    // What stands after # is not sent to the host, there or here.
    if (safely) safely.href = `https://${location.host}${location.pathname}${location.search}${code ? `#${encodeURIComponent(code)}` : ""}`;
  } else {
    find("open").hidden = false;
    const given = (typed) => {
      find("code").value = typed;
      tryCode(typed);
    };
    find("open").addEventListener("submit", (event) => {
      event.preventDefault();
      tryCode(find("code").value);
    });
    // A link with a code that is followed while the page is here already.
    addEventListener("hashchange", () => {
      const typed = find("open") && codeFromAddress();
      if (typed) given(typed);
    });
    if (code) given(code);
  }
}
