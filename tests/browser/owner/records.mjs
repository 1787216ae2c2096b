// The page on which anybody checks a record: what it says of good, altered, foreign, unsigned and quite other files; from disk and from a host, and without a request.

export const name = 'a record is checked in the browser, and what was done to it is said';

/** Another letter of base64url in its place: a letter that is none would make it no signature at all. */
function resigned(bytes, at) {
  const copy = Buffer.from(bytes);
  copy[at] = (copy[at] === 66 ? 67 : 66);
  return copy;
}

const flipped = (bytes, at) => { const copy = Buffer.from(bytes); copy[at] ^= 1; return copy; };

async function cases(site, sealed) {
  const good = site.bytes(sealed.files.find((file) => file.endsWith('-record.json')));
  const record = () => JSON.parse(good);
  const changed = (change) => { const file = record(); change(file); return Buffer.from(JSON.stringify(file)); };
  const pdf = site.bytes(sealed.files.find((file) => file.endsWith('-record.pdf')));
  const mark = pdf.indexOf('%litterfolio');
  const broken = (file) => { const parts = file.signature.split('.'); parts[1] = Buffer.from(JSON.stringify(file.record).replace('male', 'mole')).toString('base64url'); file.signature = parts.join('.'); };
  const made = [
    ['good.json', good, 'ours'],
    ['sorted another way.json', changed((file) => { file.record = Object.fromEntries(Object.entries(file.record).reverse()); }), 'ours'],
    ['one weight.json', changed((file) => { file.record.weights[3].grams += 1; }), 'altered', /Different: the weights\./],
    ['one name.json', changed((file) => { file.record.puppy.name = 'Rex'; delete file.record.notes; }), 'altered', /who the puppy is, the notes|the notes, who the puppy is/],
    ['one more part.json', changed((file) => { file.record.award = 'best'; }), 'altered', /award/],
    ['beside it.json', changed((file) => { file.remark = 'champion'; }), 'altered', /Different: “remark”, which stands beside the record\./],
    ['beside it, named like a part.json', changed((file) => { file.weights = []; file.constructor = 1; }), 'altered', /Different: “weights”, which stands beside the record, “constructor”, which/],
    ['schema.json', changed((file) => { file.$schema = { record: {} }; }), 'altered', /“\$schema”/],
    ['another schema.json', changed((file) => { file.$schema = 'https://kennel.example/record.schema.json'; }), 'ours'],
    ['a part named like a method.json', changed((file) => { file.record.toString = 1; }), 'altered', /Different: “toString”\./],
    ['payload.json', changed(broken), 'broken'],
    ['unsigned.json', changed((file) => { delete file.signature; }), 'unsigned'],
    ['torn.json', changed((file) => { file.signature = file.signature.slice(0, 40); }), 'unknown'],
    ['none.json', changed((file) => { file.signature = `${Buffer.from('{"alg":"none"}').toString('base64url')}.e30.`; }), 'others'],
    ['others.json', await signedByOthers(record().record), 'others'],
    ['words.json', Buffer.from('hello'), 'unknown'],
    ['null.json', Buffer.from('null'), 'unknown'],
    ['signed.pdf', pdf, 'ours', /chip number stands on its first page[^]*([0-9A-HJKMNP-TV-Z]{4}-){4}[0-9A-HJKMNP-TV-Z]{4}/],
    ['changed.pdf', flipped(pdf, 12), 'broken'],
    ['changed behind.pdf', flipped(pdf, pdf.length - 4), 'broken'],
    ['added to.pdf', Buffer.concat([pdf, Buffer.from('startxref\n5\n%%EOF\n')]), 'broken'],
    ['signature changed.pdf', resigned(pdf, pdf.indexOf('\n', mark) - 5), 'broken'],
    ['unsigned.pdf', Buffer.concat([pdf.subarray(0, mark), pdf.subarray(pdf.indexOf('\n', mark) + 1)]), 'unsigned'],
    ['picture.jpg', Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]), 'unknown'],
  ];
  made.push(['a byte in the middle.pdf', flipped(pdf, pdf.length >> 1), 'broken']);
  return made;
}

/** The same record, signed as well as can be, with a key that is not the kennel's. */
async function signedByOthers(record) {
  const { subtle } = globalThis.crypto;
  const encoded = (value) => Buffer.from(typeof value === 'string' ? value : JSON.stringify(value)).toString('base64url');
  const { privateKey } = await subtle.generateKey({ name: 'ECDSA', namedCurve: 'P-256' }, true, ['sign', 'verify']);
  const said = `${encoded({ alg: 'ES256' })}.${encoded(record)}`;
  const signature = await subtle.sign({ name: 'ECDSA', hash: 'SHA-256' }, privateKey, Buffer.from(said));
  return Buffer.from(JSON.stringify({ record, signature: `${said}.${Buffer.from(signature).toString('base64url')}` }));
}

async function drop(page, name, bytes) {
  const data = await page.evaluateHandle(([title, content]) => {
    const transfer = new DataTransfer();
    transfer.items.add(new File([Uint8Array.from(atob(content), (c) => c.charCodeAt(0))], title));
    return transfer;
  }, [name, bytes.toString('base64')]);
  await page.dispatchEvent('body', 'drop', { dataTransfer: data });
}

export async function check(site, report) {
  const sealed = site.pages.find((each) => each.words.some((word) => /^\d{15}$/.test(word))) ?? site.pages[0];
  for (const [from, url] of [['disk', site.file('record-check.html')], ['a host', site.http('record-check.html')]]) {
    const page = await site.browser.open(url);
    for (const [place, [file, buffer, stands, words]] of (await cases(site, sealed)).entries()) {
      const where = `record-check.html from ${from}, ${file}`;
      if (place % 2 === 0) await page.setInputFiles('#record-file', { name: file, mimeType: 'application/octet-stream', buffer });
      else await drop(page, file, buffer);
      await page.waitForFunction((title) => document.querySelector('#verdict p')?.textContent.startsWith(`${title}: `), file);
      const said = await page.evaluate(() => ({ stands: document.querySelector('#verdict').dataset.stands, text: document.querySelector('#verdict').innerText }));
      report.expect(said.stands === stands, where, `is ${said.stands}, not ${stands}: ${said.text}`);
      report.expect(!words || words.test(said.text), where, `says: ${said.text}`);
      report.saw('files checked');
      if (file === 'signed.pdf') report.expect(said.text.includes(sealed.name) && /Up to\s+\d+ \p{L}+ \d{4}/u.test(said.text), where, `shows neither name nor day: ${said.text}`);
      if (file === 'good.json') {
        for (const word of [sealed.name, ...sealed.words.filter((each) => /^\d{15}$/.test(each))]) report.expect(said.text.includes(word), where, `does not show ${word}`);
        report.expect(!/on its first page/.test(said.text), where, 'speaks of a first page');
        report.expect(/\b([0-9A-HJKMNP-TV-Z]{4}-){4}[0-9A-HJKMNP-TV-Z]{4}\b/.test(said.text), where, 'shows no check figure');
      }
    }
    const foreign = page.seen.requests.filter((request) => !/record-check\.html$|^data:/.test(request));
    report.expect(foreign.length === 0, url, `asks for ${foreign.join(', ')}`);
    for (const line of [...page.seen.console, ...page.seen.failed]) report.fault(`record-check.html from ${from}`, line);
    await page.shut();
  }
  const unsafe = await site.browser.open(site.plainHttp('record-check.html'));
  report.expect(await unsafe.isVisible('#unsafe') && !(await unsafe.isVisible('#record-file')), 'record-check.html over http from another host', 'does not say what to do');
  await unsafe.shut();
  const plain = await site.browser.open(site.http('record-check.html'), { script: false });
  report.expect(/scripts are turned off/.test(await plain.innerText('main')) && !(await plain.isVisible('#record-file')), 'record-check.html without script', 'does not say what it would do');
  await plain.shut();
}
