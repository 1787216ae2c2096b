// Debian's chromium, driven by playwright-core. Every page is opened on the day the demo is held at (or another, if a check asks), in the
// kennel's time zone, and everything it asks for is recorded.

import { execFileSync } from 'node:child_process';
import path from 'node:path';
import { chromium } from 'playwright-core';

export const PHONE = { width: 390, height: 844 };
export const DESK = { width: 1280, height: 900 };

function findChromium() {
  for (const name of ['chromium', 'chromium-browser', 'google-chrome']) {
    try {
      return execFileSync('sh', ['-c', `command -v ${name}`], { encoding: 'utf8' }).trim();
    } catch {
      // Not under this name; the next may do.
    }
  }
  throw new Error('no chromium was found; install it with: apt-get install chromium');
}

export async function startBrowser(records, screens) {
  const browser = await chromium.launch({ executablePath: findChromium() });

  /** A browser window of its own: `viewport`, `scheme` ('light' or 'dark'), `script` (false: off). */
  async function window({ viewport = DESK, scheme = 'light', script = true } = {}) {
    return browser.newContext({
      viewport, colorScheme: scheme, javaScriptEnabled: script, timezoneId: records.zone, locale: 'en-GB', reducedMotion: 'reduce', serviceWorkers: 'allow',
    });
  }

  /**
   * Opens `url` in a window and waits until it is at rest, pictures below the fold included. Returns the page; `page.seen` holds
   * the requests it made, the requests that failed and what the console said. `now`: the moment that the page believes it is.
   */
  async function open(inWindow, url, { now = `${records.today}T12:00:00Z` } = {}) {
    const page = await inWindow.newPage();
    page.seen = { requests: [], failed: [], console: [] };
    page.on('request', (request) => page.seen.requests.push(request.url()));
    page.on('requestfailed', (request) => page.seen.failed.push(`${request.url()} (${request.failure()?.errorText})`));
    page.on('response', (response) => { if (response.status() >= 400) page.seen.failed.push(`${response.url()} (status ${response.status()})`); });
    page.on('console', (message) => { if (['error', 'warning'].includes(message.type())) page.seen.console.push(message.text()); });
    page.on('pageerror', (error) => page.seen.console.push(`uncaught: ${error.message}`));
    await page.clock.setFixedTime(now);
    await page.goto(url, { waitUntil: 'load' });
    return page;
  }

  /** Scrolls through the page, so that pictures which wait for that are asked for too. */
  async function scrollThrough(page) {
    await page.evaluate(() => {
      for (const image of document.images) image.loading = 'eager';
    });
    await page.waitForLoadState('networkidle');
  }

  /** Keeps a picture of a page that failed. */
  async function keep(page, name) {
    await page.screenshot({ path: path.join(screens, `${name.replaceAll(/[^\w.-]+/g, '-')}.png`), fullPage: true });
  }

  return { window, open, scrollThrough, keep, close: () => browser.close() };
}
