"""The library's own figures, asked of the example program `answers`, so that other people's libraries can compute the same and compare.

In: questions as tests/judges/answers.rs knows them, any number at once. Out: one answer for each, in order; `Refused` where the library would not read
what was asked.
"""

import json
import subprocess
from dataclasses import dataclass


@dataclass(frozen=True)
class Refused:
    """The library refuses what was asked: the code of the problem, and its words."""

    code: str
    message: str


def program(site, name="answers"):
    """An example program: beside the program that is judged, or else in the debug folder next to that one."""
    folder = site.program.parent
    names = (folder / "examples" / name, folder.parent / "debug" / "examples" / name)
    for file in names:
        if file.is_file():
            return file
    raise RuntimeError(f"there is no {names[0]}; build it: cargo build --release --example {name}")


def ask(site, questions):
    """The answers to all questions, each a value or `Refused`."""
    lines = "".join(json.dumps(question, allow_nan=False) + "\n" for question in questions)
    done = subprocess.run([program(site)], input=lines, capture_output=True, text=True, check=False, timeout=600)
    if done.returncode != 0:
        raise RuntimeError(f"the answers ended with {done.returncode}: {done.stderr[-3000:]}")
    said = [json.loads(line) for line in done.stdout.splitlines()]
    if len(said) != len(questions):
        raise RuntimeError(f"{len(questions)} questions got {len(said)} answers")
    return [Refused(each["refused"], each["message"]) if "refused" in each else each["answer"] for each in said]


def near(one, other, relative=1e-9, absolute=1e-12):
    """Whether two figures are the same but for the rounding of floating-point numbers."""
    return one is not None and other is not None and abs(one - other) <= max(relative * max(abs(one), abs(other)), absolute)
