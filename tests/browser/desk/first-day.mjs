// A keeper's first day: from an empty folder to a published site with two dogs, a litter of four by section whose date was expected, three pictures, a note and a family with its
// page. Only presses, typing and drops; no file is touched by hand, and each press and each field is counted.

import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { findBarriers } from '../lib/axe.mjs';
import { VIEWS, inViews } from '../lib/browser.mjs';
import { drawnPicture } from '../lib/picture.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'a first day, from an empty folder to a published site, by presses, typing and drops alone';
export const begins = 'empty';

/** Ours: about what a keeper does in ten minutes. */
const MOST = 150;
const PUPPIES = [
  { name: 'Fern', sex: 'female', ribbon: 'green', weight: '212 g', born: '09:14' },
  { name: 'Reed', sex: 'male', ribbon: 'blue', weight: '224 g', born: '09:16' },
  { name: 'Sage', sex: 'female', ribbon: 'yellow', weight: '198 g', born: '09:19' },
  { name: 'Moss', sex: 'male', ribbon: 'red', weight: '231 g', born: '09:23' },
];
/** Words of programs and files that a keeper who has never seen either need not know. */
const NOT_THEIRS = /\b(YAML|\.ya?ml|JSON|ISO \d|IANA|litterfolio (publish|inspect|recode|handover|begin))\b/;

/** The hand of somebody who does not know what is behind the page. */
function hand(page) {
  const did = { presses: 0, fields: 0 };
  const field = (label) => page.getByLabel(label, { exact: false }).first();
  return {
    did,
    page,
    async press(name, role = 'button') {
      did.presses += 1;
      await page.getByRole(role, { name, exact: typeof name === 'string' }).first().click();
      await page.waitForLoadState('load');
    },
    async follow(name) {
      await this.press(name, 'link');
    },
    async open(name) {
      did.presses += 1;
      await page.locator('summary').filter({ hasText: name }).first().click();
    },
    async type(label, value) {
      did.fields += 1;
      await field(label).fill(value);
    },
    async choose(label, option) {
      did.fields += 1;
      await field(label).selectOption({ label: option });
    },
    async drop(label, files) {
      did.fields += 1;
      await field(label).setInputFiles(files);
    },
  };
}

async function says(page, words) {
  await page.getByText(words).first().waitFor();
}

const daysFrom = (day, n) => new Date(Date.parse(`${day}T12:00:00Z`) + n * 86_400_000).toISOString().slice(0, 10);

async function look(page, report, screens, what) {
  await inViews(page, VIEWS, async ({ viewport, scheme }, how) => {
    await findBarriers(page, report, `${what} (${how})`);
    await screen(page, path.join(screens, `first-day-${what.replaceAll(' ', '-')}-${scheme}-${viewport.width}.png`));
    report.saw('views');
  });
  const words = (await page.evaluate(() => document.querySelector('main')?.innerText ?? '')).match(NOT_THEIRS);
  report.expect(!words, what, `says “${words?.[0]}”, which a keeper need not know`);
}

export async function check({ browser, desk, program, screens }, report) {
  const seen = (what) => look(page, report, screens, what);
  const page = await browser.open(desk.book, { now: new Date().toISOString() });
  const by = hand(page);

  // The kennel.
  await seen('a kennel begins');
  await by.type('What your kennel is called', 'Tarnside');
  await by.type('Breed', 'Scottish Terrier');
  await by.type('Your own name', 'Nell Harrow');
  await by.type('E-mail', 'nell@tarnside.example');
  await by.type('Country', 'GB');
  await by.type('Time zone', 'Europe/London');
  await by.open('More');
  await by.type('Address of your site', 'https://tarnside.example/');
  await by.press('Begin the kennel');
  await says(page, 'Recorded.');
  await seen('what comes next');

  // Two dogs.
  for (const [sex, full, call] of [['A bitch', 'Tarnside Juno', 'Juno'], ['A dog', 'Corvin of the Fell', 'Corvin']]) {
    await by.follow('A new dog');
    if (call === 'Juno') await seen('a new dog');
    await by.type('Registered or full name', full);
    await by.type('The name it comes to', call);
    await by.choose('Sex', sex);
    await by.type('Born on', call === 'Juno' ? '2022-03-02' : '2021-05-11');
    await by.press('Record it');
    await says(page, 'Recorded.');
  }

  // A litter that is expected.
  await by.follow('A new litter');
  const today = new Intl.DateTimeFormat('en-CA', { timeZone: 'Europe/London' }).format(new Date());
  await seen('a new litter');
  await by.type('Name of the litter', 'First litter');
  await by.choose('Dam', 'Juno, Tarnside Juno');
  await by.choose('Sire', 'Corvin, Corvin of the Fell');
  await by.type('Mated on', daysFrom(today, -62));
  await by.press('Begin the litter');
  await says(page, /Expected (around|between) \d/);
  await seen('a litter that is expected');

  // The birth, puppy by puppy.
  await by.follow('The birth has begun');
  await seen('the birth');
  for (const [n, puppy] of PUPPIES.entries()) {
    if (n === 0) await by.choose('How the puppies come', 'Planned section');
    await by.type('What you call it', puppy.name);
    await by.choose('Sex', puppy.sex);
    await by.choose('Ribbon', puppy.ribbon);
    await by.type('Weight', puppy.weight);
    await by.type('Time', puppy.born);
    await by.press('Record this puppy');
    await says(page, 'Recorded.');
    await page.locator('h3', { hasText: puppy.name }).waitFor();
  }
  await seen('the birth after four');
  await by.follow('To the litter');
  await seen('a litter of four');

  // Pictures: two of the litter, one of a puppy.
  await by.follow('Pictures');
  await seen('no pictures yet');
  await by.drop('Pictures', [await drawnPicture(page, 'png', '#7a5c3e'), await drawnPicture(page, 'jpeg', '#51624f')]);
  await by.choose('Who may see them', 'Everyone: it may be published');
  await by.press('Take them in');
  await says(page, 'Recorded.');
  await by.drop('Pictures', [await drawnPicture(page, 'jpeg', '#8b8276')]);
  await by.choose('Of', 'Fern (green)');
  await by.choose('Who may see them', 'Everyone: it may be published');
  await by.press('Take them in');
  await says(page, 'Recorded.');
  report.expect((await page.locator('.things img').count()) === 3, 'the pictures', 'are not three');
  await page.evaluate(async () => { for (const image of document.images) image.loading = 'eager'; });
  await page.waitForFunction(() => [...document.images].every((image) => image.complete && image.naturalWidth > 0));
  await seen('three pictures');
  await by.follow('To the litter');

  // A note for everyone.
  await by.follow('A new note');
  await seen('a new note');
  await by.type('Title', 'Four are here');
  await by.type('Text', 'Two bitches and two dogs. *Juno* is resting.');
  await by.choose('Who may read it', 'Everyone, on the public site');
  await by.press('See it first');
  await seen('a note before it is saved');
  await by.press('Save the note');
  await says(page, 'Recorded.');

  // A family for a puppy.
  await by.follow('Home: Fern (green)');
  await seen('a home');
  await by.type('Name', 'The Lund family');
  await by.type('E-mail', 'lund@mail.example');
  await by.press('Record it');
  await says(page, 'reserved: The Lund family');

  // The other three look for a home.
  await by.follow('Who looks for a home');
  await seen('who looks for a home');
  for (const { name } of PUPPIES.filter((puppy) => puppy.name !== 'Fern')) await by.press(new RegExp(`^${name}`), 'checkbox');
  await by.press('Record it');
  await says(page, 'Recorded.');

  // Publishing.
  await by.follow('Publish');
  await page.waitForFunction(() => document.querySelector('button.main')?.textContent === 'Publish now');
  await seen('before publishing');
  const first = page.getByRole('main').locator('.entries a').first();
  const compared = await browser.open(await first.evaluate((link) => link.href), { now: new Date().toISOString() });
  report.expect((await compared.frameLocator('iframe').first().locator('h1').count()) === 1, 'a page before it is published', 'shows no page');
  await look(compared, report, screens, 'a page as it will be');
  await compared.shut();
  await by.press('Publish now');
  await says(page, 'It is published');
  await seen('after publishing');

  // The family's page: its code is on the screen, and opens it.
  await by.follow('Families’ pages and their codes');
  await by.open('Show the code');
  const code = await page.locator('code.code').innerText();
  const link = await page.locator('.given dd').first().innerText();
  await seen('a code');

  // What the papers lack is said, each with a way to where it is filled in; nobody is kept from leaving the page without them.
  const papers = await browser.open(new URL('-desk/litters/first-litter/puppies/fern/handover', desk.book).href, { now: new Date().toISOString() });
  for (const gap of await papers.getByRole('link', { name: /^Fill it in/ }).evaluateAll((links) => links.map((link) => link.href))) {
    const status = (await papers.request.get(gap)).status();
    report.expect(status === 200, gap, `is where a gap is to be filled in, and answers ${status}`);
    report.saw('gaps with a way');
  }
  await look(papers, report, screens, 'papers with gaps');
  await papers.getByRole('button', { name: 'Make the papers anyway' }).click();
  await says(papers, 'The papers were made.');
  report.expect((await papers.getByRole('link', { name: 'Cover sheet' }).count()) === 1, 'the papers', 'have no cover sheet');
  await look(papers, report, screens, 'papers that were made');
  await papers.goto(new URL('-desk/codes/new?of=first-litter/fern', desk.book).href);
  await look(papers, report, screens, 'before a new code');
  await papers.goto(new URL('-desk/export', desk.book).href);
  await look(papers, report, screens, 'export');
  await papers.goto(new URL('-desk/publish', desk.book).href);
  await look(papers, report, screens, 'nothing to publish');
  await papers.shut();

  const count = by.did.presses + by.did.fields;
  report.expect(count <= MOST, 'the first day', `takes ${by.did.presses} presses and ${by.did.fields} fields, more than ${MOST}`);
  report.saw('presses', by.did.presses);
  report.saw('fields', by.did.fields);
  for (const said of page.seen.console) report.fault('the desk', `says on the console: ${said}`);
  await page.shut();

  // What stands on the disk.
  const inspected = spawnSync(program, ['--kennel', desk.kennel, 'inspect'], { encoding: 'utf8' });
  report.expect(inspected.status === 0, 'inspect', `says ${inspected.stdout}${inspected.stderr}`);
  report.expect(!/error|warning/.test(inspected.stdout + inspected.stderr), 'inspect', `finds something: ${inspected.stdout}${inspected.stderr}`);
  const site = (file) => path.join(desk.kennel, 'public', file);
  const puppies = readFileSync(site('puppies.html'), 'utf8');
  const litter = readFileSync(site('litters/first-litter.html'), 'utf8');
  for (const puppy of PUPPIES) {
    report.expect(litter.includes(puppy.name), 'the page of the litter', `does not list ${puppy.name}`);
    // Fern is reserved.
    report.expect(puppies.includes(puppy.name) === (puppy.name !== 'Fern'), 'the list of puppies that look for a home', `is wrong about ${puppy.name}`);
  }
  report.expect(!puppies.includes('Lund'), 'the public site', 'names the family');
  report.expect(litter.includes('Four are here'), 'the public site', 'has not the note');
  const sealed = readdirSync(site('sealed'));
  report.expect(sealed.length === 1 && link === `https://tarnside.example/sealed/${sealed[0]}`, 'the link of the family', `is ${link}, and there is ${sealed}`);
  report.expect(existsSync(path.join(desk.kennel, 'private/index.html')), 'the book', 'is not published');

  // As the family opens it.
  const family = await browser.open(pathToFileURL(site(`sealed/${sealed[0]}`)).href, { stranger: true, now: new Date().toISOString() });
  await family.fill('#code', code);
  await family.press('#code', 'Enter');
  await family.waitForSelector('#part_vet');
  report.expect((await family.locator('body').innerText()).includes('Fern'), 'the family’s page', 'does not name the puppy');
  report.saw('sealed pages opened');
  await family.shut();
}
