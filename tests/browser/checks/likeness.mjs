// Every picture that may be published is on the visitor's site, upright. No picture from photos-private is, nor one of a puppy that is not shown,
// in any size or rotation.
// The browser decodes the kennel's own file (it obeys the camera's note on which side is up) and every published one; small grey thumbnails are compared.

import { existsSync, readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';

export const name = 'public pictures are the right ones, the right way up, and the private ones are not there';

// Mean difference of two 24 x 24 grey thumbnails, of 255. The same picture at another size stays below 6, two different pictures lie far above 12.
const ALIKE = 8;

// Runs inside the browser: the upright size and the thumbnail in all eight ways to turn or mirror it, the upright one first.
async function thumbnails(base64) {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const picture = await createImageBitmap(new Blob([bytes], { type: 'image/jpeg' }), { imageOrientation: 'from-image' });
  const side = 24;
  const canvas = new OffscreenCanvas(side, side);
  const draw = canvas.getContext('2d', { willReadFrequently: true });
  const turned = [];
  for (const mirrored of [1, -1]) {
    for (const quarters of [0, 1, 2, 3]) {
      draw.setTransform(mirrored, 0, 0, 1, side / 2, side / 2);
      draw.rotate((quarters * Math.PI) / 2);
      draw.imageSmoothingQuality = 'high';
      draw.drawImage(picture, -side / 2, -side / 2, side, side);
      const { data } = draw.getImageData(0, 0, side, side);
      turned.push(Array.from({ length: side * side }, (_, at) => Math.round(0.3 * data[4 * at] + 0.59 * data[4 * at + 1] + 0.11 * data[4 * at + 2])));
    }
  }
  return { width: picture.width, height: picture.height, turned };
}

const difference = (one, other) => one.reduce((sum, value, at) => sum + Math.abs(value - other[at]), 0) / one.length;

function sources({ kennelDir, records }) {
  const content = path.join(kennelDir, 'content');
  const jpegs = (dir) => (existsSync(dir) ? readdirSync(dir).filter((file) => /\.jpe?g$/i.test(file)).map((file) => path.join(dir, file)) : []);
  const open = jpegs(path.join(content, 'dogs'));
  const closed = [];
  for (const litter of records.litters) {
    const dir = path.join(content, 'litters', litter.id);
    // A picture whose name begins with a puppy belongs to that puppy, and a puppy that is not offered is not shown.
    const withheld = (litter.withheld ?? []).map((puppy) => `${puppy.id}-`);
    for (const file of jpegs(path.join(dir, 'photos'))) (withheld.some((start) => path.basename(file).startsWith(start)) ? closed : open).push(file);
    closed.push(...jpegs(path.join(dir, 'photos-private')));
  }
  return { open, closed };
}

export async function check(site, report) {
  const page = await site.browser.blank();
  const look = (file) => page.evaluate(thumbnails, readFileSync(file).toString('base64'));
  const published = [];
  for (const file of site.visitor.files.filter((each) => /\.jpe?g$/i.test(each))) {
    published.push({ file, ...(await look(path.join(site.visitor.dir, file))) });
    report.saw('published pictures');
  }
  const { open, closed } = sources(site);
  for (const file of open) {
    const source = await look(file);
    const same = published.filter((each) => difference(source.turned[0], each.turned[0]) < ALIKE);
    const where = path.relative(site.kennelDir, file);
    report.expect(same.length > 0, where, 'is nowhere on the visitor\'s site, or not upright');
    for (const each of same) {
      report.expect(Math.abs(source.width / source.height - each.width / each.height) < 0.02, where, `${each.file} has another shape`);
    }
    report.saw('pictures that may be published');
  }
  for (const file of closed) {
    const source = await look(file);
    for (const each of published) {
      const closest = Math.min(...source.turned.map((thumbnail) => difference(thumbnail, each.turned[0])));
      report.expect(closest >= ALIKE, path.relative(site.kennelDir, file), `is private, yet public/${each.file} looks like it`);
    }
    report.saw('private pictures');
  }
  await page.close();
}
