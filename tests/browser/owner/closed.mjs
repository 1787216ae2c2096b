// Without its code a page tells nothing and says kindly what to do: a wrong code, a slip, no safe connection, an old browser, no script.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

export const name = 'sealed pages stay closed, and say why in kind words';

// What is said of every code that opens nothing, whatever the cause.
const CLOSED = /^This access code does not open this page\. If the code is certainly right, this file may be damaged or incomplete: load the page again, or ask the kennel\.$/;

/** A code that is well formed and opens nothing: its check symbol is computed anew. */
function otherCode(code) {
  const SYMBOLS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U';
  const plain = code.replaceAll('-', '');
  for (const first of '0123456789ABCDEFGHJKMNPQRSTVWXYZ') {
    const secret = first + plain.slice(1, 23);
    const check = SYMBOLS[[...secret].reduce((sum, symbol) => (sum * 32 + SYMBOLS.indexOf(symbol)) % 37, 0)];
    if (first !== plain[0] && /[0-9A-TV-Z]/.test(check)) return secret + check;
  }
  throw new Error('no other code');
}

function swapped(code) {
  const at = [...code].findIndex((symbol, place) => place > 0 && symbol !== '-' && code[place - 1] !== '-' && symbol !== code[place - 1]);
  return code.slice(0, at - 1) + code[at] + code[at - 1] + code.slice(at + 1);
}

async function wrongCodes(site, sealed, report) {
  const cases = [
    ['a wrong code', otherCode(sealed.code), CLOSED],
    ['the code of another page', site.pages.find((each) => each !== sealed).code, CLOSED],
    ['two exchanged symbols', swapped(sealed.code), /There is a slip/],
    ['half a code', sealed.code.slice(0, 12), /some are missing/],
    ['a code and more', `${sealed.code}77`, /too many/],
    ['a strange character', sealed.code.replace('-', '?'), /“\?” never occurs/],
    ['nothing', '', /^Please type the access code\.$/],
    ['nothing but blanks, hyphens and quotes', ' “- -” ', /^Please type the access code\.$/],
    ['the address of the page alone', `https://kennel.example/${sealed.page}`, /^Please type the access code\.$/],
    ['the address of the page and an empty code', `https://kennel.example/${sealed.page}#`, /^Please type the access code\.$/],
  ];
  for (const [how, typed, words] of cases) {
    const where = `${sealed.page}, ${how}`;
    const page = await site.browser.open(site.file(sealed.page));
    await site.type(page, typed);
    const said = await site.said(page);
    report.expect(words.test(said), where, `says “${said}”`);
    const state = await page.evaluate(() => ({ focus: document.activeElement?.id, waiting: document.querySelector('#try').getAttribute('aria-disabled'), body: document.body.innerText, title: document.title }));
    report.expect(state.focus === 'code' && state.waiting !== 'true', where, `leaves the focus on ${state.focus}, the button waiting: ${state.waiting}`);
    for (const word of sealed.words) report.expect(!state.body.includes(word) && !state.title.includes(word), where, `tells “${word}”`);
    // After a wrong code the right one still opens.
    await site.type(page, sealed.code);
    await site.opened(page);
    report.saw('wrong codes');
    await page.shut();
  }
}

async function meanwhile(site, sealed, report) {
  const page = await site.browser.open(site.file(sealed.page));
  await page.fill('#code', sealed.code);
  const during = await page.evaluate(() => {
    document.querySelector('#try').focus();
    document.querySelector('#try').click();
    return { said: document.querySelector('#said').textContent, waiting: document.querySelector('#try').getAttribute('aria-disabled'), focus: document.activeElement.id };
  });
  report.expect(/^Opening/.test(during.said) && during.waiting === 'true' && during.focus === 'try', sealed.page, `while it opens: ${JSON.stringify(during)}`);
  await site.opened(page);
  await page.shut();
}

/** Files that did not arrive whole: a changed sealed text is closed in the one wording, and a file that was cut off says that something is missing. */
async function damaged(site, sealed, report) {
  const work = mkdtempSync(path.join(os.tmpdir(), 'damaged-'));
  const made = (name, html) => { const file = path.join(work, name); writeFileSync(file, html); return pathToFileURL(file).href; };
  const whole = site.bytes(sealed.page).toString('utf8');
  const begins = whole.indexOf('>', whole.indexOf('id="sealed"')) + 1;
  const ends = whole.indexOf('</script', begins);
  const middle = (begins + ends) >> 1;
  const changes = [
    ['one changed letter', whole.slice(0, middle) + (whole[middle] === 'A' ? 'B' : 'A') + whole.slice(middle + 1)],
    ['some of its middle missing', whole.slice(0, middle) + whole.slice(middle + 100)],
    ['no end', whole.slice(0, middle) + whole.slice(ends)],
    ['no sealed text', whole.slice(0, begins) + whole.slice(ends)],
  ];
  for (const [what, html] of changes) {
    const page = await site.browser.open(made('changed.html', html));
    await site.type(page, sealed.code);
    const said = await site.said(page);
    report.expect(CLOSED.test(said), `a sealed page with ${what}`, `says “${said}”`);
    report.saw('damaged files');
    await page.shut();
  }
  for (const [where, at] of [['in the sealed text', middle], ['in the script', whole.lastIndexOf('</script') - 500], ['right before the sealed text', begins - 60]]) {
    const page = await site.browser.open(made('cut.html', whole.slice(0, at)));
    report.expect(await page.isVisible('#unfinished').then((seen) => !seen), `a sealed page cut off ${where}`, 'says at once that something is missing');
    await page.waitForFunction(() => getComputedStyle(document.querySelector('#unfinished')).visibility === 'visible');
    report.expect(await page.isVisible('#unfinished') && !(await page.isVisible('#code')), `a sealed page cut off ${where}`, 'does not say that something is missing');
    report.saw('damaged files');
    await page.shut();
  }
  const page = await site.browser.open(site.file(sealed.page));
  report.expect((await page.$('#unfinished')) === null, sealed.page, 'says that something is missing');
  await page.shut();
  rmSync(work, { recursive: true });
}

async function elsewhere(site, sealed, report) {
  const where = `${sealed.page} over http from another host`;
  const page = await site.browser.open(`${site.plainHttp(sealed.page)}#${sealed.code}`);
  report.expect((await page.evaluate(() => globalThis.crypto.subtle === undefined)), where, 'has WebCrypto after all, so nothing was tried');
  report.expect(await page.isVisible('#unsafe') && !(await page.isVisible('#code')), where, 'does not say what to do');
  report.expect(!page.url().includes(sealed.code), where, 'leaves the code in the address');
  const safely = await page.getAttribute('#safely', 'href');
  report.expect(safely === `${site.plainHttp(sealed.page).replace('http:', 'https:')}#${sealed.code}`, where, `leads to ${safely}`);
  await page.shut();
  const context = await site.browser.open('about:blank');
  await context.addInitScript(() => { delete globalThis.DecompressionStream; });
  await context.goto(site.file(sealed.page));
  report.expect(await context.isVisible('#old') && !(await context.isVisible('#code')), `${sealed.page} in an old browser`, 'does not say what to do');
  await context.shut();
  const plain = await site.browser.open(site.file(sealed.page), { script: false });
  report.expect(/Scripts are turned off/.test(await plain.innerText('main')) && !(await plain.isVisible('#code')), `${sealed.page} without script`, 'does not say what to do');
  report.expect((await plain.locator('#unfinished').evaluate((line) => getComputedStyle(line).display)) === 'none', `${sealed.page} without script`, 'says that something is missing');
  await plain.shut();
  report.saw('ways in which it cannot open', 3);
}

/** A word of the content may stand in the file only as a part of the kennel's name. */
function tells(text, word, kennel) {
  const rest = text.replaceAll(kennel, '');
  return new RegExp(`(?<![\\p{L}\\p{N}])${word.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&')}(?![\\p{L}\\p{N}])`, 'iu').test(rest);
}

export async function check(site, report) {
  for (const sealed of site.pages) {
    const html = site.bytes(sealed.page).toString('utf8').replace(/<script type="application\/jose"[^]*?<\/script>/, '');
    for (const word of [...sealed.words, sealed.code]) report.expect(!tells(html, word, sealed.kennel), sealed.page, `tells “${word}” without a code`);
    report.saw('words looked for', sealed.words.length);
  }
  await wrongCodes(site, site.pages[0], report);
  await meanwhile(site, site.pages[0], report);
  await elsewhere(site, site.pages[0], report);
  await damaged(site, site.pages[0], report);
}
