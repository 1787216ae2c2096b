#!/usr/bin/env python3
"""Kills the desk before every system call of a change that changes a disk, and lets each such call fail, and looks at what is left.

    python3 tests/attack/desk_kills.py PROGRAM [--work DIR] [--seconds N | --whole] [--only CHANGE] [--counts FILE]

In: the program, and strace. A desk stands open on a small kennel; strace is attached to it, a form is sent, and the desk is stopped before its n-th call of one kind,
for every kind and every n that an undisturbed change has. Without --whole, a slice that takes the given seconds, spread over all changes. Out: a line for each change
and its faults; exit code 1 when there are some.

What must hold, wherever it was stopped:
- once the next run has read the records, all of them are the old ones or all are the new ones, byte for byte;
- a change that the desk confirmed is there;
- the history agrees: of a new record the change can be taken back to the very bytes, of an old one there is nothing to be taken back;
- nothing is left behind, and a desk that is still there answers.
"""

import ctypes
import http.client
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.parse
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent), str(Path(__file__).resolve().parents[2] / "benches")]
from desk import FORM, Forms  # noqa: E402
from kills import CHANGING, ERRORS, LEFTOVER, OPENING, SYNCING, Fault, arguments, base_kennel, expect, files, run, struck  # noqa: E402

# Seconds until somebody gives up who gets no answer: a desk whose every write fails cannot answer.
PATIENCE = 10
# Of <sys/prctl.h>; a system without that rule does not know them.
PR_SET_PTRACER, PR_SET_PTRACER_ANY = 0x59616D61, ctypes.c_ulong(-1)


def may_be_traced():
    """Where a system lets only parents trace a process, this one says that anybody may."""
    ctypes.CDLL(None).prctl(PR_SET_PTRACER, PR_SET_PTRACER_ANY, 0, 0, 0)


class Desk:
    """A desk that is open, and somebody who was let in."""

    def __init__(self, program, home):
        # One thread makes pages, so that calls come in the same order each time.
        line = [program, "--kennel", home, "desk", "--no-browser", "--port", "0", "--book-port", "0", "--threads", "1"]
        self.process = subprocess.Popen(line, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, errors="replace", preexec_fn=may_be_traced)
        found = None
        while not found:
            said = self.process.stdout.readline()
            if not said:
                raise Fault(f"the desk did not open: {self.process.stderr.read()}")
            found = re.search(r"^book: http://(127\.0\.0\.1:\d+)(/\S+)", said)
        self.host, self.cookie = found[1], {}
        self.cookie = {"Cookie": self.ask("GET", found[2])[1].getheader("set-cookie").split(";")[0]}

    def ask(self, method, path, fields=None):
        connection = http.client.HTTPConnection(self.host, timeout=PATIENCE)
        head = {**self.cookie, **(FORM if fields else {}), "Origin": f"http://{self.host}"}
        try:
            connection.request(method, path, urllib.parse.urlencode(fields) if fields else None, head)
            answer = connection.getresponse()
            return answer.read().decode(), answer
        finally:
            connection.close()

    def form(self, path, typed, at=None):
        forms = [form for form in Forms(self.ask("GET", path)[0]).forms if all(name in form[1] for name in typed)]
        action, fields = forms[at or 0]
        return action or path, {name: value for name, value in {**fields, **typed}.items() if name}

    def end(self):
        self.process.kill()
        self.process.communicate()


def first_remark(home):
    """A change that is there before, to be taken back."""
    return ["set", "litters/spring/litter.yaml", "puppies.moss.remarks", "bold"]


class Change:
    """What is sent: the page with the form, what is typed; and what is done before."""

    def __init__(self, name, page, typed, before=None):
        self.name, self.page, self.typed, self.before = name, page, typed, before


CHANGES = [
    Change("a weight", "/-desk/litters/spring/weigh", {"moss": "4.1 kg", "wren": "4.3 kg", "at": "2026-10-09T07:30"}),
    Change("a field", "/-desk/form/litters/spring/litter.yaml", {"f.about": "Three by section."}),
    Change("a home", "/-desk/litters/spring/puppies/wren/home", {"family": "ashby", "offer": "reserved"}),
    Change("taken back", "/-desk/history", {"number": "1"}, before=first_remark),
]


def attached(process, what, log=None):
    """Strace, once it follows every thread of the desk."""
    line = ["strace", "-f", "-p", str(process.pid), *what, *(["-o", str(log)] if log else [])]
    tracer = subprocess.Popen(line, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    said = tracer.stderr.readline()
    while "attached" not in said:
        if not said:
            sys.exit("strace cannot be attached to the desk")
        said = tracer.stderr.readline()
    time.sleep(0.05)
    return tracer


class Attack:
    def __init__(self, program, work, change):
        self.program, self.work, self.change = program, work, change
        self.begin = work / "begin"
        base_kennel(self.begin)
        # A change is all that the desk does: no page can be made.
        template = self.begin / "templates/visitor/footer.html"
        template.parent.mkdir(parents=True)
        template.write_text("{% if %}")
        text = (self.begin / "content/owners.yaml").read_text()
        (self.begin / "content/owners.yaml").write_text(text.replace(", takes: [{ litter: spring, puppy: wren }]", ""))
        litter = self.begin / "content/litters/spring/litter.yaml"
        litter.write_text(re.sub(r"(id: wren.*offer: )reserved", r"\1available", litter.read_text()))
        if change.before:
            done = run(program, self.begin, change.before(self.begin))
            assert done.returncode == 0, done.stderr
        self.old = files(self.begin / "content")
        self.old_changes = self.changes(self.begin)
        home, log = self.fresh(), work / "log"
        desk = Desk(program, home)
        to, fields = desk.form(change.page, change.typed)
        tracer = attached(desk.process, ["-e", "trace=" + ",".join(CHANGING + SYNCING + OPENING)], log)
        answer = desk.ask("POST", to, fields)[1]
        tracer.terminate()
        tracer.wait()
        assert answer.status == 303, answer.status
        desk.end()
        self.new = files(home / "content")
        assert self.new != self.old
        per_thread = Counter(re.findall(r"^(\d+) +([a-z0-9_]+)\(", log.read_text(errors="replace"), re.M))
        self.calls = {}
        for (_, call), times in per_thread.items():
            self.calls[call] = max(self.calls.get(call, 0), times)
        self.undisturbed = Counter()

    def fresh(self):
        home = self.work / "struck"
        shutil.rmtree(home, ignore_errors=True)
        shutil.copytree(self.begin, home, symlinks=True)
        return home

    def changes(self, home):
        """The numbers of the changes that the history has."""
        return re.findall(r"^ *(\d+) ", run(self.program, home, ["undo", "--list"]).stdout, re.M)

    def points(self, whole):
        for call in CHANGING + SYNCING + (OPENING if whole else []):
            for n in range(1, self.calls.get(call, 0) + 1):
                yield (call, "signal=KILL", f"when={n}")
                if call not in OPENING:
                    for error in ERRORS if whole else ERRORS[:2]:
                        yield (call, f"error={error}", f"when={n}")
                    # A disk that is full stays full.
                    yield (call, "error=ENOSPC", f"when={n}+")

    def strike(self, point):
        home = self.fresh()
        desk = Desk(self.program, home)
        try:
            to, fields = desk.form(self.change.page, self.change.typed)
            tracer = attached(desk.process, ["-e", f"trace={point[0]}", "-e", "inject=" + ":".join(point)])
            confirmed = killed = False
            try:
                body, answer = desk.ask("POST", to, fields)
                confirmed = answer.status == 303
                expect(answer.status in (303, 400, 409, 422, 500, 503), f"answered with {answer.status}")
                expect("panicked" not in body, "panicked")
            except (OSError, http.client.HTTPException):
                killed = True
            # Of a desk that is dead strace waits for threads that nobody has buried.
            tracer.kill()
            tracer.wait()
            killed = killed or desk.process.poll() is not None
            if not killed:
                expect(desk.ask("GET", "/-desk/history")[1].status == 200, "the desk answers no more")
        finally:
            desk.end()
        mended = run(self.program, home, ["inspect"])
        expect("panicked" not in mended.stderr and "file-missing" not in mended.stderr, mended.stderr)
        now = {name: text for name, text in files(home / "content").items() if not LEFTOVER.search(Path(name).name)}
        expect(now in (self.old, self.new), "the records are neither the old ones nor the new ones")
        is_new = now == self.new
        expect(is_new or not confirmed, "it was confirmed and is not there")
        self.history_agrees(home, is_new)
        left = [name for name in files(home) if any(LEFTOVER.search(part) for part in Path(name).parts)]
        # What waits beside a record is swept by the next change of that record.
        left = [name for name in left if not (name.startswith("content/") and is_new)]
        # A book that the desk was making is swept by the next desk that makes one, as `kills.py` shows of every site.
        left = [name for name in left if not name.startswith(".litterfolio/desk/")]
        expect(not left, f"left behind: {left}")
        self.undisturbed["killed" if killed else "confirmed" if confirmed else "refused"] += 1

    def history_agrees(self, home, is_new):
        known = self.changes(home)
        if not is_new:
            expect(known == self.old_changes, f"nothing was changed, and the history has {known}")
            again = Desk(self.program, home)
            try:
                to, fields = again.form(self.change.page, self.change.typed)
                expect(again.ask("POST", to, fields)[1].status == 303, "it cannot be said again")
            finally:
                again.end()
            expect(files(home / "content") == self.new, "said again, it is another text")
            return
        expect(len(known) == len(self.old_changes) + 1, f"the history has {known}")
        back = run(self.program, home, ["undo", known[0]])
        expect(back.returncode == 0, f"it cannot be taken back: {back.stderr}")
        expect(files(home / "content") == self.old, "taken back, it is another text")


def main():
    asked = arguments("Kills the desk before every system call of a change that changes a disk.", 30)
    passed = failed = 0
    chosen = [change for change in CHANGES if not asked.only or change.name in asked.only]
    assert chosen, f"no change is called {asked.only}"
    for change in chosen:
        work = Path(tempfile.mkdtemp(prefix="desk-kills-", dir=asked.work))
        try:
            attack = Attack(str(Path(asked.program).resolve()), work, change)
            good, bad = struck(attack, change.name, asked.whole, asked.seconds / len(chosen))
            passed, failed = passed + good, failed + bad
        finally:
            shutil.rmtree(work, ignore_errors=True)
    print(f"desk kills: {passed} passed, {failed} failed")
    if asked.counts:
        Path(asked.counts).write_text(f"{passed} {failed}\n")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
