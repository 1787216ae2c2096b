"""Lets other people's libraries judge what litterfolio wrote: feed, sitemap, structured data, JSON Schemas, and what must not be public.

    python run.py <public> <private> --program FILE --work DIR [--kennel DIR] [--counts FILE] [--only NAME]

In: the visitor's site, the keeper's book, the kennel folder both were made from, the program itself (for `schema` and second publications)
and a folder to work in. Out: one line for each check, its faults below it; exit code 1 when a check failed, 2 when none could be made.
Each file in checks/ has a NAME and `check(site, report)`. A check that looked at nothing has failed.
"""

import argparse
import importlib
import sys
import time
import traceback
from pathlib import Path

HERE = Path(__file__).resolve().parent


def arguments():
    reader = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    reader.add_argument("public", type=Path)
    reader.add_argument("private", type=Path)
    reader.add_argument("--program", type=Path, required=True)
    reader.add_argument("--work", type=Path, required=True)
    reader.add_argument("--kennel", type=Path, default=Path("."))
    reader.add_argument("--counts", type=Path)
    reader.add_argument("--only", action="append", default=[])
    return reader.parse_args()


def load_checks(only):
    names = sorted(file.stem for file in (HERE / "checks").glob("*.py") if file.stem != "__init__")
    chosen = [name for name in names if not only or name in only]
    if not chosen:
        raise ValueError(f"no check is called {' or '.join(only)}; there are {', '.join(names)}")
    return [importlib.import_module(f"checks.{name}") for name in chosen]


def run_one(module, site):
    from support.report import Report

    started = time.monotonic()
    report = Report(module.NAME)
    try:
        module.check(site, report)
    except Exception:  # noqa: BLE001 - whatever went wrong, the other checks are still to be made
        report.fault("this check", "could not finish: " + traceback.format_exc().replace("\n", "\n            "))
    report.close()
    print(report.text(time.monotonic() - started), flush=True)
    return not report.faults


def main():
    from support.site import Site

    options = arguments()
    site = Site(options)
    results = [run_one(module, site) for module in load_checks(options.only)]
    passed, failed = results.count(True), results.count(False)
    print(f"judges: {passed} passed, {failed} failed")
    if options.counts:
        options.counts.write_text(f"{passed} {failed}\n")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.dont_write_bytecode = True
    sys.path.insert(0, str(HERE))
    try:
        sys.exit(main())
    except (OSError, ValueError) as error:
        print(f"The judges could not begin: {error}", file=sys.stderr)
        sys.exit(2)
