// Every file that a page offers is saved, from disk and from a host, and is the same byte for byte as the one that was put in.

import { readFileSync } from 'node:fs';
import path from 'node:path';

export const name = 'every file of a sealed page can be saved and is whole';

export async function check(site, report) {
  for (const sealed of site.pages) {
    for (const [from, url] of [['disk', site.file(sealed.page)], ['a host', site.http(sealed.page)]]) {
      const where = `${sealed.page} from ${from}`;
      const page = await site.browser.open(`${url}#${sealed.code}`);
      await site.opened(page);
      const links = await page.$$('a[data-file]');
      report.expect(links.length === sealed.files.length, where, `offers ${links.length} files of ${sealed.files.length}`);
      for (const link of links) {
        const [download] = await Promise.all([page.waitForEvent('download'), link.click()]);
        const name = download.suggestedFilename();
        const wanted = sealed.files.find((file) => path.basename(file) === name);
        if (!report.expect(wanted, where, `saves ${name}, which handover does not write`)) continue;
        report.expect(readFileSync(await download.path()).equals(site.bytes(wanted)), where, `${name} is not what handover wrote`);
        report.saw('files saved');
      }
      await page.shut();
    }
  }
}
