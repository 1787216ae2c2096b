// Labels hold together whatever font a reader's system has: no word of a label is broken, no label touches its value, nothing makes the page wider than the screen. Three families of
// fonts are tried in place of the system's: one of middle width, a wide one, and one in which every letter is as wide as the widest.

import { PHONE } from '../lib/browser.mjs';

export const name = 'labels hold together in three families of fonts';

const FAMILIES = [
  ['"Liberation Serif", serif', '"Liberation Sans", sans-serif'],
  ['"DejaVu Serif", serif', '"DejaVu Sans", sans-serif'],
  ['"DejaVu Sans Mono", "Liberation Mono", monospace', '"DejaVu Sans Mono", "Liberation Mono", monospace'],
];

/** Runs in the page: words of labels that are broken, labels that reach into their values, and how far the page is too wide. */
function look() {
  const broken = [];
  let labels = 0;
  for (const label of document.querySelectorAll('dt, thead th, .label, .narrow label')) {
    if (!label.checkVisibility()) continue;
    labels += 1;
    const texts = document.createTreeWalker(label, NodeFilter.SHOW_TEXT);
    for (let text = texts.nextNode(); text; text = texts.nextNode()) {
      for (const word of text.data.matchAll(/[^\s-]+/g)) {
        const range = document.createRange();
        range.setStart(text, word.index);
        range.setEnd(text, word.index + word[0].length);
        const lines = new Set([...range.getClientRects()].filter((box) => box.width > 0).map((box) => Math.round(box.top)));
        if (lines.size > 1) broken.push(`breaks “${word[0]}”`);
        const value = label.matches('dt') ? label.nextElementSibling : null;
        const from = value?.getBoundingClientRect();
        const box = range.getBoundingClientRect();
        if (from && from.top < box.bottom && box.top < from.bottom && box.right > from.left + 0.5) broken.push(`“${word[0]}” reaches into its value`);
      }
    }
  }
  return { broken, labels, over: document.documentElement.scrollWidth - document.documentElement.clientWidth };
}

export async function check(site, report) {
  const kinds = new Map();
  for (const page of site.visitor.pages) kinds.set(page.split('/').slice(0, -1).join('/') + page.split('/').length, page);
  for (const path of [...kinds.values(), 'index.html', 'puppies.html', 'past.html']) {
    const page = await site.browser.open(site.visitor.http(path), { viewport: PHONE });
    for (const [serif, sans] of FAMILIES) {
      // A sheet of the browser's own, since the pages forbid styles that they do not carry.
      await page.evaluate((css) => {
        const sheet = new CSSStyleSheet();
        sheet.replaceSync(css);
        document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
      }, `:root { --serif: ${serif}; --sans: ${sans}; }`);
      const { broken, labels, over } = await page.evaluate(look);
      const where = `public/${path} in ${serif.split(',')[0]}`;
      for (const fault of broken) report.fault(where, fault);
      report.expect(over <= 0, where, `is ${over} pixels too wide`);
      report.saw('labels', labels);
    }
    await page.shut();
  }
}
