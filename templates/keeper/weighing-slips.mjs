// Slips of the pen in the weigh-ins of one litter, as the program itself looks for them (src/husbandry/slips.rs tells why).
//
// In: lines, one for each puppy, of marks { weighIn, days, grams } in the order of time; the model, the program's numbers by their names there. Out: slips. Pure functions. Judges hold them
// against the program on random litters, finding by finding, and change each number: none of them stands here.

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

/** How much likelier a mark at its forecast is than one `z` deviations away, as a logarithm: Student's t. */
function tails(freedom, z) {
  return ((freedom + 1) / 2) * Math.log1p((z * z) / freedom);
}

function surprise(model, z) {
  return tails(model.curve.freedom, z);
}

function usualRate({ usual_rates: rates, later_rate: later }, days) {
  return rates.find(([until]) => days < until)?.[1] ?? later;
}

function wanderBetween({ wander, first_wander: firstWander, first }, one, other) {
  const within = Math.max(Math.min(Math.max(one, other), first) - Math.max(Math.min(one, other), 0), 0);
  return wander * Math.abs(one - other) + firstWander * within;
}

// --- Curves ------------------------------------------------------------------------------------------------------------------------------

/** All marks of a litter, line after line. */
function curvesOf(lines, model) {
  const curves = { model, starts: [0], days: [], log: [], grams: [], weighIn: [], sound: [], lineOf: [], groups: [] };
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
  const { curve } = curves.model;
  const { scatter, each_side: eachSide } = curve;
  const here = curves.days[mark];
  const rate = usualRate(curve, here);
  let [weight, x, xx, y, xy] = [0, 0, 1 / (curve.rate_spread * curve.rate_spread), 0, 0];
  const take = (other) => {
    const gap = curves.days[other] - here;
    const drift = wanderBetween(curve, here, curves.days[other]);
    const w = 1 / (scatter * scatter + drift * drift);
    const value = curves.log[other] - rate * gap;
    weight += w;
    x += w * gap;
    xx += w * gap * gap;
    y += w * value;
    xy += w * gap * value;
    return Math.abs(gap);
  };
  let [before, after, gapBefore, gapAfter] = [0, 0, Infinity, Infinity];
  for (let other = mark - 1; other >= curves.starts[line] && before < eachSide; other -= 1) {
    if (!curves.sound[other]) continue;
    gapBefore = Math.min(gapBefore, take(other));
    before += 1;
  }
  for (let other = mark + 1; other < curves.starts[line + 1] && after < eachSide; other += 1) {
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
  const sd = Math.sqrt(scatter * scatter + xx / determinant + (curve.wander * gap) * (curve.wander * gap));
  if (!Number.isFinite(log) || !Number.isFinite(sd)) return null;
  return { log, sd, marks: before + after, bothSides: before > 0 && after > 0 };
}

// --- What a weight may have been before it was written --------------------------------------------------------------------------------------

/** Every weight that one usual slip turns into this one. */
function explanations({ factors, extra_digit: extraDigit, transposed, left_out: leftOut, too_heavy: tooHeavy, whole: near }, grams) {
  const log = Math.log(grams);
  const out = factors.map(({ factor, share, words }) => ({ log: log + Math.log(factor), share, kind: { words } }));
  const whole = Math.round(grams);
  if (Math.abs(grams - whole) > near || whole < 1 || whole >= tooHeavy) return out;
  const digits = [...String(whole)];
  const put = (text, { share, words }, digits = true) => {
    if (text !== '' && text[0] !== '0') out.push({ log: Math.log(Number(text)), share, kind: { words, digits } });
  };
  for (let place = 0; place < digits.length; place += 1) put(digits.filter((_, index) => index !== place).join(''), extraDigit, false);
  for (let place = 1; place < digits.length; place += 1) {
    if (digits[place] === digits[place - 1]) continue;
    const swapped = [...digits];
    [swapped[place - 1], swapped[place]] = [swapped[place], swapped[place - 1]];
    put(swapped.join(''), transposed);
  }
  for (let place = 0; place <= digits.length; place += 1) {
    for (let digit = 0; digit < 10; digit += 1) put([...digits.slice(0, place), digit, ...digits.slice(place)].join(''), leftOut);
  }
  return out;
}

// --- Weights that no puppy can have -----------------------------------------------------------------------------------------------------------

/** How far a change lies beyond what a puppy could gain or lose. */
function beyond(model, from, to, change) {
  const days = Math.abs(to - from);
  return Math.max(Math.abs(change - usualRate(model.curve, to) * days) - model.value.biology * days, 0);
}

/** Whether a weight moves faster between two ages than a puppy could: `ratio` is the later over the earlier weight. */
export function isTooFast(model, from, to, ratio) {
  return beyond(model, from, to, Math.log(ratio)) > model.value.beyond;
}

function farOff({ value: { least_off: [most, least], far } }, off, sd) {
  return !(off >= least && off < most) && Math.abs(off) >= far * sd;
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

/** How far a line moves between two of its marks beyond what a puppy could. */
function jump(curves, from, to, log = curves.log[to]) {
  return beyond(curves.model, curves.days[from], curves.days[to], log - curves.log[from]);
}

/** Whether a weight of these moves faster than a puppy could, or a single weight is far from those of the littermates. */
function suspicious(curves, line, marks) {
  const { value } = curves.model;
  if (marks.some((mark, at) => at > 0 && jump(curves, marks[at - 1], mark) > value.beyond)) return true;
  if (marks.length !== 1) return false;
  const usual = severalLittermates(curves, line, marks[0]);
  return usual !== null && Math.abs(curves.log[marks[0]] - usual) > value.far * value.litter_spread;
}

/** The weight as written, and those explanations that come near a written weight close by or near the littermates. */
function choicesAt(curves, marks, at, usual) {
  const { explain, value } = curves.model;
  const mark = marks[at];
  const nearby = marks.slice(Math.max(at - value.nearby, 0), at + value.nearby + 1).filter((other) => other !== mark);
  const likely = (log) => (usual !== null && Math.abs(log - usual) < value.litter_reach * value.litter_spread)
    || nearby.some((other) => !(jump(curves, other, mark, log) > value.beyond));
  return [curves.log[mark], ...explanations(explain, curves.grams[mark]).map((each) => each.log).filter(likely)];
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
  const { value } = curves.model;
  const share = marks.length === 1 ? 1 : value.litter_share;
  const fits = (at, choice) => {
    // Where nothing else tells two weights apart, the newest is doubted.
    let cost = at + 1 === marks.length ? value.cost - value.newest : value.cost;
    if (choice === 0) cost = 0;
    const near = usual[at] === null ? 0 : -share * surprise(curves.model, (choices[at][choice] - usual[at]) / value.litter_spread);
    return near - cost;
  };
  const step = (at, change) => tails(value.jump_freedom, beyond(curves.model, curves.days[marks[at - 1]], curves.days[marks[at]], change) / value.jump);
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
  const { model, model: { explain, value } } = curves;
  const around = forecast(curves, line, mark);
  const expected = around ? around.log : severalLittermates(curves, line, mark);
  if (expected === null) return null;
  const sd = around ? around.sd : value.litter_spread;
  const off = written - expected;
  if (!farOff(model, off, sd)) return null;
  const miss = (each) => (each.log - expected) / sd;
  const worth = (each) => Math.log(each.share) - (miss(each) * miss(each)) / 2;
  const near = clamp(Math.abs(off) / sd / value.far, ...value.near);
  let best = null;
  // Of equals the last, as the program takes them.
  for (const each of explanations(explain, curves.grams[mark])) if (Math.abs(miss(each)) <= near && (best === null || worth(each) >= worth(best))) best = each;
  if (best === null) return null;
  const gain = surprise(model, off / sd) - surprise(model, miss(best));
  return gain >= value.least_gain ? { mark, likely: best.log, kind: best.kind, gain } : null;
}

/** Whether a mark, as now read, cannot belong to its neighbours, while these belong to each other. */
function standsApart(curves, marks, at) {
  const last = marks.length - 1;
  const apart = (from, to) => jump(curves, marks[from], marks[to]) > curves.model.value.apart;
  if (last < 2) return false;
  if (at === 0) return apart(0, 1) && !apart(1, 2);
  if (at === last) return apart(at - 1, at) && !apart(at - 2, at - 1);
  return apart(at - 1, at) && apart(at, at + 1) && !apart(at - 1, at + 1);
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
      if (Math.abs(taken[at] - written[at]) > curves.model.value.apart) leftOut.push(mark);
    });
    marks.forEach((mark, at) => { if (standsApart(curves, marks, at)) leftOut.push(mark); });
    marks.forEach((mark, at) => { curves.log[mark] = written[at]; });
  }
  for (const mark of leftOut) curves.sound[mark] = false;
  return found;
}

// --- Two puppies exchanged ------------------------------------------------------------------------------------------------------------------

/** Every mark against its forecast, what all puppies of a weigh-in share taken out; and how much this litter scatters against the usual. */
function judge(curves) {
  const { normal, scale: [least, most], seen_before: before } = curves.model.exchange;
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
    const seen = clamp(normal * z[z.length >> 1], least, most);
    scale = Math.sqrt((seen * seen * z.length + before) / (z.length + before));
  }
  for (const one of judged) one.sd *= scale;
  return { judged, scale };
}

/** Logarithm of how many times likelier two weights are exchanged than as written; nothing unless each fits its new curve better. */
function gainOf(curves, judged, a, b) {
  const { model, model: { exchange } } = curves;
  const apart = curves.log[b] - curves.log[a];
  const now = [judged[a].off / judged[a].sd, judged[b].off / judged[b].sd];
  const then = [(judged[a].off + apart) / judged[a].sd, (judged[b].off - apart) / judged[b].sd];
  const fits = (side) => Math.abs(then[side]) < Math.abs(now[side]) && Math.abs(then[side]) <= Math.max(exchange.fits, Math.abs(now[side]) * exchange.fits_part);
  if (!fits(0) || !fits(1) || curves.lineOf[a] === curves.lineOf[b]) return null;
  return surprise(model, now[0]) + surprise(model, now[1]) - surprise(model, then[0]) - surprise(model, then[1]);
}

function passing(curves, judged, lines, settled) {
  const { exchange } = curves.model;
  const between = Math.log(lines * exchange.between);
  const atAnEnd = Math.log(Math.max(lines * exchange.at_an_end, exchange.least));
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
      if (around) rough += surprise(curves.model, (curves.log[mark] - around.log - judgement.judged[mark].shared) / (around.sd * judgement.scale));
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
    if (best === null || rough <= best.rough + curves.model.exchange.equal) best = { rough, each };
  }
  return best.each;
}

/** All exchanges; the curves hold them put right. */
function exchanges(curves, lines) {
  const slips = [];
  const marks = new Set();
  while (lines >= 2 && slips.length < curves.model.exchange.most) {
    const judgement = judge(curves);
    const best = bestExchange(curves, judgement, passing(curves, judgement.judged, lines, marks));
    if (best === null) break;
    const [a, b] = best.marks;
    swapLogs(curves, a, b);
    [curves.sound[a], curves.sound[b]] = [true, true];
    marks.add(a).add(b);
    slips.push({ what: 'exchanged', weighIn: curves.weighIn[a], lines: linesOf(curves, [a, b]), timesLikelier: Math.min(Math.exp(best.gain), curves.model.most_likelier) });
  }
  slips.sort((a, b) => a.weighIn - b.weighIn || a.lines[0] - b.lines[0] || a.lines[1] - b.lines[1]);
  return { slips, marks };
}

/** Whether a mark still lies far off now that exchanges are put right. */
function stillOff(curves, mark) {
  const around = forecast(curves, curves.lineOf[mark], mark);
  return around === null || farOff(curves.model, curves.log[mark] - around.log, around.sd);
}

/** All slips of one litter: exchanges first, then single weights. */
export function slips(lines, model) {
  const curves = curvesOf(lines, model);
  const values = valueSlips(curves, lines.length);
  const exchanged = exchanges(curves, lines.length);
  const touched = new Set([...exchanged.marks].map((mark) => curves.lineOf[mark]));
  const stay = values.filter((at) => !exchanged.marks.has(at.mark) && (!touched.has(curves.lineOf[at.mark]) || stillOff(curves, at.mark)));
  const single = stay.map(({ mark, likely, kind, gain }) => {
    const line = curves.lineOf[mark];
    return { what: 'value', line, mark: mark - curves.starts[line], likelyGrams: Math.exp(likely), kind, timesLikelier: Math.min(Math.exp(gain), model.most_likelier) };
  });
  return [...exchanged.slips, ...single];
}
