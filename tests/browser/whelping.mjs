// Taps through the whelping sheet as a keeper does, on a phone with no network, and takes what was tapped into the records with the program.
//
//   node whelping.mjs <program> [--kennel DIR] [--work DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the program and a kennel folder with an expected litter, which is copied and never changed. Out: one line for each check, its faults below it; exit code 1 when a check failed, 2 when
// none could be made.

import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { PHONE, startBrowser } from './lib/browser.mjs';
import { Report } from './lib/report.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));
export const LITTER = 'winter-2026';
/** After the birth that is tapped, so that the records do not say it is still to come. */
const TODAY = '2026-11-10';
const ZONE = 'Europe/London';

/** A kennel of its own, in which six puppies were counted by x-ray. */
function layKennel(source, kennel) {
  rmSync(kennel, { recursive: true, force: true });
  mkdirSync(kennel, { recursive: true });
  cpSync(path.join(source, 'content'), path.join(kennel, 'content'), { recursive: true });
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

async function openDesk(program, source, work, screens) {
  const kennel = path.join(work, 'kennel');
  layKennel(source, kennel);
  const run = (args, input) => {
    const { status, stdout, stderr, error } = spawnSync(program, ['--kennel', kennel, ...args], { encoding: 'utf8', input: input ?? '' });
    if (error) throw error;
    return { status, stdout, stderr };
  };
  const published = run(['publish']);
  if (published.status !== 0) throw new Error(`publish said: ${published.stderr}`);
  const browsers = [];
  const desk = {
    kennel, work, run, screens,
    record: path.join(kennel, 'content', 'litters', LITTER, 'litter.yaml'),
    sheet: path.join(kennel, 'private', 'whelping', `${LITTER}.html`),
    blank: path.join(kennel, 'private', 'whelping-sheet.html'),
    async browser(zone = ZONE) {
      const browser = await startBrowser({ today: TODAY, zone }, screens);
      browsers.push(browser);
      return browser;
    },
    /** Opens a sheet on a phone, at a moment, with the network off. `at` moves the phone's clock; `tap` taps what has an id. */
    async open(file, now, options = {}) {
      const browser = options.browser ?? await desk.browser();
      const page = await browser.open('about:blank', { viewport: PHONE, now, ...options });
      await page.context().setOffline(true);
      if (options.before) await page.addInitScript(options.before);
      await page.goto(pathToFileURL(file).href);
      page.at = (moment) => page.clock.setFixedTime(moment);
      page.tap = (...ids) => ids.reduce((before, id) => before.then(() => page.click(`[id="${id}"]`)), Promise.resolve());
      page.type = (digits) => page.tap(...[...digits].map((digit) => `pad-${digit === '.' ? 'point' : digit}`));
      page.text = (id) => page.locator(`[id="${id}"]`).innerText();
      page.picture = (name) => page.screenshot({ path: path.join(screens, `whelping-${name}.png`) });
      return page;
    },
    close: () => Promise.all(browsers.map((browser) => browser.close())),
  };
  return desk;
}

async function main() {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { kennel: { type: 'string', default: '.' }, work: { type: 'string', default: path.join(here, 'out', 'whelping') }, screens: { type: 'string', default: path.join(here, 'out') }, counts: { type: 'string' }, only: { type: 'string', multiple: true, default: [] } },
  });
  if (positionals.length !== 1) throw new Error('name the program');
  mkdirSync(values.screens, { recursive: true });
  const files = readdirSync(path.join(here, 'whelping')).filter((file) => values.only.length === 0 || values.only.includes(path.basename(file, '.mjs'))).sort();
  if (files.length === 0) throw new Error(`no check is called ${values.only.join(' or ')}`);
  let passed = 0;
  for (const file of files) {
    const { name, check } = await import(`./whelping/${file}`);
    const started = Date.now();
    const report = new Report(name);
    // Each check has a kennel of its own: some take births in.
    const desk = await openDesk(path.resolve(positionals[0]), path.resolve(values.kennel), path.join(path.resolve(values.work), path.basename(file, '.mjs')), values.screens);
    await check(desk, report).catch((error) => report.fault('this check', `could not finish: ${error.stack ?? error}`));
    await desk.close();
    report.close();
    console.log(report.text((Date.now() - started) / 1000));
    passed += report.faults.length === 0 ? 1 : 0;
  }
  console.log(`whelping sheet: ${passed} passed, ${files.length - passed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${files.length - passed}\n`);
  return passed === files.length ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The whelping sheet could not be checked: ${error.message}`);
    process.exitCode = 2;
  },
);
