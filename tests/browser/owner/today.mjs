// What a page says beside its dates follows the day on which it is read: what is due, what is over, how old the puppy is, whether it has left. Every page is read on days around some of its
// dates, and held against the signed record.

import { readFileSync } from 'node:fs';

export const name = 'what a sealed page says of its dates is right on the day on which it is read';

const DAY = 86400000;
const KINDS = ['worming', 'vaccination', 'chip', 'check'];
const SHOWN_AFTER = 30;
// The kennel's `leaving_age`, days.
const LEAVING_AGE = 56;

const shifted = (iso, days) => new Date(Date.parse(`${iso}T00:00:00Z`) + days * DAY).toISOString().slice(0, 10);
const inWords = (iso) => new Date(`${iso}T00:00:00Z`).toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });
const daysTo = (iso, today) => Math.round((Date.parse(iso) - Date.parse(today)) / DAY);

function wanted({ from, until }, today) {
  const over = from === until ? 'this date has passed' : `the last day, ${inWords(until)}, has passed`;
  if (today > until) return `(${over}: the vet’s later papers say whether it was done)`;
  if (today === until) return '(due today)';
  if (today >= from) return `(due now, by ${inWords(until)})`;
  const days = daysTo(from, today);
  if (days === 1) return from === until ? '(tomorrow)' : '(from tomorrow)';
  return `(in ${days} days)`;
}

/** What is still to be done for somebody who reads the record on a day: what the breeder had to see to before leaving is not, once the puppy has left. */
function toCome(item, today, leaves) {
  if (item.state === 'before leaving' && !item.for_family) return today < leaves;
  return item.state === 'open' || item.state === 'before leaving' || item.for_family;
}

// Runs inside the page.
function seen() {
  const shown = (each) => each.checkVisibility();
  const items = (selector) => [...document.querySelectorAll(selector)].map((item) => ({ text: item.innerText, now: item.querySelector('[data-until]').textContent.trim(), shown: item.checkVisibility() }));
  const earlier = document.querySelector('[data-earlier]');
  return {
    vet: items('[data-next] > li').filter((item) => item.shown),
    planned: items('[data-planned] > li'),
    unrecorded: ['#part_vet', '#part_plan'].map((part) => [...document.querySelectorAll(`${part} li`)].filter((item) => shown(item) && item.innerText.includes(', planned for ')).map((item) => item.innerText.split(', planned for ')[0])),
    complete: [...document.querySelectorAll('#part_plan p')].some((words) => shown(words) && words.innerText.startsWith('Whatever was due by')),
    asks: [...document.querySelectorAll('#part_vet dt')].some((words) => shown(words) && words.innerText.toLowerCase() === 'not recorded by the breeder'),
    folded: items('[data-earlier] li'),
    earlier: earlier !== null && shown(earlier) && !earlier.open,
    none: [...document.querySelectorAll('[data-none]')].filter(shown).length,
    bare: [...document.querySelectorAll('[data-planned]')].some((list) => shown(list.previousElementSibling) && list.children.length === 0),
    went: document.querySelector('[data-over]')?.textContent,
    born: document.querySelector('[data-born]')?.textContent.trim(),
  };
}

function compare(record, today, page, report, where) {
  // Where no day is agreed, the page goes by the first day on which the puppy may leave.
  const leaves = record.family?.leaves ?? shifted(record.puppy.born, LEAVING_AGE);
  const care = record.care.filter((item) => KINDS.includes(item.kind));
  const open = care.filter((item) => toCome(item, today, leaves));
  const unrecorded = care.filter((item) => item.state === 'not recorded' || (item.state === 'before leaving' && today >= leaves)).map((item) => item.name);
  for (const list of page.unrecorded) report.expect(list.join() === unrecorded.join(), where, `“${list.join()}” are said not to be recorded, and “${unrecorded.join()}” are not`);
  report.expect(page.complete === (unrecorded.length === 0) && page.asks === unrecorded.length > 0, where, 'what is not recorded is said to be, or the other way round');
  report.saw('what is not recorded', unrecorded.length);
  const over = open.filter((item) => today > shifted(item.until, SHOWN_AFTER));
  const next = open.filter((item) => !over.includes(item));
  report.expect(page.vet.length === Math.min(3, next.length), where, `the card for the vet shows ${page.vet.length} items, of ${next.length} to come`);
  page.vet.forEach((item, place) => report.expect(item.text.startsWith(`${next[place]?.name}:`) && item.now === wanted(next[place], today), where, `the card for the vet says “${item.text}”`));
  for (const [list, items] of [[page.planned, next], [page.folded, over]]) {
    report.expect(list.length === items.length, where, `${list.length} items stand where ${items.length} should`);
    for (const item of items) report.expect(list.some((line) => line.now === wanted(item, today)), where, `“${wanted(item, today)}” of ${item.name} is not there`);
    report.saw('dates', items.length);
  }
  report.expect(page.earlier === over.length > 0, where, 'what is long over is not folded');
  const ever = care.some((item) => toCome(item, '', leaves ?? '9999-12-31'));
  report.expect(page.none === (ever && next.length === 0 ? 2 : 0) && !page.bare, where, 'an empty list stands there, or words for one that is not empty');
  if (record.family?.leaves) report.expect(page.went === (today > leaves ? 'Went to' : 'Goes to'), where, `says “${page.went}” of ${leaves}`);
}

export async function check(site, report) {
  for (const sealed of site.pages) {
    const { record } = JSON.parse(readFileSync(sealed.files.find((file) => file.endsWith('-record.json')), 'utf8'));
    const { born } = record.puppy;
    const [item] = record.care.filter((each) => each.state === 'open' && KINDS.includes(each.kind)).slice(-2);
    const year = `${Number(born.slice(0, 4)) + 1}${born.slice(4)}`;
    const days = [item.from, shifted(item.from, -1), shifted(item.from, -9), shifted(item.from, 1), item.until, shifted(item.until, 1), shifted(item.until, SHOWN_AFTER), shifted(item.until, SHOWN_AFTER + 1), year, shifted(year, 400)];
    if (record.family?.leaves) days.push(record.family.leaves, shifted(record.family.leaves, 1));
    for (const today of days) {
      const where = `${sealed.page} read on ${today}`;
      const page = await site.browser.open(`${site.file(sealed.page)}#${sealed.code}`, { now: `${today}T12:00:00Z` });
      await site.opened(page);
      const said = await page.evaluate(seen);
      compare(record, today, said, report, where);
      if (today === year) report.expect(said.born === '(now 1 year old)', where, `says “${said.born}” on the first birthday`);
      report.saw('readings');
      await page.shut();
    }
  }
}
