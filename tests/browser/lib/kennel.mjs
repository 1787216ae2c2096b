// Copies of a kennel that a check may change.

import { cpSync, existsSync } from 'node:fs';
import path from 'node:path';

/** What was made of pictures: it is the same for every copy, and making it takes the longest. */
const PICTURES = '.litterfolio/cache/pictures';

/** Copies the records of a kennel, and other files by name, without the pages that were made of them. */
export function copyKennel(from, to, others = []) {
  for (const name of ['content', ...others]) cpSync(path.join(from, name), path.join(to, name), { recursive: true });
  const made = path.join(from, PICTURES);
  if (existsSync(made)) cpSync(made, path.join(to, PICTURES), { recursive: true });
}
