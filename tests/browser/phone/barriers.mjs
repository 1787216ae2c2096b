// Every state of the phone's page, light and dark, at phone size and on the smallest phones: axe-core finds no barrier, every target is at least 44 pixels high and wide, nothing sticks out of the
// window. The keeper's page of phones is looked at as well, on phone and desktop.

import path from 'node:path';
import { findBarriers } from '../lib/axe.mjs';
import { PHONE, VIEWS, inViews } from '../lib/browser.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'the page at the box and the page of phones have no barrier in any state, and every target is large enough for a thumb';

const LEAST = 44;
const SMALL = { viewport: { width: 320, height: 568 }, scheme: 'light' };
const ON_PHONES = [SMALL, { viewport: PHONE, scheme: 'light' }, { viewport: PHONE, scheme: 'dark' }];
const tap = async (page, ...ids) => { for (const id of ids) await page.locator(`#${id}`).click(); };
// Each state with what leads there from the one before.
const STATES = [
  ['a birth begins', async (page) => { await tap(page, 'tab-birth'); await page.locator('#litter').selectOption('winter-2026'); }],
  ['no puppy yet', (page) => tap(page, 'how-planned-section')],
  ['a first breath', (page) => tap(page, 'born-now')],
  ['a horn', (page) => tap(page, 'breath-once')],
  ['a second puppy', (page) => tap(page, 'horn-left', 'born-now')],
  ['a sex', (page) => tap(page, 'breath-still', 'horn-right')],
  ['a ribbon', async (page) => { await tap(page, 'sex-male', 'skip', 'later', 'later', 'later'); await page.locator('#body .line', { hasText: 'sex not said yet' }).click(); await tap(page, 'sex-female'); }],
  ['a birth weight', async (page) => { await page.locator('.ribbon-key:not([aria-disabled])').first().click(); await tap(page, 'pad-2', 'pad-1'); }],
  ['a palate', (page) => tap(page, 'pad-6', 'keep')],
  ['a colour', (page) => tap(page, 'palate-intact', 'placenta-out')],
  ['a vigour score', (page) => tap(page, 'colour-0', 'more-vigour', 'score-heart-2')],
  ['when there is time', (page) => tap(page, 'score-keep')],
  ['the newborn checks', async (page) => { await tap(page, 'more-checks', 'check-limbs'); await page.locator('#check-skin-seen').fill('a graze'); }],
  ['checks kept', (page) => tap(page, 'checks-keep')],
  ['born earlier', (page) => tap(page, 'born-now', 'breath-once', 'later', 'later', 'more-born', 'earlier-60')],
  ['take it out', (page) => tap(page, 'earlier-done', 'more-gone')],
  ['a birth gone', (page) => tap(page, 'gone-yes')],
  ['weigh', async (page) => { await tap(page, 'tab-weigh'); await page.locator('#litter').selectOption('autumn-2026'); }],
  ['on the scale', (page) => tap(page, 'line-fern', 'pad-2', 'pad-6')],
  ['a slip suspected', (page) => tap(page, 'pad-unit', 'pad-1', 'pad-lb', 'pad-2')],
  ['a weight kept', (page) => tap(page, 'pad-unit', 'pad-2', 'pad-6', 'pad-1', 'keep')],
  ['kinds of entries', (page) => tap(page, 'done', 'tab-enter')],
  ['a form', (page) => tap(page, 'kind-feed')],
  ['a form that lacks something', (page) => tap(page, 'record')],
  ['a remark', (page) => tap(page, 'back', 'kind-remark')],
  ['the round', (page) => tap(page, 'back', 'tab-round')],
  ['what waits', (page) => tap(page, 'tab-waits')],
  ['another address', (page) => tap(page, 'address')],
];

function targets() {
  const side = (each) => { const box = (each.closest('label') ?? each).getBoundingClientRect(); return Math.min(box.width, box.height); };
  return [...document.querySelectorAll('a[href], button, input, select, textarea, summary')].filter((each) => each.checkVisibility()).map((each) => ({ what: each.id || each.textContent.trim().slice(0, 30), side: side(each) }));
}

async function look(page, report, where, isPhone, file) {
  await findBarriers(page, report, where);
  if (isPhone) {
    for (const { what, side } of await page.evaluate(targets)) {
      report.expect(side >= LEAST - 0.01, where, `${what} is ${side.toFixed(1)} px`);
      report.saw('targets');
    }
  }
  report.saw('states');
  await screen(page, file, { fullPage: false });
}

export async function check(box, report) {
  const see = (page, views, state) => inViews(page, views, ({ viewport, scheme }) => {
    const where = `${state}, ${viewport.width}, ${scheme}`;
    return look(page, report, where, views === ON_PHONES, path.join(box.screens, `box-${where.replaceAll(/[^\w]+/g, '-')}.png`));
  });
  // The day on which the expected litter can be born, and a kennel in which it is not yet.
  const { desk, keeper } = await box.begin(box.copy('2026-11-08'));
  const { link, address } = await box.code(keeper, 'Phone of many sizes');
  const first = await box.phone(address, SMALL);
  await first.locator('#pair').waitFor();
  await see(first, ON_PHONES, 'not connected');
  await first.locator('#f-code').fill('7ZK4-0QWM');
  await first.locator('#pair').click();
  await see(first, ON_PHONES, 'a code with a slip');
  await first.shut();
  // Led from state to state on the smallest phone, where least can be reached.
  const page = await box.phone(link, SMALL);
  await page.locator('#tab-weigh').waitFor();
  for (const [state, lead] of STATES) {
    await lead(page);
    await see(page, ON_PHONES, state);
  }
  // Out of reach, with something that waits.
  await page.context().setOffline(true);
  await tap(page, 'address-no', 'tab-weigh', 'line-reed', 'pad-2', 'pad-7', 'pad-9', 'keep', 'done', 'tab-waits');
  await page.getByText('One entry waits').waitFor();
  await see(page, ON_PHONES, 'one waits');
  report.expect(page.seen.console.filter((line) => !line.includes('ERR_')).length === 0, 'the phone', `the console says ${page.seen.console.join('; ')}`);
  await page.shut();
  const phones = await (await box.browser()).open(new URL('-desk/phones', desk.book).href, VIEWS[0]);
  await see(phones, VIEWS, 'page of phones');
  await phones.shut();
}
