// axe-core on the pages of both trees: light and dark, phone and desktop, no violation of WCAG 2.2 AA or of axe's good practice.

import { createRequire } from 'node:module';
import { DESK, PHONE } from '../lib/browser.mjs';
import { few } from '../lib/site.mjs';

export const name = 'axe-core finds no barrier, light and dark, on phone and desktop';

const axe = createRequire(import.meta.url)('axe-core');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const VIEWS = [PHONE, DESK].flatMap((viewport) => ['light', 'dark'].map((scheme) => ({ viewport, scheme })));

/** One page, loaded once and looked at in every view. */
async function examine(site, report, tree, name) {
  const page = await site.browser.open(tree.http(name), VIEWS[0]);
  await page.evaluate(axe.source);
  for (const { viewport, scheme } of VIEWS) {
    await page.setViewportSize(viewport);
    await page.emulateMedia({ colorScheme: scheme });
    const result = await page.evaluate((tags) => globalThis.axe.run(document, { runOnly: { type: 'tag', values: tags }, resultTypes: ['violations'] }), TAGS);
    const where = `${tree.label(name)} (${scheme}, ${viewport.width} px)`;
    report.expect(result.passes.length > 0, where, 'axe found nothing to pass, so it saw no page');
    for (const violation of result.violations) {
      const nodes = violation.nodes.slice(0, 3).map((node) => `${node.target.join(' ')} [${node.failureSummary.replaceAll(/\s+/g, ' ').slice(0, 160)}]`).join('; ');
      report.fault(where, `${violation.id} (${violation.impact}), ${violation.nodes.length} places: ${violation.help}: ${nodes}`);
    }
    if (result.violations.length > 0) await site.browser.keep(page, `axe-${where}`);
    report.saw(`views of ${tree.name} pages`);
  }
  await page.shut();
}

export async function check(site, report) {
  for (const tree of site.trees) await few(tree.pages, (name) => examine(site, report, tree, name));
}
