// Taps through the whelping sheet as a keeper does, on a phone with no network, and takes what was tapped into the records with the program.
//
//   node whelping.mjs <program> [--kennel DIR] [--work DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the program and a kennel folder with an expected litter, which is copied and never changed. Out: as lib/runner.mjs says.

import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { PHONE, startBrowser } from './lib/browser.mjs';
import { copyKennel } from './lib/kennel.mjs';
import { run } from './lib/runner.mjs';
import { screen } from './lib/screens.mjs';

export const LITTER = 'winter-2026';
/** After the birth that is tapped, so that the records do not say it is still to come. */
const TODAY = '2026-11-10';
const ZONE = 'Europe/London';

/** A kennel of its own, in which six puppies were counted by x-ray. */
function layKennel(source, kennel) {
  rmSync(kennel, { recursive: true, force: true });
  mkdirSync(kennel, { recursive: true });
  copyKennel(source, kennel);
  // Sealing the pages of families takes most of the time, and nothing here looks at them.
  rmSync(path.join(kennel, 'content', 'owners.yaml'), { force: true });
  const change = (file, pattern, to) => {
    const name = path.join(kennel, 'content', file);
    const text = readFileSync(name, 'utf8');
    if (!pattern.test(text)) throw new Error(`${file} has no ${pattern}`);
    writeFileSync(name, text.replace(pattern, to));
  };
  change('kennel.yaml', /^as_of: .*$/m, `as_of: ${TODAY}`);
  change(`litters/${LITTER}/litter.yaml`, /^counted: .*$/m, 'counted: { by: x-ray, on: 2026-11-02, puppies: 6 }   # the vet was sure');
}

/** A kennel of its own with its published sheets, and what checks ask of it. */
function openKennel(program, source, work, screens) {
  const folder = path.join(work, 'kennel');
  layKennel(source, folder);
  const ask = (args, input) => {
    const { status, stdout, stderr, error } = spawnSync(program, ['--kennel', folder, ...args], { encoding: 'utf8', input: input ?? '' });
    if (error) throw error;
    return { status, stdout, stderr };
  };
  const published = ask(['publish']);
  if (published.status !== 0) throw new Error(`publish said: ${published.stderr}`);
  const browsers = [];
  const kennel = {
    folder, work, screens, ask,
    record: path.join(folder, 'content', 'litters', LITTER, 'litter.yaml'),
    sheet: path.join(folder, 'private', 'whelping', `${LITTER}.html`),
    blank: path.join(folder, 'private', 'whelping-sheet.html'),
    async browser(zone = ZONE) {
      const browser = await startBrowser({ today: TODAY, zone }, screens);
      browsers.push(browser);
      return browser;
    },
    /** Opens a sheet on a phone, at a moment, with the network off. `at` moves the phone's clock; `tap` taps what has an id. */
    async open(file, now, options = {}) {
      const browser = options.browser ?? await kennel.browser();
      const page = await browser.open('about:blank', { viewport: PHONE, now, ...options });
      await page.context().setOffline(true);
      if (options.before) await page.addInitScript(options.before);
      await page.goto(pathToFileURL(file).href);
      page.at = (moment) => page.clock.setFixedTime(moment);
      page.tap = (...ids) => ids.reduce((before, id) => before.then(() => page.click(`[id="${id}"]`)), Promise.resolve());
      page.type = (digits) => page.tap(...[...digits].map((digit) => `pad-${digit === '.' ? 'point' : digit}`));
      page.text = (id) => page.locator(`[id="${id}"]`).innerText();
      page.picture = (name) => screen(page, path.join(screens, `whelping-${name}.png`), { fullPage: false });
      return page;
    },
    close: () => Promise.all(browsers.map((browser) => browser.close())),
  };
  return kennel;
}

run({
  folder: 'whelping',
  judged: 'whelping sheet',
  named: ['the program'],
  options: ['work'],
  async open({ named: [program], kennel: source, work, screens }) {
    // Each check has a kennel of its own: some take births in.
    const make = async ({ check, file }, report) => {
      const kennel = openKennel(program, source, path.join(work, `whelping-${file}`), screens);
      await check(kennel, report).finally(kennel.close);
    };
    return { make };
  },
});
