// Debian's chromium, driven by playwright-core; its build without a window where there is one, which takes a third of the time. Every page is opened on the day the demo is held at (or another, if a check asks), in the
// kennel's time zone, and everything it asks for is recorded.

import { execFileSync } from 'node:child_process';
import path from 'node:path';
import { chromium } from 'playwright-core';

export const PHONE = { width: 390, height: 844 };
export const DESK = { width: 1280, height: 900 };
/** Light and dark, on phone and desktop. */
export const VIEWS = [PHONE, DESK].flatMap((viewport) => ['light', 'dark'].map((scheme) => ({ viewport, scheme })));

/** Shows an open page in each of some views to `look`, which is told the view and what it is called; the page is left as it was, in the light. One page in four views is loaded, and led to its state, once. */
export async function inViews(page, views, look) {
  const before = page.viewportSize();
  for (const view of views) {
    await page.setViewportSize(view.viewport);
    await page.emulateMedia({ colorScheme: view.scheme });
    await look(view, `${view.scheme}, ${view.viewport.width} px`);
  }
  await page.setViewportSize(before);
  await page.emulateMedia({ colorScheme: 'light' });
}

function findChromium() {
  for (const name of ['chromium-headless-shell', 'chromium', 'chromium-browser', 'google-chrome']) {
    try {
      return execFileSync('sh', ['-c', `command -v ${name}`], { encoding: 'utf8' }).trim();
    } catch {
      // Not under this name; the next may do.
    }
  }
  throw new Error('no chromium was found; install it with: apt-get install chromium');
}

/** `switches` are handed to chromium as they are. */
export async function startBrowser(records, screens, switches = []) {
  const browser = await chromium.launch({ executablePath: findChromium(), args: switches });
  const cookies = [];

  /**
   * Opens `url` in a browser window of its own, with nothing left over from any other, and waits until it is loaded. `viewport`; `scheme`: 'light' or
   * 'dark'; `script`: false turns it off; `now`: the moment that the page believes it is; `prepare` is given the page before it goes anywhere. `page.seen` holds the requests it made, those that failed,
   * and what the console said. `page.shut()` closes the window. `stranger`: true opens it without the cookies that were given.
   */
  async function open(url, { viewport = DESK, scheme = 'light', script = true, stranger = false, now = `${records.today}T12:00:00Z`, prepare } = {}) {
    const context = await browser.newContext({
      viewport, colorScheme: scheme, javaScriptEnabled: script, timezoneId: records.zone, locale: 'en-GB', reducedMotion: 'reduce',
    });
    // A busy machine is no fault of the page.
    context.setDefaultTimeout(120_000);
    if (!stranger && cookies.length > 0) await context.addCookies(cookies);
    const page = await context.newPage();
    page.shut = () => context.close();
    page.seen = { requests: [], failed: [], console: [] };
    page.on('request', (request) => page.seen.requests.push(request.url()));
    page.on('requestfailed', (request) => page.seen.failed.push(`${request.url()} (${request.failure()?.errorText})`));
    page.on('response', (response) => { if (response.status() >= 400) page.seen.failed.push(`${response.url()} (status ${response.status()})`); });
    page.on('console', (message) => { if (['error', 'warning'].includes(message.type())) page.seen.console.push(message.text()); });
    page.on('pageerror', (error) => page.seen.console.push(`uncaught: ${error.message}`));
    await page.clock.setFixedTime(now);
    await prepare?.(page);
    page.answer = await page.goto(url, { waitUntil: 'load' });
    return page;
  }

  /** Lets pictures that wait until they are scrolled to come at once, and waits until the page has asked for nothing for half a second. */
  async function loadPictures(page) {
    await page.evaluate(async () => {
      for (const image of document.images) image.loading = 'eager';
      // Decoding waits for the loading; one that cannot be shown ends its waiting too, and whoever asked looks at that.
      await Promise.all([...document.images].map((image) => image.decode().catch(() => {})));
    });
    for (let asked = -1; asked < page.seen.requests.length;) {
      asked = page.seen.requests.length;
      await new Promise((resolve) => setTimeout(resolve, 500));
    }
  }

  /** Keeps a picture of a page that failed. */
  async function keep(page, name) {
    await page.screenshot({ path: path.join(screens, `${name.replaceAll(/[^\w.-]+/g, '-')}.png`), fullPage: true });
  }

  /** Each window opened from now on has this cookie. */
  const give = (cookie) => cookies.push(cookie);

  return { open, give, blank: () => browser.newPage(), loadPictures, keep, close: () => browser.close() };
}
