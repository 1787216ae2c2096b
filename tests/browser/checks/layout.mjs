// Pages fit: no sideways scrolling down to 320 pixels (which is also 1280 at 400 %), nothing cut off when a reader sets wider text, targets large enough for a thumb,
// and print shows the page without its navigation, dark on white.

import { DESK, PHONE } from '../lib/browser.mjs';
import { few } from '../lib/site.mjs';

export const name = 'pages fit small screens, wide text, thumbs and paper';

const NARROW = { width: 320, height: 640 };
const PAPER = { width: 718, height: 1000 }; // A4 less margins of 10 mm, at 96 dots per inch

// Runs inside the browser: by how much the page is wider than its window, and what sticks out. What scrolls in a box of its own may be wide.
function sidewaysOverflow() {
  const over = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (over <= 0) return null;
  const edge = document.documentElement.clientWidth + 1;
  const out = [...document.body.querySelectorAll('*')].filter((element) => element.getBoundingClientRect().right > edge);
  const words = out.slice(0, 3).map((element) => `<${element.localName} class="${element.getAttribute('class') ?? ''}">`);
  return `${over} px too wide: ${words.join(', ')}`;
}

// Runs inside the browser: tables of the book that have to be pushed sideways. On a phone a row becomes lines.
function wideTables() {
  const wide = [...document.querySelectorAll('.scroll:has(table)')].filter((box) => box.scrollWidth > box.clientWidth + 1);
  return wide.map((box) => `${box.getAttribute('aria-label')} (${box.scrollWidth} px in ${box.clientWidth})`);
}

// Runs inside the browser: text that is cut off by its own box.
function cutText() {
  const cut = [];
  for (const element of document.body.querySelectorAll('*')) {
    const style = getComputedStyle(element);
    const hides = (axis) => ['hidden', 'clip'].includes(axis);
    if (element.clientWidth <= 1 || element.textContent.trim() === '' || !element.checkVisibility()) continue;
    const tall = hides(style.overflowY) && element.scrollHeight > element.clientHeight + 1;
    const wide = hides(style.overflowX) && element.scrollWidth > element.clientWidth + 1;
    if (tall || wide) cut.push(`<${element.localName} class="${element.getAttribute('class') ?? ''}">`);
  }
  return cut;
}

// Runs inside the browser: every target that is too small. A link in a line of text may be as small as its words (WCAG 2.5.8); what stands apart
// from all other targets by a circle of 24 pixels may be too. Main actions have no excuse.
function smallTargets() {
  const all = [...document.querySelectorAll('a[href], button, select, input:not([type="hidden"]), summary, textarea')]
    .filter((element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
    .map((element) => {
      // A label around or beside a box is part of its target.
      const boxes = [element, ...(element.labels ?? [])].map((each) => each.getBoundingClientRect());
      const box = { left: Math.min(...boxes.map((b) => b.left)), right: Math.max(...boxes.map((b) => b.right)), top: Math.min(...boxes.map((b) => b.top)), bottom: Math.max(...boxes.map((b) => b.bottom)) };
      return { element, own: boxes[0], width: box.right - box.left, height: box.bottom - box.top, x: (box.left + box.right) / 2, y: (box.top + box.bottom) / 2, box };
    })
    .filter(({ box }) => box.right > 0 && box.bottom + scrollY > 0 && box.right - box.left > 1);
  const inText = ({ element }) => {
    if (getComputedStyle(element).display !== 'inline') return false;
    const block = element.closest('p, li, dd, dt, td, th, figcaption, blockquote, h1, h2, h3, h4, div, span');
    return block.textContent.trim().length > element.textContent.trim().length;
  };
  const small = (one) => one.width < 24 || one.height < 24;
  const apart = (one, other) => Math.hypot(Math.max(other.box.left - one.x, 0, one.x - other.box.right), Math.max(other.box.top - one.y, 0, one.y - other.box.bottom));
  const crowded = (one) => all.some((other) => other !== one && (apart(one, other) < 12 || (small(other) && Math.hypot(one.x - other.x, one.y - other.y) < 24)));
  const main = ({ element }) => element.matches('main a[href^="mailto:"], form button, form select, form input, nav a');
  const words = ({ element, width, height }) => `<${element.localName}> “${element.textContent.trim().slice(0, 40)}” ${width.toFixed(1)}x${height.toFixed(1)}`;
  return {
    seen: all.length,
    small: all.filter((one) => small(one) && !inText(one) && crowded(one)).map(words),
    low: all.filter((one) => main(one) && !inText(one) && one.own.height < 44 && one.height < 44).map(words),
  };
}

async function checkWidths(site, report, tree, name, page) {
  for (const viewport of [NARROW, PHONE, DESK]) {
    await page.setViewportSize(viewport);
    const where = `${tree.label(name)} (${viewport.width} px)`;
    const over = await page.evaluate(sidewaysOverflow);
    if (over) {
      report.fault(where, over);
      await site.browser.keep(page, `layout-${where}`);
    }
    if (viewport === NARROW && tree.name === 'private') {
      for (const table of await page.evaluate(wideTables)) report.fault(where, `has to be pushed sideways: ${table}`);
    }
    if (viewport === PHONE) await checkTargets(report, tree, page, where);
    // A sheet that is made by script is let in by every policy.
    await page.evaluate((rules) => {
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(rules);
      document.adoptedStyleSheets.push(sheet);
    }, '* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } p { margin-bottom: 2em !important }');
    const spaced = await page.evaluate(sidewaysOverflow);
    if (spaced && !over) report.fault(`${where}, wide text`, spaced);
    for (const cut of await page.evaluate(cutText)) report.fault(`${where}, wide text`, `cuts off ${cut}`);
    if (spaced && !over) await site.browser.keep(page, `layout-spaced-${where}`);
    await page.evaluate(() => { document.adoptedStyleSheets = document.adoptedStyleSheets.slice(0, -1); });
  }
}

async function checkTargets(report, tree, page, where) {
  const targets = await page.evaluate(smallTargets);
  for (const words of targets.small) report.fault(where, `target below 24 px: ${words}`);
  // 44 is our own wish for what visitors do with their thumbs; the keeper's book, read at a desk or printed, keeps to the standard's 24.
  for (const words of tree.name === 'public' ? targets.low : []) report.fault(where, `main action below 44 px: ${words}`);
  report.saw('targets', targets.seen);
}

async function checkPrint(report, tree, name, page) {
  await page.setViewportSize(PAPER);
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  const where = `${tree.label(name)} (print)`;
  const printed = await page.evaluate(() => {
    const seen = (selector) => [...document.querySelectorAll(selector)].filter((element) => element.checkVisibility()).length;
    const light = (colour) => { const [r, g, b, a = 1] = colour.match(/[\d.]+/g).map(Number); return a === 0 ? 1 : (0.3 * r + 0.59 * g + 0.11 * b) / 255; };
    const colour = (element) => getComputedStyle(element);
    return { nav: seen('nav'), forms: seen('form'), heading: seen('h1'), ink: light(colour(document.querySelector('h1') ?? document.body).color),
      paper: Math.min(light(colour(document.body).backgroundColor), light(colour(document.documentElement).backgroundColor)) };
  });
  report.expect(printed.nav === 0, where, 'prints its navigation');
  report.expect(printed.forms === 0, where, 'prints a form');
  report.expect(printed.heading === 1, where, 'prints no heading');
  report.expect(printed.ink < 0.4 && printed.paper > 0.9, where, `prints ink of lightness ${printed.ink.toFixed(2)} on paper of ${printed.paper.toFixed(2)}`);
  const over = await page.evaluate(sidewaysOverflow);
  if (over) report.fault(where, over);
}

export async function check(site, report) {
  for (const tree of site.trees) {
    await few(tree.pages, async (name) => {
      // Loaded once, looked at in every width and on paper.
      const page = await site.browser.open(tree.http(name), { viewport: NARROW });
      await checkWidths(site, report, tree, name, page);
      await checkPrint(report, tree, name, page);
      await page.shut();
    });
    report.saw(`${tree.name} pages`, tree.pages.length);
  }
}
