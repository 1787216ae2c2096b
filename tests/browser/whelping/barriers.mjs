// Every state of the sheet, light and dark: axe-core finds no barrier, every target is at least 44 pixels high and wide, nothing sticks out of a phone, what is tapped lies in the lower half,
// and the Nu checker finds no fault.

import { runChecker } from '../checks/html.mjs';
import { findBarriers } from '../lib/axe.mjs';
import { PHONE, inViews } from '../lib/browser.mjs';

export const name = 'the sheet has no barrier in any state, and every target is large enough for a thumb';

const VIEWS = ['light', 'dark'].map((scheme) => ({ viewport: PHONE, scheme }));

// Runs inside the browser: what can be tapped and is smaller than 44 pixels.
function measure() {
  const all = [...document.querySelectorAll('a[href], button, input, textarea, summary')].filter((one) => one.checkVisibility());
  const small = all.map((one) => ({ one, box: one.getBoundingClientRect() })).filter(({ box }) => box.width < 43.99 || box.height < 43.99);
  const main = document.querySelector('.main-key')?.getBoundingClientRect();
  return {
    seen: all.length,
    small: small.map(({ one, box }) => `${one.id || one.textContent.trim().slice(0, 30)} ${box.width.toFixed(1)}x${box.height.toFixed(1)}`),
    main: main ? { low: main.top > innerHeight / 2, inside: main.bottom <= innerHeight, height: main.height } : null,
    letters: Number.parseFloat(getComputedStyle(document.querySelector('.key, .line, .main-key')).fontSize),
  };
}

async function look(page, report, scheme, state) {
  const where = `${state} (${scheme})`;
  await findBarriers(page, report, where);
  const found = await page.evaluate(measure);
  for (const small of found.small) report.fault(where, `target below 44 px: ${small}`);
  report.expect(found.letters >= 16, where, `letters of ${found.letters} px`);
  if (found.main) report.expect(found.main.low && found.main.inside && found.main.height >= 60, where, `the main key lies wrong: ${JSON.stringify(found.main)}`);
  report.saw('targets', found.seen);
  report.saw('states');
  await page.picture(`${state.replaceAll(/\W+/g, '-')}-${scheme}`);
}

async function walk(kennel, report) {
  const page = await kennel.open(kennel.sheet, '2026-11-08T09:00:00Z');
  const see = (state) => inViews(page, VIEWS, ({ scheme }) => look(page, report, scheme, state));
  await see('start');
  await page.tap('how-planned-section');
  await see('begun');
  await page.at('2026-11-08T09:10:00Z');
  await page.tap('born');
  await see('first breath');
  await page.tap('breath-now');
  await see('horn');
  await page.tap('horn-left');
  await see('sex');
  await page.tap('sex-female');
  await see('ribbon');
  await page.tap('ribbon-white');
  await page.type('212');
  await see('weight in grams');
  await page.tap('pad-unit');
  await see('weight in ounces');
  await page.tap('pad-7', 'pad-1-2', 'pad-done', 'palate-intact', 'placenta-out');
  await see('colour');
  await page.tap('colour-0');
  await page.tap('more-vigour', 'score-new', 'score-heart-2');
  await see('vigour');
  await page.tap('score-done', 'more-newborn');
  await see('checks');
  await page.tap('newborn-all', 'newborn-done', 'more-words');
  await see('name and remarks');
  await page.tap('words-done', 'line-born');
  await see('time of birth');
  await page.tap('born-gone');
  await see('taking out');
  await page.tap('gone-no', 'line-breath');
  await see('first breath again');
  await page.tap('born');
  await page.tap('chip-1', 'line-ribbon');
  await see('a puppy without a breath below another question');
  await page.tap('waits-2', 'breath-once', 'horn-left', 'sex-male');
  await see('a worn ribbon');
  await page.tap('born');
  await page.at('2026-11-08T09:11:20Z');
  await page.tap('born');
  await page.waitForSelector('#slow');
  await see('two without a breath, one for over a minute');
  await page.tap('breath-once', 'breath-once');
  await page.click('#cautions summary');
  await see('cautions');
  await page.tap('end');
  await see('end');
  for (const line of ['how', 'began', 'placentas', 'clinic', 'incisions', 'adhesions', 'build', 'surgeon', 'remarks']) {
    await page.tap(`line-${line}`);
    await see(`end, ${line}`);
  }
  await page.tap('line-how', 'how-planned-section');
  await page.at('2026-11-08T08:00:00Z');
  await page.tap('line-placentas', 'placentas-more', 'placentas-done');
  await see('clock set back');
  await page.tap('text');
  await see('text');
  await page.tap('litter-done', 'clear');
  await see('clearing');
  for (const line of page.seen.console) report.fault('the sheet', `console: ${line}`);
  await page.shut();
}

export async function check(kennel, report) {
  await walk(kennel, report);
  for (const message of await runChecker([kennel.sheet, kennel.blank])) report.fault(message.url, `${message.type}, line ${message.lastLine}: ${message.message}`);
  report.saw('pages through the Nu checker', 2);
}
