// What a whelping sheet says, as the birth part of `litter.yaml`: the same keys, the same words, times to the second on the kennel's wall.
'use strict';

const BirthFile = (() => {
  /** Names that mean something else in the records, or cannot be files everywhere. */
  const TAKEN = ['at', 'by', 'remark', 'unit', 'all', 'dam', 'sire', 'con', 'prn', 'aux', 'nul'];
  const { local, stamps, scalar, clean } = Sheet;

  /** The puppies in the order of their birth: [key, puppy]. */
  function inOrder(state) {
    return Object.entries(state.puppies).sort(([one, a], [other, b]) => a.born - b.born || one - other);
  }

  /** A name for the records from what was typed: `Fern Two` is `fern-two`. */
  const slug = (text) => text.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-').replaceAll(/^-+|-+$/g, '').slice(0, 60).replace(/-+$/, '');

  /** The name of each puppy in the records, by its key: what was typed, else what an earlier file said, else its ribbon, else its place. No two are the same. */
  function names(state) {
    const found = {};
    const used = new Set();
    const ordered = inOrder(state);
    // Names that were typed, and those that are in a file already, stay what they are; the rest give way.
    const strong = ordered.filter(([, puppy]) => slug(puppy.name ?? '') || puppy.id);
    for (const [key, puppy] of [...strong, ...ordered.filter((one) => !strong.includes(one))]) {
      const place = ordered.findIndex(([other]) => other === key) + 1;
      const wanted = slug(puppy.name ?? '') || puppy.id || puppy.ribbon || `puppy-${place}`;
      const free = TAKEN.includes(wanted) || /^(com|lpt)\d$/.test(wanted) ? `${wanted}-puppy` : wanted;
      let name = free;
      for (let count = 2; used.has(name); count += 1) name = `${free.slice(0, 56)}-${count}`;
      used.add(name);
      found[key] = name;
    }
    return found;
  }

  const isSection = (state) => /section/.test(state.how ?? '');
  const flow = (pairs) => `{ ${pairs.map(([key, value]) => `${key}: ${scalar(value)}`).join(', ')} }`;
  const said = (pairs) => pairs.filter(([, value]) => value !== undefined && value !== null && value !== '');
  const words = (text) => clean(text ?? '');

  /** A weight as the records want it: `212 g`, `7 3/4 oz`. */
  const weight = ({ typed, unit }) => `${typed.trim().replace(/^\./, '0.').replace(/^(\d\/)/, '$1').replace(/\.$/, '').replace(/^0+(?=\d)/, '')} ${unit}`;

  /** Which time round, for a time that the clocks showed twice that night. */
  function repeated(stamp, zone) {
    const { day, time } = local(stamp, zone);
    const both = stamps(day, time, zone);
    if (both.length < 2) return '';
    return `Born in the hour that the clocks showed twice, the ${stamp === both[0] ? 'first' : 'second'} time round.`;
  }

  function score(scoring) {
    const items = said(['heart', 'breathing', 'reflex', 'movement', 'gums'].map((item) => [item, scoring[item]]));
    return items.length === 0 ? null : flow([['at', `${scoring.at} min`], ...items]);
  }

  function puppyLines(puppy, name, order, on, { zone, checks }) {
    const { day, time } = local(puppy.born, zone);
    const stillborn = puppy.fate === 'stillborn';
    const remarks = [words(puppy.remarks), repeated(puppy.born, zone)].filter(Boolean).join(' ');
    const lines = said([
      ['id', name], ['name', words(puppy.name) && slug(puppy.name) !== words(puppy.name).toLowerCase() ? words(puppy.name) : ''],
      ['ribbon', puppy.ribbon], ['sex', puppy.sex], ['colour', words(puppy.colour)],
    ]).map(([key, value]) => `${key}: ${scalar(value)}`);
    lines.push(`born: "${day === on ? time : `${day} ${time}`}"`, `order: ${order}`);
    const more = said([
      ['horn', puppy.horn], ['weight', puppy.weight && weight(puppy.weight)], ['first_breath', stillborn || puppy.breath === undefined || puppy.breath === null ? '' : `${puppy.breath} s`],
      ['palate', puppy.palate], ['placenta', puppy.placenta],
    ]);
    lines.push(...more.map(([key, value]) => `${key}: ${scalar(value)}`));
    const scores = Object.values(puppy.vigour ?? {}).sort((a, b) => a.at - b.at).map(score).filter(Boolean);
    if (scores.length > 0) lines.push('vigour:', ...scores.map((one) => `  - ${one}`));
    const looked = said(checks.map((item) => [item, words(puppy.newborn?.[item])]));
    if (looked.length > 0) lines.push(`newborn: ${flow(looked)}`);
    lines.push(...said([['fate', puppy.fate], ['on', puppy.fate === 'died' ? puppy.on : ''], ['remarks', remarks]]).map(([key, value]) => `${key}: ${scalar(value)}`));
    return lines.map((line, place) => `${place === 0 ? '  - ' : '    '}${line}`);
  }

  /** The day of the litter: that of its first puppy. */
  function dayOf(state, zone) {
    const ordered = inOrder(state);
    return local(ordered.length > 0 ? ordered[0][1].born : state.began, zone).day;
  }

  function birthRemarks(state, zone) {
    const began = local(state.began, zone);
    const on = dayOf(state, zone);
    const jumps = (state.jumps ?? []).map((jump) => `The phone's clock was set back from ${local(jump.from, zone).time} to ${local(jump.to, zone).time} on the way.`);
    return [`Began ${began.day === on ? '' : `${began.day} `}${began.time}.`, words(state.remarks), ...jumps].filter(Boolean).join(' ');
  }

  /** The whole file. */
  function text(state, page) {
    const { zone } = page;
    const on = dayOf(state, zone);
    const plain = (title) => title.replaceAll(/\s+/g, ' ');
    const surgery = isSection(state) ? said([
      ['clinic', words(state.surgery.clinic)], ['incisions', state.surgery.incisions], ['adhesions', words(state.surgery.adhesions)],
      ['for_build', state.surgery.build === undefined || state.surgery.build === null ? '' : state.surgery.build === 'yes'], ['remarks', words(state.surgery.remarks)],
    ]) : [];
    const lines = [
      `# Birth of the litter ${plain(page.title)}, from a whelping sheet of ${plain(page.kennel)}.`,
      ...(page.litter ? [`# litter: ${page.litter}`] : ['# The sheet was not made for one litter: take it in with --litter and the name of its folder.']),
      `# Times are those of ${zone}.`,
      'birth:', `  on: ${on}`, `  how: ${state.how}`,
      ...(state.placentas === null || state.placentas === undefined ? [] : [`  placentas: ${state.placentas}`]),
      ...(surgery.length > 0 ? [`  surgery: ${flow(surgery)}`] : []),
      `  remarks: ${scalar(birthRemarks(state, zone))}`,
    ];
    const found = names(state);
    const ordered = inOrder(state);
    if (ordered.length > 0) lines.push('puppies:', ...ordered.flatMap(([key, puppy], place) => puppyLines(puppy, found[key], place + 1, on, page)));
    return `${lines.join('\n')}\n`;
  }

  /** What the records need and do not have yet. */
  function needed(state) {
    return inOrder(state).flatMap(([, puppy], place) => (puppy.sex ? [] : [`Puppy ${place + 1} has no sex yet.`]));
  }

  /** What the file is called. */
  const fileName = (state, page) => `birth-${page.litter ?? 'litter'}-${dayOf(state, page.zone)}.yaml`;

  return { inOrder, names, isSection, text, needed, fileName, weight, dayOf };
})();
