#!/usr/bin/env python3
"""Lays texts to start from: every record of the demo and of the cases, with the byte that names its file in the kennel of the cases."""

import hashlib
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
OUT = Path(__file__).parent / "corpus" / "records"


def sections(text: str) -> list[tuple[str, str]]:
    """Path and text of every section of a case file."""
    found = []
    for section in re.split(r"^=== ", text, flags=re.M)[1:]:
        head, _, body = section.partition("\n")
        found.append((head.split(" (")[0].strip(), body))
    return found


def kind(path: str) -> str:
    """What a file is, by its path: `dogs/x.yaml` is `dogs`, `litters/x/weights.yaml` is `weights.yaml`."""
    parts = path.split("/")
    if parts[0] == "litters":
        return "note" if "notes" in parts else parts[-1]
    return parts[0]


def main() -> None:
    base = [path for path, _ in sections((ROOT / "tests/cases/base.txt").read_text())]
    places: dict[str, int] = {}
    for index, path in enumerate(base):
        places.setdefault(kind(path), index)
    texts = [(kind(path), text) for case in sorted((ROOT / "tests/cases").rglob("*.txt")) for path, text in sections(case.read_text())]
    content = ROOT / "content"
    texts += [(kind(str(file.relative_to(content))), file.read_text()) for file in sorted(content.rglob("*")) if file.suffix in (".yaml", ".md")]
    OUT.mkdir(parents=True, exist_ok=True)
    count = 0
    for name, text in texts:
        if name in places:
            seed = bytes([places[name]]) + text.encode()
            (OUT / hashlib.sha1(seed).hexdigest()).write_bytes(seed)
            count += 1
    print(f"{count} texts in {OUT.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
