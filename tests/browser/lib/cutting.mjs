// A line between a phone and the desk that is cut at random, the same way each time.

/** A generator that can be repeated (mulberry32). */
export function dice(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Cuts the line of a page: some requests never arrive, of some the answer is lost; of each while the page `isDeaf`. All bytes that go by are kept. */
export async function cutting(page, random, wire, cuts) {
  page.isCut = true;
  page.lost = 0;
  await page.route(/\/(say|run)$/, async (route) => {
    const request = route.request();
    wire.push(request.postDataBuffer() ?? Buffer.from(request.url()));
    const luck = random();
    if (page.isCut && luck < 0.25) {
      cuts.before += 1;
      return route.abort();
    }
    const answer = await route.fetch().catch(() => null);
    if (!answer) return route.abort();
    wire.push(await answer.body());
    if (page.isDeaf || page.isCut && luck < 0.45) {
      cuts.after += 1;
      page.lost += 1;
      return route.abort();
    }
    return route.fulfill({ response: answer });
  });
}
