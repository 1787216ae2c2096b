// Opens the sealed record of this page with an access code. In: the JWE that stands in the page, and what was typed. Out: the bytes of the record.
// It asks no network and keeps nothing. The rules of the code are those of sealing/code.rs, those of the JWE those of sealing/jwe.rs: change them together.
"use strict";

const SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U";
const WRITTEN = 24;
const SEPARATORS = /[\s\u0085\u002d\u00ad\u200b-\u200f\u2010-\u2015\u2060\u2212\ufeff]/u;
const CLOSED = "this access code does not open this page";

/** The password bytes of a typed code, or a `problem` in words for who typed it. */
function readCode(typed) {
  const symbols = [];
  let onlyLast = null;
  for (const c of typed) {
    if (SEPARATORS.test(c)) continue;
    // Only the 26 letters: toUpperCase alone would turn letters of other alphabets into these.
    const capital = c.replace(/[a-z]/, (letter) => letter.toUpperCase());
    const symbol = { O: "0", I: "1", L: "1" }[capital] ?? capital;
    if (!SYMBOLS.includes(symbol)) return { problem: neverOccurs(c) };
    if (onlyLast !== null) return { problem: neverOccurs(onlyLast) };
    onlyLast = SYMBOLS.indexOf(symbol) >= 32 ? c : null;
    symbols.push(symbol);
  }
  const count = symbols.length;
  const length = `an access code has ${WRITTEN} letters and digits, and ${count} were typed`;
  if (count < WRITTEN) return { problem: `${length}: some are missing` };
  if (count > WRITTEN) return { problem: `${length}: there are too many` };
  const check = symbols.pop();
  const remainder = symbols.reduce((sum, symbol) => (sum * 32 + SYMBOLS.indexOf(symbol)) % 37, 0);
  if (SYMBOLS[remainder] !== check) {
    return { problem: "there is a slip in the access code: please compare it with the one you were given, character by character" };
  }
  return { password: new TextEncoder().encode(symbols.join("")) };
}

function neverOccurs(c) {
  // What cannot be seen, or turns the reading direction, is shown by its number.
  const shown = /[\p{L}\p{N}\p{P}\p{S}]/u.test(c) ? c : `\\u{${c.codePointAt(0).toString(16)}}`;
  return `the character “${shown}” never occurs in an access code: please look at it again`;
}

/** Bytes from base64url without padding. */
function decode(text) {
  if (!/^[A-Za-z0-9_-]*$/.test(text)) throw new Error();
  const binary = atob(text.replace(/-/g, "+").replace(/_/g, "/"));
  const bytes = new Uint8Array(binary.length);
  for (let place = 0; place < binary.length; place++) bytes[place] = binary.charCodeAt(place);
  return bytes;
}

function joined(...parts) {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let place = 0;
  for (const part of parts) {
    bytes.set(part, place);
    place += part.length;
  }
  return bytes;
}

/** The record in a JWE of alg PBES2-HS512+A256KW, enc A256GCM, zip DEF. Whatever is wrong, it fails with the one wording. */
async function openSealed(jwe, password) {
  try {
    const utf8 = new TextEncoder();
    const parts = jwe.trim().split(".");
    if (parts.length !== 5) throw new Error();
    const [headerBytes, wrapped, nonce, content, tag] = parts.map(decode);
    const header = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(headerBytes));
    const ours = header.alg === "PBES2-HS512+A256KW" && header.enc === "A256GCM" && header.zip === "DEF" && !("crit" in header);
    const rounds = header.p2c;
    if (!ours || !Number.isInteger(rounds) || rounds < 1000 || rounds > 2000000) throw new Error();
    if (wrapped.length !== 40 || nonce.length !== 12 || tag.length !== 16) throw new Error();
    const salt = joined(utf8.encode(header.alg), [0], decode(header.p2s));
    const code = await crypto.subtle.importKey("raw", password, "PBKDF2", false, ["deriveKey"]);
    const wrapping = await crypto.subtle.deriveKey(
      { name: "PBKDF2", hash: "SHA-512", salt, iterations: rounds }, code, { name: "AES-KW", length: 256 }, false, ["unwrapKey"]);
    const key = await crypto.subtle.unwrapKey("raw", wrapped, wrapping, "AES-KW", "AES-GCM", false, ["decrypt"]);
    const deflated = await crypto.subtle.decrypt(
      { name: "AES-GCM", iv: nonce, additionalData: utf8.encode(parts[0]), tagLength: 128 }, key, joined(content, tag));
    const stream = new Blob([deflated]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
    return new Uint8Array(await new Response(stream).arrayBuffer());
  } catch {
    throw new Error(CLOSED);
  }
}

/** What stands after # in the address, read once and taken out of the address bar; nothing when there is none, or when it leads to a part of the open page: those hold a _, and no code does. */
function codeFromAddress() {
  const written = location.hash.slice(1);
  if (!written || written.includes("_")) return null;
  clearAddress();
  try {
    return decodeURIComponent(written);
  } catch {
    return written;
  }
}

/**
 * Takes away what stands after # in the address bar, so that nobody reads, copies or bookmarks it there, and "back" does not lead to it. The browser's history of visits holds the whole link all
 * the same: it is written before any script runs, and no page can take it out. So the kennel's sheets never put a code into a link.
 */
function clearAddress() {
  try {
    history.replaceState(null, "", location.pathname + location.search);
  } catch {
    // Some browsers refuse this for files opened from a disk: there an empty # stays.
    location.replace("#");
  }
}
