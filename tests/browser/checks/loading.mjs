// Nothing moves while a page loads, also when its script is slow to come, and the largest picture of the first screen does not wait to be scrolled to. Every picture says its size before it
// is there. What moved is measured as layout-shift entries of the Performance API, as Cumulative Layout Shift counts them.

import { PHONE } from '../lib/browser.mjs';

export const name = 'nothing moves while a page loads, and its largest picture comes at once';

/** Milliseconds by which the script comes late. */
const LATE = 400;

/** Runs in the page: what moved so far, and the largest thing painted. */
async function measure() {
  const entries = (type) => new Promise((resolve) => {
    const observer = new PerformanceObserver((list) => { observer.disconnect(); resolve(list.getEntries()); });
    observer.observe({ type, buffered: true });
    setTimeout(() => resolve([]), 300);
  });
  const [shifts, paints] = await Promise.all([entries('layout-shift'), entries('largest-contentful-paint')]);
  const largest = paints.at(-1)?.element;
  return {
    shift: shifts.filter((entry) => !entry.hadRecentInput).reduce((sum, entry) => sum + entry.value, 0),
    moved: shifts.flatMap((entry) => entry.sources.map((source) => source.node?.parentElement?.className || source.node?.nodeName || '?')).slice(0, 4),
    painted: paints.length > 0,
    lazy: largest?.tagName === 'IMG' && largest.loading === 'lazy' ? largest.alt : null,
    sizeless: [...document.images].filter((image) => !image.getAttribute('width') || !image.getAttribute('height')).map((image) => image.alt),
  };
}

const late = (page) => page.route('**/site.js', async (route) => {
  await new Promise((resolve) => { setTimeout(resolve, LATE); });
  await route.continue();
});

export async function check(site, report) {
  const kinds = new Map();
  for (const page of site.visitor.pages) kinds.set(page.split('/').slice(0, -1).join('/') + page.split('/').length, page);
  for (const path of new Set([...kinds.values(), 'index.html', 'puppies.html', 'past.html'])) {
    const page = await site.browser.open(site.visitor.http(path), { viewport: PHONE, prepare: late });
    const { shift, moved, painted, lazy, sizeless } = await page.evaluate(measure);
    const where = `public/${path}`;
    report.expect(shift < 0.001, where, `moved by ${shift.toFixed(4)} while it loaded (${moved.join(', ')})`);
    report.expect(painted, where, 'nothing was painted, so nothing was measured');
    report.expect(lazy === null, where, `its largest picture waits until it is scrolled to: ${lazy}`);
    for (const alt of sizeless) report.fault(where, `a picture does not say its size: ${alt}`);
    report.saw('pages');
    await page.shut();
  }
}
