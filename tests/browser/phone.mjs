// Judges what a phone at the box does: its side of the sealed channel, held to the standards and to the desk; and its page in a real browser, paired with a running desk.
//
//   node phone.mjs <program> [--kennel DIR] [--work DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the program, with `answers` built beside it, and a kennel folder, of which a copy is made for each check. Out: as lib/runner.mjs says.

import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { answersBeside } from './lib/answers.mjs';
import { PHONE, startBrowser } from './lib/browser.mjs';
import { startDesk } from './lib/desk.mjs';
import { copyKennel } from './lib/kennel.mjs';
import { run } from './lib/runner.mjs';

const READ_ON = { today: '2026-10-09', zone: 'Europe/London' };

/** A kennel whose day is pinned begins that day again at midnight, which no check is about: who comes shortly before waits until it is over. */
async function pastMidnight() {
  const [hours, minutes] = new Date().toLocaleTimeString('en-GB', { timeZone: READ_ON.zone }).split(':').map(Number);
  const left = 24 * 60 - (hours * 60 + minutes);
  if (left <= 4) await new Promise((done) => { setTimeout(done, left * 60_000); });
}

/** What a check may ask for; what it began is ended for it. */
function room({ named: [program], kennel: source, work, screens }) {
  let browser = null;
  const desks = [];
  return {
    program, screens,
    get answers() { return answersBeside(program); },
    browser: async () => (browser ??= await startBrowser(READ_ON, screens)),
    /** A copy of the kennel; `today` is the day that it is held at. */
    copy(today = null) {
      const kennel = mkdtempSync(path.join(work, 'kennel-'));
      copyKennel(source, kennel);
      const file = path.join(kennel, 'content/kennel.yaml');
      if (today) writeFileSync(file, readFileSync(file, 'utf8').replace(/^as_of:.*$/m, `as_of: ${today}`));
      return kennel;
    },
    /** A desk of a copy of the kennel, and the keeper's page of phones, listening. `again` begins the desk of the same folder anew. */
    async begin(again = null) {
      const kennel = again ?? this.copy();
      const desk = await startDesk(program, kennel);
      desks.push(desk);
      const window = await this.browser();
      window.give(desk.cookie);
      const keeper = await window.open(new URL('-desk/phones', desk.book).href, { script: false });
      // Where there is no local network, this machine alone may be asked for.
      if (await keeper.getByRole('button', { name: 'Listen to phones' }).count() === 0) {
        const token = await (await window.open(new URL('-desk/kennel', desk.book).href, { script: false })).locator('input[name=token]').first().inputValue();
        await keeper.setContent(`<form method="post" action="${desk.book}-desk/phones"><input name="token" value="${token}"><input name="act" value="open"><input name="address" value="127.0.0.1"><button>Listen to phones</button></form>`);
      }
      await keeper.getByRole('button', { name: 'Listen to phones' }).click();
      await keeper.getByRole('heading', { name: 'Phones are listened to' }).waitFor();
      return { desk, keeper, kennel };
    },
    /** Has a code shown; the link that its square holds. */
    async code(keeper, named) {
      await keeper.getByLabel('What the phone is called').fill(named);
      await keeper.getByRole('button', { name: 'Show a code' }).click();
      await keeper.getByRole('heading', { name: `Connect ${named}` }).waitFor();
      const [code, address] = [await keeper.locator('code.code').textContent(), await keeper.locator('details code').first().textContent()];
      return { code, address, link: `${address}#${code}` };
    },
    /** A window of a phone at an address. */
    phone: async function phone(link, options = {}) {
      return (await this.browser()).open(link, { viewport: PHONE, stranger: true, ...options });
    },
    async end() { for (const desk of desks.splice(0)) await desk.end(); },
    async close() { await browser?.close(); },
  };
}

run({
  folder: 'phone',
  judged: 'the phone',
  named: ['the program'],
  options: ['work'],
  async open(values) {
    const box = room(values);
    const make = ({ check }, report) => check(box, report).finally(box.end);
    return { before: pastMidnight, make, close: box.close };
  },
});
