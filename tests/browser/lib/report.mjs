// What one check found: how many things it looked at, and each fault with the place where it is.

const SHOWN = 40;

export class Report {
  constructor(name) {
    this.name = name;
    this.faults = [];
    this.counts = new Map();
  }

  /** Something is wrong at `where` (a page, a file), in words. */
  fault(where, what) {
    this.faults.push({ where, what });
  }

  /** A fault unless `condition` holds. */
  expect(condition, where, what) {
    if (!condition) this.fault(where, what);
    return Boolean(condition);
  }

  /** Counts what was looked at, so that the line can say so. */
  saw(what, amount = 1) {
    this.counts.set(what, (this.counts.get(what) ?? 0) + amount);
  }

  /** Called once at the end: a check that looked at nothing has failed, and so has one of whose kinds of things there were none. */
  close() {
    if (this.counts.size === 0) this.fault('this check', 'looked at nothing');
    for (const [what, amount] of this.counts) if (amount === 0) this.fault('this check', `found no ${what} to look at`);
  }

  text(seconds) {
    const seen = [...this.counts].map(([what, amount]) => `${amount} ${what}`).join(', ');
    const word = this.faults.length === 0 ? 'ok    ' : 'FAILED';
    const lines = [`${word}  ${this.name} (${seen}; ${seconds.toFixed(1)} s)`];
    // The same fault on forty pages is one line and a number, so that a second fault is not pushed out of sight.
    const groups = new Map();
    for (const { where, what } of this.faults) groups.set(what, [...(groups.get(what) ?? []), where]);
    const shown = [...groups].slice(0, SHOWN).map(([what, places]) => `          ${places.slice(0, 3).join(', ')}${places.length > 3 ? ` and ${places.length - 3} more` : ''}: ${what}`);
    lines.push(...shown);
    if (groups.size > SHOWN) lines.push(`          … and ${groups.size - SHOWN} more kinds of fault`);
    return lines.join('\n');
  }
}
