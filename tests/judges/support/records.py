"""The kennel's records, read here independently of the program.

YAML is read as YAML 1.2 has it: dates and clock times stay the text they are, only plain numbers, true, false and null become values.
"""

import re

import yaml


class _Loader(yaml.SafeLoader):
    """A loader whose only plain values are those of the YAML 1.2 core schema."""


_Loader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in [
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", list("-+0123456789")),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", list("-+.0123456789")),
]:
    _Loader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_pattern})$"), _first)
_Loader.add_implicit_resolver("tag:yaml.org,2002:merge", re.compile("^<<$"), ["<"])


def read(text):
    """The value of a YAML text."""
    return yaml.load(text, Loader=_Loader)  # noqa: S506 - a subclass of the safe loader


def read_file(file):
    return read(file.read_text(encoding="utf-8"))


def read_markdown(file):
    """A Markdown file with a YAML head: (head, body)."""
    _, head, body = re.split(r"^---[ \t]*$", file.read_text(encoding="utf-8"), maxsplit=2, flags=re.MULTILINE)
    return read(head), body


def strings(value, skip=()):
    """Every string inside a value; what stands under a key in `skip` is left out."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key not in skip:
                yield from strings(inner, skip)
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner, skip)
    elif isinstance(value, str):
        yield value
