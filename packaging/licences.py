"""Writes the licences of everything that is linked into a program.

In: what cargo said while it built (--message-format=json), the target's name, the license files of libraries that are no crates
(NAME=FILE). Out: one text on standard output: every crate with its version and its licence, then every text once, with the names of
those it belongs to. The same every time. A crate with a licence that is not known here, or whose text cannot be told, ends it with 1: a package is not
made before somebody has looked.
"""

import argparse
import json
import re
import sys
import tomllib
from pathlib import Path

# What may be linked into a program that is passed on under MIT or Apache-2.0. Of several that are offered the first one here is taken.
TAKEN = [
    "MIT", "Apache-2.0", "BSD-3-Clause", "BSD-2-Clause", "ISC", "Zlib", "0BSD", "CC0-1.0", "Unlicense", "BSL-1.0", "MIT-0", "Unicode-3.0",
    "Unicode-DFS-2016", "MPL-2.0", "IJG",
    "Apache-2.0-with-LLVM-exception",
]
IS_LICENCE = re.compile(r"^(licen[sc]e|copying|copyright|notice|unlicense)([-._].*)?$", re.IGNORECASE)
WIDTH = 78


class Refused(Exception):
    """What somebody has to look at first."""


def linked(messages: Path, target: str):
    """The manifests of the crates whose libraries were made for the target."""
    found = set()
    for line in messages.read_text(encoding="utf-8").splitlines():
        message = json.loads(line) if line.startswith("{") else {}
        if message.get("reason") != "compiler-artifact":
            continue
        made_for_target = any(f"/{target}/" in name for name in message["filenames"])
        if made_for_target and "proc-macro" not in message["target"]["kind"] and "custom-build" not in message["target"]["kind"]:
            found.add(message["manifest_path"])
    return sorted(found)


def of_workspace(package: dict, manifest: Path, field: str):
    """A field of a manifest, or of the workspace that it points to."""
    value = package.get(field)
    if not isinstance(value, dict):
        return value
    for folder in (manifest.parent, *manifest.parent.parents):
        above = folder / "Cargo.toml"
        if above.is_file():
            shared = tomllib.loads(above.read_text(encoding="utf-8")).get("workspace", {}).get("package", {})
            if field in shared:
                return shared[field]
    return None


def choose(expression: str):
    """Of `A OR B`, `A/B`, `(A OR B) AND C`: those that are taken."""
    text = expression.replace("/", " OR ")
    text = re.sub(r"(\S+) WITH LLVM-exception", r"\1-with-LLVM-exception", text)
    tokens = re.findall(r"\(|\)|[^\s()]+", text)

    def term():
        if not tokens:
            raise Refused(f"the licence {expression!r} cannot be read")
        token = tokens.pop(0)
        if token == "(":
            inner = either()
            if not tokens or tokens.pop(0) != ")":
                raise Refused(f"the licence {expression!r} cannot be read")
            return inner
        return [token] if token in TAKEN else None

    def both():
        parts = [term()]
        while tokens and tokens[0] == "AND":
            tokens.pop(0)
            parts.append(term())
        return None if None in parts else sum(parts, [])

    def either():
        parts = [both()]
        while tokens and tokens[0] == "OR":
            tokens.pop(0)
            parts.append(both())
        known = [part for part in parts if part]
        return min(known, key=lambda part: [TAKEN.index(name) for name in part]) if known else None

    taken = either()
    if not taken or tokens:
        raise Refused(f"the licence {expression!r} is not one that is known here")
    return sorted(set(taken))


def texts(manifest: Path, package: dict):
    """The licence files beside a crate's manifest."""
    folder = manifest.parent
    files = [entry for entry in folder.iterdir() if IS_LICENCE.match(entry.name) and entry.is_file()]
    files += [entry for sub in folder.iterdir() if sub.is_dir() and IS_LICENCE.match(sub.name) for entry in sub.iterdir() if entry.is_file()]
    named = package.get("license-file")
    if isinstance(named, str) and (folder / named).is_file():
        files.append(folder / named)
    return [entry.read_text(encoding="utf-8", errors="replace") for entry in sorted(set(files))]


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("--messages", type=Path, required=True)
    ask.add_argument("--target", required=True)
    ask.add_argument("--title", required=True)
    ask.add_argument("--standard", type=Path, required=True, help="folder with the texts of licences, for crates that bring none")
    ask.add_argument("--also", action="append", default=[], help="NAME=FILE: a licence of what is no crate")
    options = ask.parse_args()

    rows, whose, refused = [], {}, []

    def belongs(text: str, name: str):
        lines = [line.rstrip() for line in text.replace("\r\n", "\n").replace("\f", "").strip("\n\ufeff ").splitlines()]
        key = " ".join(text.split())
        whose.setdefault(key, ("\n".join(lines), []))[1].append(name)

    for manifest in map(Path, linked(options.messages, options.target)):
        package = tomllib.loads(manifest.read_text(encoding="utf-8"))["package"]
        name = package["name"]
        version = of_workspace(package, manifest, "version") or "0"
        if name.startswith(("rustc-std-workspace", "litterfolio-")):
            continue  # the first are empty, the others part of the program itself
        of_rust = "/rustlib/src/rust/library/" in str(manifest) and "/vendor/" not in str(manifest)
        # The library's COPYRIGHT says so of all of it.
        licence = of_workspace(package, manifest, "license") or ("MIT OR Apache-2.0" if of_rust else None)
        try:
            if licence is None:
                raise Refused("it names no licence")
            taken = choose(licence)
        except Refused as error:
            refused.append(f"{name} {version}: {error}")
            continue
        rows.append((f"{name} {version}", licence))
        own = texts(manifest, package)
        for text in own:
            belongs(text, f"{name} {version}")
        if own:
            continue
        holders = ["The Rust Project contributors"] if of_rust else of_workspace(package, manifest, "authors") or [f"the authors of {name}"]
        for part in taken:
            standard = options.standard / f"{part}.txt"
            if not standard.is_file():
                refused.append(f"{name} {version}: it brings no text, and there is none of {part} in {options.standard}")
                continue
            text = standard.read_text(encoding="utf-8")
            belongs(text.replace("HOLDERS", ", ".join(re.sub(r"\s*<.*?>", "", holder) for holder in holders)), f"{name} {version}")
    for pair in options.also:
        name, _, file = pair.partition("=")
        rows.append((name, "its text is below"))
        belongs(Path(file).read_text(encoding="utf-8"), name)
    if not rows:
        refused.append(f"nothing was made for {options.target}: {options.messages} names no crate")
    if refused:
        sys.exit("Licences that somebody has to look at first:\n  " + "\n  ".join(refused))

    print(options.title)
    print()
    longest = max(len(name) for name, _ in rows)
    for name, licence in sorted(set(rows)):
        print(f"  {name.ljust(longest)}  {licence}")
    for text, names in sorted(whose.values(), key=lambda entry: (sorted(entry[1]), entry[0])):
        print("\n" + "=" * WIDTH)
        line = ""
        for name in sorted(set(names)):
            if line and len(line) + len(name) + 2 > WIDTH:
                print(line + ",")
                line = ""
            line += (", " if line else "") + name
        print(line)
        print("=" * WIDTH + "\n")
        print(text)


if __name__ == "__main__":
    main()
