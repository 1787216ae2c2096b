"""The round and the export, read by libraries that are not ours: jsonschema, PyYAML, dateutil, csv and pandas."""

import csv
import io
import json
from datetime import date, timedelta

import pandas
from dateutil.parser import isoparse
from jsonschema import Draft202012Validator, FormatChecker
from support import records

NAME = "what is exported is all that was written, tables and JSON say the same, and a round keeps to the calendar"

OUNCE = 28.349523125  # g, international yard and pound agreement of 1959


def schema_of(site, name, report):
    schema = json.loads(site.run("schema", name))
    Draft202012Validator.check_schema(schema)
    report.saw("schemas")
    return Draft202012Validator(schema, format_checker=FormatChecker())


def fits(validator, value, where, report):
    for error in list(validator.iter_errors(value))[:5]:
        report.fault(where, f"{'/'.join(map(str, error.absolute_path))}: {error.message[:160]}")


def check_round(site, report):
    validator = schema_of(site, "rounds", report)
    today = isoparse(str(site.kennel["as_of"])).date()
    for days in (0, 1, 7, 60):
        round_ = json.loads(site.run("rounds", "--json", "--days", days, "--kennel", site.kennel_dir))
        where = f"the round of {days} days"
        fits(validator, round_, where, report)
        report.expect(isoparse(round_["last"]).date() == today + timedelta(days=days), where, f"looks until {round_['last']}")
        for task in round_["tasks"]:
            report.saw("tasks")
            day = isoparse(task["day"]).date()
            ahead = (day - today).days
            expected = {0: "today", 1: "tomorrow"}.get(ahead, "later")
            urgent = task["urgency"] in ("call the vet", "overdue")
            report.expect(0 <= ahead <= days, where, f"{task['what']} is for {day}")
            report.expect(task["urgency"] == expected or (urgent and ahead == 0), where, f"{task['what']} on {day} is called {task['urgency']}")
            for word in ("since", "until"):
                if task[word] is not None:
                    isoparse(task[word])
            # What began is not over, and what is overdue is.
            report.expect(task["until"] is None or isoparse(task["until"]).date() >= day, where, f"{task['what']} ends before its day")
            report.expect(task["since"] is None or isoparse(task["since"]).date() <= today, where, f"{task['what']} begins later than today")


def steps_of_winter(site, report):
    """The steps of the expected litter, each on the days that the record's ovulation gives by the calendar of Python."""
    litter = records.read_file(site.content / "litters" / "winter-2026" / "litter.yaml")
    ovulated = isoparse(str(litter["ovulated"])).date()
    round_ = json.loads(site.run("rounds", "--json", "--days", "60", "--kennel", site.kennel_dir))
    tasks = [task for task in round_["tasks"] if task["litter"] == "winter-2026"]
    # X-ray 53 to 60 days after ovulation, section 61 + 1 to 65 - 1 (clinics’ rule, less the spread of the anchor), birth 63 ± 1 (Pontikaki and others).
    for word, first, last in (("X-ray", 53, 60), ("section", 62, 64), ("the litter is due", 62, 64)):
        days = [(task["day"], task["until"]) for task in tasks if word in task["what"]]
        expected = (str(ovulated + timedelta(days=first)), str(ovulated + timedelta(days=last)))
        report.expect(days == [expected], "the expected litter", f"{word}: {days}, not {expected}")
        report.saw("steps")


def table(folder, name):
    bytes_ = (folder / f"{name}.csv").read_bytes()
    rows = list(csv.DictReader(io.StringIO(bytes_.decode("utf-8-sig"), newline="")))
    return rows, pandas.read_csv(io.BytesIO(bytes_), encoding="utf-8-sig", dtype=str, keep_default_na=False)


def check_weights(site, folder, export, report):
    """Every weight of every file, read by PyYAML, in both tables and JSON."""
    written = {}
    for file in sorted(site.content.glob("litters/*/weights.yaml")):
        for block in records.read_file(file):
            for puppy, weight in block.items():
                if puppy not in ("at", "by", "remark", "unit"):
                    written[(file.parent.name, str(block["at"]).replace(" ", "T")[:16], puppy)] = str(weight)
    rows, frame = table(folder, "weights")
    in_table = {(row["litter"], row["weigh_in"][:16], row["puppy"]): row["weight_written"] for row in rows}
    report.expect(in_table == written, "weights.csv", f"{len(set(in_table.items()) ^ set(written.items()))} weights differ from those written")
    report.saw("weights", len(written))
    for row in rows:
        if row["weight_written"].endswith(" g"):
            grams = float(row["weight_written"][:-2])
            report.expect(abs(float(row["weight_grams"]) - grams) < 1e-6, "weights.csv", f"{row['weight_written']} is given as {row['weight_grams']} g")
        elif row["weight_written"] == "7 3/4 oz":
            report.expect(abs(float(row["weight_grams"]) - 7.75 * OUNCE) < 1e-6, "weights.csv", f"7 3/4 oz is given as {row['weight_grams']} g")
            report.saw("weights in ounces")
    report.expect(len(frame) == len(rows), "weights.csv", "pandas and csv disagree on how many rows there are")
    in_json = sum(len(weigh_in["weights"]) for litter in export["litters"] for weigh_in in litter["weigh_ins"])
    report.expect(in_json == len(written), "records.json", f"holds {in_json} weights of {len(written)}")


def check_tables(folder, export, report):
    """Each table has a row for each thing of its list."""
    of_litters = lambda name: [thing for litter in export["litters"] for thing in litter[name]]  # noqa: E731
    lists = {
        "dogs": export["dogs"],
        "litters": export["litters"],
        "puppies": of_litters("puppies"),
        "weigh-ins": of_litters("weigh_ins"),
        "health": of_litters("health"),
        "notes": of_litters("notes"),
        "families": export["families"],
        "waiting": export["waiting"],
        "register": export["register"],
        "asked": export["asked"],
        "kennel": [export["kennel"]],
    }
    for name, things in lists.items():
        rows, frame = table(folder, name)
        report.expect(len(rows) == len(frame) == len(things) > 0, f"{name}.csv", f"{len(rows)} rows by csv, {len(frame)} by pandas, {len(things)} in JSON")
        report.expect(list(frame.columns) == list(rows[0]), f"{name}.csv", "pandas and csv read other columns")
        report.saw("tables")


def check(site, report):
    check_round(site, report)
    steps_of_winter(site, report)
    folder = site.work / "export"
    site.run("export", "--kennel", site.kennel_dir, "--out", folder)
    export = json.loads((folder / "records.json").read_text(encoding="utf-8"))
    fits(schema_of(site, "export", report), export, "records.json", report)
    report.expect(json.loads((folder / "export.schema.json").read_text(encoding="utf-8")) == json.loads(site.run("schema", "export")), "export.schema.json", "is not what `schema export` prints")
    check_weights(site, folder, export, report)
    check_tables(folder, export, report)
    for file in export["files"]:
        report.expect((site.content / file["path"]).read_text(encoding="utf-8") == file["text"], file["path"], "is not exported as it stands")
        report.saw("files as they stand")
    report.expect(date.fromisoformat(export["today"]) == isoparse(str(site.kennel["as_of"])).date(), "records.json", "was made on another day")
