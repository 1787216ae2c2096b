// A real browser opens the desk with its link, once; a window that did not sees nothing, and no script can read what opened it.

export const name = 'the link opens the desk in one browser, once, and in no other';

export async function check({ browser, desk }, report) {
  const page = await browser.open(desk.next, { stranger: true });
  await page.waitForURL(desk.book);
  report.expect((await page.title()) !== 'Desk', page.url(), 'the page after the link is not the book');
  const [cookie] = await page.context().cookies(desk.site);
  report.expect(cookie?.httpOnly && cookie?.sameSite === 'Strict', 'the cookie', `is ${JSON.stringify(cookie)}`);
  report.expect((await page.evaluate(() => document.cookie)) === '', 'the cookie', 'can be read by a script');
  // The same window may go on to the book, and to a link that was used before.
  for (const [url, words] of [[desk.book, 'keeper'], [desk.used, '']]) {
    await page.goto(url, { waitUntil: 'load' });
    await page.waitForURL(new URL('/', url).href);
    report.expect((await page.content()).includes(words), url, 'is not shown');
    report.saw('pages opened');
  }
  await page.shut();
  for (const url of [desk.site, desk.book, desk.used, desk.next]) {
    const stranger = await browser.open(url, { stranger: true });
    report.expect(stranger.answer.status() === 403, url, `answers a stranger with ${stranger.answer.status()}`);
    report.expect((await stranger.content()).includes("keeper's terminal"), url, 'does not say why');
    report.saw('strangers turned away');
    await stranger.shut();
  }
}
