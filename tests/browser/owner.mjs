// Opens sealed pages with a real browser, as families do, and says what is wrong with them.
//
//   node owner.mjs <public> <private> [--kennel DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the visitor's site, the keeper's folder with papers that `handover` wrote, and the kennel folder with its codes. Out: one line for each check, its faults below it; exit code 1
// when a check failed, 2 when none could be made.

import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { startBrowser } from './lib/browser.mjs';
import { Report } from './lib/report.mjs';
import { sealedPages } from './lib/sealed.mjs';
import { serve } from './lib/server.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));
// A day on which some of what is planned is over, some is due and some is to come.
const READ_ON = { today: '2026-10-20', zone: 'Europe/London' };
// A host that is not this machine's own name: there browsers keep WebCrypto back.
const ELSEWHERE = 'kennel.example';

async function openDesk(folder, pages, screens) {
  const server = await serve(folder);
  const browser = await startBrowser(READ_ON, screens, [`--host-resolver-rules=MAP ${ELSEWHERE} 127.0.0.1`]);
  const desk = {
    folder,
    pages,
    browser,
    server,
    file: (name) => pathToFileURL(path.join(folder, name)).href,
    http: (name) => server.base + name,
    plainHttp: (name) => `http://${ELSEWHERE}:${new URL(server.base).port}/${name}`,
    bytes: (name) => readFileSync(path.resolve(folder, name)),
    /** Waits until the record is open and has been put in. */
    opened: (page) => page.waitForSelector('#part_vet'),
    async type(page, code) {
      await page.fill('#code', code);
      await page.press('#code', 'Enter');
    },
    /** What the page said once it was done with what was typed. */
    async said(page) {
      await page.waitForFunction(() => document.querySelector('#open').getAttribute('aria-busy') !== 'true' && document.querySelector('#code').getAttribute('aria-invalid') === 'true');
      return page.innerText('#said');
    },
    close: async () => { await browser.close(); await server.close(); },
  };
  return desk;
}

async function main() {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { kennel: { type: 'string', default: '.' }, screens: { type: 'string', default: path.join(here, 'out') }, counts: { type: 'string' }, only: { type: 'string', multiple: true, default: [] } },
  });
  if (positionals.length !== 2) throw new Error('name two folders: the visitor\'s site and the keeper\'s book');
  mkdirSync(values.screens, { recursive: true });
  const files = readdirSync(path.join(here, 'owner')).filter((file) => values.only.length === 0 || values.only.includes(path.basename(file, '.mjs'))).sort();
  if (files.length === 0) throw new Error(`no check is called ${values.only.join(' or ')}`);
  const [publicDir, privateDir] = positionals.map((folder) => path.resolve(folder));
  const desk = await openDesk(publicDir, sealedPages(publicDir, privateDir, path.resolve(values.kennel)), values.screens);
  let passed = 0;
  try {
    for (const file of files) {
      const { name, check } = await import(`./owner/${file}`);
      const started = Date.now();
      const report = new Report(name);
      await check(desk, report).catch((error) => report.fault('this check', `could not finish: ${error.stack ?? error}`));
      report.close();
      console.log(report.text((Date.now() - started) / 1000));
      passed += report.faults.length === 0 ? 1 : 0;
    }
  } finally {
    await desk.close();
  }
  console.log(`sealed pages: ${passed} passed, ${files.length - passed} failed`);
  if (values.counts) writeFileSync(values.counts, `${passed} ${files.length - passed}\n`);
  return passed === files.length ? 0 : 1;
}

main().then(
  (code) => { process.exitCode = code; },
  (error) => {
    console.error(`The sealed pages could not be checked: ${error.message}`);
    process.exitCode = 2;
  },
);
