// axe-core in an open page: no violation of WCAG 2.2 AA or of axe's good practice, and nothing wider than the window.
//
// In the dark only the rules that look at colours are asked again: the style sheets change nothing but colours there, and that is looked at too.

import { createRequire } from 'node:module';

const axe = createRequire(import.meta.url)('axe-core');
const ALL = { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] };
const OF_COLOURS = { type: 'rule', values: ['color-contrast', 'link-in-text-block'] };

/** Runs inside the page: whether it is dark, what the dark changes besides colours, and by how much the page is wider than its window. */
function look() {
  const colours = /^(--[\w-]+|color-scheme|filter|(.*-)?color)$/;
  const others = [];
  const walk = (rules, isDark) => {
    for (const rule of rules) {
      const dark = isDark || /prefers-color-scheme:\s*dark/.test(rule.media?.mediaText ?? '');
      if (dark && rule.style) others.push(...[...rule.style].filter((name) => !colours.test(name) && !name.startsWith('background')));
      if (rule.cssRules) walk(rule.cssRules, dark);
    }
  };
  for (const sheet of document.styleSheets) {
    // A page from the disk may not read its own sheet; the same sheet is read where it comes from a host.
    try { walk(sheet.cssRules, false); } catch (error) { if (error.name !== 'SecurityError') throw error; }
  }
  return { dark: matchMedia('(prefers-color-scheme: dark)').matches, others, over: document.documentElement.scrollWidth - document.documentElement.clientWidth };
}

const inWords = ({ target, failureSummary }) => `${target.join(' ')} [${failureSummary.replaceAll(/\s+/g, ' ').slice(0, 160)}]`;

/** Reports every barrier of the page as it is now. Returns whether there was none. */
export async function findBarriers(page, report, where) {
  if (!(await page.evaluate(() => 'axe' in globalThis))) await page.evaluate(axe.source);
  const { dark, others, over } = await page.evaluate(look);
  report.expect(others.length === 0, where, `the dark changes more than colours: ${others.join(', ')}`);
  report.expect(over <= 0, where, `is ${over} px wider than the window`);
  const runOnly = dark ? OF_COLOURS : ALL;
  const { passes, incomplete, violations } = await page.evaluate((only) => globalThis.axe.run(document, { runOnly: only, resultTypes: ['violations'] }), runOnly);
  report.expect(passes.length + incomplete.length > 0, where, 'axe found nothing to pass, so it saw no page');
  for (const { id, impact, help, nodes } of violations) report.fault(where, `${id} (${impact}), ${nodes.length} places: ${help}: ${nodes.slice(0, 3).map(inWords).join('; ')}`);
  return violations.length === 0 && over <= 0;
}
