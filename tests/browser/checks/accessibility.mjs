// axe-core on the pages of both trees: light and dark, phone and desktop, no violation of WCAG 2.2 AA or of axe's good practice.

import { findBarriers } from '../lib/axe.mjs';
import { VIEWS, inViews } from '../lib/browser.mjs';
import { few } from '../lib/site.mjs';

export const name = 'axe-core finds no barrier, light and dark, on phone and desktop';

/** One page, loaded once and looked at in every view. */
async function examine(site, report, tree, name) {
  const page = await site.browser.open(tree.http(name), VIEWS[0]);
  await inViews(page, VIEWS, async (view, how) => {
    const where = `${tree.label(name)} (${how})`;
    if (!(await findBarriers(page, report, where))) await site.browser.keep(page, `axe-${where}`);
    report.saw(`views of ${tree.name} pages`);
  });
  await page.shut();
}

export async function check(site, report) {
  for (const tree of site.trees) await few(tree.pages, (name) => examine(site, report, tree, name));
}
