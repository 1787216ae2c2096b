// The sealed pages of a published kennel, with their codes and the papers that `handover` wrote of them.
//
// In: the public site, the keeper's folder, the kennel. Out: one object for each page whose papers are there: its path on the site, its code, the paths of the papers it must offer, how many pictures it
// shows, and words that may stand nowhere around the sealed text.

import { existsSync, readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';

const ENTRY = /^([^\s#][^:]*):\n {2}family: "[^"]*"\n {2}code: "([^"]+)"\n {2}page: "([^"]+)"$/gm;

/** How many files a zip lists: the count in the record at its end (PKWARE APPNOTE 4.3.16). */
function countInZip(file) {
  const bytes = readFileSync(file);
  return bytes.readUInt16LE(bytes.lastIndexOf(Buffer.from('PK\x05\x06', 'latin1')) + 10);
}

export function sealedPages(publicDir, privateDir, kennel) {
  const codes = readFileSync(path.join(kennel, 'codes.yaml'), 'utf8');
  const pages = [];
  for (const [, key, code, name] of codes.matchAll(ENTRY)) {
    const papers = path.join(privateDir, 'handover', key.replace('/', '-'));
    if (!existsSync(papers)) continue;
    const names = readdirSync(papers).filter((file) => !/-(cover\.pdf|page\.html)$|^check-a-record\.html$/.test(file));
    const files = names.map((file) => path.join(papers, file));
    const { record } = JSON.parse(readFileSync(files.find((file) => file.endsWith('-record.json')), 'utf8'));
    const { puppy, dam, sire, family } = record;
    const words = [puppy.name, puppy.litter, dam.name, sire.name, family?.name, puppy.registered_name, puppy.chip?.number].filter(Boolean);
    const zip = files.find((file) => file.endsWith('.zip'));
    pages.push({ page: `sealed/${name}.html`, code, name: puppy.name, kennel: record.kennel.name, files, pictures: zip ? countInZip(zip) : 0, words });
  }
  if (pages.length < 2) throw new Error(`${privateDir} holds the papers of ${pages.length} puppies; two are needed`);
  return pages;
}
