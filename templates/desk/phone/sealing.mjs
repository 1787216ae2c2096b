// What a phone and the desk say to each other, sealed: the phone's side of src/sealing/channel.rs.
//
// Browsers keep their own cryptography from pages that came without a certificate, and no certificate can be had for a computer at home. So this is plain script: SHA-256 (FIPS 180-4),
// HMAC (RFC 2104), HKDF (RFC 5869), ChaCha20-Poly1305 (RFC 8439), and nothing besides. Everything is bytes (Uint8Array). tests/browser/phone/sealing.mjs holds it to the vectors of these
// texts and to the desk's side on random messages.

const bytesOf = (text) => new TextEncoder().encode(text);

export function joined(...parts) {
  const all = new Uint8Array(parts.reduce((length, part) => length + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

// SHA-256, FIPS 180-4. The constants are the first 32 bits of the fractional parts of square and cube roots of the first primes (sections 4.2.2 and 5.3.3).
const PRIMES = (() => {
  const found = [];
  for (let n = 2; found.length < 64; n += 1) if (found.every((prime) => n % prime !== 0)) found.push(n);
  return found;
})();
/** The first 32 bits of the fractional part of a root, from whole numbers alone: the largest x with x^power ≤ prime · 2^(32 · power). */
function rootBits(prime, power) {
  const wanted = BigInt(prime) << BigInt(32 * power);
  let root = 0n;
  for (let bit = 1n << 40n; bit > 0n; bit >>= 1n) if ((root + bit) ** BigInt(power) <= wanted) root += bit;
  return Number(root & 0xffffffffn);
}
const ROUND = Uint32Array.from(PRIMES, (prime) => rootBits(prime, 3));
const START = Uint32Array.from(PRIMES.slice(0, 8), (prime) => rootBits(prime, 2));

export function sha256(message) {
  const length = message.length;
  const padded = new Uint8Array(Math.ceil((length + 9) / 64) * 64);
  padded.set(message);
  padded[length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(length / 0x20000000));
  view.setUint32(padded.length - 4, (length << 3) >>> 0);
  const state = START.slice();
  const w = new Uint32Array(64);
  const turn = (x, n) => (x >>> n) | (x << (32 - n));
  for (let block = 0; block < padded.length; block += 64) {
    for (let t = 0; t < 16; t += 1) w[t] = view.getUint32(block + 4 * t);
    for (let t = 16; t < 64; t += 1) {
      const [a, b] = [w[t - 15], w[t - 2]];
      w[t] = (turn(b, 17) ^ turn(b, 19) ^ (b >>> 10)) + w[t - 7] + (turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)) + w[t - 16];
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let t = 0; t < 64; t += 1) {
      const one = (h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + ROUND[t] + w[t]) | 0;
      const two = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
    }
    [a, b, c, d, e, f, g, h].forEach((value, at) => { state[at] += value; });
  }
  const out = new DataView(new ArrayBuffer(32));
  state.forEach((value, at) => out.setUint32(4 * at, value));
  return new Uint8Array(out.buffer);
}

/** RFC 2104. */
export function hmac(key, message) {
  const block = new Uint8Array(64);
  block.set(key.length > 64 ? sha256(key) : key);
  const pad = (byte) => block.map((each) => each ^ byte);
  return sha256(joined(pad(0x5c), sha256(joined(pad(0x36), message))));
}

/** RFC 5869, with SHA-256. */
export function hkdf(key, salt, info, length) {
  const drawn = hmac(salt, key);
  let [out, last] = [new Uint8Array(0), new Uint8Array(0)];
  for (let n = 1; out.length < length; n += 1) {
    last = hmac(drawn, joined(last, info, Uint8Array.of(n)));
    out = joined(out, last);
  }
  return out.slice(0, length);
}

/** One block of the key stream, RFC 8439 section 2.3. */
export function chachaBlock(key, counter, nonce) {
  const [k, n] = [key, nonce].map((bytes) => new DataView(bytes.buffer, bytes.byteOffset, bytes.length));
  const state = Uint32Array.of(0x61707865, 0x3320646e, 0x79622d32, 0x6b206574, 0, 0, 0, 0, 0, 0, 0, 0, counter, 0, 0, 0);
  for (let at = 0; at < 8; at += 1) state[4 + at] = k.getUint32(4 * at, true);
  for (let at = 0; at < 3; at += 1) state[13 + at] = n.getUint32(4 * at, true);
  const x = state.slice();
  const mix = (a, b, c, d) => {
    const step = (p, q, r, by) => {
      x[p] += x[q];
      const turned = x[r] ^ x[p];
      x[r] = (turned << by) | (turned >>> (32 - by));
    };
    step(a, b, d, 16);
    step(c, d, b, 12);
    step(a, b, d, 8);
    step(c, d, b, 7);
  };
  for (let round = 0; round < 10; round += 1) {
    mix(0, 4, 8, 12); mix(1, 5, 9, 13); mix(2, 6, 10, 14); mix(3, 7, 11, 15);
    mix(0, 5, 10, 15); mix(1, 6, 11, 12); mix(2, 7, 8, 13); mix(3, 4, 9, 14);
  }
  const out = new DataView(new ArrayBuffer(64));
  x.forEach((value, at) => out.setUint32(4 * at, value + state[at], true));
  return new Uint8Array(out.buffer);
}

/** RFC 8439 section 2.4: the same does both ways. */
export function chacha(key, counter, nonce, message) {
  const out = new Uint8Array(message);
  for (let at = 0; at < out.length; at += 64) {
    const stream = chachaBlock(key, counter + at / 64, nonce);
    for (let n = at; n < Math.min(at + 64, out.length); n += 1) out[n] ^= stream[n - at];
  }
  return out;
}

const littleEndian = (bytes) => bytes.reduceRight((number, byte) => (number << 8n) | BigInt(byte), 0n);

/** RFC 8439 section 2.5, on whole numbers of any size. */
export function poly1305(key, message) {
  const prime = (1n << 130n) - 5n;
  const r = littleEndian(key.subarray(0, 16)) & 0x0ffffffc0ffffffc0ffffffc0fffffffn;
  const s = littleEndian(key.subarray(16, 32));
  let sum = 0n;
  for (let at = 0; at < message.length; at += 16) {
    const block = message.subarray(at, at + 16);
    sum = ((sum + littleEndian(block) + (1n << BigInt(8 * block.length))) * r) % prime;
  }
  let tag = (sum + s) & ((1n << 128n) - 1n);
  return Uint8Array.from({ length: 16 }, () => {
    const byte = Number(tag & 255n);
    tag >>= 8n;
    return byte;
  });
}

/** The tag of RFC 8439 section 2.8 over what is beside the message, and the sealed message. */
function tagOf(key, nonce, beside, sealed) {
  const fill = (bytes) => new Uint8Array((16 - (bytes.length % 16)) % 16);
  const lengths = new DataView(new ArrayBuffer(16));
  lengths.setUint32(0, beside.length, true);
  lengths.setUint32(8, sealed.length, true);
  return poly1305(chachaBlock(key, 0, nonce).subarray(0, 32), joined(beside, fill(beside), sealed, fill(sealed), new Uint8Array(lengths.buffer)));
}

export function seal(key, nonce, message, beside = new Uint8Array(0)) {
  const sealed = chacha(key, 1, nonce, message);
  return joined(sealed, tagOf(key, nonce, beside, sealed));
}

/** What was sealed; null when it does not open. */
export function open(key, nonce, bytes, beside = new Uint8Array(0)) {
  if (bytes.length < 16) return null;
  const [sealed, given] = [bytes.slice(0, -16), bytes.slice(-16)];
  const differs = tagOf(key, nonce, beside, sealed).reduce((sum, byte, at) => sum | (byte ^ given[at]), 0);
  return differs === 0 ? chacha(key, 1, nonce, sealed) : null;
}

/** Eight bytes, the highest first. */
export function numberBytes(number) {
  const view = new DataView(new ArrayBuffer(8));
  view.setUint32(0, Math.floor(number / 0x100000000));
  view.setUint32(4, number >>> 0);
  return new Uint8Array(view.buffer);
}

export const fromHex = (text) => Uint8Array.from(text.match(/../g) ?? [], (pair) => parseInt(pair, 16));
export const toHex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');

/** The 23 symbols that a typed code stands for; null when it is none. As src/sealing/code.rs reads it. */
export function codeSymbols(typed) {
  const symbols = '0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U';
  const text = typed.replace(/[\s\-\u00ad\u200b-\u200f\u2010-\u2015\u2060\u2212\ufeff]/g, '').toUpperCase().replace(/O/g, '0').replace(/[IL]/g, '1');
  const values = Array.from(text, (symbol) => symbols.indexOf(symbol));
  if (values.length !== 24 || values.includes(-1) || values.slice(0, 23).some((value) => value > 31)) return null;
  const check = values.slice(0, 23).reduce((rest, value) => (rest * 32 + value) % 37, 0);
  return check === values[23] ? text.slice(0, 23) : null;
}

/** Both directions of one sitting. `symbols` come from `codeSymbols`; phone, run and sitting are 16 bytes each. */
export function channel(symbols, phone, run, sitting) {
  const salt = joined(phone, run, sitting);
  const key = (purpose) => hkdf(bytesOf(symbols), salt, bytesOf(`litterfolio phone 1: ${purpose}`), 32);
  const [toDesk, toPhone] = [key('to the desk'), key('to the phone')];
  const nonce = (number) => joined(new Uint8Array(4), numberBytes(number));
  return {
    /** The bytes of a request; each number is used once. */
    envelope: (number, message) => joined(phone, sitting, numberBytes(number), seal(toDesk, nonce(number), message)),
    /** What the desk answered to the message of this number; null when it was not the desk. */
    answer: (number, bytes) => open(toPhone, nonce(number), bytes),
  };
}
