"""Weights, hormone values, temperatures and chip numbers against exact fractions and against the published definitions.

Sources: the international yard and pound agreement of 1959 (1 lb = 453.59237 g, 1 oz = 1/16 lb); progesterone 1 ng/ml = 3.18 nmol/l (Animal Health Laboratory,
University of Guelph), from its molar mass of 314.46 g/mol; 0 °C = 32 °F and 5 °C = 9 °F; ISO 11784: 64 bits, of which 10 are the country or manufacturer
and 38 the identity, printed as 3 and 12 digits.
"""

import random
import re
from fractions import Fraction

from support.answers import Refused, ask

NAME = "weights, hormones, temperatures and chip numbers are exact by their definitions"

POUND = Fraction("453.59237")
OUNCE = POUND / 16
UNITS = {"g": Fraction(1), "kg": Fraction(1000), "oz": OUNCE, "lb": POUND}
# Weights are kept in whole nanograms: half a nanogram is lost, and a little in floating point.
NANOGRAM = Fraction(1, 10**9)
# The program takes a weight from one gram on: ours, no source.
LIGHTEST = 1
HEAVIEST = 200_000


def number_text(rng, most):
    """A number as keepers write it, and its exact value: whole, with a point or comma, or with a fraction."""
    way = rng.choice(["whole", "point", "comma", "fraction"])
    if way == "whole":
        value = rng.randint(1, most)
        return str(value), Fraction(value)
    if way == "fraction":
        bottom = rng.choice([2, 3, 4, 8, 16])
        whole, top = rng.randint(0, most - 1), rng.randint(1, bottom - 1)
        return f"{whole} {top}/{bottom}" if whole or rng.random() < 0.5 else f"{top}/{bottom}", whole + Fraction(top, bottom)
    places = rng.randint(1, 4)
    text = f"{rng.randint(0, most - 1)}.{rng.randint(1, 10**places - 1):0{places}}"
    return (text.replace(".", ",") if way == "comma" else text), Fraction(text)


def random_weight(rng):
    """A weight as written, and its exact grams."""
    space = rng.choice(["", " "])
    if rng.random() < 0.3:
        pounds = rng.randint(0, 300)
        text, ounces = number_text(rng, 15)
        return f"{pounds} lb {text}{rng.choice(['', ' oz', 'oz'])}", pounds * POUND + ounces * OUNCE
    unit = rng.choice(list(UNITS))
    text, value = number_text(rng, int(HEAVIEST / UNITS[unit]) - 1)
    return f"{text}{space}{rng.choice([unit, unit.upper()])}", value * UNITS[unit]


def shown(text):
    """(exact grams of a text the program shows, half of its last place)."""
    if found := re.fullmatch(r"(?:(\d+) lb )?(\d+(?:\.\d)?) oz", text):
        pounds, ounces = int(found[1] or 0), Fraction(found[2])
        return (pounds * POUND + ounces * OUNCE, OUNCE / 20) if ounces < 16 else None
    if found := re.fullmatch(r"(\d+) g", text):
        return Fraction(found[1]), Fraction(1, 2)
    if found := re.fullmatch(r"(\d+(?:\.\d\d?)?) kg", text):
        return Fraction(found[1]) * 1000, Fraction(5)
    return None


def judge_weights(site, report):
    rng = random.Random(1959)
    cases = [("1 oz", OUNCE), ("1 lb", POUND), ("200 kg", Fraction(HEAVIEST)), ("1 g", Fraction(1)), ("0.0353 oz", Fraction("0.0353") * OUNCE), ("1 lb 15.99 oz", POUND + Fraction("15.99") * OUNCE)]
    cases += [random_weight(rng) for _ in range(6000)]
    for (text, grams), ours in zip(cases, ask(site, [{"ask": "weight", "text": text} for text, _ in cases]), strict=True):
        if grams < LIGHTEST:
            report.expect(isinstance(ours, Refused), text, f"is taken in, below {LIGHTEST} g")
            report.saw("weights below the least")
            continue
        if isinstance(ours, Refused):
            report.fault(text, f"is refused: {ours.message}")
            continue
        report.expect(abs(Fraction(ours["grams"]) - grams) <= NANOGRAM, text, f"is {ours['grams']!r} g, exactly {float(grams)!r}")
        report.expect(abs(Fraction(ours["ounces"]) - grams / OUNCE) <= NANOGRAM / OUNCE * 2, text, f"is {ours['ounces']!r} oz, exactly {float(grams / OUNCE)!r}")
        for words in ours["shown"]:
            value, half = shown(words) or (None, None)
            # A tie may be rounded either way, and the last nanogram decides what is one.
            report.expect(value is not None and abs(value - grams) <= half + NANOGRAM, text, f"is shown as {words}, but is {float(grams)} g")
            report.saw("shown weights")
        report.saw("weights")
    refuse(site, "weight", ["0 g", "0.001 g", "0.999 g", "0.0352 oz", "200.001 kg", "441 lb", "-5 g", "12", "1 lb 16 oz", "1 oz 2 g", "7 4/3 oz", "7/0 oz", "1e3 g", "٣ g", "NaN g"], report)


def refuse(site, ask_for, texts, report):
    for text, ours in zip(texts, ask(site, [{"ask": ask_for, "text": text} for text in texts]), strict=True):
        report.expect(isinstance(ours, Refused), f"{ask_for} {text!r}", f"is taken for {ours}")
        report.saw("refused texts")


def judge_hormones(site, report):
    factor = Fraction("3.18")
    molar = 1000 / Fraction("314.46")
    report.expect(abs(molar - factor) < Fraction("0.005"), "the factor 3.18", f"is not 1000 / 314.46 = {float(molar)}")
    table = {"4.77": "1.5", "6.36": "2", "7.95": "2.5", "12.72": "4", "15.9": "5", "25.44": "8", "31.8": "10", "63.6": "20"}
    rng = random.Random(314)
    cases = [(f"{nmol} nmol/l", Fraction(ng)) for nmol, ng in table.items()] + [(f"{ng} ng/ml", Fraction(ng)) for ng in table.values()]
    cases += [("200 ng/ml", Fraction(200)), ("0 ng/ml", Fraction(0))]
    for _ in range(1500):
        text, value = number_text(rng, 199)
        cases.append((f"{text} ng/ml", value))
        text, value = number_text(rng, 635)
        cases.append((f"{text} {rng.choice(['nmol/l', 'nmol/L'])}", value / factor))
    for (text, exact), ours in zip(cases, ask(site, [{"ask": "progesterone", "text": text} for text, _ in cases]), strict=True):
        if isinstance(ours, Refused):
            report.fault(text, f"is refused: {ours.message}")
            continue
        report.expect(abs(Fraction(ours) - exact) <= Fraction(1, 10**12) * max(exact, 1), text, f"is {ours!r} ng/ml, exactly {float(exact)!r}")
        report.saw("hormone values")
    refuse(site, "progesterone", ["200.01 ng/ml", "636.1 nmol/l", "5", "5 mg/l", "-1 ng/ml"], report)


def judge_temperatures(site, report):
    cases = {f"{tenths / 10:.1f} °C": Fraction(tenths, 10) for tenths in range(200, 451)}
    # The ends themselves, 68 and 113 °F, are whole in both scales.
    cases |= {f"{tenths / 10:.1f} {unit}": (Fraction(tenths, 10) - 32) * 5 / 9 for tenths in range(680, 1131) for unit in ("°F", "F")}
    for (text, exact), ours in zip(cases.items(), ask(site, [{"ask": "temperature", "text": text} for text in cases]), strict=True):
        if isinstance(ours, Refused):
            report.fault(text, f"is refused: {ours.message}")
            continue
        report.expect(abs(Fraction(ours) - exact) <= Fraction(1, 10**12), text, f"is {ours!r} °C, exactly {float(exact)!r}")
        report.saw("temperatures")
    refuse(site, "temperature", ["19.9 °C", "45.1 °C", "67.9 °F", "113.1 °F", "38", "38 K"], report)


LARGEST = 2**38 - 1
# Codes as a reader shows them, and the digits printed for them: from a public thread of questions and answers, checked bit by bit.
CODES = {
    "8000F580076C2BA9": "982000124529577",
    "8000F580076C2C34": "982000124529716",
    "8000F580076C2C32": "982000124529714",
    "8000F580076C2DD4": "982000124530132",
    "8000F580076C2BDC": "982000124529628",
}


def digits_of(code):
    """The 15 digits of a 64-bit code: 1 bit for an animal, 14 reserved, 1 for more data, 10 of country or manufacturer, 38 of identity."""
    bits = f"{code:064b}"
    return f"{int(bits[16:26], 2):03}{int(bits[26:], 2):012}"


def code_of(prefix, identity):
    return 1 << 63 | prefix << 38 | identity


def written_ways(digits):
    """The same number as certificates print it."""
    yield digits
    yield f"{digits[:3]} {digits[3:]}"
    yield f"{digits[:3]}-{digits[3:7]}-{digits[7:11]}-{digits[11:]}"
    yield " ".join(digits[i:i + 3] for i in range(0, 15, 3))


def judge_chips(site, report):
    report.expect(LARGEST == 274_877_906_943, "38 bits", f"hold {LARGEST}")
    for code, digits in CODES.items():
        report.expect(digits_of(int(code, 16)) == digits, code, f"is {digits_of(int(code, 16))}, printed {digits}")
    rng = random.Random(11784)
    codes = [int(code, 16) for code in CODES]
    codes += [code_of(prefix, identity) for prefix in (1, 276, 826, 900, 998) for identity in (0, 1, LARGEST - 1, LARGEST)]
    codes += [code_of(rng.randint(1, 998), rng.randrange(LARGEST + 1)) for _ in range(2000)]
    cases = [(way, digits) for digits in map(digits_of, codes) for way in written_ways(digits)]
    for (text, digits), ours in zip(cases, ask(site, [{"ask": "chip", "text": text} for text, _ in cases]), strict=True):
        report.expect(ours == digits, text, f"is {ours}, not {digits}")
        report.saw("chip numbers")
    wrong = [f"{prefix:03}{identity:012}" for prefix in (276, 982) for identity in (LARGEST + 1, LARGEST + 2, 999_999_999_999)]
    wrong += [f"{rng.randint(1, 998):03}{rng.randint(LARGEST + 1, 10**12 - 1):012}" for _ in range(500)]
    wrong += ["000000124529577", "999000124529577", "98200012452957", "9820001245295770", "98200012452957X", "982 00012452957", "٩٨٢000124529577", ""]
    refuse(site, "chip", wrong, report)


def check(site, report):
    judge_weights(site, report)
    judge_hormones(site, report)
    judge_temperatures(site, report)
    judge_chips(site, report)
