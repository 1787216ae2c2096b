// What the markup of every page says, read by the browser's own parser without running or loading anything:
// addresses with the element they stand in, ids, pictures, structured data, title.

import { readFileSync } from 'node:fs';
import path from 'node:path';

// Runs inside the browser. It must not use anything from outside itself.
function readMarkup(html) {
  const page = new DOMParser().parseFromString(html, 'text/html');
  const links = [];
  const take = (element, attribute, value) =>
    links.push({ tag: element.localName, rel: element.getAttribute('rel') ?? '', attribute, value: value.trim(), text: element.textContent.trim().slice(0, 60) });
  for (const element of page.querySelectorAll('*')) {
    for (const attribute of ['href', 'src', 'action', 'poster', 'data', 'xlink:href', 'formaction', 'background', 'cite', 'ping', 'manifest']) {
      if (element.hasAttribute(attribute)) take(element, attribute, element.getAttribute(attribute));
    }
    for (const attribute of ['srcset', 'imagesrcset']) {
      for (const part of (element.getAttribute(attribute) ?? '').split(/,\s+/)) if (part.trim() !== '') take(element, attribute, part.trim().split(/\s+/)[0]);
    }
    const styles = [element.getAttribute('style') ?? '', element.localName === 'style' ? element.textContent : ''].join(' ');
    for (const [, , value] of styles.matchAll(/url\(\s*(['"]?)([^'")]+)\1\s*\)/g)) take(element, 'style', value);
  }
  return {
    links,
    lang: page.documentElement.lang,
    title: page.title,
    ids: [...page.querySelectorAll('[id]')].map((element) => element.id),
    anchors: [...page.querySelectorAll('a[name]')].map((element) => element.getAttribute('name')),
    base: page.querySelector('base')?.getAttribute('href') ?? null,
    refresh: page.querySelector('meta[http-equiv="refresh" i]')?.content ?? null,
    metas: [...page.querySelectorAll('meta')].map((meta) => ({ name: meta.getAttribute('name') ?? meta.getAttribute('property') ?? '', content: meta.content })),
    images: [...page.querySelectorAll('img')].map((image) => ({
      src: image.getAttribute('src'), srcset: image.getAttribute('srcset'), alt: image.getAttribute('alt'), sizes: image.getAttribute('sizes'),
      width: image.getAttribute('width'), height: image.getAttribute('height'),
    })),
  };
}

/** A map from 'public/index.html' to what its markup says. */
export async function gatherFacts(browser, trees) {
  const page = await browser.blank();
  const facts = new Map();
  for (const tree of trees) {
    for (const name of tree.pages) {
      const html = readFileSync(path.join(tree.dir, name), 'utf8');
      facts.set(tree.label(name), { tree, name, html, ...(await page.evaluate(readMarkup, html)) });
    }
  }
  await page.close();
  return facts;
}
