// Every picture: it says its size and what it shows, its file has that shape, every width in srcset is true, and no JPEG carries anything but a picture.
// JPEG files are read segment by segment here, without any library that might be blind to the same thing as the one that wrote them.

import { readFileSync } from 'node:fs';
import path from 'node:path';

export const name = 'pictures are described, shaped as announced, and carry nothing but a picture';

const APP0 = 0xe0;
const APP14 = 0xee;
const COMMENT = 0xfe;
const START_OF_SCAN = 0xda;
const FRAMES = new Set([0xc0, 0xc1, 0xc2, 0xc3]);

/** The segments of a JPEG before its picture data: [{ marker, length, name }], its size, and how many bytes follow its end. */
export function readJpeg(bytes) {
  if (bytes.readUInt16BE(0) !== 0xffd8) throw new Error('does not begin as a JPEG does');
  const segments = [];
  let size = null;
  let at = 2;
  while (at + 4 <= bytes.length) {
    if (bytes[at] !== 0xff) throw new Error(`has no marker at byte ${at}`);
    const marker = bytes[at + 1];
    const length = bytes.readUInt16BE(at + 2);
    segments.push({ marker, length, text: bytes.toString('latin1', at + 4, Math.min(at + 16, at + 2 + length)) });
    if (FRAMES.has(marker)) size = { height: bytes.readUInt16BE(at + 5), width: bytes.readUInt16BE(at + 7) };
    at += 2 + length;
    if (marker === START_OF_SCAN) break;
  }
  return { segments, size, tail: bytes.length - (bytes.lastIndexOf(Buffer.from([0xff, 0xd9])) + 2) };
}

function checkJpeg(report, where, bytes) {
  let jpeg;
  try {
    jpeg = readJpeg(bytes);
  } catch (error) {
    return report.fault(where, error.message);
  }
  for (const { marker, length, text } of jpeg.segments) {
    const application = marker >= APP0 && marker <= 0xef;
    const harmless = (marker === APP0 && text.startsWith('JFIF\0') && length === 16) || (marker === APP14 && text.startsWith('Adobe') && length === 14);
    if (marker === COMMENT) report.fault(where, 'carries a comment');
    else if (application && !harmless) report.fault(where, `carries an APP${marker - APP0} segment of ${length} bytes: ${JSON.stringify(text)}`);
  }
  report.expect(jpeg.tail === 0, where, `carries ${jpeg.tail} bytes after the end of the picture`);
  return jpeg.size;
}

function checkShown(report, page, image, sizes) {
  const where = `${page.tree.label(page.name)} <img src="${image.src}">`;
  report.expect((image.alt ?? '').trim().length > 2, where, 'does not say what it shows');
  report.expect(!/\.(jpe?g|png)$/i.test(image.alt ?? ''), where, `is described by a file name: ${image.alt}`);
  const width = Number(image.width);
  const height = Number(image.height);
  if (!report.expect(width > 0 && height > 0, where, 'does not announce its width and height')) return;
  const sizeOf = (address) => sizes.get(page.tree.label(path.posix.join(path.posix.dirname(page.name), decodeURIComponent(address))));
  const own = image.src.startsWith('data:') ? null : sizeOf(image.src);
  if (own) report.expect(Math.abs(width / height - own.width / own.height) < 0.02, where, `announces ${width}x${height}, its file is ${own.width}x${own.height}`);
  const candidates = (image.srcset ?? '').split(/,\s+/).filter((each) => each.trim() !== '').map((each) => each.trim().split(/\s+/));
  if (candidates.length > 0) report.expect(image.sizes, where, 'has srcset with widths but no sizes');
  for (const [address, descriptor] of candidates) {
    const file = sizeOf(address);
    if (!report.expect(file, where, `${address} in srcset is no picture we know`)) continue;
    report.expect(descriptor === `${file.width}w`, where, `${address} is said to be ${descriptor} and is ${file.width} wide`);
    report.expect(Math.abs(width / height - file.width / file.height) < 0.02, where, `${address} has another shape: ${file.width}x${file.height}`);
  }
  report.saw('pictures shown');
}

export async function check(site, report) {
  const sizes = new Map();
  for (const tree of site.trees) {
    for (const file of tree.files.filter((each) => /\.jpe?g$/i.test(each))) {
      const size = checkJpeg(report, tree.label(file), readFileSync(path.join(tree.dir, file)));
      if (size) sizes.set(tree.label(file), size);
      report.saw(`JPEG files in ${tree.name}`);
    }
  }
  const strange = site.visitor.files.filter((file) => /\.(png|webp|gif|avif|tiff?|heic)$/i.test(file));
  for (const file of strange) report.fault(site.visitor.label(file), 'is a picture of a kind whose metadata nobody looked at here');
  for (const page of (await site.facts()).values()) for (const image of page.images) checkShown(report, page, image, sizes);
}
