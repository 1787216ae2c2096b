// Judges what a phone at the box does: its side of the sealed channel, held to the standards and to the desk; and its page in a real browser, paired with a running desk.
//
//   node phone.mjs <program> [--kennel DIR] [--work DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the program, with `answers` built beside it, and a kennel folder, of which a copy is made for each check. Out: one line for each check, its faults below it; exit code 1 when a check
// failed, 2 when none could be made.

import { cpSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { answersBeside } from './lib/answers.mjs';
import { PHONE, startBrowser } from './lib/browser.mjs';
import { startDesk } from './lib/desk.mjs';
import { Report } from './lib/report.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));
const READ_ON = { today: '2026-10-09', zone: 'Europe/London' };

/** A kennel whose day is pinned begins that day again at midnight, which no check is about: who comes shortly before waits until it is over. */
async function pastMidnight() {
  const [hours, minutes] = new Date().toLocaleTimeString('en-GB', { timeZone: READ_ON.zone }).split(':').map(Number);
  const left = 24 * 60 - (hours * 60 + minutes);
  if (left <= 4) await new Promise((done) => { setTimeout(done, left * 60_000); });
}

/** What a check may ask for; what it began is ended for it. */
function room(program, values) {
  let browser = null;
  const desks = [];
  return {
    program: path.resolve(program),
    screens: path.resolve(values.screens),
    get answers() { return answersBeside(program); },
    browser: async () => (browser ??= await startBrowser(READ_ON, path.resolve(values.screens))),
    /** A copy of the kennel; `today` is the day that it is held at. */
    copy(today = null) {
      const kennel = mkdtempSync(path.join(values.work, 'kennel-'));
      cpSync(path.join(values.kennel, 'content'), path.join(kennel, 'content'), { recursive: true });
      const file = path.join(kennel, 'content/kennel.yaml');
      if (today) writeFileSync(file, readFileSync(file, 'utf8').replace(/^as_of:.*$/m, `as_of: ${today}`));
      return kennel;
    },
    /** A desk of a copy of the kennel, and the keeper's page of phones, listening. `again` begins the desk of the same folder anew. */
    async begin(again = null) {
      const kennel = again ?? this.copy();
      const desk = await startDesk(path.resolve(program), kennel);
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

async function main() {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { kennel: { type: 'string', default: '.' }, work: { type: 'string', default: os.tmpdir() }, screens: { type: 'string', default: path.join(here, 'out') }, counts: { type: 'string' }, only: { type: 'string', multiple: true, default: [] } },
  });
  if (positionals.length !== 1) throw new Error('name the program');
  for (const folder of [values.screens, values.work]) mkdirSync(folder, { recursive: true });
  const files = readdirSync(path.join(here, 'phone')).filter((file) => values.only.length === 0 || values.only.includes(path.basename(file, '.mjs'))).sort();
  if (files.length === 0) throw new Error(`no check is called ${values.only.join(' or ')}`);
  const box = room(positionals[0], values);
  let passed = 0;
  for (const file of files) {
    const { name, check } = await import(`./phone/${file}`);
    await pastMidnight();
    const started = Date.now();
    const report = new Report(name);
    await check(box, report).catch((error) => report.fault('this check', `could not finish: ${error.stack ?? error}`));
    await box.end();
    report.close();
    console.log(report.text((Date.now() - started) / 1000));
    passed += report.faults.length === 0 ? 1 : 0;
  }
  await box.close();
  console.log(`the phone: ${passed} passed, ${files.length - passed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${files.length - passed}\n`);
  return passed === files.length ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The phone could not be judged: ${error.message}`);
    process.exitCode = 2;
  },
);
