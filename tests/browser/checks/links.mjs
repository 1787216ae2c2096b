// Every address in every page, style sheet and feed: the file exists, the fragment exists, nothing leads out of its tree or to another host.
// The only absolute addresses are those that must be: canonical, Open Graph and feed metadata, mail and telephone links.

import { readFileSync } from 'node:fs';
import path from 'node:path';

export const name = 'every link leads somewhere, and nowhere else';

const SCHEME = /^[a-z][a-z0-9+.-]*:/i;

/** An address as it stands in `page`, resolved to a path inside the tree: { file, fragment }, or { fault }. */
function resolve(tree, page, value, root) {
  // A host shows 404.html at any address, so that page alone must write its addresses from the root of the kennel's site.
  const fromRoot = tree.name === 'public' && page === '404.html' && !value.startsWith('#');
  if (fromRoot && !value.startsWith(root)) return { fault: `does not start at ${root}, so it breaks where the page is shown` };
  const [address, fragment] = (fromRoot ? value.slice(root.length) || 'index.html' : value).split('#', 2);
  const [pathname] = address.split('?', 1);
  if (pathname === '') return { file: page, fragment };
  const plain = decodeURIComponent(pathname);
  if (plain.includes('\\')) return { fault: 'holds a backslash' };
  if (plain.startsWith('/')) return { fault: 'starts at the root of the host, so it breaks in a subfolder and from a stick' };
  const target = path.posix.join(path.posix.dirname(page), plain);
  if (target === '..' || target.startsWith('../')) return { fault: 'leads out of its folder' };
  if (target.endsWith('/') || target === '.') return { fault: 'names a folder; only a server would know what that is' };
  return tree.has(target) ? { file: target, fragment } : { fault: `leads to ${target}, which is not there` };
}

const rootOf = (site) => new URL(site.records.kennel.site).pathname;

function mayBeAbsolute(link, site) {
  const under = link.value.startsWith(site.records.kennel.site);
  return under && link.tag === 'link' && ['canonical', 'alternate'].includes(link.rel);
}

function checkLink(site, report, facts, page, link) {
  const where = `${page.tree.label(page.name)} <${link.tag} ${link.attribute}="${link.value}">`;
  if (link.value === '') return report.fault(where, 'is empty');
  if (/^(mailto|tel):/i.test(link.value)) {
    return report.expect(/^mailto:[^@\s]+@[^@\s?]+(\?|$)|^tel:\+?[\d-]+$/.test(link.value), where, 'is no proper mail or telephone link');
  }
  if (/^data:(image\/|,$)/.test(link.value) && (link.tag === 'img' || link.rel === 'icon')) return undefined;
  if (SCHEME.test(link.value) || link.value.startsWith('//')) {
    return report.expect(mayBeAbsolute(link, site), where, 'is an absolute address');
  }
  const found = resolve(page.tree, page.name, link.value, rootOf(site));
  if (found.fault) return report.fault(where, found.fault);
  if (found.fragment && found.file.endsWith('.html') && link.tag !== 'use') {
    const target = facts.get(page.tree.label(found.file));
    const wanted = decodeURIComponent(found.fragment);
    report.expect(target.ids.includes(wanted) || target.anchors.includes(wanted) || wanted === 'top', where, `there is no “${wanted}” in ${found.file}`);
  }
  return undefined;
}

function checkPage(site, report, facts, page) {
  const where = page.tree.label(page.name);
  const doubles = page.ids.filter((id, index) => page.ids.indexOf(id) !== index);
  report.expect(doubles.length === 0, where, `ids that stand twice: ${doubles.join(', ')}`);
  report.expect(page.base === null, where, `a <base> element bends every link: ${page.base}`);
  report.expect(page.refresh === null, where, `sends its reader on by itself: ${page.refresh}`);
  for (const link of page.links) checkLink(site, report, facts, page, link);
  report.saw('links', page.links.length);
  report.saw('pages');
}

/** Addresses in style sheets and scripts: files of the tree, or nothing. */
function checkOtherFile(report, tree, file) {
  const text = readFileSync(path.join(tree.dir, file), 'utf8');
  const where = tree.label(file);
  for (const [address] of text.matchAll(/(https?:)?\/\/[\w.-]+\.[a-z]{2,}[^\s'")]*/gi)) {
    report.expect(address.startsWith('http://www.w3.org/'), where, `speaks of another host: ${address}`);
  }
  if (!file.endsWith('.css')) return;
  for (const [, , value] of text.matchAll(/(?:url\(\s*|@import\s+)(['"]?)([^'")]+)\1/g)) {
    if (value.startsWith('data:') || value.startsWith('#')) continue;
    const found = resolve(tree, file, value);
    report.expect(!found.fault, where, `url(${value}) ${found.fault}`);
  }
}

/** The feed's links are absolute, below the kennel's own address, and each of them is a page that exists. */
function checkFeed(site, report, facts) {
  const { visitor } = site;
  const feed = readFileSync(path.join(visitor.dir, 'news.atom'), 'utf8');
  const addresses = [...feed.matchAll(/<(?:[\w]+:)?link\b[^>]*\bhref="([^"]*)"/g)].map(([, href]) => href);
  for (const address of addresses) {
    if (!report.expect(address.startsWith(site.records.kennel.site), 'public/news.atom', `${address} is not below ${site.records.kennel.site}`)) continue;
    const rest = address.slice(site.records.kennel.site.length).replace(/^\/+/, '');
    const [file, fragment] = (rest === '' ? 'index.html' : rest).split('#', 2);
    const target = decodeURIComponent(file);
    report.expect(visitor.has(target), 'public/news.atom', `${address} leads to ${target}, which is not there`);
    if (fragment) report.expect(facts.get(visitor.label(target))?.ids.includes(fragment), 'public/news.atom', `there is no “${fragment}” in ${target}`);
  }
  report.saw('feed links', addresses.length);
}

/** A page that no link leads to might as well not exist; the 404 page is what the host shows by itself. */
function checkOrphans(site, report, tree, facts) {
  const reached = new Set(['index.html']);
  const queue = ['index.html'];
  while (queue.length > 0) {
    const page = facts.get(tree.label(queue.shift()));
    for (const link of page?.links ?? []) {
      if (link.tag !== 'a' || SCHEME.test(link.value)) continue;
      const found = resolve(tree, page.name, link.value, rootOf(site));
      if (!found.file?.endsWith('.html') || reached.has(found.file)) continue;
      reached.add(found.file);
      queue.push(found.file);
    }
  }
  for (const page of tree.pages) if (page !== '404.html') report.expect(reached.has(page), tree.label(page), 'no link leads here from the first page');
}

export async function check(site, report) {
  const facts = await site.facts();
  for (const page of facts.values()) checkPage(site, report, facts, page);
  for (const tree of site.trees) {
    for (const file of tree.files.filter((each) => /\.(css|js|svg|webmanifest)$/.test(each))) checkOtherFile(report, tree, file);
    checkOrphans(site, report, tree, facts);
  }
  checkFeed(site, report, facts);
}
