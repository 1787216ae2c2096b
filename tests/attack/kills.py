#!/usr/bin/env python3
"""Kills the program before every system call that changes a disk, and lets each such call fail, and looks at what is left.

    python3 tests/attack/kills.py PROGRAM [--work DIR] [--seconds N | --whole] [--only COMMAND] [--counts FILE]

In: the program, and strace. Each command runs on a copy of a small kennel; strace stops it before the n-th call of one kind, for every kind and every n that an
undisturbed run has. Without --whole, a slice that takes the given seconds, spread over all commands. Out: a line for each command and its faults; exit code 1 when
there are some.

What must hold, wherever it was stopped:
- a record is the old one or the new one, byte for byte; the public site is the old one or the new one;
- codes and keys can be read, and none that a family has is lost;
- a secret stands in no file that others may read, and in none that git would take;
- a run that says it went well has done everything, and one that failed says what is true;
- the next publication needs no help, ends well, and leaves nothing behind.
"""

import argparse
import hashlib
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

HERE = Path(__file__).resolve().parent
# Calls after which a disk holds something else than before; and those that a disk may refuse.
CHANGING = ["write", "pwrite64", "rename", "renameat", "renameat2", "unlink", "unlinkat", "mkdir", "mkdirat", "rmdir", "link", "linkat", "symlink", "symlinkat",
            "chmod", "fchmod", "fchmodat", "ftruncate", "truncate", "fallocate", "copy_file_range", "sendfile", "utimensat", "creat"]
SYNCING = ["fsync", "fdatasync", "syncfs", "sync_file_range"]
# Files are made by calls that also read; only whole runs stop before each of them.
OPENING = ["openat", "open"]
ERRORS = ["ENOSPC", "EIO", "EDQUOT", "EROFS"]
LEFTOVER = re.compile(r"\.litterfolio-\d+$|\.adding-\d+$|^\.(public|private)\.(building|built|before)|\.kept-\d+$|\.json\.new$")
BIRTH = """# litter: autumn
birth: { on: 2026-10-05, how: natural }
puppies:
  - { id: green, ribbon: green, sex: female, born: "23:58:07", order: 1, weight: 212 g, first_breath: 40 s }
  - { id: blue, ribbon: blue, sex: male, born: "2026-10-06 00:03:59", order: 2 }
"""
AUTUMN = "name: Autumn 2026\ndam: tansy\nsire: corvin\nmated: [2026-08-03]   # once\n# no x-ray this time"


def base_kennel(home):
    """The small kennel of the record tests, with an expected litter and a second family."""
    path = None
    for line in (HERE.parent / "cases" / "base.txt").read_text().splitlines(keepends=True):
        if line.startswith("=== "):
            path = home / "content" / line[4:].strip()
            path.parent.mkdir(parents=True, exist_ok=True)
        elif path:
            with path.open("a") as file:
                file.write(line)
    autumn = home / "content/litters/autumn/litter.yaml"
    autumn.parent.mkdir(parents=True)
    autumn.write_text(AUTUMN)
    change(home, "litters/spring/litter.yaml", "offer: available", "offer: reserved")
    change(home, "owners.yaml", "waiting:", "  - { id: ashby, name: Zara Ashby, takes: [{ litter: spring, puppy: wren }] }\nwaiting:")
    (home / "birth.yaml").write_text(BIRTH)


def change(home, file, old, new):
    path = home / "content" / file
    text = path.read_text()
    assert text.count(old) == 1, (file, old)
    path.write_text(text.replace(old, new))


class Command:
    """What is run, on which kennel, and which record it writes."""

    def __init__(self, name, arguments, before=None, record=None, family=False, several=False):
        self.name, self.arguments, self.before, self.record, self.codes_change = name, arguments, before, record, family
        # Whether several records change at once.
        self.several = several


def renamed(home):
    change(home, "kennel.yaml", "name: Tarnside", "name: Tarnside Hill")


COMMANDS = [
    Command("publish", ["publish", "--threads", "1"], before=renamed),
    Command("recode", ["recode", "moss"], family=True),
    Command("recode-all", ["recode", "--all", "--signing-key"], family=True),
    Command("handover", ["handover", "moss", "--anyway", "--threads", "1"]),
    Command("weigh", ["weigh", "spring", "moss=4.1kg", "wren=4.3kg", "--at", "2026-10-09 07:30"], record="litters/spring/weights.yaml"),
    Command("tend", ["tend", "spring", "check", "--for", "all", "--by", "Fellgate Vets"], record="litters/spring/health.yaml"),
    Command("take-in", ["take-in", "birth.yaml", "--yes"], record="litters/autumn/litter.yaml"),
    Command("set", ["set", "litters/spring/litter.yaml", "puppies.moss.remarks", "bold"], record="litters/spring/litter.yaml"),
    Command("rename", ["rename", "dog", "juno", "juno-two"], several=True),
    Command("export", ["export"]),
]


def run(program, home, arguments, inject=None, log=None):
    line = [program, "--kennel", ".", *arguments]
    if inject or log:
        tool = ["strace", "-f", "-qq", "--seccomp-bpf"] if not inject else ["strace", "-f", "-qq"]
        tool += ["-e", "trace=" + (inject[0] if inject else ",".join(CHANGING + SYNCING + OPENING))]
        tool += ["-e", "inject=" + ":".join(inject)] if inject else []
        line = [*tool, "-o", str(log or os.devnull), *line]
    environment = {**os.environ, "GIT_CEILING_DIRECTORIES": str(home.parent)}
    return subprocess.run(line, cwd=home, env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True, errors="replace")


def files(root):
    found = {}
    for folder, _, names in os.walk(root):
        for name in names:
            path = Path(folder, name)
            found[str(path.relative_to(root))] = path.read_bytes() if path.is_file() else None
    return found


def site(home):
    """The public site; of a sealed page, which differs each time it is made, whether it is whole, and of pages with the public keys, whether they have some."""
    tree = {}
    for name, content in files(home / "public").items():
        if name.startswith("sealed/"):
            content = content.rstrip().endswith(b"</html>")
            name = "sealed/"
        elif name in ("kennel-keys.json", "record-check.html"):
            content = b"\"kty\"" in content or b"&quot;kty&quot;" in content
        tree[name] = content if isinstance(content, bool) else hashlib.blake2b(content).hexdigest()
    return tree


def codes(home):
    path = home / "codes.yaml"
    text = path.read_text() if path.exists() else ""
    return dict(re.findall(r"^(\S+/\S+):\n  family: .*\n  code: \"?([0-9A-Z-]+)\"?$", text, re.M))


def keys(home):
    path = home / "signing-keys.json"
    return path.read_bytes() if path.exists() else b""


class Fault(Exception):
    pass


def expect(holds, what):
    if not holds:
        raise Fault(what)


def secrets_are_kept(home, known):
    """No code lies where others or git could take it. `known` are all codes there ever were."""
    for name, content in files(home).items():
        if content is None or not any(code.encode() in content for code in known):
            continue
        path = home / name
        expect(path.stat().st_mode & 0o077 == 0, f"{name} holds a code and others may read it")
        expect(not name.startswith(("public/", "content/")), f"{name} holds a code")
        ignored = subprocess.run(["git", "check-ignore", "-q", "--no-index", "--", name], cwd=home, stdin=subprocess.DEVNULL)
        expect(ignored.returncode == 0, f"git would take {name}, which holds a code")


class Attack:
    def __init__(self, program, work, command):
        self.program, self.work, self.command = program, work, command
        self.begin = work / f"{command.name}-begin"
        base_kennel(self.begin)
        subprocess.run(["git", "init", "-q"], cwd=self.begin, check=True)
        first = run(program, self.begin, ["publish"])
        assert first.returncode == 0, first.stderr
        if command.before:
            command.before(self.begin)
        self.old_site, self.old_codes, self.old_keys = site(self.begin), codes(self.begin), keys(self.begin)
        self.old_content = files(self.begin / "content")
        log = work / f"{command.name}.log"
        done = self.fresh("done")
        ended = run(program, done, command.arguments, log=log)
        assert ended.returncode == 0, ended.stderr
        self.new_site, self.new_content = site(done), files(done / "content")
        changed = {name for name in self.new_content if self.new_content[name] != self.old_content.get(name)}
        assert command.several or changed == ({command.record} if command.record else set()), changed
        again = run(program, done, ["publish"])
        assert again.returncode == 0, again.stderr
        self.last_site = site(done)
        # How often each thread makes each call.
        per_thread = Counter()
        for line in log.read_text(errors="replace").splitlines():
            found = re.match(r"(\d+) +([a-z0-9_]+)\(", line)
            if found:
                per_thread[found.groups()] += 1
        self.calls = {}
        for (_, call), times in per_thread.items():
            self.calls[call] = max(self.calls.get(call, 0), times)
        self.undisturbed = Counter()
        shutil.rmtree(done)

    def fresh(self, name):
        home = self.work / f"{self.command.name}-{name}"
        shutil.rmtree(home, ignore_errors=True)
        shutil.copytree(self.begin, home, symlinks=True)
        return home

    def points(self, whole):
        kinds = CHANGING + SYNCING + (OPENING if whole else [])
        for call in kinds:
            for n in range(1, self.calls.get(call, 0) + 1):
                yield (call, "signal=KILL", f"when={n}")
                for error in ERRORS if whole else ERRORS[:2]:
                    if call in CHANGING + SYNCING:
                        yield (call, f"error={error}", f"when={n}")
                        if error == "ENOSPC":
                            # A disk that is full stays full.
                            yield (call, f"error={error}", f"when={n}+")

    def strike(self, point):
        home = self.fresh("struck")
        ended = run(self.program, home, self.command.arguments, inject=point)
        killed = ended.returncode in (-9, 137)
        expect(killed or ended.returncode in (0, 1, 2), f"ended with {ended.returncode}")
        expect("panicked" not in ended.stderr, "panicked")
        said, shown = " ".join(ended.stderr.split()), ended.stdout
        now = files(home / "content")
        for name in set(now) | set(self.old_content):
            if LEFTOVER.search(Path(name).name):
                continue
            expect(now.get(name) in (self.old_content.get(name), self.new_content.get(name)), f"{name} is neither old nor new")
        standing = site(home)
        expect(standing in (self.old_site, self.new_site) or (killed and not standing), "the site is neither old nor new")
        codes_now, keys_now = codes(home), keys(home)
        expect(set(codes_now) == set(self.old_codes), f"codes of {sorted(codes_now)}")
        expect(self.old_keys.strip()[9:-3] in keys_now, "an older key is lost")
        expect(self.command.codes_change or codes_now == self.old_codes, "a code was changed")
        secrets_are_kept(home, [*self.old_codes.values(), *codes_now.values()])
        # `write` to the screen is among the calls: then the run has failed too.
        if ended.returncode == 0 and not killed:
            # What waited beside a record may be left when it cannot be removed: the next change sweeps it.
            done = {name: now[name] for name in now if not LEFTOVER.search(Path(name).name)}
            expect(done == self.new_content and standing == self.new_site, "ended well and did not do its work")
            expect(not self.command.codes_change or codes_now != self.old_codes, "ended well and drew no code")
        if not killed:
            self.told_truly(home, said, shown, standing, codes_now)
        if self.command.several:
            # What was begun is ended, or forgotten, before anybody reads the records.
            mended = run(self.program, home, ["inspect"])
            expect(mended.returncode == 0, f"the records are not mended: {mended.stderr}")
            now = {name: text for name, text in files(home / "content").items() if not LEFTOVER.search(Path(name).name)}
            expect(now in (self.old_content, self.new_content), "some records are changed and others are not")
        self.recovers(home, now, codes_now)
        self.undisturbed["killed" if killed else f"ended {ended.returncode}"] += 1
        shutil.rmtree(home)

    def told_truly(self, home, said, shown, standing, codes_now):
        if "nothing was published" in said or "as they were before" in said and "in place" not in said:
            expect(standing == self.old_site, "says that nothing was published, and something was")
        if "the new site and the new book are in place" in said or "the site was published" in said:
            expect(standing == self.new_site, "says that the new site is in place, and it is not")
        if "nothing was changed" in said:
            expect(codes_now == self.old_codes and keys(home) == self.old_keys, "says that nothing was changed")
        expect("what stood there is as it was" not in said, "says what it cannot know")
        if not said:
            # Neither stream took anything: the exit code is all that could be said.
            return
        for key, code in codes_now.items():
            if code != self.old_codes.get(key):
                expect(code in shown or "could not be shown" in said or "could not be written" in said, f"the new code of {key} was not shown: {said!r}")

    def recovers(self, home, now, codes_now):
        new = now == self.new_content if self.command.several else self.command.record is None or now.get(self.command.record) == self.new_content.get(self.command.record)
        next_run = run(self.program, home, ["publish"])
        expect(next_run.returncode == 0, f"the next publication failed: {next_run.stderr}")
        expect(codes(home) == codes_now, "the next publication changed a code")
        if new:
            expect(site(home) == self.last_site, "the next publication makes another site")
        if (self.command.record or self.command.several) and not new:
            # What was not taken in can be said again.
            again = run(self.program, home, self.command.arguments)
            expect(again.returncode == 0, f"it cannot be said again: {again.stderr}")
            expect(files(home / "content") == self.new_content, "said again, it is another text")
        if self.command.name == "export":
            expect(run(self.program, home, self.command.arguments).returncode == 0, "cannot be run again")
        left = [name for name in files(home) if any(LEFTOVER.search(part) for part in Path(name).parts) and not name.startswith(".git/")]
        # What waits beside a record is swept by the next run that adds to that record.
        left = [name for name in left if not (name.startswith("content/") and new)]
        expect(not left, f"left behind: {left}")


def arguments(what, seconds):
    """What was typed. `seconds` is how long a slice takes where nothing is said."""
    words = argparse.ArgumentParser(description=what)
    words.add_argument("program")
    words.add_argument("--work")
    words.add_argument("--seconds", type=float, default=seconds)
    words.add_argument("--whole", action="store_true")
    words.add_argument("--only", action="append", default=[])
    words.add_argument("--counts")
    if not shutil.which("strace"):
        sys.exit("strace is missing; install it with: apt-get install strace")
    return words.parse_args()


def struck(attack, name, whole, seconds):
    """Strikes at all points, or at a slice that takes so many seconds; says what came of it. How many held, and how many did not."""
    points = list(attack.points(whole))
    if not whole:
        random.Random(name).shuffle(points)
    end = time.monotonic() + seconds
    done, faults = 0, []
    for point in points:
        if not whole and time.monotonic() > end:
            break
        done += 1
        try:
            attack.strike(point)
        except Fault as fault:
            faults.append(f"{':'.join(point)}: {fault}")
    how = ", ".join(f"{times} {what}" for what, times in sorted(attack.undisturbed.items()))
    print(f"{'FAULT' if faults else 'ok   '} {name}: {done} of {len(points)} points ({how})", flush=True)
    for fault in faults:
        print(f"      {fault}", flush=True)
    # A slice in which nothing was struck has shown nothing.
    return done - len(faults), len(faults) + (done == 0)


def main():
    asked = arguments("Kills the program before every system call that changes a disk.", 60)
    work = Path(tempfile.mkdtemp(prefix="kills-", dir=asked.work))
    passed = failed = 0
    chosen = [command for command in COMMANDS if not asked.only or command.name in asked.only]
    assert chosen, f"no command is called {asked.only}"
    try:
        for command in chosen:
            attack = Attack(str(Path(asked.program).resolve()), work, command)
            good, bad = struck(attack, command.name, asked.whole, asked.seconds / len(chosen))
            passed, failed = passed + good, failed + bad
    finally:
        shutil.rmtree(work, ignore_errors=True)
    print(f"kills: {passed} passed, {failed} failed")
    if asked.counts:
        Path(asked.counts).write_text(f"{passed} {failed}\n")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
