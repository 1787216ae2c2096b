// A picture of 12 megapixels, taken with the phone's camera and given to a puppy over a line that is cut at random; the page is closed in the middle of it and opened again. It arrives byte for byte, once, and the
// phone keeps it until then. A picture that is none stays on the phone and says why.

import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { findBarriers } from '../lib/axe.mjs';
import { cutting, dice } from '../lib/cutting.mjs';
import { screen } from '../lib/screens.mjs';

export const name = 'a picture of 12 megapixels arrives byte for byte over a line that is cut, and nothing is heard of it';

const LITTER = 'autumn-2026';
const tap = async (page, ...ids) => { for (const id of ids) await page.locator(`#${id}`).click(); };

/** A JPEG of 4000 × 3000 pixels, full of noise, as a browser writes it. */
async function large(page) {
  const text = await page.evaluate(async () => {
    const canvas = new OffscreenCanvas(4000, 3000);
    const drawn = canvas.getContext('2d');
    const image = drawn.createImageData(4000, 3000);
    let seed = 7;
    for (let at = 0; at < image.data.length; at += 1) {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      image.data[at] = at % 4 === 3 ? 255 : (seed >>> 27) * 6;
    }
    drawn.putImageData(image, 0, 0);
    const bytes = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.6 })).arrayBuffer());
    let all = '';
    for (let from = 0; from < bytes.length; from += 8192) all += String.fromCharCode(...bytes.subarray(from, from + 8192));
    return btoa(all);
  });
  return Buffer.from(text, 'base64');
}

async function take(page, puppy, file) {
  await tap(page, 'tab-enter');
  if (await page.locator('#litter').count() > 0) await page.locator('#litter').selectOption(LITTER);
  await tap(page, 'kind-picture');
  await page.locator('#whose').selectOption(puppy);
  await page.locator('#picture').setInputFiles(file);
  await page.getByText(/^Kept: A picture of/).waitFor({ state: 'attached' });
}

export async function check(box, report) {
  const random = dice(20261010);
  const wire = [];
  const cuts = { before: 0, after: 0 };
  const { keeper, kennel } = await box.begin();
  const { link } = await box.code(keeper, 'Camera');
  const page = await box.phone(link, { prepare: (each) => cutting(each, random, wire, cuts) });
  await page.locator('#tab-enter').waitFor();
  const bytes = await large(page);
  const [file, none] = ['large.jpg', 'none.jpg'].map((each) => path.join(kennel, each));
  writeFileSync(file, bytes);
  writeFileSync(none, bytes.subarray(0, bytes.length / 3));
  report.saw('bytes of the picture', bytes.length);
  report.expect(bytes.length > 3_000_000, 'the picture', `has ${bytes.length} bytes`);
  await tap(page, 'tab-enter', 'kind-picture');
  await findBarriers(page, report, 'taking a picture');
  report.expect(await page.locator('#picture').evaluate((each) => each.accept === 'image/*' && each.getAttribute('capture') === 'environment'), 'the picture', 'is not asked of the camera');
  await tap(page, 'back');
  const begun = Date.now();
  await take(page, 'fern', file);
  await tap(page, 'tab-waits');
  await page.waitForFunction(() => /[1-9]\d? % sent/.test(document.getElementById('body').textContent));
  await findBarriers(page, report, 'a picture on its way');
  await screen(page, path.join(box.screens, 'box-picture.png'), { fullPage: false });
  await page.reload();
  await page.locator('#tab-waits').waitFor();
  report.saw('pages opened again');
  // What is tapped meanwhile does not wait for the picture.
  await tap(page, 'tab-weigh');
  if (await page.locator('#litter').count() > 0) await page.locator('#litter').selectOption(LITTER);
  await tap(page, 'line-reed', 'pad-2', 'pad-7', 'pad-9', 'keep', 'done', 'tab-waits');
  await page.waitForFunction(() => !Object.keys(localStorage).some((key) => key.startsWith('litterfolio-phone-entry-')));
  report.expect(await page.getByText('% sent').count() === 1, 'a weight', 'was sent after the picture');
  await page.getByText('All that was entered here is at the desk.').waitFor();
  report.saw('seconds on the way', Math.ceil((Date.now() - begun) / 1000));
  const folder = path.join(kennel, 'content/litters', LITTER, 'photos-private');
  const new_ = readdirSync(folder).filter((each) => readFileSync(path.join(folder, each)).equals(bytes));
  report.expect(new_.length === 1 && new_[0].startsWith('fern-'), 'the picture', `stands in the records as ${new_.join(', ') || 'nothing'}`);
  // One that is none.
  page.isCut = false;
  await take(page, 'fern', none);
  await tap(page, 'tab-waits');
  await page.locator('#picture-drop-0').waitFor();
  await findBarriers(page, report, 'a picture that is none');
  const [download] = await Promise.all([page.waitForEvent('download'), tap(page, 'picture-save-0')]);
  report.expect(readFileSync(await download.path()).equals(bytes.subarray(0, bytes.length / 3)), 'a picture that is none', 'cannot be saved as it was');
  await tap(page, 'picture-drop-0');
  await page.getByText('Nothing waits').waitFor();
  report.saw('requests that never arrived', cuts.before);
  report.saw('answers that were lost', cuts.after);
  const heard = Buffer.concat(wire);
  report.expect(!heard.includes(bytes.subarray(2000, 2040)) && !heard.includes(bytes.subarray(2000, 2042).toString('base64').slice(0, 40)), 'what went over the network', 'holds a part of the picture');
  const faults = page.seen.console.filter((line) => !/Failed to load resource|ERR_FAILED|ERR_CONNECTION/.test(line));
  report.expect(faults.length === 0, 'the console', `says ${faults.join('; ')}`);
}
