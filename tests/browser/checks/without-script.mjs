// The visitor's site with script switched off: every page can be reached by following links, says the same as with script, and the list of puppies is whole.

import { few } from '../lib/site.mjs';

export const name = 'the visitor\'s site works with script off';

/** Follows every link from the first page, as a visitor would. Returns the text of each page by its path. */
async function walk(site, report) {
  const { base } = site.visitor.server;
  const texts = new Map();
  const queue = ['index.html'];
  while (queue.length > 0) {
    const name = queue.shift();
    if (texts.has(name)) continue;
    const page = await site.browser.open(base + name, { script: false });
    const where = `public/${decodeURI(name)} (script off)`;
    report.expect(page.answer.status() === 200, where, `answers with ${page.answer.status()}`);
    report.expect((await page.locator('h1:visible').count()) === 1, where, 'does not show one main heading');
    texts.set(name, await visibleLines(page));
    const links = await page.$$eval('a[href]', (all) => all.map((link) => link.href));
    for (const link of links) if (link.startsWith(base) && /\.html([?#]|$)/.test(link)) queue.push(link.slice(base.length).split(/[?#]/)[0]);
    report.saw('pages walked to');
    await page.shut();
  }
  return texts;
}

/** The lines that can be read on a page, but for what only one of the two worlds can have: <noscript>, and what is marked as made for script. */
function visibleLines(page) {
  return page.evaluate(() => {
    const readable = (element) => !element.closest('noscript, form, output, [role="status"], [data-until]') && element.checkVisibility({ visibilityProperty: true });
    const lines = [];
    for (const element of document.body.querySelectorAll('*')) {
      const own = [...element.childNodes].filter((node) => node.nodeType === Node.TEXT_NODE).map((node) => node.data).join(' ').replaceAll(/\s+/g, ' ').trim();
      if (own !== '' && readable(element) && !['SCRIPT', 'STYLE'].includes(element.tagName)) lines.push(own);
    }
    return lines;
  });
}

async function compareText(site, report, texts) {
  await few([...texts.keys()], async (name) => {
    const page = await site.browser.open(site.visitor.server.base + name);
    const scripted = await visibleLines(page);
    const plain = texts.get(name);
    const where = `public/${decodeURI(name)}`;
    for (const line of plain.filter((each) => !scripted.includes(each))) report.fault(where, `only without script: “${line}”`);
    for (const line of scripted.filter((each) => !plain.includes(each))) report.fault(where, `only with script: “${line}”`);
    report.saw('lines of text', plain.length);
    await page.shut();
  });
}

async function checkPuppies(site, report) {
  const page = await site.browser.open(site.visitor.http('puppies.html'), { script: false });
  const shown = await page.$$eval('[data-sex][data-litter] a[href]', (links) => [...new Set(links.filter((link) => link.checkVisibility()).map((link) => link.getAttribute('href')))]);
  const wanted = site.records.available.map((puppy) => `litters/${puppy.litter}/${puppy.id}.html`);
  for (const href of wanted) report.expect(shown.includes(href), 'public/puppies.html (script off)', `does not show ${href}, which is available`);
  const others = site.records.puppies.filter((puppy) => puppy.offer !== 'available').map((puppy) => `litters/${puppy.litter}/${puppy.id}.html`);
  for (const href of others) report.expect(!shown.includes(href), 'public/puppies.html (script off)', `offers ${href}, which is not available`);
  const dead = await page.$$eval('form', (forms) => forms.filter((form) => form.checkVisibility()).length);
  report.expect(dead === 0, 'public/puppies.html (script off)', 'shows a form that can do nothing without script');
  report.saw('available puppies', wanted.length);
  await page.shut();
}

export async function check(site, report) {
  const texts = await walk(site, report);
  for (const page of site.visitor.pages) {
    if (page !== '404.html') report.expect(texts.has(encodeURI(page)), site.visitor.label(page), 'cannot be reached by links');
  }
  await checkPuppies(site, report);
  await compareText(site, report, texts);
}
