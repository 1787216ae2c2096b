// A page opens by typing, however people write codes, and by its link; from disk and from a host; quickly; and locks again.

export const name = 'sealed pages open by typing and by link, from disk and from a host';

// Opening is the deriving of a key, slow by design, and little else: so many times as long as the key alone, taken in the same page, so that a busy machine is no fault of it.
const SLOWEST = 4;

const WRITTEN = [
  ['as printed', (code) => code],
  ['in small letters', (code) => code.toLowerCase()],
  ['with blanks', (code) => ` ${code.replaceAll('-', ' ')} `],
  ['without hyphens', (code) => code.replaceAll('-', '')],
  ['with O for 0 and l for 1', (code) => code.replaceAll('0', 'O').replaceAll('1', 'l')],
  ['with dashes of a word processor', (code) => code.replaceAll('-', '\u2013')],
  ['as a whole link', (code) => `https://kennel.example/sealed/abc.html#${code}`],
  ['as a whole link with encoded marks, in angle brackets', (code) => `<https://kennel.example/sealed/abc.html#${code.replaceAll('-', '%2D')}>`],
  ['behind a word and a colon', (code) => `Access code: ${code}`],
  ['in quotes, with a full stop', (code) => ` “${code}.” `],
  ['in letters of full width', (code) => [...code].map((c) => String.fromCharCode(c.charCodeAt(0) + 0xfee0)).join('')],
];

async function lookAtOpen(page, sealed, report, where) {
  const seen = await page.evaluate(() => ({
    focus: document.activeElement?.localName, heading: document.querySelector('h1').innerText, title: document.title, hash: location.hash, scroll: scrollY,
  }));
  report.expect(seen.focus === 'h1', where, `the focus is on ${seen.focus}, not on the heading`);
  report.expect(seen.heading === sealed.name && seen.title.startsWith(`${sealed.name},`), where, `shows “${seen.heading}”, titled “${seen.title}”`);
  report.expect(seen.hash === '' && !page.url().includes(sealed.code), where, `leaves ${seen.hash} in the address`);
  report.expect(seen.scroll === 0, where, 'does not begin at its top');
  for (const line of page.seen.console) report.fault(where, `console: ${line}`);
}

async function picturesAreThere(page, sealed, report, where) {
  await page.evaluate(() => Promise.all([...document.images].map((image) => image.decode().catch(() => {}))));
  const shown = await page.evaluate(() => [...document.images].filter((image) => image.complete && image.naturalWidth > 0).length);
  report.expect(shown === sealed.pictures, where, `shows ${shown} of ${sealed.pictures} pictures`);
  report.saw('pictures', shown);
}

async function byTyping(site, sealed, report) {
  for (const [how, write] of WRITTEN) {
    const page = await site.browser.open(site.http(sealed.page));
    await site.type(page, write(sealed.code));
    await site.opened(page);
    await lookAtOpen(page, sealed, report, `${sealed.page}, typed ${how}`);
    report.saw('codes typed');
    await page.shut();
  }
}

/** How many rounds the key of this page takes: the head of a JWE names them. */
function roundsOf() {
  const [header] = document.querySelector('#sealed').textContent.trim().split('.');
  return JSON.parse(atob(header.replaceAll('-', '+').replaceAll('_', '/'))).p2c;
}

/** Milliseconds that deriving such a key takes here and now. */
async function derive(rounds) {
  const code = await crypto.subtle.importKey('raw', new TextEncoder().encode('0'.repeat(16)), 'PBKDF2', false, ['deriveBits']);
  const began = performance.now();
  await crypto.subtle.deriveBits({ name: 'PBKDF2', hash: 'SHA-512', salt: new Uint8Array(16), iterations: rounds }, code, 256);
  return performance.now() - began;
}

async function byLink(site, sealed, report, times) {
  for (const [from, url] of [['disk', site.file(sealed.page)], ['a host', site.http(sealed.page)]]) {
    const where = `${sealed.page}, by link from ${from}`;
    const page = await site.browser.open(url);
    // Following a link to where one is already loads nothing anew.
    const rounds = await page.evaluate(roundsOf);
    const before = await page.evaluate(derive, rounds);
    const began = Date.now();
    await page.evaluate((code) => { location.hash = code; }, sealed.code);
    await site.opened(page);
    const opened = Date.now() - began;
    times.push({ opened, times: opened / ((before + await page.evaluate(derive, rounds)) / 2) });
    await lookAtOpen(page, sealed, report, `${where}, followed while the page is here`);
    await page.shut();

    const fresh = await site.browser.open(`${url}#${sealed.code}`);
    await site.opened(fresh);
    await lookAtOpen(fresh, sealed, report, where);
    await picturesAreThere(fresh, sealed, report, where);
    await jumpAndLock(site, fresh, sealed, report, where);
    report.saw('links followed', 2);
    await fresh.shut();
  }
}

/** Parts can be jumped to; their names are no codes, not even after loading again; and the page locks. */
async function jumpAndLock(site, page, sealed, report, where) {
  const parts = await page.$$eval('.jump a', (links) => links.map((link) => link.getAttribute('href')));
  for (const part of parts) {
    await page.click(`.jump a[href="${part}"]`);
    report.expect(await page.isVisible(part), where, `${part} leads nowhere`);
    report.expect(await page.isVisible('#part_vet'), where, `is closed by ${part}`);
  }
  await page.reload();
  report.expect(await page.isVisible('#code') && (await page.innerText('#said')) === '', where, `takes ${parts.at(-1)} for a code: ${await page.innerText('#said')}`);
  await site.type(page, sealed.code);
  await site.opened(page);
  await page.click('#lock');
  await page.waitForSelector('#code');
  const left = await page.evaluate(() => ({ hash: location.hash, body: document.body.innerText, code: document.querySelector('#code').value }));
  report.expect(left.hash === '' && left.code === '' && !left.body.includes(sealed.name), where, 'locking again leaves something behind');
}

export async function check(site, report) {
  const times = [];
  await byTyping(site, site.pages[0], report);
  for (const sealed of site.pages) await byLink(site, sealed, report, times);
  const middle = (list) => list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)];
  const [opened, by] = [middle(times.map((one) => one.opened)), middle(times.map((one) => one.times))];
  report.saw(`ms to open (median; ${by.toFixed(1)} times the key alone)`, opened);
  report.expect(by < SLOWEST, 'sealed pages', `took ${by.toFixed(1)} times as long to open as deriving the key`);
}
