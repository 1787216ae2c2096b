// Opens sealed pages with a real browser, as families do, and says what is wrong with them.
//
//   node owner.mjs <public> <private> [--kennel DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the visitor's site, the keeper's folder with papers that `handover` wrote, and the kennel folder with its codes. Out: as lib/runner.mjs says.

import { readFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { startBrowser } from './lib/browser.mjs';
import { run } from './lib/runner.mjs';
import { sealedPages } from './lib/sealed.mjs';
import { serve } from './lib/server.mjs';

// A day on which some of what is planned is over, some is due and some is to come.
const READ_ON = { today: '2026-10-20', zone: 'Europe/London' };
// A host that is not this machine's own name: there browsers keep WebCrypto back.
const ELSEWHERE = 'kennel.example';

/** The site with its sealed pages, and what checks ask of it. */
async function openSite(folder, pages, screens) {
  const server = await serve(folder);
  const browser = await startBrowser(READ_ON, screens, [`--host-resolver-rules=MAP ${ELSEWHERE} 127.0.0.1`]);
  return {
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
}

run({
  folder: 'owner',
  judged: 'sealed pages',
  named: ['the visitor\'s site', 'the keeper\'s book'],
  async open({ named: [publicDir, privateDir], kennel, screens }) {
    const site = await openSite(publicDir, sealedPages(publicDir, privateDir, kennel), screens);
    return { make: ({ check }, report) => check(site, report), close: site.close };
  },
});
