"""What one check found: how many things it looked at, and each fault with the place where it is."""

SHOWN = 40


class Report:
    def __init__(self, name):
        self.name = name
        self.faults = []
        self.counts = {}

    def fault(self, where, what):
        """Something is wrong at `where` (a page, a file), in words."""
        self.faults.append(f"{where}: {what}")

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
        lines += [f"          {fault}" for fault in self.faults[:SHOWN]]
        if len(self.faults) > SHOWN:
            lines.append(f"          … and {len(self.faults) - SHOWN} more")
        return "\n".join(lines)
