// A sealed page asks for nothing, and cannot: whatever is tried from inside it, nothing arrives at a host that listens. The same is tried on a copy without the policy, where it must arrive.

import http from 'node:http';
import { serve } from '../lib/server.mjs';

export const name = 'the policy of a sealed page lets no request out';

async function listen() {
  const heard = [];
  const server = http.createServer((request, response) => {
    heard.push(request.url);
    response.writeHead(200, { 'access-control-allow-origin': '*', 'content-type': 'text/plain' }).end();
  });
  server.on('upgrade', (request, socket) => { heard.push(request.url); socket.destroy(); });
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  return { heard, base: `http://127.0.0.1:${server.address().port}`, close: () => new Promise((done) => { server.close(done); server.closeAllConnections(); }) };
}

// Runs inside the page.
async function tryAll(base) {
  const add = (tag, attributes) => document.body.append(Object.assign(document.createElement(tag), attributes));
  const tries = {
    fetch: () => fetch(`${base}/fetch`, { mode: 'no-cors' }),
    image: () => add('img', { src: `${base}/image` }),
    beacon: () => navigator.sendBeacon(`${base}/beacon`, 'x'),
    xhr: () => { const asked = new XMLHttpRequest(); asked.open('GET', `${base}/xhr`); asked.send(); },
    socket: () => new WebSocket(`${base.replace('http', 'ws')}/socket`),
    events: () => new EventSource(`${base}/events`),
    style: () => add('link', { rel: 'stylesheet', href: `${base}/style` }),
    prefetch: () => add('link', { rel: 'prefetch', href: `${base}/prefetch` }),
    script: () => add('script', { src: `${base}/script` }),
    frame: () => add('iframe', { src: `${base}/frame` }),
    object: () => add('object', { data: `${base}/object` }),
    audio: () => add('audio', { src: `${base}/audio`, preload: 'auto' }),
    background: () => { document.body.style.backgroundImage = `url(${base}/background)`; },
    font: () => new FontFace('x', `url(${base}/font)`).load(),
    form: () => { add('iframe', { name: 'away' }); const form = Object.assign(document.createElement('form'), { action: `${base}/form`, target: 'away' }); document.body.append(form); form.submit(); },
  };
  for (const attempt of Object.values(tries)) {
    try {
      const result = attempt();
      if (result?.catch) result.catch(() => {});
    } catch {
      // Refused at once.
    }
  }
  await new Promise((done) => { setTimeout(done, 1500); });
  return Object.keys(tries).length;
}

export async function check(site, report) {
  const [sealed] = site.pages;
  for (const [from, url] of [['disk', site.file(sealed.page)], ['a host', site.http(sealed.page)]]) {
    const listener = await listen();
    const page = await site.browser.open(`${url}#${sealed.code}`);
    await site.opened(page);
    const asked = page.seen.requests.filter((request) => !request.startsWith('blob:') && request.split('#')[0] !== url);
    report.expect(asked.length === 0, `${sealed.page} from ${from}`, `asks for ${asked.join(', ')}`);
    report.saw('ways tried', await page.evaluate(tryAll, listener.base));
    for (const request of listener.heard) report.fault(`${sealed.page} from ${from}`, `lets ${request} out`);
    await page.shut();
    await listener.close();
  }
  // Without the policy the same gets out, or nothing was tried.
  const listener = await listen();
  const bare = await serve(site.folder, '', (html) => html.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ''));
  const page = await site.browser.open(`${bare.base}${sealed.page}#${sealed.code}`);
  await site.opened(page);
  await page.evaluate(tryAll, listener.base);
  report.expect(new Set(listener.heard).size >= 13, 'a copy without the policy', `lets out only ${[...new Set(listener.heard)].join(', ')}`);
  report.saw('ways out without the policy', new Set(listener.heard).size);
  await page.shut();
  await bare.close();
  await listener.close();
}
