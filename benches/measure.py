"""How long whole runs take, beside the plain work they cannot do without.

In: nothing; kennels of 20, 200 and 2,000 litters are made on the spot (other sizes as arguments). Out: a table of medians and ratios on standard output. Compare ratios with ratios: each pair was
measured in turn in one run, on the same files, so that a machine that is slow for a while is slow for both.

    python3 benches/measure.py [--runs 5] [--photos N] [--families N] [LITTERS ...]

What is measured, each as a whole process with what it writes waited for as usual:
- first: `publish` into nothing, beside reading all inputs and writing all outputs as plain copies;
- weight: `publish` after one weigh-in of one litter was added, beside the first;
- still: `publish` when nothing changed, beside listing the same files and asking the system about each.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TARGET = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "release"
PROGRAM, SYNTHETIC = TARGET / "litterfolio", TARGET / "examples" / "synthetic"


def run(*command):
    """Seconds, processor seconds and peak memory in MB of one process."""
    began = time.perf_counter()
    process = subprocess.Popen([str(word) for word in command], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    said = process.stderr.read()
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        sys.exit(f"{' '.join(map(str, command))} failed:\n{said.decode(errors='replace')}")
    return time.perf_counter() - began, used.ru_utime + used.ru_stime, used.ru_maxrss / 1000


class Kennel:
    """A kennel of some size in a folder of its own."""

    def __init__(self, place, litters, photos, families):
        self.place = place
        run(SYNTHETIC, "kennel", place, litters, photos, families)
        self.added, self.away = 0, 0

    def publish(self):
        return run(PROGRAM, "--kennel", self.place, "publish", "--quiet")

    def forget(self):
        """Puts away what was made. Nothing is deleted before the end: where thousands of files were just deleted, making others takes some disks twice as long, which is not what a first build is."""
        self.away += 1
        old = self.place.parent / f"away-{self.place.name}-{self.away}"
        old.mkdir()
        for name in ["public", "private", ".litterfolio"]:
            if (self.place / name).exists():
                (self.place / name).rename(old / name)
        # Without the memory of sealed pages their codes would be taken for lost.
        for name in ["codes.yaml", "signing-keys.json"]:
            (self.place / name).unlink(missing_ok=True)

    def copy(self, to):
        return run(SYNTHETIC, "copy", to, "--in", self.place / "content", "--out", self.place / "public", self.place / "private")

    def stat(self):
        return run(SYNTHETIC, "stat", self.place / "content", self.place / "public", self.place / "private")

    def weigh(self):
        """One more weigh-in of the youngest litter; the kennel's day is pinned, so that its time only has to be later than the one before."""
        file = self.place / "content/litters/litter-0000/weights.yaml"
        lines = file.read_text().splitlines()
        last = [line for line in lines if line.startswith("  ") and "by:" not in line and "remark:" not in line][-1]
        puppy, grams = last.strip().split(": ")
        day = max(line for line in lines if line.startswith("- at:")).split()[2]
        self.added += 1
        with file.open("a") as records:
            records.write(f"- at: {day} 21:{self.added:02}\n  {puppy}: {int(grams) + 1}\n")


def median(samples, at=0):
    return statistics.median(sample[at] for sample in samples)


def ratio(ones, others):
    return statistics.median(one[0] / other[0] for one, other in zip(ones, others))


def measure(litters, options, folder):
    kennel = Kennel(folder / f"kennel-{litters}", litters, options.photos, options.families)
    first, copies, weight, still, stats = [], [], [], [], []
    kennel.publish()
    for _ in range(options.runs):
        kennel.forget()
        first.append(kennel.publish())
        copies.append(kennel.copy(folder / f"copies-{litters}-{len(copies)}"))
    for _ in range(options.runs):
        kennel.weigh()
        weight.append(kennel.publish())
    kennel.publish()
    for _ in range(options.runs):
        still.append(kennel.publish())
        stats.append(kennel.stat())
    files = sum(len(names) for part in ["content", "public", "private"] for _, _, names in os.walk(kennel.place / part))
    return litters, files, first, copies, weight, still, stats


def main():
    words = argparse.ArgumentParser()
    words.add_argument("litters", nargs="*", type=int, default=[20, 200, 2000])
    words.add_argument("--runs", type=int, default=5)
    words.add_argument("--photos", type=int, default=0)
    words.add_argument("--as-built", action="store_true", help="measure the program as it stands in target/release")
    words.add_argument("--families", type=int, default=0)
    options = words.parse_args()
    if not options.as_built:
        subprocess.run(["cargo", "build", "--release", "--quiet", "--bins", "--example", "synthetic"], cwd=ROOT, check=True)
    per_litter = []
    with tempfile.TemporaryDirectory(prefix="measure-") as folder:
        print(f"medians of {options.runs}; {os.cpu_count()} cores; {options.photos} photos a litter, {options.families} families")
        print("| litters | files | first build | of it processor | peak memory | by plain copies | after one weight | by first | no change | by listing |")
        print("|---|---|---|---|---|---|---|---|---|---|")
        for litters in options.litters:
            litters, files, first, copies, weight, still, stats = measure(litters, options, Path(folder))
            per_litter.append((litters, median(first) / litters))
            print(
                f"| {litters:,} | {files:,} | {median(first):.3f} s | {median(first, 1):.3f} s | {median(first, 2):.0f} MB | {ratio(first, copies):.2f} x "
                f"| {median(weight):.3f} s | {median(weight) / median(first):.3f} x | {median(still):.3f} s | {ratio(still, stats):.2f} x |",
                flush=True,
            )
    for (few, before), (many, after) in zip(per_litter, per_litter[1:]):
        print(f"cost of a litter, {many:,} by {few:,} litters: {after / before:.2f} x")


if __name__ == "__main__":
    main()
