// The phone's side of the sealed channel: to the vectors of the standards, to node's own cryptography, and to the desk's side on random messages, both ways. What was changed must not open.

import crypto from 'node:crypto';
import { channel, chacha, chachaBlock, codeSymbols, fromHex, hkdf, hmac, numberBytes, open, poly1305, seal, sha256, toHex } from '../../../templates/desk/phone/sealing.mjs';
import { ask } from '../lib/answers.mjs';

export const name = 'the phone’s cryptography is that of the standards and of the desk';

const MESSAGES = 400;
const bytes = (text) => new TextEncoder().encode(text);
const LADIES = 'Ladies and Gentlemen of the class of \'99: If I could offer you only one tip for the future, sunscreen would be it.';
const INTERNET = 'Any submission to the IETF intended by the Contributor for publication as all or part of an IETF Internet-Draft or RFC and any statement made within the context of an IETF activity is considered an "IETF Contribution". Such statements include oral statements in IETF sessions, as well as written and electronic communications made at any time or place, which are addressed to';

// [where it is printed, what the script makes, what is printed]
const VECTORS = [
  ['FIPS 180-4 example, “abc”', () => sha256(bytes('abc')), 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
  ['FIPS 180-4 example, two blocks', () => sha256(bytes('abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq')), '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1'],
  ['RFC 4231 section 4.3', () => hmac(bytes('Jefe'), bytes('what do ya want for nothing?')), '5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843'],
  ['RFC 4231 section 4.7, a key longer than a block', () => hmac(new Uint8Array(131).fill(0xaa), bytes('Test Using Larger Than Block-Size Key - Hash Key First')), '60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54'],
  ['RFC 5869 appendix A.1', () => hkdf(new Uint8Array(22).fill(0x0b), fromHex('000102030405060708090a0b0c'), fromHex('f0f1f2f3f4f5f6f7f8f9'), 42), '3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865'],
  ['RFC 5869 appendix A.3', () => hkdf(new Uint8Array(22).fill(0x0b), new Uint8Array(0), new Uint8Array(0), 42), '8da4e775a563c18f715f802a063c5a31b8a11f5c5ee1879ec3454e5f3c738d2d9d201395faa4b61a96c8'],
  ['RFC 8439 section 2.3.2', () => chachaBlock(Uint8Array.from({ length: 32 }, (_, at) => at), 1, fromHex('000000090000004a00000000')), '10f1e7e4d13b5915500fdd1fa32071c4c7d1f4c733c068030422aa9ac3d46c4ed2826446079faa0914c2d705d98b02a2b5129cd1de164eb9cbd083e8a2503c4e'],
  ['RFC 8439 section 2.4.2', () => chacha(Uint8Array.from({ length: 32 }, (_, at) => at), 1, fromHex('000000000000004a00000000'), bytes(LADIES)), '6e2e359a2568f98041ba0728dd0d6981e97e7aec1d4360c20a27afccfd9fae0bf91b65c5524733ab8f593dabcd62b3571639d624e65152ab8f530c359f0861d807ca0dbf500d6a6156a38e088a22b65e52bc514d16ccf806818ce91ab77937365af90bbf74a35be6b40b8eedf2785e42874d'],
  ['RFC 8439 section 2.5.2', () => poly1305(fromHex('85d6be7857556d337f4452fe42d506a80103808afb0db2fd4abff6af4149f51b'), bytes('Cryptographic Forum Research Group')), 'a8061dc1305136c6c22b8baf0c0127a9'],
  ['RFC 8439 appendix A.3, vector 2', () => poly1305(fromHex('0000000000000000000000000000000036e5f6b5c5e06070f0efca96227a863e'), bytes(INTERNET)), '36e5f6b5c5e06070f0efca96227a863e'],
  ['RFC 8439 appendix A.3, vector 7', () => poly1305(fromHex(`01${'00'.repeat(31)}`), fromHex(`${'ff'.repeat(16)}f0${'ff'.repeat(15)}11${'00'.repeat(15)}`)), `05${'00'.repeat(15)}`],
  ['RFC 8439 section 2.8.2', () => seal(Uint8Array.from({ length: 32 }, (_, at) => 0x80 + at), fromHex('070000004041424344454647'), bytes(LADIES), fromHex('50515253c0c1c2c3c4c5c6c7')),
    'd31a8d34648e60db7b86afbc53ef7ec2a4aded51296e08fea9e2b5a736ee62d63dbea45e8ca9671282fafb69da92728b1a71de0a9e060b2905d6a5b67ecd3b3692ddbd7f2d778b8c9803aee328091b58fab324e4fad675945585808b4831d7bc3ff4def08e4b7a9de576d26586cec64b61161ae10b594f09e26a7e902ecbd0600691'],
];

/** Against node's own cryptography, which is another's work, on lengths around every block. */
function againstNode(report) {
  for (let length = 0; length < 300; length += 1) {
    const [message, key, nonce, beside, salt] = [crypto.randomBytes(length), crypto.randomBytes(32), crypto.randomBytes(12), crypto.randomBytes(length % 37), crypto.randomBytes(length % 90)];
    const cipher = crypto.createCipheriv('chacha20-poly1305', key, nonce, { authTagLength: 16 });
    cipher.setAAD(beside, { plaintextLength: length });
    const sealed = Buffer.concat([cipher.update(message), cipher.final(), cipher.getAuthTag()]);
    const where = `random bytes, ${length} long`;
    report.expect(toHex(sha256(message)) === crypto.createHash('sha256').update(message).digest('hex'), where, 'SHA-256 differs from node’s');
    report.expect(toHex(hkdf(key, salt, beside, length + 1)) === Buffer.from(crypto.hkdfSync('sha256', key, salt, beside, length + 1)).toString('hex'), where, 'HKDF differs from node’s');
    report.expect(toHex(seal(key, nonce, message, beside)) === sealed.toString('hex'), where, 'a sealed message differs from node’s');
    const opened = open(key, nonce, sealed, beside);
    report.expect(opened && toHex(opened) === message.toString('hex'), where, 'what node sealed does not open');
    sealed[crypto.randomInt(sealed.length)] ^= 1 << crypto.randomInt(8);
    report.expect(open(key, nonce, sealed, beside) === null, where, 'a changed message opens');
    report.saw('random messages held to node');
  }
}

const SYMBOLS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U';
/** A code as the desk writes it. */
function randomCode() {
  for (;;) {
    const values = Array.from(crypto.randomBytes(23), (byte) => byte % 32);
    const check = values.reduce((rest, value) => (rest * 32 + value) % 37, 0);
    if (check < 32) return [...values, check].map((value) => SYMBOLS[value]).join('').match(/.{4}/g).join('-');
  }
}

async function againstDesk(desk, report) {
  const cases = Array.from({ length: MESSAGES }, (_, index) => {
    const [phone, run, sitting] = [0, 1, 2].map(() => crypto.randomBytes(16));
    // Numbers of every size that script holds exactly.
    const number = index % 3 === 0 ? index : Number(crypto.randomBytes(8).readBigUInt64BE() >> BigInt(11 + (index % 40)));
    return { code: randomCode(), phone, run, sitting, number, message: crypto.randomBytes(index % 5 === 0 ? index * 7 : index % 200) };
  });
  const made = cases.map((each) => ({ ...each, ours: channel(codeSymbols(each.code.toLowerCase().replace(/0/g, 'o').replaceAll('-', ' ')), each.phone, each.run, each.sitting) }));
  const hex = (each) => each.toString('hex');
  const requests = made.map((each) => each.ours.envelope(each.number, each.message));
  const opened = await ask(desk.answers, made.map((each, at) => ({ ask: 'opened_of_phone', code: each.code, run: hex(each.run), request: toHex(requests[at]) })));
  const sealed = await ask(desk.answers, made.map((each) => ({ ask: 'sealed_for_phone', code: each.code, phone: hex(each.phone), run: hex(each.run), sitting: hex(each.sitting), number: each.number, message: hex(each.message) })));
  const changed = await ask(desk.answers, made.map((each, at) => {
    const request = requests[at].slice();
    request[crypto.randomInt(request.length)] ^= 1 << crypto.randomInt(8);
    return { ask: 'opened_of_phone', code: each.code, run: hex(each.run), request: toHex(request) };
  }), true);
  made.forEach((each, at) => {
    const where = `message ${at}, number ${each.number}`;
    const got = opened[at];
    report.expect(got.message === hex(each.message) && got.number === each.number && got.phone === hex(each.phone) && got.sitting === hex(each.sitting), where, 'the desk reads something else than the phone said');
    const answer = each.ours.answer(each.number, fromHex(sealed[at]));
    report.expect(answer && toHex(answer) === hex(each.message), where, 'the phone reads something else than the desk said');
    report.expect(each.ours.answer(each.number + 1, fromHex(sealed[at])) === null, where, 'an answer to another message opens');
    report.expect(changed[at] === null, where, 'the desk opens a changed request');
    report.saw('random messages held to the desk');
  });
}

export async function check(desk, report) {
  for (const [where, make, printed] of VECTORS) {
    report.expect(toHex(make()) === printed, where, 'the script makes something else than is printed there');
    report.saw('printed vectors');
  }
  report.expect(toHex(numberBytes(Number.MAX_SAFE_INTEGER)) === '001fffffffffffff', 'the largest number', 'its bytes are wrong');
  for (const typed of ['', 'x', '0'.repeat(23), '!'.repeat(24), `${'0'.repeat(22)}1`, `${'0'.repeat(23)}1`]) report.expect(codeSymbols(typed) === null, typed, 'is taken for a code');
  againstNode(report);
  await againstDesk(desk, report);
}
