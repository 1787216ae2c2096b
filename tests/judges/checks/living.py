"""A living kennel, which does not pin its day, is written on the real day in its own time zone, and its pages know that they may grow older."""

import re
import shutil
from datetime import datetime, timezone
from zoneinfo import ZoneInfo

NAME = "a kennel that pins no day is written today, and only the demo stands still"


def living_kennel(site):
    kennel = site.work / "living-kennel"
    shutil.rmtree(kennel, ignore_errors=True)
    shutil.copytree(site.content, kennel / "content")
    record = kennel / "content" / "kennel.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(re.sub(r"^as_of:.*\n", "", text, flags=re.MULTILINE), encoding="utf-8")
    return kennel


def days_of(folder, report, pinned):
    """The days that the pages of a folder were written on."""
    days = set()
    for file in sorted(folder.rglob("*.html")):
        if file.parent.name == "sealed" or "handover" in file.parts:
            continue
        head = re.search(r"<html\b[^>]*>", file.read_text(encoding="utf-8")).group()
        report.expect(("data-pinned" in head) == pinned, file.name, f"should {'' if pinned else 'not '}stand still, but begins {head}")
        days.update(re.findall(r'data-today="([^"]*)"', head))
        report.saw("pages")
    return days


def check(site, report):
    report.expect(days_of(site.public, report, pinned=True) == {site.kennel["as_of"]}, "the demo", f"is not written on {site.kennel['as_of']}")
    zone = ZoneInfo(site.kennel["time_zone"])
    before = datetime.now(timezone.utc).astimezone(zone).date()
    public, _ = site.publish(living_kennel(site), "living")
    after = datetime.now(timezone.utc).astimezone(zone).date()
    days = days_of(public, report, pinned=False)
    report.expect(days in ({str(before)}, {str(after)}), "a living kennel", f"says it was written on {days}, not {after}")
