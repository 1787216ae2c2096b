"""What one check found: how many things it looked at, and each fault with the place where it is."""

SHOWN = 40


class Report:
    def __init__(self, name):
        self.name = name
        self.faults = []
        self.counts = {}

    def fault(self, where, what):
        """Something is wrong at `where` (a page, a file), in words."""
        self.faults.append((str(where), what))

    def expect(self, condition, where, what):
        """A fault unless the condition holds; says whether it does."""
        if not condition:
            self.fault(where, what)
        return bool(condition)

    def saw(self, what, amount=1):
        """Counts what was looked at, so that the line can say so."""
        self.counts[what] = self.counts.get(what, 0) + amount

    def close(self):
        """Called once at the end: a check that looked at nothing has failed."""
        if not self.counts:
            self.fault("this check", "looked at nothing")
        for what, amount in self.counts.items():
            if amount == 0:
                self.fault("this check", f"found no {what} to look at")

    def text(self, seconds):
        seen = ", ".join(f"{amount} {what}" for what, amount in self.counts.items())
        lines = [f"{'FAILED' if self.faults else 'ok    '}  {self.name} ({seen}; {seconds:.1f} s)"]
        # The same fault on forty pages is one line and a number, so that a second fault is not pushed out of sight.
        groups = {}
        for where, what in self.faults:
            groups.setdefault(what, []).append(where)
        for what, places in list(groups.items())[:SHOWN]:
            more = f" and {len(places) - 3} more" if len(places) > 3 else ""
            lines.append(f"          {', '.join(places[:3])}{more}: {what}")
        if len(groups) > SHOWN:
            lines.append(f"          … and {len(groups) - SHOWN} more kinds of fault")
        return "\n".join(lines)
