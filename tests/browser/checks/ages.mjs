// What depends on today, brought up to date by script: ages, days until a puppy may leave. Read ten days later, on the day the clocks change, a year later, on the
// day itself, and with a clock that is behind the page. The words are turned back into days here, so that no rule of wording is taken over from the page.

import { addDays, daysBetween } from '../lib/records.mjs';
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

async function read(site, tree, name, how) {
  const page = await site.browser.open(tree.http(name), how);
  const found = await page.evaluate(() => ({
    ages: [...document.querySelectorAll('time[data-age]')].map((time) => ({ born: time.dateTime, text: time.textContent.trim() })),
    waits: [...document.querySelectorAll('[data-until]')].map((wait) => ({ until: wait.dataset.until, text: wait.textContent.trim() })),
  }));
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
    const wanted = left > 1 ? new RegExp(`\\b${left} days\\b`) : left === 1 ? /tomorrow/ : left === 0 ? /today/ : /^(?!.*\d)/;
    report.expect(wanted.test(text) && text !== '', where, `${left} days before ${until}, on ${today}, the page says “${text}”`);
    report.saw('waiting times');
  }
}

async function checkPage(site, report, tree, name, moments) {
  const where = tree.label(name);
  const plain = await read(site, tree, name, { script: false });
  if (plain.ages.length === 0 && plain.waits.length === 0) return;
  report.saw('pages with ages or waiting times');
  for (const { born, text } of plain.ages) {
    const spoken = new Date(`${site.records.today}T12:00:00Z`).toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });
    report.expect(text.includes(spoken), `${where} (script off)`, `“${text}” does not say that it was true on ${spoken}`);
    expectAges(report, `${where} (script off)`, [{ born, text: text.replace(` on ${spoken}`, '') }], site.records.today);
  }
  for (const { now, today, unchanged } of moments) {
    const found = await read(site, tree, name, { now });
    const then = `${where} (read ${now})`;
    expectWaits(report, then, found.waits, unchanged ? site.records.today : today);
    if (!unchanged) expectAges(report, then, found.ages, today);
    else report.expect(JSON.stringify(found.ages) === JSON.stringify(plain.ages), then, `the text should stay, but is ${JSON.stringify(found.ages.slice(0, 2))}`);
  }
}

/** The moments at which pages are read. In the kennel's zone, half past midnight in summer is still the day before in UTC. */
function momentsFor(today) {
  const noon = (days) => ({ now: `${addDays(today, days)}T12:00:00Z`, today: addDays(today, days) });
  return [
    { ...noon(0), unchanged: true },
    { ...noon(-1), unchanged: true },
    { ...noon(-400), unchanged: true },
    noon(1),
    noon(10),
    noon(130),
    noon(400),
    { now: `${addDays(today, 4)}T23:30:00+01:00`, today: addDays(today, 4) },
    { now: `${addDays(today, 5)}T00:30:00+01:00`, today: addDays(today, 5) },
  ];
}

export async function check(site, report) {
  const moments = momentsFor(site.records.today);
  await few(site.visitor.pages, (name) => checkPage(site, report, site.visitor, name, moments));
}
