// The paper twin: one page across on A4 and on Letter, with a row for every puppy that may come and every field that the phone asks for.

import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import path from 'node:path';

export const name = 'the paper twin prints on one page, with every field';

// ISO 216 and ANSI/ASME Y14.1, in points, across.
const SHEETS = { A4: [841.9, 595.3], Letter: [792, 612] };
const FIELDS = ['Born at', 'Horn', 'Sex', 'Ribbon', 'Colour', 'Weight', 'First breath', 'Palate', 'Placenta', 'Vigour', 'Newborn checks', 'stillborn', 'remarks', 'Began at', 'Placentas counted', 'Incisions', 'Adhesions', 'natural', 'emergency section', 'Northgate Vets', '+44 1632 960418', 'Call the vet'];

export async function check(kennel, report) {
  const browser = await kennel.browser();
  for (const [what, file] of [['winter', kennel.sheet], ['blank', kennel.blank], ['twelve', kennel.blank]]) {
    const page = await kennel.open(file, '2026-11-08T09:00:00Z', { browser, scheme: 'dark' });
    // What is on the screen is not on the paper, whatever state it is in.
    await page.tap('how-natural', 'born');
    // As many rows as a sheet can have, laid out as the program does for so many.
    if (what === 'twelve') {
      await page.evaluate(() => {
        document.querySelector('.twin').classList.remove('few');
        const rows = document.querySelector('.twin tbody');
        for (let row = rows.rows.length + 1; row <= 12; row += 1) {
          rows.append(rows.rows[0].cloneNode(true));
          rows.lastElementChild.firstElementChild.textContent = row;
        }
      });
    }
    for (const [format, [width, height]] of Object.entries(SHEETS)) {
      const pdf = path.join(kennel.work, `${what}-${format}.pdf`);
      writeFileSync(pdf, await page.pdf({ format, preferCSSPageSize: format === 'A4', landscape: true, printBackground: false }));
      const info = execFileSync('pdfinfo', [pdf], { encoding: 'utf8' });
      report.expect(/^Pages: +1$/m.test(info), `${what} on ${format}`, `prints on ${/^Pages: +(\d+)$/m.exec(info)?.[1]} pages`);
      const [, across, down] = /Page size: +([\d.]+) x ([\d.]+)/.exec(info);
      report.expect(format === 'A4' || (Math.abs(across - width) < 1 && Math.abs(down - height) < 1), `${what} on ${format}`, `is ${across} by ${down} points`);
      report.expect(Number(across) > Number(down), `${what} on ${format}`, 'is not across');
      const text = execFileSync('pdftotext', ['-layout', pdf, '-'], { encoding: 'utf8' });
      const words = execFileSync('pdftotext', ['-raw', pdf, '-'], { encoding: 'utf8' }).replaceAll(/\s+/g, ' ');
      for (const field of FIELDS) report.expect(words.includes(field), `${what} on ${format}`, `does not ask for ${field}`);
      const rows = text.split('\n').filter((line) => /^\s*\d{1,2}\s*$/.test(line)).length;
      report.expect(rows === (what === 'twelve' ? 12 : 8), `${what} on ${format}`, `has ${rows} rows`);
      report.expect(!/Born now|Undo|Breathing now/.test(text), `${what} on ${format}`, 'prints its buttons');
      execFileSync('pdftoppm', ['-r', '80', '-png', '-singlefile', pdf, path.join(kennel.screens, `whelping-paper-${what}-${format}`)]);
      report.saw('sheets of paper');
    }
    await page.shut();
  }
}
