// On a small phone the first days stand within the first two screens: food, vet, chip, and when to call a vet.

export const name = 'the first days of a family stand within two screens of a small phone';

const PHONE = { width: 360, height: 740 };
const SCREENS = 2;

export async function check(site, report) {
  for (const sealed of site.pages) {
    const page = await site.browser.open(site.file(sealed.page), { viewport: PHONE });
    try {
      await site.type(page, sealed.code);
      await site.opened(page);
      await page.evaluate(() => Promise.all([...document.images].map((image) => image.decode().catch(() => {}))));
      const { top, bottom, whole, labels } = await page.evaluate(() => {
        const card = document.querySelector('#part_first');
        const { top, bottom } = card.getBoundingClientRect();
        return { top: top + scrollY, bottom: bottom + scrollY, whole: document.documentElement.scrollHeight, labels: [...card.querySelectorAll('dt')].map((label) => label.innerText) };
      });
      report.expect(labels.length >= 4, sealed.name, `has only ${labels.join(', ')}`);
      report.expect(bottom <= SCREENS * PHONE.height, sealed.name, `has its first days from ${Math.round(top)} to ${Math.round(bottom)} px of ${whole}, two screens are ${SCREENS * PHONE.height}`);
      report.saw('px to the end of the first days', Math.round(bottom));
      report.saw('pages', 1);
    } finally {
      await page.shut();
    }
  }
}
