"""The JSON Schemas that `schema` prints: valid by the 2020-12 standard, true of every file of the kennel, and not true of wrong ones."""

import copy
import json

from jsonschema import Draft202012Validator
from support import records

NAME = "printed JSON Schemas are valid, fit the records, and refuse wrong ones"

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def heads(site, pattern):
    return [(file, records.read_markdown(file)[0]) for file in sorted(site.content.glob(pattern))]


def whole(site, pattern):
    return [(file, records.read_file(file)) for file in sorted(site.content.glob(pattern))]


FILES = {
    "kennel": (whole, "kennel.yaml"),
    "care-plan": (whole, "care-plan.yaml"),
    "dog": (whole, "dogs/*.yaml"),
    "litter": (whole, "litters/*/litter.yaml"),
    "weights": (whole, "litters/*/weights.yaml"),
    "health": (whole, "litters/*/health.yaml"),
    "owners": (whole, "owners.yaml"),
    "note": (heads, "litters/*/notes/*.md"),
    "page": (heads, "pages/*.md"),
}

# How to spoil a good record, so that an editor which knows the schema would underline it. Each takes the value and changes it.
SPOILED = {
    "kennel": [
        ("a kennel without a name", lambda it: it.pop("name")),
        ("a key nobody knows", lambda it: it.update(kennle="x")),
        ("a contact that is a number", lambda it: it.update(contact=7)),
        ("policies that are one text", lambda it: it.update(policies={"a": "b"})),
    ],
    "care-plan": [
        ("items that are a number", lambda it: it.update(items=3)),
        ("an item with a key nobody knows", lambda it: it["items"][0].update(whne="5 weeks")),
    ],
    "dog": [
        ("a dog of a third sex", lambda it: it.update(sex="both")),
        ("a dog without a name", lambda it: it.pop("name")),
        ("a key nobody knows", lambda it: it.update(syre="x")),
        ("screening that is a text", lambda it: it.update(screening=5)),
    ],
    "litter": [
        ("a litter without a dam", lambda it: it.pop("dam")),
        ("an offer nobody knows", lambda it: it["puppies"][0].update(offer="for sale")),
        ("a puppy without an id", lambda it: it["puppies"][0].pop("id")),
        ("a puppy with a key nobody knows", lambda it: it["puppies"][0].update(ribon="red")),
        ("a birth in a way nobody knows", lambda it: it["birth"].update(how="by post")),
    ],
    "weights": [
        ("weigh-ins that are no list", lambda it: {"at": "2026-10-06 07:30"}),
        ("a weigh-in without its time", lambda it: it[-1].pop("at")),
        ("a weight that is a list", lambda it: it[-1].update(fern=[1, 2])),
    ],
    "health": [
        ("entries that are no list", lambda it: {"on": "2026-10-06"}),
        ("an entry with a key nobody knows", lambda it: it[-1].update(treatmnet="x")),
        ("an entry that is a text", lambda it: it.append("wormed")),
    ],
    "owners": [
        ("families that are a text", lambda it: it.update(families="Smith")),
        ("a family with a key nobody knows", lambda it: it["families"][0].update(adress="x")),
        ("a key nobody knows", lambda it: it.update(families2=[])),
    ],
    "note": [
        ("a note without a date", lambda it: it.pop("date")),
        ("an audience nobody knows", lambda it: it.update(audience="the neighbours")),
        ("a key nobody knows", lambda it: it.update(titel="x")),
    ],
    "page": [
        ("a page without a title", lambda it: it.pop("title")),
        ("a key nobody knows", lambda it: it.update(sumary="x")),
        ("an order that is a text", lambda it: it.update(order="first")),
    ],
}


def faults(validator, value):
    return [f"{'/'.join(map(str, error.absolute_path)) or 'as a whole'}: {error.message[:160]}" for error in validator.iter_errors(value)]


def check_refusals(name, validator, good, report):
    for words, spoil in SPOILED[name]:
        wrong = copy.deepcopy(good)
        replaced = spoil(wrong)
        wrong = replaced if isinstance(replaced, dict) and words.endswith("no list") else wrong
        report.expect(faults(validator, wrong), f"schema {name}", f"accepts {words}")
        report.saw("wrong records")


def check(site, report):
    for name, (reader, pattern) in FILES.items():
        schema = json.loads(site.run("schema", name))
        report.expect(schema.get("$schema") == DIALECT, f"schema {name}", f"says it is of {schema.get('$schema')!r}")
        Draft202012Validator.check_schema(schema)
        validator = Draft202012Validator(schema)
        report.saw("schemas")
        files = reader(site, pattern)
        report.expect(files, f"schema {name}", f"the kennel has no {pattern} to try it on")
        for file, value in files:
            for fault in faults(validator, value):
                report.fault(f"schema {name}", f"refuses {file.relative_to(site.kennel_dir)}: {fault}")
            report.saw("records")
        fitting = [value for _, value in files if not faults(validator, value)]
        # The fullest record is the one to spoil: everything that a spoiler wants to change is in it.
        if report.expect(fitting, f"schema {name}", "accepts no record at all"):
            check_refusals(name, validator, max(fitting, key=lambda value: len(json.dumps(value))), report)
