// Opens every page from the disk, from a host, and from a subfolder of a host, and looks at what it asks for: nothing but its own files, nothing that is missing,
// no cookie, nothing stored, no word of complaint in the console.

import { pathToFileURL } from 'node:url';
import { serve } from '../lib/server.mjs';
import { few } from '../lib/site.mjs';

export const name = 'pages ask for their own files and nothing else, and keep nothing';

async function watch(site, report, url, root, where) {
  const page = await site.browser.open(url);
  await site.browser.loadPictures(page);
  for (const request of page.seen.requests) {
    report.expect(request.startsWith(root) || /^(data|blob):/.test(request), where, `asks for ${request}`);
  }
  for (const failed of page.seen.failed) report.fault(where, `did not get ${failed}`);
  for (const line of page.seen.console) report.fault(where, `console: ${line}`);
  const broken = await page.evaluate(() => [...document.images].filter((image) => !image.complete || image.naturalWidth === 0).map((image) => image.currentSrc || image.src));
  for (const image of broken) report.fault(where, `shows a broken picture: ${image}`);
  const styled = await page.evaluate(() => [...document.styleSheets].some((sheet) => { try { return sheet.cssRules.length > 0; } catch { return true; } }));
  report.expect(styled, where, 'has no style');
  if (url.startsWith('http')) await checkStores(report, page, where);
  const cookies = await page.context().cookies();
  report.expect(cookies.length === 0, where, `sets cookies: ${cookies.map((each) => each.name).join(', ')}`);
  report.saw('requests', page.seen.requests.length);
  await page.shut();
}

async function checkStores(report, page, where) {
  const kept = await page.evaluate(async () => ({
    cookie: document.cookie,
    local: Object.keys(localStorage),
    session: Object.keys(sessionStorage),
    databases: (await indexedDB.databases()).map((each) => each.name),
    caches: await globalThis.caches?.keys() ?? [],
    workers: (await navigator.serviceWorker?.getRegistrations() ?? []).map((each) => each.scope),
  }));
  for (const [what, value] of Object.entries(kept)) report.expect(value.length === 0, where, `keeps something in ${what}: ${value}`);
}

async function watchTree(site, report, tree, kind, url, root, pages = tree.pages) {
  await few(pages, (name) => watch(site, report, url(name), root, `${tree.label(name)} (${kind})`));
}

/** A host shows 404.html at whatever address was asked for: there too it must find its style and its links must lead home. */
async function watchMissing(site, report) {
  const { visitor } = site;
  for (const asked of ['no-such-page.html', 'litters/no-such-litter.html', 'a/b/c/']) {
    const page = await site.browser.open(visitor.http(asked));
    const where = `public/404.html (shown at ${asked})`;
    const [self, ...others] = page.seen.failed;
    report.expect(self?.includes('status 404'), where, 'does not come with status 404');
    for (const failed of others) report.fault(where, `did not get ${failed}`);
    for (const request of page.seen.requests) report.expect(request.startsWith(visitor.server.base), where, `asks for ${request}`);
    report.expect((await page.innerText('h1')).length > 0, where, 'has no heading');
    report.saw('missing addresses');
    await page.shut();
  }
}

export async function check(site, report) {
  for (const tree of site.trees) {
    report.saw(`${tree.name} pages`, tree.pages.length);
    await watchTree(site, report, tree, 'from a host', tree.http, tree.server.base);
    // No disk ever shows the page for missing addresses.
    await watchTree(site, report, tree, 'from disk', tree.file, `${pathToFileURL(tree.dir).href}/`, tree.pages.filter((name) => name !== '404.html'));
  }
  const { visitor } = site;
  const below = await serve(visitor.dir, '/some/folder');
  await watchTree(site, report, visitor, 'in a subfolder', (name) => below.base + name, below.base, visitor.pages.filter((name) => name !== '404.html'));
  await below.close();
  await watchMissing(site, report);
}
