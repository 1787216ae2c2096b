// The list of available puppies, narrowed by sex, colour, litter and leaving day: every single choice and every pair shows the puppies that the records say,
// says how many, survives a reload, and can be undone. What the cards claim in their data is compared with the records first.

export const name = 'the list of puppies narrows truly, says so, remembers and forgets';

const CARDS = '#cards > li';
const FACETS = ['sex', 'colour', 'litter', 'leaves'];

// What a choice means, told from the records.
const fits = (puppy, choice) => Object.entries(choice).every(([facet, value]) => (facet === 'leaves' ? puppy.leaves <= value : puppy[facet] === value));

const pathOf = (puppy) => `litters/${puppy.litter}/${puppy.id}.html`;

async function shownCards(page) {
  return page.$$eval(CARDS, (cards) => cards.filter((card) => card.checkVisibility()).map((card) => card.querySelector('h2 a, h3 a').getAttribute('href')));
}

async function choose(page, choice) {
  for (const facet of FACETS) await page.selectOption(`form select[name="${facet}"]`, choice[facet] ?? '');
}

async function expectShown(report, page, puppies, choice, where) {
  const words = `${where} ${JSON.stringify(choice)}`;
  const wanted = puppies.filter((puppy) => fits(puppy, choice)).map(pathOf).sort();
  const shown = (await shownCards(page)).sort();
  report.expect(shown.join() === wanted.join(), words, `shows ${shown.join(', ') || 'nobody'} instead of ${wanted.join(', ') || 'nobody'}`);
  const said = (await page.innerText('[role="status"]')).trim();
  const number = Number(said.match(/\d+/)?.[0] ?? 0);
  report.expect(said !== '' && number === wanted.length, words, `says “${said}” of ${wanted.length} puppies`);
  report.saw('choices');
}

async function checkCards(report, page, puppies) {
  const cards = await page.$$eval(CARDS, (all) => all.map((card) => ({ href: card.querySelector('h2 a, h3 a').getAttribute('href'), ...card.dataset })));
  for (const puppy of puppies) {
    const card = cards.find((each) => each.href === pathOf(puppy));
    if (!report.expect(card, 'public/puppies.html', `has no card of ${puppy.id}`)) continue;
    for (const facet of FACETS) report.expect(card[facet] === puppy[facet], 'public/puppies.html', `the card of ${puppy.id} says ${facet} ${card[facet]}, the records say ${puppy[facet]}`);
  }
  report.expect(cards.length === puppies.length, 'public/puppies.html', `has ${cards.length} cards for ${puppies.length} available puppies`);
}

/** All options of each facet; a facet that offers less than the records know would hide puppies from some searches. */
async function optionsOf(report, page, puppies) {
  const options = {};
  for (const facet of FACETS) {
    options[facet] = (await page.$$eval(`form select[name="${facet}"] option`, (all) => all.map((option) => option.value))).filter((value) => value !== '');
    for (const puppy of puppies) report.expect(options[facet].includes(puppy[facet]), 'public/puppies.html', `${facet} does not offer ${puppy[facet]}`);
  }
  return options;
}

function pairs(options) {
  const choices = FACETS.flatMap((facet) => options[facet].map((value) => ({ [facet]: value })));
  return choices.flatMap((one, at) => choices.slice(at + 1).filter((two) => Object.keys(one)[0] !== Object.keys(two)[0]).map((two) => ({ ...one, ...two })));
}

async function checkMemory(report, page, puppies, choice) {
  await choose(page, choice);
  const query = Object.fromEntries(new URL(page.url()).searchParams);
  report.expect(JSON.stringify(query) === JSON.stringify(choice), 'public/puppies.html', `remembers ${JSON.stringify(query)} of the choice ${JSON.stringify(choice)}`);
  await page.reload();
  await expectShown(report, page, puppies, choice, 'public/puppies.html (reloaded)');
  for (const [facet, value] of Object.entries(choice)) {
    report.expect((await page.inputValue(`form select[name="${facet}"]`)) === value, 'public/puppies.html (reloaded)', `does not show that ${facet} is ${value}`);
  }
  await page.click('form button[type="reset"]');
  await page.waitForFunction(() => location.search === '', null, { timeout: 5000 }).catch(() => report.fault('public/puppies.html', 'clearing leaves its choice in the address'));
  await expectShown(report, page, puppies, {}, 'public/puppies.html (cleared)');
}

export async function check(site, report) {
  const puppies = site.records.available;
  const page = await site.browser.open(site.visitor.http('puppies.html'));
  await checkCards(report, page, puppies);
  const options = await optionsOf(report, page, puppies);
  await expectShown(report, page, puppies, {}, 'public/puppies.html');
  const singles = FACETS.flatMap((facet) => options[facet].map((value) => ({ [facet]: value })));
  for (const choice of [...singles, ...pairs(options)]) {
    await choose(page, choice);
    await expectShown(report, page, puppies, choice, 'public/puppies.html');
  }
  for (const facet of FACETS) await checkMemory(report, page, puppies, { [facet]: puppies[0][facet] });
  await checkMemory(report, page, puppies, Object.fromEntries(FACETS.map((facet) => [facet, puppies.at(-1)[facet]])));
  await checkStrangeQuery(site, report, puppies);
  await checkFromDisk(site, report, puppies, singles[0]);
  await page.shut();
}

/** An address may hold anything; what is no choice of ours narrows nothing. */
async function checkStrangeQuery(site, report, puppies) {
  const page = await site.browser.open(`${site.visitor.http('puppies.html')}?sex=%3Cb%3Ewolf&colour=&__proto__=1&litter=%22%5D`);
  await expectShown(report, page, puppies, {}, 'public/puppies.html (with a strange address)');
  for (const line of page.seen.console) report.fault('public/puppies.html (with a strange address)', `console: ${line}`);
  await page.shut();
}

async function checkFromDisk(site, report, puppies, choice) {
  const page = await site.browser.open(site.visitor.file('puppies.html'));
  await choose(page, choice);
  await expectShown(report, page, puppies, choice, 'public/puppies.html (from disk)');
  for (const line of page.seen.console) report.fault('public/puppies.html (from disk)', `console: ${line}`);
  await page.shut();
}
