"""Days, hours and due dates against Python's own calendar, its zone data and dateutil.

Sources: datetime and zoneinfo of Python, zone data of the package tzdata (the IANA database, of the very release the program holds), python-dateutil; for the
days of gestation Pontikaki and others (Hellenic J Companion Anim Med 13(1)), Concannon, Kutzler and others 2003 (Theriogenology 60:1187-1196) and Eilts and
others 2005 (Theriogenology 64:242-251), Luvoni and Grioni 2000 (J Small Anim Pract 41:292-294); 56 days before a puppy leaves as in SI 2018/486, schedule 6.
Our convention for local times: one that is skipped is taken an hour later (or by as much as was skipped), one that occurs twice is taken the first time.
"""

import math
import random
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction
from functools import cache
from importlib.resources import files
from zoneinfo import ZoneInfo

import tzdata
from dateutil.relativedelta import relativedelta
from dateutil.tz import datetime_exists, resolve_imaginary
from support.answers import Refused, ask

NAME = "ages, hours and due dates are those of Python's calendar, its zones and dateutil"

RANDOM_HOURS = 5000
CHANGES_PER_ZONE = 4
RANDOM_AGES = 5000
RANDOM_LITTERS = 4000
HOUR = timedelta(hours=1)


@cache
def zone_named(name):
    """A zone from the pinned zone data, whatever the system has."""
    with files("tzdata").joinpath("zoneinfo", *name.split("/")).open("rb") as stored:
        return ZoneInfo.from_file(stored, key=name)


def zone_names():
    """All zones that are places."""
    listed = files("tzdata").joinpath("zones").read_text(encoding="utf-8").split()
    return sorted(name for name in listed if "/" in name and not name.startswith("Etc/"))


def instants_of(zone, local):
    """The instants that a local time may be taken for, in seconds: the first one; where it was skipped, that of a clock nobody has put forward, or an hour later
    by the clock that was, if there is such a time. The two are one wherever an hour was skipped."""
    there = local.replace(tzinfo=zone_named(zone), fold=0)
    allowed = {int(there.timestamp())}
    if not datetime_exists(there) and datetime_exists(there + HOUR):
        allowed.add(int((there + HOUR).timestamp()))
    return allowed


def change_near(zone, rng):
    """A moment at which the zone's clocks change, in universal time, from a random year on; None when that year has none."""
    there = zone_named(zone)
    day = datetime(rng.randint(1950, 2080), rng.randint(1, 12), 1, tzinfo=timezone.utc)
    for _ in range(53):
        later = day + timedelta(days=7)
        if day.astimezone(there).utcoffset() != later.astimezone(there).utcoffset():
            before = day.astimezone(there).utcoffset()
            while later - day > timedelta(seconds=1):
                middle = day + timedelta(seconds=(later - day) // timedelta(seconds=2))
                day, later = (middle, later) if middle.astimezone(there).utcoffset() == before else (day, middle)
            return later
        day = later
    return None


def moments_of_changes(rng):
    """(zone, local time) around changes of the clock: before it, in what it skips or repeats, after it."""
    for zone in zone_names():
        for _ in range(CHANGES_PER_ZONE):
            change = change_near(zone, rng)
            if change is None:
                continue
            there = zone_named(zone)
            before, after = ((change + timedelta(seconds=shift)).astimezone(there).replace(tzinfo=None) for shift in (-1, 0))
            first, last = sorted((before + timedelta(seconds=1), after))
            inside = first + (last - first) * rng.random()
            for local in (first - HOUR, first - timedelta(seconds=1), first, inside, last, last + HOUR):
                yield zone, local.replace(microsecond=0)


def random_moments(rng):
    """(zone, birth, a later moment), most within the first weeks."""
    zones = zone_names()
    for _ in range(RANDOM_HOURS):
        born = datetime(1950, 1, 1) + timedelta(seconds=rng.randrange(149 * 365 * 86_400))
        if rng.random() < 0.8:
            born = born.replace(year=rng.randint(2000, 2037), day=min(born.day, 28), second=0)
        later = born + timedelta(minutes=rng.choice([60 * 24 * 7, 60 * 24 * 84, 60 * 24 * 365])) * rng.random()
        yield rng.choice(zones), born, later.replace(microsecond=0)


def judge_hours(site, report):
    [release] = ask(site, [{"ask": "zone_release"}])
    same = report.expect(release == tzdata.IANA_VERSION, "zone data", f"are of {release}, the judge's of {tzdata.IANA_VERSION}: pin tzdata of that release")
    if not same:
        return
    rng = random.Random(2000)
    noon = datetime(2001, 7, 4, 12)
    pairs = [*random_moments(rng), *((zone, local, noon) for zone, local in [*moments_of_changes(rng), *SKIPPED_DAYS])]
    answers = ask(site, [{"ask": "instants", "zone": zone, "from": str(one), "to": str(other)} for zone, one, other in pairs])
    for (zone, one, other), ours in zip(pairs, answers, strict=True):
        where = f"{zone}, {one} to {other}"
        if isinstance(ours, Refused):
            report.fault(where, f"is refused: {ours.message}")
            continue
        starts, ends = instants_of(zone, one), instants_of(zone, other)
        theirs = sorted(float(Fraction(end - start, 3600)) for start in starts for end in ends)
        fits = ours[0] in starts and ours[1] in ends
        report.expect(fits, where, f"is {float(Fraction(ours[1] - ours[0], 3600))} h ({ours}), by zoneinfo {theirs} h ({starts}, {ends})")
        count_kind(zone, one, report)


# Islands that changed sides of the date line: a whole day was skipped.
SKIPPED_DAYS = [
    (zone, datetime(*day, hour, 30))
    for zone, day in [
        ("Pacific/Apia", (2011, 12, 30)),
        ("Pacific/Fakaofo", (2011, 12, 30)),
        ("Pacific/Kiritimati", (1994, 12, 31)),
        ("Pacific/Kwajalein", (1993, 8, 21)),
    ]
    for hour in range(0, 24, 3)
]


def count_kind(zone, local, report):
    """Counts what kind of time was judged; where an hour was skipped, dateutil has its say too."""
    there = local.replace(tzinfo=zone_named(zone))
    if not datetime_exists(there):
        moved = resolve_imaginary(there)
        report.saw("skipped times")
        if moved - there == HOUR:
            report.expect(instants_of(zone, local) == {int(moved.timestamp())}, f"{zone}, {local}", f"is {moved} by dateutil")
            report.saw("skipped hours by dateutil")
    elif there.utcoffset() != there.replace(fold=1).utcoffset():
        report.saw("repeated times")
    else:
        report.saw("times that occur once")


# Days that are easy to get wrong: leap years, ends of the year, the first day of summer time in Europe.
KNOWN = [
    ("2024-01-01", 56, "2024-02-26"), ("2024-01-01", 63, "2024-03-04"), ("2024-01-01", 65, "2024-03-06"), ("2024-01-01", 84, "2024-03-25"),
    ("2024-01-01", 182, "2024-07-01"), ("2023-01-01", 63, "2023-03-05"), ("2024-02-29", 56, "2024-04-25"), ("2024-02-29", 63, "2024-05-02"),
    ("2023-12-31", 63, "2024-03-03"), ("2025-02-01", 56, "2025-03-29"), ("2025-02-01", 57, "2025-03-30"),
]


def random_day(rng):
    return date(1950, 1, 1) + timedelta(days=rng.randrange(140 * 365))


def many(number, unit):
    return f"{number} {unit}" + ("" if number == 1 else "s")


def words(born, on):
    """An age as its documentation says it, with the months of dateutil: days for two weeks, weeks and days for half a year, then months, then years."""
    days, months = (on - born).days, months_of(born, on)
    if days < 0:
        return "not born yet"
    if days == 0:
        return "born today"
    if days < 14:
        return many(days, "day")
    if months < 6:
        weeks, left = divmod(days, 7)
        return many(weeks, "week") + (f" and {many(left, 'day')}" if left else "")
    return many(months, "month") if months < 24 else many(months // 12, "year")


def months_of(born, on):
    span = relativedelta(on, born)
    return max(span.years * 12 + span.months, 0)


def judge_ages(site, report):
    rng = random.Random(1582)
    pairs = [(date.fromisoformat(born), date.fromisoformat(on)) for born, _, on in KNOWN]
    report.expect(all((on - born).days == days for (born, on), (_, days, _) in zip(pairs, KNOWN, strict=True)), "the judge", "is wrong about the calendar")
    for _ in range(RANDOM_AGES):
        born = random_day(rng)
        pairs.append((born, born + timedelta(days=rng.choice([rng.randrange(-3, 30), rng.randrange(200), rng.randrange(3650)]))))
        # Around birthdays and their months, where a count of days is easily one off.
        birthday = born + relativedelta(months=rng.choice([*range(1, 26), 36, 48, 60, 120]))
        pairs += [(born, birthday + timedelta(days=shift)) for shift in (-1, 0, 1)]
    for (born, on), ours in zip(pairs, ask(site, [{"ask": "age", "born": str(born), "on": str(on)} for born, on in pairs]), strict=True):
        theirs = {"days": (on - born).days, "months": months_of(born, on), "words": words(born, on)}
        report.expect(ours == theirs, f"{born} to {on}", f"is {ours}, by datetime and dateutil {theirs}")
        report.saw("ages")


def judge_first_days(site, report):
    """In the first two days an age is hours that passed, whatever the clocks did."""
    rng = random.Random(1916)
    cases = []
    for zone, local in moments_of_changes(rng):
        born = local - timedelta(minutes=rng.randrange(3 * 1440))
        cases.append((zone, born, born + timedelta(minutes=rng.randrange(-120, 4 * 1440))))
    answers = ask(site, [{"ask": "age_at", "zone": zone, "born": str(born), "at": str(at)} for zone, born, at in cases])
    for (zone, born, at), ours in zip(cases, answers, strict=True):
        minutes = [(end - start) // 60 if end >= start else -1 for start in instants_of(zone, born) for end in instants_of(zone, at)]
        theirs = {age_at(each, born, at) for each in minutes}
        report.expect(ours in theirs, f"{zone}, born {born}, at {at}", f"is {ours}, by zoneinfo {theirs}")
        report.saw("ages of the first days")


def age_at(minutes, born, at):
    if minutes < 0:
        return "not born yet"
    if minutes < 60:
        return many(minutes, "minute")
    return many(minutes // 60, "hour") if minutes < 2880 else words(born.date(), at.date())


def judge_leaving(site, report):
    rng = random.Random(2018)
    units = {"days": 1, "weeks": 7, "d": 1, "w": 7}
    cases = [(date.fromisoformat(born), None, 56) for born, _, _ in KNOWN]
    for _ in range(2000):
        unit = rng.choice(list(units))
        amount = rng.randint(1, 200 // units[unit])
        cases.append((random_day(rng), f"{amount} {unit}", max(amount * units[unit], 56)) if rng.random() < 0.8 else (random_day(rng), None, 56))
    answers = ask(site, [{"ask": "leaves", "born": str(born), "leaving_age": age} for born, age, _ in cases])
    for (born, age, days), ours in zip(cases, answers, strict=True):
        theirs = str(born + timedelta(days=days))
        report.expect(ours == theirs, f"born {born}, leaves at {age or '56 days'}", f"may leave from {ours}, by the calendar {theirs}")
        report.saw("leaving days")


LH_NG = 2
BASELINE = Fraction(3, 2)


def rise(litter):
    """How the rise of progesterone is known, by the words of docs/definitions.md: `day` with the days it may be rounded to, `bracket` with its two samples, or nothing that opens a window."""
    dates = [litter[key] for key in ("ovulated", "lh_surge", "dioestrus") if key in litter] + litter.get("mated", [])
    samples = litter.get("progesterone", [])
    if not samples:
        return None, set()
    late = min(dates or [day for day, _ in samples]) + timedelta(days=45)
    samples = sorted(sample for sample in samples if sample[0] < late)
    low_days = [day for day, value in samples if value < LH_NG]
    high_days = [day for day, value in samples if value >= LH_NG]
    if not low_days or not high_days or low_days[0] > high_days[0] or max(samples)[1] < LH_NG:
        return None, set()
    before = [(day, value) for day, value in samples if day < high_days[0]]
    after = before[-1][0]
    if low_days[-1] > high_days[0]:
        return "bracket", {(after, min(day for day in high_days if day > low_days[-1]))}
    quiet = [value for _, value in before if value < BASELINE]
    least = 2 * sum(quiet) / len(quiet) if quiet else 0
    risen = [(day, value) for day, value in samples if day >= high_days[0] and value >= least]
    if not risen:
        return None, set()
    day, high = risen[0]
    if day > high_days[0] or (day - after).days > 2:
        return "bracket", {(after, day)}
    exact = (day - after).days * (LH_NG - before[-1][1]) / (high - before[-1][1])
    # Half a day may be rounded either way.
    return "day", {after + timedelta(days=math.floor(exact + shift)) for shift in (Fraction(1, 2) - Fraction(1, 10**9), Fraction(1, 2) + Fraction(1, 10**9))}


def windows(litter):
    """Of each anchor that a litter has, the best first, all windows that are right: more than one only where half a day may be rounded either way."""
    known, risen = rise(litter)
    if "ovulated" in litter:
        yield {around("Ovulation", litter["ovulated"], 63, 1)}
    if "lh_surge" in litter:
        yield {around("LhSurge", litter["lh_surge"], 65, 1)}
    if known == "day":
        yield {around("Progesterone", day, 65, 2) for day in risen}
    if "dioestrus" in litter:
        yield {around("Dioestrus", litter["dioestrus"], 57, 1)}
    wide = []
    if known == "bracket":
        wide.append({span("Bracket", after + timedelta(days=64), by + timedelta(days=66)) for after, by in risen})
    if scanned := scans(litter):
        wide.append({around("Measured", day, 0, 2) for day in scanned})
    if litter.get("mated"):
        first, last = min(litter["mated"]), max(litter["mated"])
        middle = first + timedelta(days=(last - first).days // 2)
        wide.append({(*(str(day + timedelta(days=days)) for day, days in ((first, 57), (middle, 63), (last, 72))), "Mating")})
    # The narrowest first.
    yield from sorted(wide, key=lambda allowed: date.fromisoformat(min(allowed)[2]) - date.fromisoformat(min(allowed)[0]))


def span(anchor, first, last):
    return (str(first), str(first + timedelta(days=(last - first).days // 2)), str(last), anchor)


# Luvoni and Grioni 2000, J Small Anim Pract 41:292-294 (formulas from memory): days to birth are (a - mm) / b, for bitches under 10 kg and for others.
FETUS = {("inner chamber", True): ("68.68", "1.53"), ("inner chamber", False): ("82.13", "1.8"), ("head", True): ("25.11", "0.61"), ("head", False): ("29.18", "0.7")}


def scans(litter):
    """The days of birth by the middle one of the fetal measurements; with an even number of them, either of the two in the middle."""
    days = []
    for on, what, millimetres in litter.get("measured", []) if "dam" in litter else []:
        a, b = map(Fraction, FETUS[what, litter["dam"] < 10])
        exact = (a - millimetres) / b
        if 5 <= exact <= 40:
            days.append(on + timedelta(days=math.floor(exact + Fraction(1, 2))))
    days.sort()
    return {days[(len(days) - 1) // 2], days[len(days) // 2]} if days else set()


def around(anchor, day, days, spread):
    return (*(str(day + timedelta(days=days + shift)) for shift in (-spread, 0, spread)), anchor)


def written(litter):
    lines = ["name: L", "dam: d", "sire: s"]
    lines += [f"{key}: {litter[key]}" for key in ("ovulated", "lh_surge", "dioestrus") if key in litter]
    if "mated" in litter:
        lines.append(f"mated: [{', '.join(map(str, litter['mated']))}]")
    if "progesterone" in litter:
        lines.append("progesterone:")
        lines += [f"  - {{ on: {day}, value: {float(value):.2f} ng/ml }}" for day, value in litter["progesterone"]]
    if "measured" in litter:
        lines.append("measured:")
        lines += [f"  - {{ on: {day}, what: {what}, size: {float(size):.1f} mm }}" for day, what, size in litter["measured"]]
    return "\n".join(lines) + "\n"


def random_litter(rng):
    """A litter with some of the anchors, which need not agree: the best of them decides alone."""
    start = random_day(rng)
    litter = {key: start + timedelta(days=rng.randint(0, 20)) for key in ("ovulated", "lh_surge", "dioestrus") if rng.random() < 0.25}
    if rng.random() < 0.5:
        litter["mated"] = [start + timedelta(days=rng.randint(0, 9)) for _ in range(rng.randint(1, 4))]
    if rng.random() < 0.5:
        days = rng.sample(range(14), rng.randint(1, 6))
        litter["progesterone"] = [(start + timedelta(days=day), Fraction(rng.choice([100, 200, rng.randint(20, 2000)]), 100)) for day in days]
    if rng.random() < 0.5:
        kinds = {"inner chamber": (90, 700), "head": (30, 280)}
        chosen = [(start + timedelta(days=rng.randint(20, 60)), rng.choice(list(kinds))) for _ in range(rng.randint(1, 4))]
        litter["measured"] = [(day, what, Fraction(rng.randint(*kinds[what]), 10)) for day, what in chosen]
    if rng.random() < 0.8:
        litter["dam"] = rng.choice([2, 9, 10, 11, 40])
    return litter


def question(litter):
    return {"ask": "due", "litter": written(litter), "dam": f"{litter['dam']} kg" if "dam" in litter else None}


def judge_due(site, report):
    rng = random.Random(2005)
    litters = [random_litter(rng) for _ in range(RANDOM_LITTERS)]
    for litter, ours in zip(litters, ask(site, [question(litter) for litter in litters]), strict=True):
        where = f"{written(litter)} dam of {litter.get('dam')} kg"
        if isinstance(ours, Refused):
            report.fault(where, f"is refused: {ours.message}")
            continue
        mine = [tuple(window[key] for key in ("from", "likely", "to", "anchor")) for window in ours]
        theirs = list(windows(litter))
        fits = len(mine) == len(theirs) and all(window in allowed for window, allowed in zip(mine, theirs, strict=True))
        report.expect(fits, where, f"is due {mine}, by the calendar {theirs}")
        for window in mine:
            report.saw(f"windows by {window[-1]}")
        report.saw("litters without an anchor", int(not mine))


def judge_agreement(site, report):
    """One cycle seen by its four signs is due on one day: LH surge, ovulation two days and dioestrus eight days after it, and progesterone that passes 2 ng/ml."""
    rng = random.Random(2003)
    for_lh = [random_day(rng) for _ in range(500)]
    signs = []
    for lh in for_lh:
        day = timedelta(days=1)
        signs += [{"lh_surge": lh}, {"ovulated": lh + 2 * day}, {"dioestrus": lh + 8 * day}]
        signs.append({"progesterone": [(lh - day, Fraction(1)), (lh, Fraction(2)), (lh + 2 * day, Fraction(5))]})
    answers = ask(site, [question(sign) for sign in signs])
    for place, lh in enumerate(for_lh):
        likely = [best["likely"] for best, *_ in answers[4 * place:4 * place + 4]]
        report.expect(set(likely) == {str(lh + timedelta(days=65))}, f"LH surge on {lh}", f"is due on {likely} by its four signs")
        report.saw("cycles")


def check(site, report):
    judge_hours(site, report)
    judge_ages(site, report)
    judge_first_days(site, report)
    judge_leaving(site, report)
    judge_due(site, report)
    judge_agreement(site, report)
