// Looks at a running desk with a real browser while records change, and says what is wrong with it.
//
//   node desk.mjs <program> [--kennel DIR] [--work DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the program, and a kennel folder, of which a copy is made for each check. Out: as lib/runner.mjs says.

import { mkdtempSync } from 'node:fs';
import path from 'node:path';
import { startBrowser } from './lib/browser.mjs';
import { startDesk } from './lib/desk.mjs';
import { copyKennel } from './lib/kennel.mjs';
import { run } from './lib/runner.mjs';

const READ_ON = { today: '2026-10-09', zone: 'Europe/London' };

/** A folder in which no kennel stands yet. */
const emptyIn = (work) => mkdtempSync(path.join(work, 'kennel-'));

/** A copy of the kennel with its secrets, so that sealed pages can be seen, and without the pages that were made of it. */
function copyOf(kennel, work) {
  const copy = mkdtempSync(path.join(work, 'kennel-'));
  copyKennel(kennel, copy, ['codes.yaml', 'signing-keys.json']);
  return copy;
}

run({
  folder: 'desk',
  judged: 'desk',
  named: ['the program'],
  options: ['work'],
  async open({ named: [program], kennel, work, screens }) {
    const browser = await startBrowser(READ_ON, screens);
    const make = async ({ check, begins }, report) => {
      let desk = null;
      try {
        desk = await startDesk(program, begins === 'empty' ? emptyIn(work) : copyOf(kennel, work));
        browser.give(desk.cookie);
        await check({ browser, desk, program, screens }, report);
      } catch (error) {
        throw new Error(`${error.stack ?? error}\n${desk?.said() ?? ''}`, { cause: error });
      } finally {
        await desk?.end();
      }
    };
    return { make, close: browser.close };
  },
});
