// Every page and every style sheet of both trees through the Nu HTML checker: no error and no warning, but for the list below.

import { execFile } from 'node:child_process';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const name = 'HTML and CSS are as the standards want them';

const JAR = path.join(path.dirname(createRequire(import.meta.url).resolve('vnu-jar/package.json')), 'build', 'dist', 'vnu.jar');

// What the checker may say without failing us. Each entry needs its reason; an entry that no longer applies is itself a fault.
export const ALLOWED = [];

export function runChecker(files) {
  return new Promise((done, failed) => {
    execFile('java', ['-Xss4m', '-jar', JAR, '--format', 'json', '--stdout', '--exit-zero-always', '--also-check-css', '--also-check-svg', ...files],
      { maxBuffer: 256 * 1024 * 1024 }, (error, stdout) => {
        if (error) failed(new Error(`the Nu checker did not run (it needs Java 17 or newer): ${error.message}`));
        else done(JSON.parse(stdout).messages);
      });
  });
}

function place(site, url) {
  const file = url?.startsWith('file:') ? fileURLToPath(url) : String(url);
  const tree = site.trees.find((each) => file.startsWith(each.dir + path.sep));
  return tree ? tree.label(path.relative(tree.dir, file)) : file;
}

export async function check(site, report) {
  const files = site.trees.flatMap((tree) => tree.files.filter((file) => /\.(html|css|svg)$/.test(file)).map((file) => path.join(tree.dir, file)));
  report.saw('pages', files.filter((file) => file.endsWith('.html')).length);
  report.saw('style sheets', files.filter((file) => file.endsWith('.css')).length);
  const used = new Set();
  // Where a message says that something stands twice, a second one shows the first place; it says nothing of its own.
  const companion = /^The first occurrence of /;
  for (const message of await runChecker(files)) {
    if (companion.test(message.message)) continue;
    const allowed = ALLOWED.find((entry) => entry.says.test(message.message));
    if (allowed) used.add(allowed);
    // `info` without a subtype is advice such as "trailing slash has no effect": markup that we wrote should not earn it either.
    else report.fault(`${place(site, message.url)}:${message.lastLine ?? 0}`, `${message.subType ?? message.type}: ${message.message} «${(message.extract ?? '').replaceAll(/\s+/g, ' ').trim().slice(0, 120)}»`);
  }
  for (const entry of ALLOWED) if (!used.has(entry)) report.fault('checks/html.mjs', `nothing needs the exception ${entry.says} any more; take it out`);
}
