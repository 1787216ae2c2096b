// A family's page, opened in a desk with its code, is what the family sees: nothing is put into it, and its own policy forbids nothing that it needs.

import { readFileSync } from 'node:fs';
import path from 'node:path';
import { parse } from 'yaml';

export const name = 'a sealed page opens in a desk as it does on the site, and nothing is put into it';

export async function check({ browser, desk }, report) {
  const codes = parse(readFileSync(path.join(desk.kennel, 'codes.yaml'), 'utf8'));
  const [[puppy, { code, page: sealed }]] = Object.entries(codes);
  const page = await browser.open(new URL(`sealed/${sealed}.html`, desk.site).href);
  await page.fill('#code', code);
  await page.press('#code', 'Enter');
  await page.waitForSelector('#part_vet');
  report.saw('sealed pages opened');
  const script = await page.$$eval('script[src]', (scripts) => scripts.map((each) => each.src));
  report.expect(script.length === 0, puppy, `a script was put into it: ${script.join(', ')}`);
  for (const said of page.seen.console) report.fault(puppy, `says on the console: ${said}`);
  // What lay sealed in the page is asked of the page itself.
  const asked = page.seen.requests.filter((each) => !each.startsWith('blob:'));
  report.expect(asked.length === 1, puppy, `asked for ${asked.join(', ')}`);
  await page.shut();
}
