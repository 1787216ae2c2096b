// Screenshots for people to look at. They judge nothing and cost time, so that they are taken only where they are asked for (`--look`).

let wanted = false;

/** Whether screenshots are taken from now on. */
export function wantScreens(want) {
  wanted = want;
}

/** Takes a screenshot into `file`: of the whole page, or with `fullPage: false` of what stands in the window. */
export async function screen(page, file, { fullPage = true } = {}) {
  if (wanted) await page.screenshot({ path: file, fullPage });
}
