// What every check works on: the two trees of files, the browser, two servers on the loopback address, and the records behind the pages.
// Opening the site starts all of them, closing it stops them.

import { mkdirSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { startBrowser } from './browser.mjs';
import { gatherFacts } from './facts.mjs';
import { readRecords } from './records.mjs';
import { serve } from './server.mjs';

function listFiles(dir, below = '') {
  return readdirSync(path.join(dir, below), { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const name = below === '' ? entry.name : `${below}/${entry.name}`;
      return entry.isDirectory() ? listFiles(dir, name) : [name];
    });
}

async function openTree(name, dir) {
  const files = listFiles(dir);
  // Sealed pages have a judge of their own (owner.mjs): nothing links to them, and without a code they hold nothing.
  const pages = files.filter((file) => file.endsWith('.html') && !/^(sealed|handover)\//.test(file));
  if (pages.length === 0) throw new Error(`${dir} holds no page; publish into it first`);
  const server = await serve(dir);
  return {
    name,
    dir,
    files,
    pages,
    server,
    has: (file) => files.includes(file),
    http: (page) => server.base + encodeURI(page),
    file: (page) => pathToFileURL(path.join(dir, page)).href,
    label: (page) => `${name}/${page}`,
  };
}

/** Opens both trees; `close` must be called in the end. */
export async function openSite({ publicDir, privateDir, kennel, screens }) {
  mkdirSync(screens, { recursive: true });
  const records = readRecords(kennel);
  const visitor = await openTree('public', publicDir);
  const keeper = await openTree('private', privateDir);
  const browser = await startBrowser(records, screens);
  const trees = [visitor, keeper];
  let facts = null;
  return {
    visitor,
    keeper,
    trees,
    records,
    kennelDir: path.resolve(kennel),
    browser,
    /** Links, ids and the like of every page, read once. */
    facts: async () => (facts ??= await gatherFacts(browser, trees)),
    close: async () => {
      await browser.close();
      await Promise.all(trees.map((tree) => tree.server.close()));
    },
  };
}

/** Runs `work` on all items, a few at a time. */
export async function few(items, work, atOnce = 3) {
  const queue = [...items];
  await Promise.all(Array.from({ length: atOnce }, async () => {
    while (queue.length > 0) await work(queue.shift());
  }));
}
