// What depends on today: ages, and days until a puppy may leave. A kennel that pins its day, as the demo does, stays on it whatever the visitor's clock says.
// The same pages without the pin, as a living kennel has them, are read the next day, ten days later, around midnight, after months and a year, and with a clock
// that is behind the page. The words are turned back into days here, so that no rule of wording is taken over from the page.

import { addDays, daysBetween } from '../lib/records.mjs';
import { serve } from '../lib/server.mjs';
import { few } from '../lib/site.mjs';

export const name = 'ages and waiting times are true on the day they are read';

const MONTH = 365.25 / 12;

/** The days that an age in words can mean: [least, most]; null when they are not understood. */
function daysMeant(words) {
  const text = words.replace(/\s+/g, ' ').trim();
  if (/^born today$/.test(text)) return [0, 0];
  const exact = text.match(/^(?:(\d+) weeks?)?(?: and )?(?:(\d+) days?)? old$/);
  if (exact && (exact[1] || exact[2])) {
    const days = 7 * Number(exact[1] ?? 0) + Number(exact[2] ?? 0);
    return [days, days];
  }
  const rough = text.match(/^(\d+) (month|year)s? old$/);
  if (!rough) return null;
  const unit = rough[2] === 'month' ? MONTH : 12 * MONTH;
  return [Math.floor(rough[1] * unit) - 1, Math.ceil((Number(rough[1]) + 1) * unit)];
}

/** What a page that is open says. */
function read(page) {
  return page.evaluate(() => ({
    ages: [...document.querySelectorAll('time[data-age]')].map((time) => ({ born: time.dateTime, text: time.textContent.trim() })),
    waits: [...document.querySelectorAll('[data-until]')].map((wait) => ({ until: wait.dataset.until, text: wait.textContent.trim() })),
  }));
}

/** What a page says without script. */
async function readPlain(site, url) {
  const page = await site.browser.open(url, { script: false });
  const found = await read(page);
  await page.shut();
  return found;
}

function expectAges(report, where, ages, today) {
  for (const { born, text } of ages) {
    const age = daysBetween(born, today);
    const meant = daysMeant(text);
    report.expect(meant && meant[0] <= age && age <= meant[1], where, `born ${born}, so ${age} days old on ${today}, but the page says “${text}”`);
    report.saw('ages');
  }
}

function expectWaits(report, where, waits, today) {
  for (const { until, text } of waits) {
    const left = daysBetween(today, until);
    const wanted = left > 1 ? new RegExp(`\\b${left} days\\b`) : left === 1 ? /tomorrow/ : left === 0 ? /today/ : /^[^\d]+$/;
    report.expect(wanted.test(text), where, `${left} days before ${until}, on ${today}, the page says “${text}”`);
    report.saw('waiting times');
  }
}

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

/** Without script an age says on which day it was true, and it was. */
function expectDated(report, where, ages, day) {
  const spoken = new Date(`${day}T12:00:00Z`).toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });
  for (const { born, text } of ages) {
    report.expect(text.endsWith(` on ${spoken}`), where, `“${text}” does not say that it was true on ${spoken}`);
    expectAges(report, where, [{ born, text: text.replace(` on ${spoken}`, '') }], day);
  }
}

async function checkPage(site, report, living, name) {
  const where = site.visitor.label(name);
  const written = site.records.today;
  const noon = (days) => `${addDays(written, days)}T12:00:00Z`;
  const pinned = site.visitor.http(name);
  const plain = await readPlain(site, pinned);
  if (plain.ages.length === 0 && plain.waits.length === 0) return;
  report.saw('pages with ages or waiting times');
  expectDated(report, `${where} (script off)`, plain.ages, written);
  // One window, which is told another time before each visit; pages keep nothing (requests.mjs).
  const page = await site.browser.open('about:blank');
  const visit = async (url, now) => {
    await page.clock.setFixedTime(now);
    await page.goto(url);
    return read(page);
  };
  for (const days of [0, 10, 400]) {
    const found = await visit(pinned, noon(days));
    report.expect(same(found.ages, plain.ages), where, `the demo's day is pinned, but ${days} days later it says ${JSON.stringify(found.ages[0])}`);
    expectWaits(report, `${where} (pinned, read ${days} days later)`, found.waits, written);
  }
  for (const days of [-1, -400]) {
    const found = await visit(living(name), noon(days));
    report.expect(same(found, plain), where, `with a clock ${-days} days behind, the text should stay, but is ${JSON.stringify([found.ages[0], found.waits[0]])}`);
  }
  // In the kennel's zone, half past midnight in summer is still the day before in UTC.
  const midnight = [[4, '23:30:00+01:00'], [5, '00:30:00+01:00']].map(([days, time]) => ({ days, now: `${addDays(written, days)}T${time}` }));
  for (const { days, now } of [...[1, 10, 130, 400].map((days) => ({ days, now: noon(days) })), ...midnight]) {
    const found = await visit(living(name), now);
    expectAges(report, `${where} (read ${now})`, found.ages, addDays(written, days));
    expectWaits(report, `${where} (read ${now})`, found.waits, addDays(written, days));
  }
  await page.shut();
}

export async function check(site, report) {
  const unpinned = await serve(site.visitor.dir, '', (html) => html.replace(/(<html\b[^>]*?)\sdata-pinned\b(="")?/, '$1'));
  const living = (name) => unpinned.base + encodeURI(name);
  await few(site.visitor.pages, (name) => checkPage(site, report, living, name));
  await unpinned.close();
}
