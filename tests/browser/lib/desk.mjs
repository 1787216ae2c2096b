// A running desk of a kennel that a check may change.

import { spawn } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';

const LONG = 120_000;

/** Begins a desk of the folder `kennel` and waits until its pages are there. */
export async function startDesk(program, kennel) {
  const child = spawn(program, ['--kennel', kennel, 'desk', '--port', '0', '--book-port', '0'], { stdio: ['ignore', 'pipe', 'inherit'] });
  let said = '';
  const listeners = new Set();
  child.stdout.setEncoding('utf8');
  child.stdout.on('data', (text) => {
    said += text;
    for (const listener of listeners) listener();
  });
  const ended = new Promise((done) => { child.once('exit', (code) => done(code)); });

  /** Waits until something was said that fits, after the first `from` characters. */
  function hears(pattern, from = 0) {
    return new Promise((done, failed) => {
      const timer = setTimeout(() => failed(new Error(`the desk never said ${pattern}:\n${said}`)), LONG);
      const look = () => {
        const found = said.slice(from).match(pattern);
        if (!found) return;
        clearTimeout(timer);
        listeners.delete(look);
        done(found);
      };
      listeners.add(look);
      look();
    });
  }

  const link = (await hears(/^site: (\S+)$/m))[1];
  const [site, book] = [link, (await hears(/^book: (\S+)$/m))[1]].map((each) => new URL('/', each).href);
  await hears(/site and book are shown|it begins in the browser/);
  // The link is opened as a browser would, and the next one is left to whoever wants to try it.
  const given = (await fetch(link)).headers.get('set-cookie');
  const [name, value] = given.split(';')[0].split('=');
  const cookie = { name, value, url: site, httpOnly: true, sameSite: 'Strict' };
  const next = (await hears(/the next one opens with (\S+)$/m))[1];
  const file = (name) => path.join(kennel, name);
  return {
    site,
    book,
    cookie,
    used: link,
    next,
    kennel,
    hears,
    said: () => said,
    text: (name) => readFileSync(file(name), 'utf8'),
    write: (name, text) => writeFileSync(file(name), text),
    /** Replaces a part of a file that must be there, the first time that it is. */
    change(name, from, to) {
      const text = readFileSync(file(name), 'utf8');
      if (!text.includes(from)) throw new Error(`${name} has no ${from}`);
      writeFileSync(file(name), text.replace(from, to));
    },
    /** Kills it, as a machine that loses its power does. */
    async kill() {
      child.kill('SIGKILL');
      return ended;
    },
    /** Ends the desk as Ctrl-C does; gives back its exit code. */
    async end() {
      child.kill('SIGINT');
      return ended;
    },
  };
}
