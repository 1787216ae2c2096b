"""Changed records against PyYAML, which read none of them before.

Source: YAML 1.1 as PyYAML reads it, every value as its text: all with the parser of libyaml, which is quick, and some with PyYAML's own as well. Each value of each record of the kennel, and of the same records with other line ends, is set to
other words and taken out; the new text must read as the old one with just that changed, and have every comment of the old one outside the place.
"""

import copy
import random

import yaml
from support.answers import Refused, ask

NAME = "a record that was changed reads for PyYAML as the old one with just that changed"

WORDS = ["other words", "a: b", "- c", "'quoted'", "# no comment", "231 g", "yes", "é, ñ", "12:30", "true", "[x]", "  ends  ", "1_000", "0x1F", "~"]
MOST = 1500
# Of so many one is read with PyYAML's own parser too.
BOTH = 5


def places(value, path=()):
    """Every place below a value."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield (*path, key)
            yield from places(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield (*path, index)
            yield from places(inner, (*path, index))


def parts(name, text):
    """The YAML of a file, and what stands around it."""
    if not name.endswith(".md"):
        return "", text, ""
    _, head, below = text.split("---", 2)
    return "---", head, "---" + below


def read(text, is_both):
    value = yaml.load(text, Loader=yaml.CBaseLoader)
    if is_both and yaml.load(text, Loader=yaml.BaseLoader) != value:
        raise ValueError("PyYAML's own parser and that of libyaml differ in:\n" + text)
    return value


def wanted(old, path, value):
    new = copy.deepcopy(old)
    here = new
    for step in path[:-1]:
        here = here[step]
    if value is None:
        del here[path[-1]]
    else:
        here[path[-1]] = value
    return new


def records(site):
    content = site.content
    for file in sorted(content.rglob("*")):
        name = file.relative_to(content).as_posix()
        if name.endswith(".yaml") or "/notes/" in name or name.startswith("pages/"):
            text = file.read_text(encoding="utf-8")
            yield name, text
            yield name, text.replace("\n", "\r\n")


def check(site, report):
    rng = random.Random(2026)
    asked = []
    for name, text in records(site):
        old = read(parts(name, text)[1], True)
        for path in places(old):
            for value in (rng.choice(WORDS), None):
                asked.append((name, text, old, path, value))
    rng.shuffle(asked)
    asked = asked[:MOST]
    questions = [{"ask": "changed", "file": name, "text": text, "path": list(path), "value": value} for name, text, _, path, value in asked]
    refused = 0
    for number, ((name, text, old, path, value), new) in enumerate(zip(asked, ask(site, questions), strict=True)):
        where = f"{name}, {'.'.join(map(str, path))} = {value!r}"
        if isinstance(new, Refused):
            refused += 1
            continue
        before, head, behind = parts(name, new)
        if read(head, number % BOTH == 0) != wanted(old, path, value):
            report.fault(where, "PyYAML reads something else:\n" + new)
        if parts(name, text)[::2] != (before, behind):
            report.fault(where, "what stands around the record is other")
        if ("\r\n" in text) != ("\r\n" in new) and new.count("\n") > 1:
            report.fault(where, "its line ends are other")
        report.saw("changes")
    if refused > len(asked) // 20:
        report.fault("refused", f"{refused} of {len(asked)} changes were refused")
