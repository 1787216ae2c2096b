// What pages of the desk do more with script: a draft survives a reload and goes once it is recorded, a slip is told when its field is left, pictures are dropped and foreign ones told before they are
// sent. The desk's own answers are the measure: what is told while typing is what sending the form says.

import path from 'node:path';
import { findBarriers } from '../lib/axe.mjs';
import { PHONE } from '../lib/browser.mjs';
import { drawnPicture } from '../lib/picture.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'drafts survive a reload, slips are told when a field is left, and pictures are dropped';

const LITTER = 'litters/summer-2026';
const FORM = `-desk/form/${LITTER}/litter.yaml?at=puppies.1`;

export async function check({ browser, desk, screens }, report) {
  const at = (place) => new URL(place, desk.book).href;
  const file = `content/${LITTER}/litter.yaml`;
  const before = desk.text(file);
  const page = await browser.open(at(FORM), { viewport: PHONE });
  const weight = () => page.locator('[name="f.weight"]');
  const draft = page.locator('.notice.draft');
  const was = await weight().inputValue();

  // A slip is told at its field, to eyes and to ears, and goes with what was wrong.
  await weight().fill('3l0 g');
  await weight().blur();
  const slip = page.locator('.field', { has: weight() }).locator('.problem');
  await slip.waitFor();
  const told = await slip.textContent();
  report.expect(await weight().getAttribute('aria-invalid') === 'true', 'a slip', 'is not told of its field');
  const heard = await page.locator('main > p[role="status"]').textContent();
  report.expect(/^[A-Z][a-z ]*weight[^:]*: /i.test(heard) && heard.includes(told.trim()), 'a slip', `is heard as “${heard}”`);
  await findBarriers(page, report, 'a slip while typing');
  await screen(page, path.join(screens, 'desk-slip-while-typing.png'));
  report.expect(desk.text(file) === before, 'a field that was left', 'was recorded');

  // What was typed stands there again after a reload, and says so.
  await page.reload();
  await draft.waitFor();
  report.expect(await weight().inputValue() === '3l0 g', 'a reload', `left “${await weight().inputValue()}”`);
  await findBarriers(page, report, 'a draft');
  await screen(page, path.join(screens, 'desk-draft.png'));
  await weight().fill('310 g');
  await weight().blur();
  await page.waitForFunction(() => !document.querySelector('.wrong'));
  report.saw('slips told while typing');

  // What the desk says to the form is what it said to the field; the draft stays until it is recorded.
  await weight().fill('3l0 g');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('.notice[role="alert"]').waitFor();
  report.expect(await slip.first().textContent() === told, 'a slip', `is told as “${told}” first, and then as “${await slip.first().textContent()}”`);
  await page.goto(at(FORM));
  await draft.waitFor();
  report.expect(await weight().inputValue() === '3l0 g', 'a form that was refused', 'lost what was typed');

  // Somebody else changes the same field meanwhile: both are shown, and none is lost.
  desk.change(file, `weight: ${was}`, 'weight: 333 g');
  await page.reload();
  await draft.waitFor();
  await weight().fill('310 g');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('.twice').first().waitFor();
  report.expect((await page.locator('.twice').first().textContent()).includes('333 g'), 'a change of both', 'does not show the other one');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.waitForURL(/saved=\d+/);
  report.expect(desk.text(file).includes('weight: 310 g'), 'a draft that was saved', 'is not in the record');
  await page.goto(at(FORM));
  await page.waitForTimeout(300);
  report.expect(await draft.count() === 0, 'a draft that was recorded', 'stands there again');
  report.saw('drafts that were recorded');

  // A draft that is left out is gone.
  await weight().fill('299 g');
  await page.reload();
  await page.getByRole('button', { name: 'Leave it out' }).click();
  await page.waitForFunction(() => !document.querySelector('.notice.draft'));
  report.expect(await weight().inputValue() === '310 g', 'a draft that was left out', `left “${await weight().inputValue()}”`);
  await page.reload();
  report.expect(await draft.count() === 0, 'a draft that was left out', 'came back');
  report.expect(page.seen.console.filter((words) => !/422/.test(words)).length === 0, 'the pages', `say in the console: ${page.seen.console.join('; ')}`);
  await page.shut();

  await pictures({ browser, desk, screens, at }, report);
}

async function pictures({ browser, screens, at }, report) {
  const page = await browser.open(at(`-desk/${LITTER}/pictures`), { viewport: PHONE });
  const chosen = page.locator('.chosen li');
  /** Files as they come from another window, dropped on the page beside the field. */
  const drop = (files) => page.evaluate((files) => {
    const data = new DataTransfer();
    for (const { name, bytes, type } of files) data.items.add(new File([new Uint8Array(bytes)], name, { type }));
    for (const kind of ['dragenter', 'dragover', 'drop']) document.querySelector('h1').dispatchEvent(new DragEvent(kind, { dataTransfer: data, bubbles: true, cancelable: true }));
  }, files);
  const bytes = [...(await drawnPicture(page, 'jpeg', '#3a5a40')).buffer];
  const text = (words) => [...Buffer.from(words, 'latin1')];
  await drop([
    { name: 'IMG_0001.jpg', bytes, type: 'image/jpeg' },
    { name: 'IMG_0002.HEIC', bytes: text('\0\0\0\x18ftypheic\0\0\0\0mif1heic'), type: '' },
    { name: 'notes.txt', bytes: text('not a picture'), type: 'text/plain' },
    { name: 'raw.NEF', bytes: text('MM\0*\0\0\0\x08'), type: '' },
  ]);
  await page.waitForFunction(() => document.querySelectorAll('.chosen li').length === 4);
  const told = await chosen.allTextContents();
  report.expect(!/cannot be read/.test(told[0]), 'a picture', `is told as “${told[0]}”`);
  for (const [n, words] of [[1, 'HEIC'], [2, 'no picture'], [3, 'raw picture']]) {
    report.expect(told[n].includes(words) && told[n].includes('cannot be read') === (n !== 2), 'a foreign file', `is told as “${told[n]}”`);
    report.saw('foreign files told before they are sent');
  }
  await findBarriers(page, report, 'chosen pictures');
  await screen(page, path.join(screens, 'desk-chosen-pictures.png'));
  for (const name of ['IMG_0002.HEIC', 'notes.txt', 'raw.NEF']) await page.getByRole('button', { name: `Leave out: ${name}` }).click();
  await page.waitForFunction(() => document.querySelectorAll('.chosen li').length === 1);
  await page.getByLabel('Who may see them').first().selectOption({ label: 'Everyone: it may be published' });
  await page.getByRole('button', { name: 'Take them in' }).click();
  await page.waitForURL(/saved=\d+/);
  report.saw('pictures that were dropped');
  await page.shut();
}
