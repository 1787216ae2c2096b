// A real browser opens the preview with its link, once; a window that did not sees nothing, and no script can read what opened it.

export const name = 'the link opens the preview in one browser, once, and in no other';

export async function check({ browser, preview }, report) {
  const page = await browser.open(preview.next, { stranger: true });
  await page.waitForURL(preview.site);
  report.expect((await page.title()) !== 'Preview', page.url(), 'the page after the link is not the site');
  const [cookie] = await page.context().cookies(preview.site);
  report.expect(cookie?.httpOnly && cookie?.sameSite === 'Strict', 'the cookie', `is ${JSON.stringify(cookie)}`);
  report.expect((await page.evaluate(() => document.cookie)) === '', 'the cookie', 'can be read by a script');
  // The same window may go on to the book, and to a link that was used before.
  for (const [url, words] of [[preview.book, 'keeper'], [preview.used, '']]) {
    await page.goto(url, { waitUntil: 'load' });
    await page.waitForURL(new URL('/', url).href);
    report.expect((await page.content()).includes(words), url, 'is not shown');
    report.saw('pages opened');
  }
  await page.shut();
  for (const url of [preview.site, preview.book, preview.used, preview.next]) {
    const stranger = await browser.open(url, { stranger: true });
    report.expect(stranger.answer.status() === 403, url, `answers a stranger with ${stranger.answer.status()}`);
    report.expect((await stranger.content()).includes("keeper's terminal"), url, 'does not say why');
    report.saw('strangers turned away');
    await stranger.shut();
  }
}
