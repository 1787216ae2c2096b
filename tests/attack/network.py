"""The desk and phones on hosts of their own, over a bad network; a desk that moves, and one that is killed.

    python3 tests/attack/network.py PROGRAM --kennel DIR [--quick] [--seed 1] [--cuts 200] [--only ACT]

In: the program and a kennel folder, of which copies are made; the rights to make network namespaces and TAP devices (as root). The acts:

- delivery: eight births on two phones. The network loses, delays, overtakes and doubles; hosts are cut off at random, phones change their addresses; the desk has another address and comes back, once
  unnoticed, once so that its keeper has to listen there anew.
- weighing: the same puppies and their dam over three days on both phones, over the same network.
- killing: births while the desk is killed, right after each kind of step and at random moments, and begun again.
- measuring, only when it is named: from the press on the phone to the changed page of the book, over a network without faults; to be done with the release program.

Out: a line for each act; exit code 0 when the records equal what was tapped, each once, and nothing is asked; 1 otherwise, also when the network was not bad; 2 where there are no namespaces or no
TAP devices. Whatever happens, nothing stays behind: neither folders nor hosts nor a desk.
"""

import argparse
import json
import os
import random
import re
import shutil
import signal
import statistics
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import yaml

sys.path[:0] = [str(Path(__file__).resolve().parent / "network")]
from hosts import BAD, GOOD, NET, Hosts  # noqa: E402
from people import Desk, Fault, Phone, until  # noqa: E402

LITTER = "winter-2026"
DAY = "2026-11-08"
LATER = "2026-11-12"
RIBBONS = ["green", "blue", "yellow", "red", "purple", "orange", "pink", "white"]
NUMBERS = {"desk": 1, "box": 11, "table": 12, "scale": 13, "clinic": 14}
ELSEWHERE = 2
STEPS = {
    "entry read": None,
    "change noted": ".litterfolio/history",
    "record written": f"content/litters/{LITTER}/litter.yaml",
    "entry kept": ".litterfolio/phones/phones.json",
    "answer on its way": None,
}


class Attack:
    """A kennel, its desk, and what was tapped on phones."""

    def __init__(self, given, folder, hosts):
        self.given, self.folder, self.hosts, self.dice = given, folder, hosts, random.Random(given.seed)
        self.desk, self.phones, self.ids = None, [], []

    def begins(self, name, names, day=DAY, rest=0.1):
        """A fresh kennel, a desk, and phones that are connected while the network is good."""
        self.kennel, self.ids, self.phones = self.folder / name, [], []
        shutil.copytree(Path(self.given.kennel) / "content", self.kennel / "content")
        self.dated(day)
        self.hosts.tell(link=GOOD)
        self.desk = Desk(self.hosts, os.path.abspath(self.given.program), str(self.kennel))
        self.desk.shown()
        self.at = self.desk.opens(f"{NET}.1")
        for host in names:
            phone = Phone(self.hosts, host, self.desk.code(host.title()), self.at, rest)
            self.phones.append(phone)
            until(lambda phone=phone: phone.view and phone.ahead is not None, f"the phone on {host} is connected")

    def ends(self):
        for phone in self.phones:
            phone.end()
        if self.desk:
            self.desk.kill()
        self.desk, self.phones = None, []

    def dated(self, day):
        file = self.kennel / "content/kennel.yaml"
        fresh = file.with_name("fresh")
        fresh.write_text(re.sub(r"^as_of:.*$", f"as_of: {day}", file.read_text(), flags=re.M))
        fresh.replace(file)

    def enters(self, phone, act, **fields):
        self.ids.append(phone.enters(act, LITTER, **fields))
        return self.ids[-1]

    def birth(self, phone, ribbon):
        """A puppy as it was tapped, and the entries that are still to be made for it."""
        puppy = {"born": phone.wall(), "sex": self.dice.choice(("female", "male")), "ribbon": ribbon}
        birth = self.enters(phone, "born", how="natural", **puppy)
        looked = {"weight": f"{self.dice.randrange(180, 300)} g", "first_breath": f"{self.dice.randrange(0, 50)} s", "placenta": self.dice.choice(("out", "retained"))}
        rest = [lambda key=key, said=said: self.enters(phone, "newborn", birth=birth, born=puppy["born"], **{key: said}) for key, said in looked.items()]
        return puppy | looked, rest

    def sent(self):
        until(lambda: not any(phone.waiting for phone in self.phones), "everything is answered")

    def faults(self):
        """What became of entries that should not have, and changes that were made twice."""
        found = []
        became = {known: told for phone in self.phones for known, told in phone.became.items()}
        for known in self.ids:
            what, words = became.get(known, ("never answered", ""))
            if what not in ("written", "already"):
                found.append(f"entry {known} became {what}: {words}")
        history = [json.loads(file.read_text())["what"] for file in (self.kennel / ".litterfolio/history").glob("*.json")]
        for known in self.ids:
            changes = sum(f"entry {known}" in what for what in history)
            if changes > 1:
                found.append(f"entry {known} was written {changes} times")
        if not history:
            found.append("the history is empty")
        return found

    def faults_of_births(self, tapped):
        with open(self.kennel / "content/litters" / LITTER / "litter.yaml") as text:
            record = yaml.load(text, yaml.BaseLoader)
        puppies = sorted(record["puppies"], key=lambda puppy: int(puppy["order"]))
        found = [] if len(puppies) == len(tapped) else [f"{len(puppies)} puppies for {len(tapped)} births"]
        for wanted, puppy in zip(sorted(tapped, key=lambda each: each["born"]), puppies):
            born = puppy["born"] if "-" in puppy["born"] else f"{record['birth']['on']} {puppy['born']}"
            is_there = puppy | {"born": born}
            found += [f"{puppy['id']}: {key} is {is_there.get(key)}, tapped {said}" for key, said in wanted.items() if is_there.get(key) != said]
        return found

    # --- the delivery --------------------------------------------------------------------------------------------------------------------

    @contextmanager
    def cut_off(self, many):
        """Hosts are cut off at random meanwhile, so many times, and phones move."""
        state = {"cuts": 0, "moves": 0, "all": many, "is_over": False}
        with ThreadPoolExecutor(1) as other:
            cutting = state["work"] = other.submit(self.cuts, state)
            try:
                yield state
                until(cutting.done, "cuts", 900)
                cutting.result()
            finally:
                state["is_over"] = True

    def cuts(self, state):
        dice = random.Random(self.given.seed + 1)
        for number in range(state["all"]):
            if state["is_over"]:
                return
            host = dice.choice(("box", "table", "desk"))
            self.hosts.tell(cut=host)
            time.sleep(dice.uniform(0.05, 0.5))
            if dice.random() < 0.15 and host != "desk":
                # Another address, as a phone gets one in another corner of the house.
                self.hosts.move(host, dice.randrange(20, 250, 2) + (host == "table"))
                state["moves"] += 1
            self.hosts.tell(mend=host)
            state["cuts"] = number + 1
            time.sleep(dice.uniform(0.05, 0.5))

    def delivery(self):
        self.begins("delivery", ("box", "table"))
        self.hosts.tell(link=BAD)
        tapped = []
        with self.cut_off(self.given.cuts) as state:
            for place, ribbon in enumerate(RIBBONS):
                until(lambda place=place: state["work"].done() or state["cuts"] >= place * state["all"] // len(RIBBONS), "cuts", 600)
                if place in (2, 5):
                    self.desk_goes(is_noticed=place == 5)
                puppy, rest = self.birth(self.phones[place % 2], ribbon)
                for enter in rest:
                    enter()
                tapped.append(puppy)
                time.sleep(1.2)
                if place in (2, 5):
                    self.desk_comes_back(is_noticed=place == 5)
        self.sent()
        failed = sum(phone.failed for phone in self.phones)
        said = f"{len(tapped)} births, {len(self.ids)} entries, {state['cuts']} cuts, {state['moves']} moves of phones, 2 of the desk, {failed} requests that failed"
        return said, self.faults() + self.faults_of_births(tapped)

    def desk_goes(self, is_noticed):
        """The desk has another address; its keeper is told, and does something about it or not."""
        self.hosts.move("desk", ELSEWHERE)
        page = self.desk.page()
        if f"{NET}.1" in page and 'id="gone"' not in page:
            raise Fault("the page of phones shows an address that is gone as if phones were heard there")
        self.runs = [phone.runs for phone in self.phones]
        if is_noticed:
            self.listens_at(ELSEWHERE)

    def desk_comes_back(self, is_noticed):
        """Nothing has to be done where nothing was done; otherwise it is done once more."""
        if is_noticed:
            self.all_heard()
        self.hosts.move("desk", 1)
        if is_noticed:
            if self.listens_at(1) != self.at:
                raise Fault("phones are heard at another port than before: their pages are lost")
        elif 'id="gone"' in self.desk.page():
            raise Fault("the page of phones says that an address is gone which is there")
        self.all_heard()
        if not is_noticed and self.runs != [phone.runs for phone in self.phones]:
            raise Fault("phones had to begin anew with a desk that was only away")

    def listens_at(self, number):
        """What a keeper does: listening anew, and the address typed on each phone."""
        at = self.desk.opens(f"{NET}.{number}")
        for phone in self.phones:
            phone.moved(at)
        return at

    def all_heard(self):
        for phone in self.phones:
            phone.heard_anew()

    # --- the weighing --------------------------------------------------------------------------------------------------------------------

    def weighing(self):
        """Goes on in the kennel of the delivery, four days later."""
        self.dated(LATER)
        until(lambda: all(phone.now.startswith(LATER) for phone in self.phones), "phones have the new day")
        with open(self.kennel / "content/litters" / LITTER / "litter.yaml") as text:
            names = [puppy["id"] for puppy in yaml.load(text, yaml.BaseLoader)["puppies"]] + ["dam"]
        before, said = len(self.ids), []
        with self.cut_off(max(4, self.given.cuts // 4)) as state:
            for day in ("2026-11-09", "2026-11-10", "2026-11-11"):
                for hour in (7, 19) if self.given.quick else (6, 10, 14, 18, 22):
                    at = f"{day} {hour:02}:{self.dice.randrange(60):02}"
                    for name in self.dice.sample(names, len(names)):
                        tenths = self.dice.randrange(90_000, 99_999) if name == "dam" else self.dice.randrange(2_000, 5_000)
                        said.append((at, name, tenths))
                        self.enters(self.dice.choice(self.phones), "weigh", puppy=name, at=at, weight=f"{tenths // 10}.{tenths % 10} g")
                        time.sleep(self.dice.uniform(0, 0.08))
        self.sent()
        with open(self.kennel / "content/litters" / LITTER / "weights.yaml") as text:
            blocks = yaml.load(text, yaml.BaseLoader)
        found = [(block["at"], name, round(float(weight.removesuffix(" g")) * 10)) for block in blocks for name, weight in block.items() if name not in ("at", "by")]
        faults = [f"weight in the records, not as it was tapped: {each}" for each in sorted(set(found) - set(said))]
        faults += [f"weight that was tapped and is not in the records: {each}" for each in sorted(set(said) - set(found))]
        faults += [f"weight that stands twice: {each}" for each in sorted(set(found)) if found.count(each) > 1]
        words = f"{len(said)} weights of three days, {len(self.ids) - before} entries, {state['cuts']} cuts, {state['moves']} moves of phones"
        return words, self.faults() + faults

    # --- the killing ---------------------------------------------------------------------------------------------------------------------

    def killing(self):
        self.begins("killing", ("box", "table"))
        self.hosts.tell(link=BAD)
        steps = [step for step in STEPS for _ in range(1 if self.given.quick else 4)] + ["at random"] * (3 if self.given.quick else 12)
        self.dice.shuffle(steps)
        tapped, rest, done = [], [], []
        for step in steps:
            if step in STEPS:
                file = STEPS[step]
                self.hosts.tell(trap={"when": step, **({"file": str(self.kennel / file)} if file else {})})
            # Each birth is three entries later, and so are its ribbon's.
            if rest:
                rest.pop(0)()
            else:
                puppy, rest = self.birth(self.phones[len(tapped) % 2], RIBBONS[len(tapped)])
                tapped.append(puppy)
            if step in STEPS:
                until(lambda: self.desk.child.poll() is not None, f"the desk is killed: {step}", 60)
            else:
                time.sleep(self.dice.uniform(0, 1.0))
                self.desk.child.kill()
            done.append(step)
            self.desk.ended()
            self.desk.begin()
            # Phones stay connected; the keeper has to listen to them anew.
            if self.desk.opens(f"{NET}.1") != self.at:
                raise Fault("after a kill phones are heard at another address: their pages are lost")
            self.sent()
        for enter in rest:
            enter()
        self.sent()
        struck = self.hosts.tell()["struck"]
        faults = [] if sorted(struck) == sorted(step for step in done if step in STEPS) else [f"struck {struck} of {done}"]
        words = f"{len(done)} kills, {len(struck)} of them right after {len(set(struck))} kinds of steps, {len(tapped)} births, {len(self.ids)} entries"
        return words, faults + self.faults() + self.faults_of_births(tapped)

    # --- the measuring -------------------------------------------------------------------------------------------------------------------

    def measuring(self):
        names = [name for name in NUMBERS if name != "desk"]
        self.begins("measuring", names, day="2026-10-09", rest=15)
        page = self.kennel / ".litterfolio/desk/private/litters/autumn-2026.html"
        puppies, lines, minute = ("fern", "reed", "rowan", "heath"), [], 480
        for many in (1, 4):
            took = []
            while len(took) < 50:
                minute += 2
                self.sent()
                time.sleep(1)
                at, pressed = f"2026-10-09 {minute // 60:02}:{minute % 60:02}", {}
                for phone, name in zip(self.phones[:many], puppies):
                    weight = f"{self.dice.randrange(230, 290)} g"
                    pressed[f'data-label="{name.title()}">{weight}'] = time.monotonic()
                    phone.enters("weigh", "autumn-2026", puppy=name, at=at, weight=weight)
                end = time.monotonic() + 20
                while pressed:
                    if time.monotonic() > end:
                        raise Fault(f"the page of the book never showed {list(pressed)} of {at}")
                    text = page.read_text() if page.exists() else ""
                    row = text.partition(f">{at}</th>")[2].partition("</tr>")[0]
                    for cell in [cell for cell in pressed if cell in row]:
                        took.append(time.monotonic() - pressed.pop(cell))
                    time.sleep(0.002)
            took.sort()
            lines.append(f"{len(took)} entries, {many} at once: median {statistics.median(took):.3f} s, 95 % {took[int(0.95 * len(took))]:.3f} s, longest {took[-1]:.3f} s")
        lines.append(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
        return "; ".join(lines), []


def not_bad(counts):
    """A network that loses nothing tries nothing."""
    return [f"nothing was {what}: the network was not bad" for what in ("lost", "delayed", "said twice", "overtaken", "cut off") if not counts.get(what)]


def acts(attack, only):
    """Each act in turn; its faults."""
    for name in [only] if only == "measuring" else ["delivery", "weighing", "killing"]:
        if only and only != name and (only, name) != ("weighing", "delivery"):
            continue
        begun = time.monotonic()
        if name != "weighing":
            attack.ends()
        words, faults = getattr(attack, name)()
        print(f"{name}: {words}, {len(faults)} faults ({time.monotonic() - begun:.0f} s)", *faults, sep="\n  ", flush=True)
        yield from faults


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--kennel", required=True)
    parser.add_argument("--quick", action="store_true", help="a slice of each act, about a minute")
    parser.add_argument("--cuts", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", choices=("delivery", "weighing", "killing", "measuring"), help="weighing goes on after a delivery")
    given = parser.parse_args()
    given.cuts = given.cuts or (20 if given.quick else 200)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    folder = Path(tempfile.mkdtemp(prefix="network-"))
    hosts = attack = None
    try:
        try:
            hosts = Hosts(NUMBERS, given.seed, str(folder))
        except OSError as error:
            print(f"no hosts of their own here: {error}")
            return 2
        attack = Attack(given, folder, hosts)
        faults = list(acts(attack, given.only))
        counts = hosts.tell()
        print(f"the network: {', '.join(f'{count} {what}' for what, count in counts.items() if what != 'struck')}")
        if given.only != "measuring":
            unmet = not_bad(counts) if given.only != "killing" else []
            faults += unmet
            print(*unmet, sep="\n", end="\n" if unmet else "")
        return 1 if faults else 0
    except Fault as fault:
        print(f"fault: {fault}", *(f"phone on {phone.host}: {len(phone.waiting)} entries wait, {phone.failed} requests failed" for phone in attack.phones), sep="\n  ")
        return 1
    finally:
        if hosts:
            hosts.end()
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    code = main()
    sys.stdout.flush()
    # Threads that wait for a desk that is gone are no reason to stay.
    os._exit(code)
