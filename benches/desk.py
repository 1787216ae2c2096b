"""How long the desk takes from pressing a button to the new page.

In: nothing; a kennel of 200 litters is made on the spot (other sizes as arguments). Out: a table on standard output: from sending a form until the page that answers has come, and until the changed page of the book
stands on the disk; the median and the 95th percentile of 500 changes, and the most memory the desk ever had.

    python3 benches/desk.py [--changes 500] [--as-built] [--kinds] [LITTERS ...]

The desk is started as a keeper does it and asked over HTTP as a browser without script asks it. What is recorded goes round: weights of a whole litter, a task of the round ticked, a temperature, a field of a litter, a field of a
dog, a note, and some of it taken back.
"""

import argparse
import html.parser
import http.client
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.parse
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TARGET = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "release"
FORM = {"Content-Type": "application/x-www-form-urlencoded"}
# A change after which no page of the book is another one is not waited for longer.
PATIENCE = 5


class Forms(html.parser.HTMLParser):
    """The forms of a page: where each is sent, and what stands in its fields."""

    def __init__(self, page):
        super().__init__()
        self.forms, self.text, self.select = [], None, None
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        of = dict(attributes)
        if tag == "form":
            self.forms.append((of.get("action", ""), {}))
        if not self.forms:
            return
        fields = self.forms[-1][1]
        if tag == "input" and (of.get("type") not in ("checkbox", "radio") or "checked" in of):
            fields[of.get("name")] = of.get("value", "on")
        elif tag == "textarea":
            self.text = of.get("name")
            fields[self.text] = ""
        elif tag == "select":
            self.select = of.get("name")
        elif tag == "option" and ("selected" in of or self.select not in fields):
            fields[self.select] = of.get("value", "")
        elif tag == "button" and of.get("name"):
            fields.setdefault(of["name"], of.get("value", ""))

    def handle_endtag(self, tag):
        if tag == "textarea":
            self.text = None

    def handle_data(self, data):
        if self.text is not None:
            self.forms[-1][1][self.text] += data.removeprefix("\n")


class Desk:
    """A desk, and a browser that was let in."""

    def __init__(self, kennel):
        self.process = subprocess.Popen([TARGET / "litterfolio", "--kennel", kennel, "desk", "--no-browser", "--port", "0", "--book-port", "0"], stdout=subprocess.PIPE, text=True)
        begun = time.perf_counter()
        self.lines = [self.process.stdout.readline(), self.process.stdout.readline()]
        address = re.search(r"http://(127\.0\.0\.1:\d+)(/\S*)", self.lines[1])
        self.host, self.cookie = address[1], {}
        _, answer = self.ask("GET", address[2])
        self.cookie = {"Cookie": answer.getheader("set-cookie").split(";")[0]}
        while not re.match(r"\d\d:\d\d:\d\d", self.process.stdout.readline()):
            pass
        self.began = time.perf_counter() - begun

    def ask(self, method, path, fields=None):
        connection = http.client.HTTPConnection(self.host)
        head = {**self.cookie, **(FORM if fields else {}), "Origin": f"http://{self.host}"}
        connection.request(method, path, urllib.parse.urlencode(fields) if fields else None, head)
        answer = connection.getresponse()
        body = answer.read().decode()
        connection.close()
        return body, answer

    def page(self, path):
        return self.ask("GET", path)[0]

    def forms(self, path):
        return Forms(self.page(path)).forms

    def memory(self):
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.search(r"VmHWM:\s+(\d+)", status)[1]) / 1000

    def end(self):
        self.process.terminate()
        self.process.communicate()


def place(file):
    """What tells a file from another one of its name."""
    found = os.stat(file, follow_symlinks=False) if file.exists() else None
    return found and (found.st_ino, found.st_mtime_ns, found.st_size)


class Keeper:
    """Somebody who records one thing after the other."""

    def __init__(self, kennel, desk):
        self.kennel, self.desk, self.number = kennel, desk, 0
        self.book = kennel / ".litterfolio/desk/private"
        self.litter, self.minutes, self.last = "litter-0000", 0, []

    def form(self, path, at=None, **typed):
        forms = self.desk.forms(path)
        wanted = [form for form in forms if any(name in form[1] for name in typed)] if typed else forms
        action, fields = (wanted or forms)[at or 0]
        return action or path, {**fields, **typed}

    def weigh(self):
        text = (self.kennel / f"content/litters/{self.litter}/weights.yaml").read_text()
        puppies = dict(re.findall(r"^  ([a-z]+): ([\d.]+)(?: g)?$", text, re.M))
        self.minutes += 2
        typed = {name: f"{float(grams) + 1:g} g" for name, grams in puppies.items()}
        at = f"2026-10-09T{self.minutes // 60:02}:{self.minutes % 60:02}"
        action, fields = self.form(f"/-desk/litters/{self.litter}/weigh", by="")
        return action, {**fields, **{name: value for name, value in typed.items() if name in fields}, "at": at}, f"litters/{self.litter}.html"

    def tick(self):
        for action, fields in self.desk.forms("/-desk/today"):
            if "/tend" in action:
                litter = action.split("/")[3]
                typed = {name: value or "Vermisol" for name, value in fields.items()}
                return action, typed, f"litters/{litter}.html"
        return self.temperature()

    def temperature(self):
        path = f"/-desk/litters/{self.litter}/tend?kind=temperature"
        action, fields = self.form(path)
        puppy = re.findall(r"^  - id: ([a-z]+)$", (self.kennel / f"content/litters/{self.litter}/litter.yaml").read_text(), re.M)
        living = [name for name in puppy if name in fields][0]
        return action, {**fields, living: f"38.{self.number % 10} °C"}, f"litters/{self.litter}/{living}.html"

    def litter_field(self):
        action, fields = self.form(f"/-desk/form/litters/{self.litter}/litter.yaml", **{"f.about": f"A word of turn {self.number}."})
        return action, fields, f"litters/{self.litter}.html"

    def dog_field(self):
        dog = re.search(r"^dam: (\S+)$", (self.kennel / f"content/litters/{self.litter}/litter.yaml").read_text(), re.M)[1]
        action, fields = self.form(f"/-desk/form/dogs/{dog}.yaml", **{"f.colour": f"brindle {self.number}"})
        return action, fields, "dogs.html"

    def note(self):
        action, fields = self.form(f"/-desk/litters/{self.litter}/notes/new", title=f"Turn {self.number}", text="All eat well.", audience="keeper")
        return action, {**fields, "act": "save"}, f"litters/{self.litter}.html"

    def undo(self):
        change, file = self.last[-1]
        action, fields = [form for form in self.desk.forms("/-desk/history") if form[1].get("number") == str(change)][0]
        return action, fields, file

    def turn(self, kind):
        """Seconds to the page that answers, and to the page of the book."""
        self.number += 1
        action, fields, file = getattr(self, kind)()
        file = self.book / file
        before = place(file)
        begun = time.perf_counter()
        body, answer = self.desk.ask("POST", action, fields)
        if answer.status != 303:
            sys.exit(f"{kind} at {action} was answered with {answer.status}:\n{re.sub('<[^>]*>', ' ', body)}\n{fields}")
        posted = time.perf_counter() - begun
        to = answer.getheader("location")
        shown, _ = self.desk.ask("GET", to)
        answered = time.perf_counter() - begun
        change = re.search(r"saved=(\d+)", to)
        if not change or change[1] == "0" or change[1] not in shown:
            sys.exit(f"{kind} led to {to}, which says nothing of it")
        self.last.append((change[1], file.relative_to(self.book)))
        while place(file) == before and time.perf_counter() - begun < PATIENCE:
            time.sleep(0.001)
        written = time.perf_counter() - begun
        return posted, answered, written if place(file) != before else None


TURNS = ["weigh", "tick", "undo", "temperature", "weigh", "litter_field", "note", "undo", "dog_field", "weigh"]


def percentile(samples, part):
    ordered = sorted(samples)
    return ordered[min(len(ordered) - 1, int(part * len(ordered)))] * 1000


def measure(litters, options, folder):
    kennel = folder / f"kennel-{litters}"
    subprocess.run([TARGET / "examples/synthetic", "kennel", kennel, str(litters)], check=True, stdout=subprocess.DEVNULL)
    desk = Desk(kennel)
    keeper = Keeper(kennel, desk)
    taken = []
    try:
        for turn in range(options.changes):
            kind = TURNS[turn % len(TURNS)]
            taken.append((kind, *keeper.turn(kind)))
            time.sleep(0.02)
        memory = desk.memory()
    finally:
        desk.end()
    subprocess.run([TARGET / "litterfolio", "--kennel", kennel, "inspect"], check=True, stdout=subprocess.DEVNULL)
    kinds = sorted({kind for kind, *_ in taken}) if options.kinds else []
    for kind in ["all", *kinds]:
        own = [sample for sample in taken if kind in ("all", sample[0])]
        posted, answered = [sample[1] for sample in own], [sample[2] for sample in own]
        written = [sample[3] for sample in own if sample[3] is not None]
        row = [f"{litters:,}", kind, len(own), f"{desk.began:.2f} s"]
        for samples in (posted, answered, written):
            row += [f"{statistics.median(samples) * 1000:.0f} ms", f"{percentile(samples, 0.95):.0f} ms"] if samples else ["-", "-"]
        row += [len(own) - len(written), f"{memory:.0f} MB"]
        print("| " + " | ".join(str(cell) for cell in row) + " |", flush=True)


def main():
    words = argparse.ArgumentParser()
    words.add_argument("litters", nargs="*", type=int, default=[200])
    words.add_argument("--changes", type=int, default=500)
    words.add_argument("--as-built", action="store_true", help="measure the program as it stands in target/release")
    words.add_argument("--kinds", action="store_true", help="a row for each kind of change as well")
    options = words.parse_args()
    if not options.as_built:
        subprocess.run(["cargo", "build", "--release", "--quiet", "--bins", "--example", "synthetic"], cwd=ROOT, check=True)
    print(f"{os.cpu_count()} cores; {options.changes} changes")
    print("| litters | change | times | start | saved: median | 95 % | page: median | 95 % | book on disk: median | 95 % | no page changed | memory |")
    print("|---|---|---|---|---|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory(prefix="desk-") as folder:
        for litters in options.litters:
            measure(litters, options, Path(folder))


if __name__ == "__main__":
    main()
