// The plainest static host there is, on the loopback address: what it can serve, any host can serve.
// A folder asked for without its slash is not redirected and nothing is rewritten; unknown paths get 404.html with status 404.

import { createReadStream, existsSync, readFileSync, statSync } from 'node:fs';
import http from 'node:http';
import path from 'node:path';

const TYPES = {
  '.html': 'text/html; charset=utf-8', '.css': 'text/css; charset=utf-8', '.js': 'text/javascript; charset=utf-8',
  '.jpg': 'image/jpeg', '.png': 'image/png', '.svg': 'image/svg+xml', '.webp': 'image/webp', '.ico': 'image/x-icon',
  '.atom': 'application/atom+xml', '.xml': 'application/xml', '.txt': 'text/plain; charset=utf-8', '.json': 'application/json',
  '.webmanifest': 'application/manifest+json', '.csv': 'text/csv; charset=utf-8', '.ics': 'text/calendar; charset=utf-8', '.pdf': 'application/pdf',
};

function fileFor(root, pathname) {
  const wanted = path.join(root, path.normalize(decodeURIComponent(pathname)));
  if (wanted !== root && !wanted.startsWith(root + path.sep)) return null;
  if (!existsSync(wanted)) return null;
  if (!statSync(wanted).isDirectory()) return wanted;
  const index = path.join(wanted, 'index.html');
  return pathname.endsWith('/') && existsSync(index) ? index : null;
}

/** Serves `root` below `prefix` ('' or '/some/folder'), its pages changed by `change` if that is given; returns where it is and how to stop it. */
export async function serve(root, prefix = '', change = null) {
  const server = http.createServer((request, response) => {
    const pathname = new URL(request.url, 'http://x').pathname;
    const inside = pathname.startsWith(`${prefix}/`) ? pathname.slice(prefix.length) : null;
    let file = inside === null ? null : fileFor(root, inside);
    let status = 200;
    if (file === null) {
      status = 404;
      file = path.join(root, '404.html');
    }
    if (!existsSync(file)) {
      response.writeHead(404).end();
      return;
    }
    response.writeHead(status, { 'content-type': TYPES[path.extname(file)] ?? 'application/octet-stream', 'cache-control': 'no-store' });
    if (change && file.endsWith('.html')) response.end(change(readFileSync(file, 'utf8')));
    else createReadStream(file).pipe(response);
  });
  await new Promise((done, failed) => server.once('error', failed).listen(0, '127.0.0.1', done));
  const origin = `http://127.0.0.1:${server.address().port}`;
  return {
    base: `${origin}${prefix}/`,
    close: () => new Promise((done) => { server.close(done); server.closeAllConnections(); }),
  };
}
