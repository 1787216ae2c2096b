// Looks at a published site with a real browser and says what is wrong with it.
//
//   node run.mjs <public> <private> [--kennel DIR] [--screens DIR] [--counts FILE] [--only NAME]
//
// In: the visitor's site, the keeper's book, and the kennel folder that both were made from (default: the current folder). Each file in checks/ exports a `name` and `check(site, report)`.

import { run } from './lib/runner.mjs';
import { openSite } from './lib/site.mjs';

run({
  folder: 'checks',
  judged: 'browser',
  named: ['the visitor\'s site', 'the keeper\'s book'],
  async open({ named: [publicDir, privateDir], kennel, screens }) {
    const site = await openSite({ publicDir, privateDir, kennel, screens });
    return { make: ({ check }, report) => check(site, report), close: site.close };
  },
});
