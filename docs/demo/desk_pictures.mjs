// Takes the pictures of the desk that the README shows, of the demo kennel, with Debian's chromium.
//
//   node docs/demo/desk_pictures.mjs <program>
//
// In: the program; the kennel of this repository, which is copied and not changed. Out: PNG files in docs/. What the browser needs is installed by ./check.

import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { startBrowser } from '../../tests/browser/lib/browser.mjs';
import { startDesk } from '../../tests/browser/lib/desk.mjs';

const docs = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const TODAY = { today: '2026-10-09', zone: 'Europe/London' };
const VIEW = { width: 720, height: 620 };
const PICTURES = {
  'desk-today': '-desk/today',
  'desk-weigh-in': '-desk/litters/summer-2026/weigh',
  'desk-publish': '-desk/publish',
};

const kennel = mkdtempSync(path.join(os.tmpdir(), 'kennel-'));
cpSync(path.join(docs, '..', 'content'), path.join(kennel, 'content'), { recursive: true });
const browser = await startBrowser(TODAY, docs);
const desk = await startDesk(path.resolve(process.argv[2]), kennel);
browser.give(desk.cookie);
for (const [name, at] of Object.entries(PICTURES)) {
  const page = await browser.open(new URL(at, desk.book).href, { viewport: VIEW });
  await page.screenshot({ path: path.join(docs, `${name}.png`) });
  await page.shut();
}
await desk.end();
await browser.close();
rmSync(kennel, { recursive: true });
