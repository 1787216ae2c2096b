// The desk's own pages on phone and desktop, light and dark: without a barrier, no wider than the window, nothing from elsewhere; and a change made with script off, by labels and buttons alone.

import path from 'node:path';
import { findBarriers } from '../lib/axe.mjs';
import { VIEWS, inViews } from '../lib/browser.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'forms, lists, history, text and publishing are readable everywhere, and work without script';

const SMALL = { viewport: { width: 320, height: 640 }, scheme: 'light' };
const LITTER = 'litters/summer-2026';
const PAGES = {
  book: '',
  'book litter': `${LITTER}.html`,
  records: '-desk/records',
  'records of a litter': '-desk/records?litter=summer-2026',
  kennel: '-desk/form/kennel.yaml',
  litter: `-desk/form/${LITTER}/litter.yaml`,
  puppy: `-desk/form/${LITTER}/litter.yaml?at=puppies.1`,
  'weigh-in': `-desk/form/${LITTER}/weights.yaml?at=1`,
  'health entry': `-desk/form/${LITTER}/health.yaml?at=1`,
  families: '-desk/form/owners.yaml',
  family: '-desk/form/owners.yaml?at=families.1',
  'new dog': '-desk/new/dog',
  text: '-desk/text/kennel.yaml',
  history: '-desk/history',
  publish: '-desk/publish',
  'page side by side': '-desk/publish/page?of=puppies.html',
  problems: '-desk/problems',
  codes: '-desk/codes',
  phones: '-desk/phones',
  papers: `-desk/${LITTER}/puppies/moss/handover`,
  'who looks for a home': `-desk/${LITTER}/offer`,
  'file that a sheet saved': `-desk/${LITTER}/from-sheet`,
  'page of a litter': `-desk/${LITTER}`,
  'before the birth': `-desk/${LITTER}/pregnancy`,
  'newborn checks': `-desk/${LITTER}/newborns`,
  'puppy that came back': `-desk/${LITTER}/puppies/moss/returned`,
  'puppy taken out': `-desk/${LITTER}/puppies/moss/take-out`,
  'litter taken out': `-desk/${LITTER}/take-out`,
  'picture of a dog': '-desk/dogs/bramble/picture',
  'book puppy': `${LITTER}/moss.html`,
  export: '-desk/export',
};

export async function check({ browser, desk, screens }, report) {
  // One change, so that the history has something to show.
  const first = await browser.open(new URL('-desk/form/kennel.yaml', desk.book).href, { script: false });
  const before = desk.text('content/kennel.yaml');
  await first.getByLabel('Town').first().fill('Kirkby Moor');
  await first.getByRole('button', { name: 'Save', exact: true }).click();
  await first.waitForURL(/saved=\d+/);
  report.expect(desk.text('content/kennel.yaml').includes('Kirkby Moor'), 'the kennel', 'has not the town that was typed');
  await first.getByRole('button', { name: 'Take it back' }).click();
  await first.waitForURL(/form\/kennel\.yaml\?at=&back=\d+/);
  report.expect((await first.locator('.notice').innerText()).startsWith('Taken back, by change'), 'the form', 'does not say that the change was taken back');
  report.expect(desk.text('content/kennel.yaml') === before, 'the kennel', 'is not as it was after taking back');
  // What is wrong stands at its field, and what was typed is still there.
  await first.goto(new URL('-desk/form/kennel.yaml', desk.book).href);
  await first.getByLabel(/^E-mail/).first().fill('nobody');
  await first.getByRole('button', { name: 'Save', exact: true }).click();
  await first.waitForSelector('.wrong .problem');
  report.expect((await first.getByLabel(/^E-mail/).first().inputValue()) === 'nobody', 'the e-mail', 'is not what was typed');
  report.expect(desk.text('content/kennel.yaml') === before, 'the kennel', 'was changed by what is wrong');
  report.saw('changes without script', 2);
  await first.shut();

  // Pages of the book load again when they are made anew; that is over when nothing more is said of it.
  for (let said = ''; said !== desk.said();) {
    said = desk.said();
    await new Promise((done) => { setTimeout(done, 5_000); });
  }

  const page = await browser.open(desk.book, SMALL);
  for (const [what, at] of Object.entries(PAGES)) {
    await page.goto(new URL(at, desk.book).href, { waitUntil: 'load' });
    await inViews(page, [SMALL, ...VIEWS], async (view, how) => {
      await findBarriers(page, report, `${what} (${how})`);
      report.saw('views');
      const shot = `desk-${what.replaceAll(' ', '-')}-${view.scheme}-${view.viewport.width}.png`;
      await screen(page, path.join(screens, shot));
    });
  }
  const elsewhere = page.seen.requests.filter((url) => !url.startsWith(desk.book) && !url.startsWith('data:'));
  report.expect(elsewhere.length === 0, 'the desk', `asks elsewhere: ${elsewhere[0]}`);
  // A page of the site that is shown in a frame of the desk runs no script, and the browser says so.
  const said = page.seen.console.filter((words) => !/^Blocked script execution in '[^']*\/-desk\/as-it-/.test(words));
  report.expect(said.length === 0, 'the desk', `says on the console: ${said[0]}`);
  report.expect(said.length < page.seen.console.length, 'a page side by side', 'may run script at the address of the desk');
  await page.shut();
}
