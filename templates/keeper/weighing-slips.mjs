// Slips of the pen in the weigh-ins of one litter, as the program itself looks for them (src/husbandry/slips.rs tells why).
//
// In: lines, one for each puppy, of marks { weighIn, days, grams } in the order of time. Out: slips. Pure functions; a judge holds them against the
// program on thousands of random litters, finding by finding. What is changed there has to be changed here.

const SCATTER = 0.025;
const WANDER = 0.02;
const FIRST_WANDER = 0.03;
const FIRST = 1.5;
const RATE_SPREAD = 0.04;
const EACH_SIDE = 5;
const MOST_LIKELIER = 1e9;

const OUNCE = 28.349523125;
const POUND = 453.59237;

/** The median of some numbers; nothing when there are none. */
function middleOf(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  if (sorted.length === 0) return null;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

function clamp(value, least, most) {
  return Math.min(Math.max(value, least), most);
}

/** How much likelier a mark at its forecast is than one `z` deviations away, as a logarithm. */
function surprise(z) {
  return 4.5 * Math.log1p((z * z) / 8);
}

function usualRate(days) {
  if (days < 7) return 0.065;
  return days < 28 ? 0.047 : 0.025;
}

function wander(one, other) {
  const first = Math.max(Math.min(Math.max(one, other), FIRST) - Math.max(Math.min(one, other), 0), 0);
  return WANDER * Math.abs(one - other) + FIRST_WANDER * first;
}

// --- Curves ------------------------------------------------------------------------------------------------------------------------------

/** All marks of a litter, line after line. */
function curvesOf(lines) {
  const curves = { starts: [0], days: [], log: [], grams: [], weighIn: [], sound: [], lineOf: [], groups: [] };
  const usable = [];
  lines.forEach((line, index) => {
    for (const mark of line) {
      const sound = Number.isFinite(mark.days) && Number.isFinite(mark.grams) && mark.grams > 0;
      if (sound) usable.push(curves.days.length);
      curves.days.push(mark.days);
      curves.log.push(sound ? Math.log(mark.grams) : 0);
      curves.grams.push(mark.grams);
      curves.weighIn.push(mark.weighIn);
      curves.sound.push(sound);
      curves.lineOf.push(index);
    }
    curves.starts.push(curves.days.length);
  });
  usable.sort((a, b) => curves.weighIn[a] - curves.weighIn[b]);
  for (const mark of usable) {
    const last = curves.groups.at(-1);
    if (last && curves.weighIn[last[0]] === curves.weighIn[mark]) last.push(mark);
    else curves.groups.push([mark]);
  }
  curves.groupOf = new Map(curves.groups.map((group) => [curves.weighIn[group[0]], group]));
  return curves;
}

function marksOf(curves, line) {
  return Array.from({ length: curves.starts[line + 1] - curves.starts[line] }, (_, at) => curves.starts[line] + at);
}

/** What a mark of a line should be, from the sound marks around it; nothing when there is none. */
function forecast(curves, line, mark) {
  const here = curves.days[mark];
  const rate = usualRate(here);
  let [weight, x, xx, y, xy] = [0, 0, 1 / (RATE_SPREAD * RATE_SPREAD), 0, 0];
  const take = (other) => {
    const gap = curves.days[other] - here;
    const drift = wander(here, curves.days[other]);
    const w = 1 / (SCATTER * SCATTER + drift * drift);
    const value = curves.log[other] - rate * gap;
    weight += w;
    x += w * gap;
    xx += w * gap * gap;
    y += w * value;
    xy += w * gap * value;
    return Math.abs(gap);
  };
  let [before, after, gapBefore, gapAfter] = [0, 0, Infinity, Infinity];
  for (let other = mark - 1; other >= curves.starts[line] && before < EACH_SIDE; other -= 1) {
    if (!curves.sound[other]) continue;
    gapBefore = Math.min(gapBefore, take(other));
    before += 1;
  }
  for (let other = mark + 1; other < curves.starts[line + 1] && after < EACH_SIDE; other += 1) {
    if (!curves.sound[other]) continue;
    gapAfter = Math.min(gapAfter, take(other));
    after += 1;
  }
  if (before + after === 0) return null;
  let gap = (gapBefore * gapAfter) / Math.max(gapBefore + gapAfter, Number.MIN_VALUE);
  if (before === 0) gap = gapAfter;
  else if (after === 0) gap = gapBefore;
  const determinant = weight * xx - x * x;
  if (!(determinant > 0)) return null;
  const log = (xx * y - x * xy) / determinant;
  const sd = Math.sqrt(SCATTER * SCATTER + xx / determinant + (WANDER * gap) * (WANDER * gap));
  if (!Number.isFinite(log) || !Number.isFinite(sd)) return null;
  return { log, sd, marks: before + after, bothSides: before > 0 && after > 0 };
}

// --- What a weight may have been before it was written --------------------------------------------------------------------------------------

const MANY = { name: 'many', words: 'a digit too many, or the decimal point slipped?' };
const FEW = { name: 'few', words: 'a digit too few, or the decimal point slipped?' };
const LEFT_OUT = { name: 'left-out', words: 'a digit left out?', digits: true };
const TRANSPOSED = { name: 'transposed', words: 'two digits changed places?', digits: true };
const unitKind = (written, meant) => ({ name: `${meant} as ${written}`, words: `${meant} written as ${written}?` });

const FACTORS = [
  [0.1, MANY, 1],
  [0.01, MANY, 0.3],
  [10, FEW, 1],
  [100, FEW, 0.3],
  [OUNCE, unitKind('grams', 'ounces'), 1],
  [1 / OUNCE, unitKind('ounces', 'grams'), 1],
  [POUND / 1000, unitKind('kilograms', 'pounds'), 0.3],
  [1000 / POUND, unitKind('pounds', 'kilograms'), 0.3],
  [1000, unitKind('grams', 'kilograms'), 0.3],
  [0.001, unitKind('kilograms', 'grams'), 0.3],
  [16, unitKind('ounces', 'pounds'), 0.1],
  [1 / 16, unitKind('pounds', 'ounces'), 0.1],
  [POUND, unitKind('grams', 'pounds'), 0.1],
  [1 / POUND, unitKind('pounds', 'grams'), 0.1],
];

/** Every weight that one usual slip turns into this one. */
function explanations(grams) {
  const log = Math.log(grams);
  const out = FACTORS.map(([factor, kind, share]) => ({ log: log + Math.log(factor), kind, share }));
  const whole = Math.round(grams);
  if (Math.abs(grams - whole) > 1e-6 || whole < 1 || whole >= 100000) return out;
  const digits = [...String(whole)];
  const put = (text, kind, share) => {
    if (text !== '' && text[0] !== '0') out.push({ log: Math.log(Number(text)), kind, share });
  };
  for (let place = 0; place < digits.length; place += 1) put(digits.filter((_, index) => index !== place).join(''), MANY, 0.1);
  for (let place = 1; place < digits.length; place += 1) {
    if (digits[place] === digits[place - 1]) continue;
    const swapped = [...digits];
    [swapped[place - 1], swapped[place]] = [swapped[place], swapped[place - 1]];
    put(swapped.join(''), TRANSPOSED, 0.2);
  }
  for (let place = 0; place <= digits.length; place += 1) {
    for (let digit = 0; digit < 10; digit += 1) put([...digits.slice(0, place), digit, ...digits.slice(place)].join(''), LEFT_OUT, 0.02);
  }
  return out;
}

// --- Weights that no puppy can have -----------------------------------------------------------------------------------------------------------

const BIOLOGY = 0.10;
const BEYOND = 0.20;
const JUMP = 0.045;
const APART = 0.693;
const COST = 5;
const LEAST_OFF = [0.262364264467491, -0.356674943938732];
const FAR = 6;
const NEAR = [2.5, 4];
const LEAST_GAIN = 6.907755278982137;
const LITTER_SPREAD = 0.35;
const LITTER_SHARE = 0.5;
const NEARBY = 3;

/** How far a change lies beyond what a puppy could gain or lose. */
function beyond(from, to, change) {
  const days = Math.abs(to - from);
  return Math.max(Math.abs(change - usualRate(to) * days) - BIOLOGY * days, 0);
}

/** Whether a weight moves faster between two ages than a puppy could: `ratio` is the later over the earlier weight. */
export function isTooFast(from, to, ratio) {
  return beyond(from, to, Math.log(ratio)) > BEYOND;
}

function farOff(off, sd) {
  return !(off >= LEAST_OFF[1] && off < LEAST_OFF[0]) && Math.abs(off) >= FAR * sd;
}

/** Logarithm of the median weight of the others in the same weigh-in, and how many they are. */
function littermates(curves, line, mark) {
  const others = (curves.groupOf.get(curves.weighIn[mark]) ?? []).filter((other) => curves.lineOf[other] !== line);
  const log = middleOf(others.map((other) => curves.log[other]));
  return log === null ? null : { log, count: others.length };
}

function severalLittermates(curves, line, mark) {
  const found = littermates(curves, line, mark);
  return found && found.count > 1 ? found.log : null;
}

function jumpsBeyond(curves, from, to) {
  return beyond(curves.days[from], curves.days[to], curves.log[to] - curves.log[from]) > BEYOND;
}

/** Whether a weight of these moves faster than a puppy could, or a single weight is far from those of the littermates. */
function suspicious(curves, line, marks) {
  if (marks.some((mark, at) => at > 0 && jumpsBeyond(curves, marks[at - 1], mark))) return true;
  if (marks.length !== 1) return false;
  const usual = severalLittermates(curves, line, marks[0]);
  return usual !== null && Math.abs(curves.log[marks[0]] - usual) > FAR * LITTER_SPREAD;
}

/** The weight as written, and those explanations that come near a written weight close by or near the littermates. */
function choicesAt(curves, marks, at, usual) {
  const mark = marks[at];
  const nearby = marks.slice(Math.max(at - NEARBY, 0), at + NEARBY + 1).filter((other) => other !== mark);
  const likely = (log) => (usual !== null && Math.abs(log - usual) < 2 * LITTER_SPREAD)
    || nearby.some((other) => !(beyond(curves.days[other], curves.days[mark], log - curves.log[other]) > BEYOND));
  return [curves.log[mark], ...explanations(curves.grams[mark]).map((each) => each.log).filter(likely)];
}

/** The first highest of some scores and where it stands. */
function highest(scores) {
  let best = [0, -Infinity];
  scores.forEach((score, index) => { if (score > best[1]) best = [index, score]; });
  return best;
}

/** The likeliest reading of one line: the logarithm that is taken for each of its marks. */
function readingOf(curves, line, marks) {
  const usual = marks.map((mark) => littermates(curves, line, mark)?.log ?? null);
  const choices = marks.map((_, at) => choicesAt(curves, marks, at, usual[at]));
  const share = marks.length === 1 ? 1 : LITTER_SHARE;
  const fits = (at, choice) => {
    // Where nothing else tells two weights apart, the newest is doubted.
    let cost = at + 1 === marks.length ? COST - 0.01 : COST;
    if (choice === 0) cost = 0;
    const near = usual[at] === null ? 0 : -share * surprise((choices[at][choice] - usual[at]) / LITTER_SPREAD);
    return near - cost;
  };
  const step = (at, change) => {
    const z = beyond(curves.days[marks[at - 1]], curves.days[marks[at]], change) / JUMP;
    return 2 * Math.log1p((z * z) / 3);
  };
  let scores = (choices[0] ?? []).map((_, choice) => fits(0, choice));
  const cameFrom = [];
  for (let at = 1; at < choices.length; at += 1) {
    const origins = [];
    const next = choices[at].map((log, choice) => {
      const [origin, score] = highest(choices[at - 1].map((earlier, index) => scores[index] - step(at, log - earlier)));
      origins.push(origin);
      return score + fits(at, choice);
    });
    scores = next;
    cameFrom.push(origins);
  }
  let choice = highest(scores)[0];
  const taken = [];
  for (let at = choices.length - 1; at >= 0; at -= 1) {
    taken.unshift(choices[at][choice]);
    if (at > 0) choice = cameFrom[at - 1][choice];
  }
  return taken;
}

/** A slip in one weight of a line, if the forecast from all others agrees. */
function reportAt(curves, line, mark, written) {
  const around = forecast(curves, line, mark);
  const expected = around ? around.log : severalLittermates(curves, line, mark);
  if (expected === null) return null;
  const sd = around ? around.sd : LITTER_SPREAD;
  const off = written - expected;
  if (!farOff(off, sd)) return null;
  const miss = (each) => (each.log - expected) / sd;
  const worth = (each) => Math.log(each.share) - (miss(each) * miss(each)) / 2;
  const near = clamp(Math.abs(off) / sd / FAR, NEAR[0], NEAR[1]);
  let best = null;
  // Of equals the last, as the program takes them.
  for (const each of explanations(curves.grams[mark])) if (Math.abs(miss(each)) <= near && (best === null || worth(each) >= worth(best))) best = each;
  if (best === null) return null;
  const gain = surprise(off / sd) - surprise(miss(best));
  return gain >= LEAST_GAIN ? { mark, likely: best.log, kind: best.kind, gain } : null;
}

/** Whether a mark, as now read, cannot belong to its neighbours, while these belong to each other. */
function standsApart(curves, marks, at) {
  const last = marks.length - 1;
  const jump = (from, to) => beyond(curves.days[marks[from]], curves.days[marks[to]], curves.log[marks[to]] - curves.log[marks[from]]) > APART;
  if (last < 2) return false;
  if (at === 0) return jump(0, 1) && !jump(1, 2);
  if (at === last) return jump(at - 1, at) && !jump(at - 2, at - 1);
  return jump(at - 1, at) && jump(at, at + 1) && !jump(at - 1, at + 1);
}

/** All slips in values; they and other marks that stand apart are left out of the curves. */
function valueSlips(curves, lines) {
  const found = [];
  const leftOut = [];
  for (let line = 0; line < lines; line += 1) {
    const marks = marksOf(curves, line).filter((mark) => curves.sound[mark]);
    if (!suspicious(curves, line, marks)) continue;
    const taken = readingOf(curves, line, marks);
    const written = marks.map((mark) => curves.log[mark]);
    marks.forEach((mark, at) => { curves.log[mark] = taken[at]; });
    marks.forEach((mark, at) => {
      if (!(Math.abs(taken[at] - written[at]) > 0)) return;
      const slip = reportAt(curves, line, mark, written[at]);
      if (slip === null) {
        curves.log[mark] = written[at];
        return;
      }
      found.push(slip);
      if (Math.abs(taken[at] - written[at]) > APART) leftOut.push(mark);
    });
    marks.forEach((mark, at) => { if (standsApart(curves, marks, at)) leftOut.push(mark); });
    marks.forEach((mark, at) => { curves.log[mark] = written[at]; });
  }
  for (const mark of leftOut) curves.sound[mark] = false;
  return found;
}

// --- Two puppies exchanged ------------------------------------------------------------------------------------------------------------------

const LEAST = 1000;
const BETWEEN = 2000;
const AT_AN_END = 400;
const FITS = 3;
const FITS_PART = 0.5;
const MOST = 40;
const SEEN_BEFORE = 40;
const SCALE = [0.7, 2.5];
const EQUAL = 0.7;
const NORMAL = 1.482602218505602;

/** Every mark against its forecast, what all puppies of a weigh-in share taken out; and how much this litter scatters against the usual. */
function judge(curves) {
  const judged = curves.days.map((_, mark) => {
    const around = forecast(curves, curves.lineOf[mark], mark);
    if (!around) return { off: 0, shared: 0, sd: Infinity, marks: 0, bothSides: false };
    return { off: curves.log[mark] - around.log, shared: 0, sd: around.sd, marks: around.marks, bothSides: around.bothSides };
  });
  for (const group of curves.groups) {
    const offs = group.filter((mark) => judged[mark].marks > 0).map((mark) => judged[mark].off);
    const shared = offs.length < 2 ? 0 : middleOf([...offs, 0]);
    for (const mark of group) {
      judged[mark].off -= shared;
      judged[mark].shared = shared;
    }
  }
  const z = judged.filter((one, mark) => curves.sound[mark] && one.marks > 1).map((one) => Math.abs(one.off / one.sd)).sort((a, b) => a - b);
  let scale = 1;
  if (z.length > 0) {
    const seen = clamp(NORMAL * z[z.length >> 1], SCALE[0], SCALE[1]);
    scale = Math.sqrt((seen * seen * z.length + SEEN_BEFORE) / (z.length + SEEN_BEFORE));
  }
  for (const one of judged) one.sd *= scale;
  return { judged, scale };
}

/** Logarithm of how many times likelier two weights are exchanged than as written; nothing unless each fits its new curve better. */
function gainOf(curves, judged, a, b) {
  const apart = curves.log[b] - curves.log[a];
  const now = [judged[a].off / judged[a].sd, judged[b].off / judged[b].sd];
  const then = [(judged[a].off + apart) / judged[a].sd, (judged[b].off - apart) / judged[b].sd];
  const fits = (side) => Math.abs(then[side]) < Math.abs(now[side]) && Math.abs(then[side]) <= Math.max(FITS, Math.abs(now[side]) * FITS_PART);
  if (!fits(0) || !fits(1) || curves.lineOf[a] === curves.lineOf[b]) return null;
  return surprise(now[0]) + surprise(now[1]) - surprise(then[0]) - surprise(then[1]);
}

function passing(curves, judged, lines, settled) {
  const between = Math.log(lines * BETWEEN);
  const atAnEnd = Math.log(Math.max(lines * AT_AN_END, LEAST));
  const odd = (mark) => Math.abs(judged[mark].off) > judged[mark].sd;
  const found = [];
  for (const group of curves.groups) {
    group.forEach((a, index) => {
      if (!odd(a)) return;
      for (const b of group.slice(index + 1)) {
        if (!odd(b) || !(judged[b].off * judged[a].off < 0)) continue;
        const gain = gainOf(curves, judged, a, b);
        const least = judged[a].bothSides && judged[b].bothSides ? between : atAnEnd;
        if (gain !== null && gain >= least && !settled.has(a) && !settled.has(b)) found.push({ marks: [a, b], gain });
      }
    });
  }
  return found;
}

function swapLogs(curves, a, b) {
  [curves.log[a], curves.log[b]] = [curves.log[b], curves.log[a]];
}

/** How badly the marks of two lines fit their forecasts once two of them are exchanged. */
function roughAfter(curves, judgement, lines, [a, b]) {
  swapLogs(curves, a, b);
  const sound = [curves.sound[a], curves.sound[b]];
  [curves.sound[a], curves.sound[b]] = [true, true];
  let rough = 0;
  for (const line of lines) {
    for (const mark of marksOf(curves, line)) {
      if (!curves.sound[mark]) continue;
      const around = forecast(curves, line, mark);
      if (around) rough += surprise((curves.log[mark] - around.log - judgement.judged[mark].shared) / (around.sd * judgement.scale));
    }
  }
  swapLogs(curves, a, b);
  [curves.sound[a], curves.sound[b]] = sound;
  return rough;
}

function linesOf(curves, [a, b]) {
  return [Math.min(curves.lineOf[a], curves.lineOf[b]), Math.max(curves.lineOf[a], curves.lineOf[b])];
}

/** The likeliest exchange: of all between the same two puppies the one after which both lines are smoothest, and of equals the latest. */
function bestExchange(curves, judgement, candidates) {
  let likeliest = null;
  for (const each of candidates) if (likeliest === null || each.gain >= likeliest.gain) likeliest = each;
  if (likeliest === null) return null;
  const lines = linesOf(curves, likeliest.marks);
  let best = null;
  for (const each of candidates) {
    const own = linesOf(curves, each.marks);
    if (own[0] !== lines[0] || own[1] !== lines[1]) continue;
    const rough = roughAfter(curves, judgement, lines, each.marks);
    if (best === null || rough <= best.rough + EQUAL) best = { rough, each };
  }
  return best.each;
}

/** All exchanges; the curves hold them put right. */
function exchanges(curves, lines) {
  const slips = [];
  const marks = new Set();
  while (lines >= 2 && slips.length < MOST) {
    const judgement = judge(curves);
    const best = bestExchange(curves, judgement, passing(curves, judgement.judged, lines, marks));
    if (best === null) break;
    const [a, b] = best.marks;
    swapLogs(curves, a, b);
    [curves.sound[a], curves.sound[b]] = [true, true];
    marks.add(a).add(b);
    slips.push({ what: 'exchanged', weighIn: curves.weighIn[a], lines: linesOf(curves, [a, b]), timesLikelier: Math.min(Math.exp(best.gain), MOST_LIKELIER) });
  }
  slips.sort((a, b) => a.weighIn - b.weighIn || a.lines[0] - b.lines[0] || a.lines[1] - b.lines[1]);
  return { slips, marks };
}

/** Whether a mark still lies far off now that exchanges are put right. */
function stillOff(curves, mark) {
  const around = forecast(curves, curves.lineOf[mark], mark);
  return around === null || farOff(curves.log[mark] - around.log, around.sd);
}

/** All slips of one litter: exchanges first, then single weights. */
export function slips(lines) {
  const curves = curvesOf(lines);
  const values = valueSlips(curves, lines.length);
  const exchanged = exchanges(curves, lines.length);
  const touched = new Set([...exchanged.marks].map((mark) => curves.lineOf[mark]));
  const stay = values.filter((at) => !exchanged.marks.has(at.mark) && (!touched.has(curves.lineOf[at.mark]) || stillOff(curves, at.mark)));
  const single = stay.map(({ mark, likely, kind, gain }) => {
    const line = curves.lineOf[mark];
    return { what: 'value', line, mark: mark - curves.starts[line], likelyGrams: Math.exp(likely), kind, timesLikelier: Math.min(Math.exp(gain), MOST_LIKELIER) };
  });
  return [...exchanged.slips, ...single];
}
