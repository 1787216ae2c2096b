// Says whether a puppy's record is unaltered and from this kennel. In: a file that somebody chooses or drops, and the kennel's public keys that stand in the page (JWK Set). Out: words.
// The file never leaves the device: the page's policy allows no request. What is signed is a JWS (RFC 7515, ES256); the forms are those of pages/papers: change them together.
"use strict";

const MARK = "%litterfolio-signature: ";
const LARGEST = 100_000_000;
const BASE32 = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const find = (id) => document.getElementById(id);

/** Something wrong with the file itself, in words for who chose it. */
class NotSuch extends Error {}

function bytesOf(base64url) {
  if (!/^[A-Za-z0-9_-]*$/.test(base64url)) throw new NotSuch();
  const binary = atob(base64url.replace(/-/g, "+").replace(/_/g, "/"));
  return Uint8Array.from(binary, (c) => c.charCodeAt(0));
}

const base64url = (bytes) => btoa(String.fromCharCode(...bytes)).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
const sha256 = async (bytes) => new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
const utf8 = (bytes) => new TextDecoder("utf-8", { fatal: true }).decode(bytes);
const hex = (bytes) => [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** The name of a key: its thumbprint (RFC 7638), whatever name it claims. */
async function nameOf({ crv, kty, x, y }) {
  return base64url(await sha256(new TextEncoder().encode(JSON.stringify({ crv, kty, x, y }))));
}

/** The first 20 symbols of Crockford's base32 of the hash, in groups of four. */
async function checkFigure(payload) {
  const bits = [...(await sha256(payload)).slice(0, 13)].map((byte) => byte.toString(2).padStart(8, "0")).join("");
  const symbols = Array.from({ length: 20 }, (_, place) => BASE32[Number.parseInt(bits.slice(place * 5, place * 5 + 5), 2)]).join("");
  return symbols.match(/.{4}/g).join("-");
}

/** What a JWS holds, and how its signature stands: `ours`, `broken` (our key, another text) or `others`. */
async function verify(jws) {
  const parts = typeof jws === "string" ? jws.split(".") : [];
  if (parts.length !== 3) throw new NotSuch();
  const [head, payload, signature] = parts.map(bytesOf);
  const header = JSON.parse(utf8(head));
  if (header === null || typeof header !== "object" || header.alg !== "ES256" || "crit" in header || "b64" in header) return { stands: "others", payload };
  const signed = new TextEncoder().encode(`${parts[0]}.${parts[1]}`);
  let named = false;
  for (const jwk of JSON.parse(find("keys").textContent).keys) {
    const { kty, crv, x, y } = jwk;
    const ownName = header.kid === (await nameOf(jwk));
    if (header.kid !== undefined && !ownName) continue;
    named ||= ownName;
    const key = await crypto.subtle.importKey("jwk", { kty, crv, x, y }, { name: "ECDSA", namedCurve: "P-256" }, false, ["verify"]);
    if (await crypto.subtle.verify({ name: "ECDSA", hash: "SHA-256" }, key, signature, signed)) return { stands: "ours", payload };
  }
  return { stands: named ? "broken" : "others", payload };
}

/** Whether two values of JSON are the same, in whatever order their members stand. */
function same(a, b) {
  if (a === b) return true;
  if (a === null || b === null || typeof a !== "object" || typeof b !== "object" || Array.isArray(a) !== Array.isArray(b)) return false;
  const [first, second] = [Object.keys(a), Object.keys(b)];
  return first.length === second.length && first.every((key) => Object.hasOwn(b, key) && same(a[key], b[key]));
}

async function checkJson(text) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    throw new NotSuch();
  }
  if (file === null || typeof file !== "object" || typeof file.record !== "object" || file.record === null) throw new NotSuch();
  if (file.signature === undefined) return { stands: "unsigned" };
  const { stands, payload } = await verify(file.signature);
  if (stands !== "ours") return { stands };
  const record = JSON.parse(utf8(payload));
  const parts = [...new Set([...Object.keys(record), ...Object.keys(file.record)])];
  const changed = parts.filter((part) => !(Object.hasOwn(record, part) && Object.hasOwn(file.record, part) && same(record[part], file.record[part])));
  // Nothing may stand beside what was signed, where somebody could take it for a part of it.
  const beside = Object.keys(file).filter((field) => !(["record", "signature"].includes(field) || (field === "$schema" && typeof file.$schema === "string")));
  return { stands: changed.length + beside.length > 0 ? "altered" : "ours", changed, beside, record, figure: await checkFigure(payload) };
}

/** Each byte as one character, so that places in the text are places in the file. */
function asText(bytes) {
  let text = "";
  for (let place = 0; place < bytes.length; place += 32768) text += String.fromCharCode(...bytes.subarray(place, place + 32768));
  return text;
}

async function checkPdf(bytes) {
  const text = asText(bytes);
  const start = text.lastIndexOf("startxref");
  const line = text.lastIndexOf(MARK);
  if (start < 0) throw new NotSuch();
  if (line < 0) return { stands: "unsigned" };
  const end = text.indexOf("\n", line);
  // Something was added behind the signature, or moved.
  if (end + 1 !== start || text.indexOf(MARK) !== line) return { stands: "broken" };
  const { stands, payload } = await verify(text.slice(line + MARK.length, end));
  if (stands !== "ours") return { stands };
  const rest = new Uint8Array(bytes.length - (end + 1 - line));
  rest.set(bytes.subarray(0, line));
  rest.set(bytes.subarray(end + 1), line);
  const said = JSON.parse(utf8(payload));
  if (said.sha256 !== hex(await sha256(rest))) return { stands: "broken" };
  return { stands: "ours", pdf: true, record: { puppy: { name: said.name }, up_to: said.up_to }, figure: said.record };
}

async function check(file) {
  if (file.size > LARGEST) throw new NotSuch();
  const bytes = new Uint8Array(await file.arrayBuffer());
  return asText(bytes.subarray(0, 5)) === "%PDF-" ? checkPdf(bytes) : checkJson(utf8(bytes));
}

// What is said.

const PARTS = {
  format: "the version of the form", up_to: "the day it reaches to", kennel: "the kennel", family: "the family", puppy: "who the puppy is", dam: "the dam", sire: "the sire",
  inbreeding: "inbreeding", birth: "the birth", weights: "the weights", doubled_on_day: "when the birth weight had doubled", events: "what was given and checked",
  dam_events: "what the dam was given", care: "the care plan", invitations: "when the kennel would like to hear", notes: "the notes",
};

/** What differs: parts of the record by their names in words, fields beside it by their own. */
function differences(changed, beside) {
  return [...changed.map((part) => (Object.hasOwn(PARTS, part) ? PARTS[part] : `“${part}”`)), ...beside.map((field) => `“${field}”, which stands beside the record`)].join(", ");
}

function words({ stands, changed = [], beside = [], pdf }, kennel) {
  switch (stands) {
    case "ours": return ["This record is unaltered and signed by this kennel.", `It is as ${kennel} wrote it.${pdf ? " The chip number stands on its first page: compare it with the puppy." : ""}`];
    case "altered": return ["This record was altered.", `What stands in the file is not what ${kennel} signed. Different: ${differences(changed, beside)}. Below is what was signed.`];
    case "broken": return ["This record was altered.", `It bears a signature of ${kennel}, and the signature does not fit the file.`];
    case "others": return ["This record is signed by somebody else.", `The signature is not of ${kennel}. Whether it is good, only the one who made it can say.`];
    case "unsigned": return ["This record bears no signature.", "It may be right, and nobody can tell: ask for the file as it was handed over."];
    default: return ["This is not a record that can be checked here.", "Please choose the file whose name ends in -record.json or -record.pdf, just as it was handed over; a scan or a copy that was printed to a file holds no signature."];
  }
}

const inWords = (iso) => (/^\d{4}-\d\d-\d\d/.test(iso ?? "") ? new Date(`${iso.slice(0, 10)}T00:00:00Z`).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" }) : null);

function figures({ record, figure }) {
  const weights = Array.isArray(record.weights) ? record.weights : [];
  const last = weights.at(-1);
  const events = Array.isArray(record.events) ? record.events : null;
  return {
    name: record.puppy?.name,
    born: inWords(record.puppy?.born),
    chip: record.puppy?.chip?.number,
    weight: last && `${last.grams} g, ${inWords(last.at)}`,
    entries: events && `${weights.length} weights, ${events.length} of health and care`,
    upTo: inWords(record.up_to),
    figure,
  };
}

function tell(result, name) {
  const kennel = find("check").dataset.kennel || "this kennel";
  const [head, more] = words(result, kennel);
  const heading = Object.assign(document.createElement("h2"), { textContent: head });
  const text = [`${name}: ${more}`].map((line) => Object.assign(document.createElement("p"), { textContent: line }));
  const said = [heading, ...text];
  if (result.record) {
    const list = find("told").content.firstElementChild.cloneNode(true);
    for (const [key, value] of Object.entries(figures(result))) {
      const place = list.querySelector(`[data-told="${key}"]`);
      if (value) place.textContent = value;
      else place.parentElement.remove();
    }
    said.push(list);
  }
  find("verdict").dataset.stands = result.stands;
  find("verdict").replaceChildren(...said);
}

async function take(file) {
  if (!file) return;
  find("verdict").textContent = `Looking at ${file.name} …`;
  let result;
  try {
    result = await check(file);
  } catch {
    result = { stands: "unknown" };
  }
  tell(result, file.name);
}

if (globalThis.crypto?.subtle) {
  find("check-form").addEventListener("submit", (event) => event.preventDefault());
  find("record-file").addEventListener("change", (event) => take(event.target.files[0]));
  addEventListener("dragover", (event) => event.preventDefault());
  addEventListener("drop", (event) => {
    event.preventDefault();
    take(event.dataTransfer.files[0]);
  });
} else {
  find("check-form").hidden = true;
  find("unsafe").hidden = false;
}
