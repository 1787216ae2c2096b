"""The papers of a puppy as other programs read them: icalendar the calendar, csv the tables, jsonschema and jwcrypto the signed record, zipfile and Pillow the
pictures, qpdf, pypdf, pikepdf and poppler the PDFs, zxing the square to scan.

The papers are written by the example program `papers` from the kennel's records. The JSON file is what the others are held against; that it says what the keeper
wrote is looked at for the weights, which are read from weights.yaml here.
"""

import base64
import copy
import csv
import hashlib
import io
import json
import re
import shutil
import subprocess
import uuid
import zipfile
from datetime import date, datetime, timedelta, timezone

import icalendar
import zxingcpp
from jsonschema import Draft202012Validator, FormatChecker
from jwcrypto import jwk, jws
from PIL import Image
from support import pdf, records
from support.answers import program

NAME = "papers of the puppies: PDF, signed record, tables, calendar and pictures as other programs read them"

IN_CALENDAR = {"worming", "vaccination", "chip", "check"}
CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
MARK = b"%litterfolio-signature: "


def write_papers(site):
    folder = site.work / "papers"
    shutil.rmtree(folder, ignore_errors=True)
    words = [program(site, "papers"), site.content, f"{site.kennel['as_of']}T12:00:00Z", folder]
    done = subprocess.run(words, capture_output=True, text=True, check=False, timeout=600)
    if done.returncode != 0:
        raise RuntimeError(f"the papers ended with {done.returncode}: {done.stderr[-3000:]}")
    return folder


def in_words(iso, short):
    day = date.fromisoformat(iso)
    return f"{day.day} {day.strftime('%b' if short else '%B')} {day.year}"


def signed(token, key):
    """The payload of a JWS; None where it does not hold."""
    checked = jws.JWS()
    try:
        checked.deserialize(token)
        checked.verify(key)
    except (jws.InvalidJWSSignature, jws.InvalidJWSObject, ValueError):
        return None
    return checked.payload


def check_figure(payload):
    number = int.from_bytes(hashlib.sha256(payload).digest(), "big") >> (256 - 100)
    symbols = "".join(CROCKFORD[number >> (95 - 5 * n) & 31] for n in range(20))
    return "-".join(symbols[n : n + 4] for n in range(0, 20, 4))


# --- The signed record --------------------------------------------------------------------------------------------------------------------

SPOILED = [
    ("a record without a puppy", lambda it: it["record"].pop("puppy")),
    ("a weight that is a text", lambda it: it["record"]["weights"][0].update(grams="212 g")),
    ("a member nobody knows", lambda it: it["record"].update(price="1")),
    ("a member nobody knows in an event", lambda it: it["record"]["events"][0].update(dosage="1")),
    ("a member nobody knows beside the record", lambda it: it.update(key="x")),
    ("a name that is nothing", lambda it: it["record"]["puppy"].update(name=None)),
    ("a chip that is nothing", lambda it: it["record"]["puppy"].update(chip=None)),
    ("a chip without its number", lambda it: it["record"]["puppy"].update(chip={})),
    ("a format that is a text", lambda it: it["record"].update(format="1")),
    ("care that is no list", lambda it: it["record"].update(care={})),
    ("a file without its signature", lambda it: it.pop("signature")),
    ("a signature that is none", lambda it: it.update(signature="yes")),
]


def check_json(file, validator, key, report):
    text = file.read_text(encoding="utf-8")
    value = json.loads(text)
    for error in validator.iter_errors(value):
        report.fault(file.name, f"does not fit its schema: {'/'.join(map(str, error.absolute_path))}: {error.message[:160]}")
    for words, spoil in SPOILED:
        wrong = copy.deepcopy(value)
        spoil(wrong)
        report.expect(list(validator.iter_errors(wrong)), file.name, f"the schema accepts {words}")
        report.saw("wrong records")
    report.expect(value.get("$schema") == validator.schema.get("$id"), file.name, f"names the schema {value.get('$schema')!r}")
    report.expect(text.index('"record"') < text.index('"signature"'), file.name, "does not begin with the record")
    payload = signed(value["signature"], key)
    if report.expect(payload is not None, file.name, "its signature does not hold"):
        report.expect(json.loads(payload) == value["record"], file.name, "signs another record than it shows")
    head, body, signature = value["signature"].split(".")
    other = base64.urlsafe_b64encode(base64.urlsafe_b64decode(body + "==").replace(b'"format":1', b'"format":2')).rstrip(b"=").decode()
    report.expect(other != body and signed(f"{head}.{other}.{signature}", key) is None, file.name, "its signature holds for a changed record")
    stranger = jwk.JWK.generate(kty="EC", crv="P-256")
    report.expect(signed(value["signature"], stranger) is None, file.name, "its signature holds under another key")
    report.saw("signed records")
    return value["record"], payload


def check_against_the_keeper(record, site, report):
    """Every weight of weights.yaml that is in grams stands in the record."""
    litter, puppy = record["puppy"]["id"].split("/")
    held = {(each["at"], each["grams"]) for each in record["weights"]}
    for block in records.read_file(site.content / "litters" / litter / "weights.yaml"):
        written = block.get(puppy)
        if written is None:
            continue
        plain = re.fullmatch(r"([0-9.]+)(?: *g)?", str(written))
        if plain and block.get("unit", "g") == "g":
            at = str(block["at"]).replace(" ", "T")
            report.expect((at, float(plain.group(1))) in held, record["puppy"]["id"], f"{written} at {at} is not in the record")
            report.saw("weights of the keeper")


# --- Tables -------------------------------------------------------------------------------------------------------------------------------


def rows_of(file, report):
    raw = file.read_bytes()
    report.expect(raw.count(b"\n") == raw.count(b"\r\n") or b'"' in raw, file.name, "has line ends other than CRLF")
    report.expect(raw.endswith(b"\r\n"), file.name, "does not end with a line end")
    text = raw.decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    report.expect(len({len(row) for row in rows}) == 1, file.name, "has rows of different lengths")
    again = io.StringIO(newline="")
    csv.writer(again).writerows(rows)
    report.expect(again.getvalue() == text, file.name, "comes back from Python's writer as another text")
    head, *rest = rows
    return [dict(zip(head, row)) for row in rest]


def number(text):
    return None if text == "" else float(text)


def check_weights(file, record, report):
    rows = rows_of(file, report)
    said = [(row["at"], int(row["age_days"]), float(row["grams"]), number(row["change_grams"]), row["birth"] == "true") for row in rows]
    held = [(each["at"], each["age_days"], each["grams"], each.get("change_grams"), each["birth"]) for each in record["weights"]]
    report.expect(said == held, file.name, "does not hold the weights of the record")
    for row in rows:
        report.expect(abs(float(row["ounces"]) * 28.349523125 - float(row["grams"])) < 0.15, file.name, f"{row['grams']} g are not {row['ounces']} oz")
        report.saw("rows of tables")


def flat(event, whose):
    def cell(value):
        if isinstance(value, list):
            looked = value and isinstance(value[0], dict)
            value = "; ".join(f"{each['what']}: {each['seen']}" for each in value) if looked else ", ".join(value)
        if isinstance(value, str):
            return f"'{value}" if value.startswith(tuple("=+-@\t\r\n＝＋－＠")) else value
        return repr(float(value)).removesuffix(".0")

    return {"whose": whose} | {name: cell(value) for name, value in event.items()}


def check_events(file, record, report):
    rows = rows_of(file, report)
    said = [{name: cell for name, cell in row.items() if cell} for row in rows]
    held = [flat(event, "puppy") for event in record["events"]] + [flat(event, "dam") for event in record["dam_events"]]
    report.expect(said == held, file.name, "does not hold the events of the record")
    for row in rows:
        for name, cell in row.items():
            plain = name in ("celsius", "for_grams")
            report.expect(plain or not cell.startswith(tuple("=+-@\t\r")), file.name, f"{cell!r} would run as a formula")
        report.saw("rows of tables")


# --- Calendar -----------------------------------------------------------------------------------------------------------------------------


def check_calendar(file, record, report):
    """Returns the UID of every item."""
    raw = file.read_bytes()
    lines = raw.split(b"\r\n")
    report.expect(all(len(line) <= 75 for line in lines), file.name, "has a line of more than 75 octets")
    report.expect(not re.search(rb"[^\r]\n|\r[^\n]", raw), file.name, "has line ends other than CRLF")
    calendar = icalendar.Calendar.from_ical(raw)
    report.expect(not calendar.errors and not any(event.errors for event in calendar.events), file.name, "cannot be read without faults")
    for name, value in (("VERSION", "2.0"), ("METHOD", "PUBLISH")):
        report.expect(str(calendar.get(name)) == value, file.name, f"{name} is {calendar.get(name)}")
    report.expect(calendar.get("PRODID"), file.name, "has no PRODID")
    events = {str(event["SUMMARY"]).lower(): event for event in calendar.events}
    puppy = record["puppy"]["name"]
    uids = {}
    for item in record["care"]:
        wanted = item["kind"] in IN_CALENDAR and item["state"] != "done"
        name = f"{puppy}: {item['name']}".lower()
        told = {"not recorded": "not recorded by the breeder", "before leaving": "for the breeder, before leaving"}.get(item["state"])
        goes_on = item["state"] in ("open", "before leaving") or (item["for_family"] and item["state"] == "not recorded")
        until = f"until {in_words(item['until'], False)}".lower() if goes_on and item["from"] != item["until"] else None
        notes = ", ".join(filter(None, [told, until]))
        full = [n for n in events if n == (f"{name} ({notes})" if notes else name)]
        event = events.pop(full[0]) if len(full) == 1 else None
        if not report.expect((event is not None) == wanted, file.name, f"{name} ({item['state']}) is {'not ' if event is None else ''}in it") or event is None:
            continue
        uids[item["id"]] = check_event(event, item, record, file.name, report)
        report.saw("events of calendars")
    news = f"{puppy}: news for {record['kennel']['name']}".lower()
    invited = sorted(str(event["DTSTART"].dt) for event in calendar.events if str(event["SUMMARY"]).lower() == news)
    asked = sorted(one["from"] for one in record.get("invitations", []) if not one.get("told"))
    report.expect(invited == asked, file.name, f"invites to tell how it is on {invited} instead of {asked}")
    report.saw("invitations", len(invited))
    events.pop(news, None)
    report.expect(not events, file.name, f"holds what no item of care is: {list(events)}")
    report.expect(len(set(uids.values())) == len(uids), file.name, "uses a UID twice")
    return uids


def check_event(event, item, record, where, report):
    first, last = item["from"], item["until"]
    starts = first
    leaves = (record.get("family") or {}).get("leaves")
    if item["state"] == "not recorded" and item["for_family"] and leaves:
        starts = max(first, leaves)
    report.expect(event.decoded("DTSTART") == date.fromisoformat(starts), where, f"{item['id']} begins on {event.decoded('DTSTART')}")
    report.expect(event.decoded("DTEND") == date.fromisoformat(starts) + timedelta(days=1), where, f"{item['id']} ends before {event.decoded('DTEND')}")
    stamp = datetime.combine(date.fromisoformat(record["up_to"]), datetime.min.time(), timezone.utc)
    report.expect(event.decoded("DTSTAMP") == stamp, where, f"{item['id']} is stamped {event.decoded('DTSTAMP')}")
    report.expect(int(event["SEQUENCE"]) == (stamp.date() - date(2000, 1, 1)).days, where, f"{item['id']} has the sequence {event['SEQUENCE']}")
    status = "CANCELLED" if item["state"] == "not needed" else "CONFIRMED"
    report.expect(str(event["STATUS"]) == status, where, f"{item['id']} is {event['STATUS']}")
    uid = uuid.UUID(str(event["UID"]))
    report.expect((uid.version, uid.variant) == (8, uuid.RFC_4122), where, f"{uid} is no UUID of version 8")
    alarms = event.walk("VALARM")
    if report.expect(len(alarms) == (item["state"] == "open"), where, f"{item['id']} ({item['state']}) has {len(alarms)} reminders") and alarms:
        report.expect(alarms[0].decoded("TRIGGER") == timedelta(hours=-15), where, f"reminds {alarms[0].decoded('TRIGGER')} before")
        report.expect(str(alarms[0]["ACTION"]) == "DISPLAY" and alarms[0].get("DESCRIPTION"), where, "has a reminder without words")
    if item["state"] == "open":
        said = str(event["DESCRIPTION"])
        for word in (in_words(first, False), in_words(last, False), "The vet decides", record["kennel"]["email"]):
            report.expect(word in said, where, f"{item['id']} does not say {word!r}")
    return str(uid)


# --- PDF ----------------------------------------------------------------------------------------------------------------------------------


def expected_words(record):
    """Every figure and word of the record that must be on paper, each a list of which one must be found."""
    for weight in record["weights"]:
        grams = weight["grams"]
        yield [f"{grams:.0f} g", f"{grams / 1000:.2f}".rstrip("0").rstrip(".") + " kg", f"{int(grams + 0.5)} g"]
        day, _, hour = weight["at"].partition("T")
        yield [f"{in_words(day, True)}, {hour}" if hour else in_words(day, True)]
    for event in record["events"] + record["dam_events"]:
        if event["kind"] == "care":
            continue
        for name, value in event.items():
            if name in ("on", "expiry", "next_due", "until"):
                yield [in_words(value, True), in_words(value, False)]
            elif name == "celsius":
                yield [f"{value:.1f} °C"]
            elif name == "for_grams":
                yield [f"{value:.0f} g", f"{value / 1000:.2f}".rstrip("0").rstrip(".") + " kg"]
            elif name == "looked_at":
                yield from ([each["seen"]] for each in value)
            elif name == "against":
                yield from ([each] for each in value)
            elif name != "kind":
                yield [value]
    for item in record["care"]:
        yield [item["name"]]
        if "on" in item:
            yield [in_words(item["on"], True)]
    for person in ("dam", "sire"):
        yield [record[person]["name"]]
        for test in record[person]["screening"]:
            yield [test["result"]]
            yield [test["test"]]
    yield from ([value] for value in records.strings(record["kennel"], skip=("country", "region")))
    yield from ([value] for value in records.strings(record["puppy"], skip=("id", "species", "born", "on", "about")))
    yield from ([note["title"]] for note in record["notes"])
    yield ["no veterinary certificate"]
    yield [in_words(record["up_to"], False)]


def check_pdf(file, record, payload, key, report):
    pdf.check_whole(file, report)
    pdf.check_accessible(file, report)
    for reader, found in (("pdftotext", pdf.words(file)), ("pypdf", pdf.words_of_pypdf(file))):
        # The running head and foot can stand between the lines of a cell that a page ends in; nothing else can.
        plain = pdf.without_breaks(found).lower()
        for choices in expected_words(record):
            good = any(pdf.without_breaks(choice.replace("'", "’")).lower() in plain or pdf.without_breaks(choice).lower() in plain for choice in choices)
            report.expect(good, file.name, f"{reader} does not find {choices[0]!r}")
            report.saw("figures on paper")
        report.expect(pdf.without_breaks(check_figure(payload)).lower() in plain, file.name, f"{reader} finds no check figure")
    check_signature(file, record, payload, key, report)


def check_signature(file, record, payload, key, report):
    raw = file.read_bytes()
    lines = [line for line in raw.split(b"\n") if line.startswith(MARK)]
    if not report.expect(len(lines) == 1, file.name, f"has {len(lines)} lines with a signature"):
        return
    place = raw.index(lines[0])
    report.expect(raw[place + len(lines[0]) + 1 :].startswith(b"startxref"), file.name, "its signature is not right before the last startxref")
    rest = raw[:place] + raw[place + len(lines[0]) + 1 :]
    said = signed(lines[0][len(MARK) :].decode(), key)
    if report.expect(said is not None, file.name, "its signature does not hold"):
        name, up_to = record["puppy"]["name"], record["up_to"]
        wanted = {"sha256": hashlib.sha256(rest).hexdigest(), "record": check_figure(payload), "name": name, "up_to": up_to}
        report.expect(json.loads(said) == wanted, file.name, f"signs {said[:200]!r}")
    without = file.with_suffix(".unsigned.pdf")
    without.write_bytes(rest)
    pdf.check_whole(without, report)
    report.saw("signed PDFs")


def check_cover(folder, report):
    told = json.loads((folder / "cover.json").read_text(encoding="utf-8"))
    for file, square in ((folder / "cover.pdf", True), (folder / "letter" / "cover.pdf", False)):
        pdf.check_whole(file, report)
        pdf.check_accessible(file, report)
        words = pdf.without_breaks(pdf.words(file))
        report.expect(len(pdf.pypdf.PdfReader(file).pages) == 1, file.name, "is more than one sheet")
        report.expect(told["code"] in words, file.name, "does not hold the code")
        report.expect((told["address"] in words) == square, file.name, "should hold the address only where there is one")
        picture = file.with_suffix("")
        subprocess.run(["pdftoppm", "-r", "100", "-png", "-singlefile", str(file), str(picture)], check=True, timeout=120)
        with Image.open(picture.with_suffix(".png")) as seen:
            scanned = [each.text for each in zxingcpp.read_barcodes(seen)]
        # Never both in one: a browser keeps every link it opened.
        wanted = [told["code"], told["address"]] if square else [told["code"]]
        report.expect(sorted(scanned) == sorted(wanted), file.name, f"scans as {scanned}")
        report.saw("cover sheets")


# --- Pictures -----------------------------------------------------------------------------------------------------------------------------


def check_pictures(folder, stem, report):
    slices = json.loads((folder / "slices.json").read_text(encoding="utf-8"))
    file = folder / f"{stem}-photos.zip"
    if not report.expect(file.exists() == bool(slices), file.name, "is there without pictures, or not there with some") or not slices:
        return
    raw = file.read_bytes()
    with zipfile.ZipFile(file) as archive:
        report.expect(archive.testzip() is None, file.name, "is broken")
        report.expect([each.filename for each in archive.infolist()] == [each["name"] for each in slices], file.name, "holds other pictures than are told")
        for each, told in zip(archive.infolist(), slices):
            report.expect(each.compress_type == zipfile.ZIP_STORED and not each.extra, file.name, f"{each.filename} is compressed or has extra fields")
            report.expect(each.date_time == (1980, 1, 1, 0, 0, 0), file.name, f"{each.filename} has the time {each.date_time}")
            part = raw[told["at"] : told["at"] + told["length"]]
            report.expect(part == archive.read(each), file.name, f"{each.filename} is not where its slice says")
            with Image.open(io.BytesIO(part)) as seen:
                report.expect((seen.format, seen.size) == ("JPEG", (told["width"], told["height"])), file.name, f"{each.filename} is {seen.format} {seen.size}")
            report.saw("pictures")


def check(site, report):
    folder = write_papers(site)
    key = jwk.JWK.from_json((folder / "public.jwk").read_text(encoding="utf-8"))
    report.expect(key.thumbprint() == json.loads((folder / "public.jwk").read_text(encoding="utf-8"))["kid"], "public.jwk", "is not called by its thumbprint")
    schema = json.loads((folder / "record.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    report.expect(schema.get("$id") == f"{site.address}record.schema.json", "record.schema.json", f"says it is found at {schema.get('$id')!r}")
    printed = json.loads(site.run("schema", "record"))
    report.expect(printed == {name: value for name, value in schema.items() if name != "$id"}, "schema record", "prints another schema")
    validator = Draft202012Validator(schema, format_checker=FormatChecker())
    seen = {}
    for puppy in sorted(each for each in folder.iterdir() if each.is_dir()):
        stem = next(puppy.glob("*-record.json")).name.removesuffix("-record.json")
        record, payload = check_json(puppy / f"{stem}-record.json", validator, key, report)
        check_against_the_keeper(record, site, report)
        check_weights(puppy / f"{stem}-weights.csv", record, report)
        check_events(puppy / f"{stem}-events.csv", record, report)
        for item, uid in check_calendar(puppy / f"{stem}-care.ics", record, report).items():
            report.expect(uid not in seen, f"{stem}-care.ics", f"{item} has the UID of {seen.get(uid)}")
            seen[uid] = f"{stem} {item}"
        for file in (puppy / f"{stem}-record.pdf", puppy / "letter" / f"{stem}-record.pdf"):
            check_pdf(file, record, payload, key, report)
        check_cover(puppy, report)
        check_pictures(puppy, stem, report)
        report.saw("puppies")
