"""Inbreeding and relationship against sgkit and against a table made here, on random pedigrees, on textbook ones and on the kennel's own.

Sources: sgkit's pedigree_inbreeding and pedigree_kinship (Apache licence); the tabular method; Mrode, Linear Models for the Prediction of Animal Breeding
Values, 3rd ed. 2014, table 2.1; Wright 1922, Am Nat 56:330-338; Falconer and Mackay, table 5.1; Maignel, Boichard and Verrier 1996 (equivalent complete
generations). An unknown parent is unrelated to everybody in all of them, as it is in the library.
"""

import random
import warnings
from collections import Counter
from functools import cache

import numpy as np
import xarray
from support import records
from support.answers import Refused, ask, near

with warnings.catch_warnings():
    # Its own libraries have newer releases, which it complains about while it is loaded.
    warnings.simplefilter("ignore")
    import sgkit

NAME = "inbreeding and relationship are those of sgkit, of the tabular method and of the textbooks"

RANDOM_PEDIGREES = 300
MATINGS = 12


def random_pedigree(rng):
    """Rows of name, sire and dam. Litter sisters, back-crosses and common ancestors are frequent; some dogs have one known parent or none. The names say
    nothing about the age, and the rows are in no order."""
    size, founders = rng.randint(6, 70), rng.randint(2, 5)
    names = [f"d{number}" for number in rng.sample(range(1000), size)]
    near_by = rng.choice([4, 8, 20])
    rows = []
    for place, name in enumerate(names):
        older = names[max(0, place - near_by):place]
        if place < founders or rng.random() < 0.05:
            parents = [None, None]
        else:
            parents = rng.sample(older, 2) if len(older) > 1 else [older[0], None]
            if rng.random() < 0.15:
                parents[rng.randint(0, 1)] = None
        rows.append((name, *parents))
    rng.shuffle(rows)
    return rows


def oldest_first(rows):
    known, order, waiting = set(), [], list(rows)
    while waiting:
        ready = [row for row in waiting if {row[1], row[2]} - {None} <= known]
        if not ready:
            raise ValueError("a pedigree that goes round in a circle")
        order += ready
        known |= {row[0] for row in ready}
        waiting = [row for row in waiting if row[0] not in known]
    return order


def table(rows):
    """Names, oldest first, and the relationship matrix by the tabular method: half the sum of the parents' rows; 1 + half the parents' relationship."""
    order = oldest_first(rows)
    place = {name: i for i, (name, _, _) in enumerate(order)}
    matrix = np.zeros((len(order), len(order)))
    for i, (_, sire, dam) in enumerate(order):
        parents = [place[parent] for parent in (sire, dam) if parent is not None]
        for parent in parents:
            matrix[i, :i] += matrix[parent, :i] / 2
        matrix[:i, i] = matrix[i, :i]
        matrix[i, i] = 1 + (matrix[parents[0], parents[1]] / 2 if len(parents) == 2 else 0)
    return place, matrix


def by_sgkit(rows):
    """Names with their place, inbreeding and relationship matrix, as sgkit has them."""
    pedigree = xarray.Dataset()
    pedigree["sample_id"] = ["samples"], [name for name, _, _ in rows]
    pedigree["parent_id"] = ["samples", "parents"], [[sire or ".", dam or "."] for _, sire, dam in rows]
    inbreeding = sgkit.pedigree_inbreeding(pedigree, allow_half_founders=True)["stat_pedigree_inbreeding"].values
    kin = sgkit.pedigree_kinship(pedigree, allow_half_founders=True, return_relationship=True)["stat_pedigree_relationship"].values
    return {name: i for i, (name, _, _) in enumerate(rows)}, inbreeding, kin


def depth(rows):
    """Of each dog: generations on the deepest line, and the sum of (1/2)^n over all known ancestors n generations back."""
    parents = {name: [parent for parent in (sire, dam) if parent is not None] for name, sire, dam in rows}

    @cache
    def lines(name):
        """How many lines lead from a dog to an ancestor each number of generations back."""
        counts = Counter({1: len(parents[name])}) if parents[name] else Counter()
        for parent in parents[name]:
            counts += Counter({generation + 1: number for generation, number in lines(parent).items()})
        return counts

    return {name: (max(lines(name), default=0), sum(number * 0.5**generation for generation, number in lines(name).items())) for name in parents}


def all_pairs(rows):
    names = [name for name, _, _ in rows]
    return [(one, other) for i, one in enumerate(names) for other in names[:i]]


def question(rows, matings):
    return {"ask": "pedigree", "dogs": [list(row) for row in rows], "matings": [list(mating) for mating in matings]}


def relationship(answer, rows, matings):
    """Our relationship matrix in the order of the rows: the offspring of two dogs are inbred by half their relationship, and a dog's own is 1 + F."""
    place = {name: i for i, (name, _, _) in enumerate(rows)}
    matrix = np.diag([1 + answer["dogs"][name]["coefficient"] for name, _, _ in rows])
    for (one, other), mating in zip(matings, answer["matings"], strict=True):
        matrix[place[one], place[other]] = matrix[place[other], place[one]] = 2 * mating["coefficient"]
    return matrix


def compare(answer, rows, matings, where, report):
    """One pedigree: inbreeding and depth of every dog, and the relationship of the pairs asked about."""
    if isinstance(answer, Refused):
        report.fault(where, f"is refused: {answer.message}")
        return
    place, matrix = table(rows)
    known, inbreeding, kin = by_sgkit(rows)
    depths = depth(rows)
    for name, _, _ in rows:
        ours = answer["dogs"][name]
        theirs = inbreeding[known[name]]
        tabular = matrix[place[name], place[name]] - 1
        fits = near(ours["coefficient"], theirs) and near(ours["coefficient"], tabular)
        report.expect(fits, f"{where}, {name}", f"has F = {ours['coefficient']!r}, sgkit {theirs!r}, the table {tabular!r}")
        deepest, complete = depths[name]
        fits = ours["deepest"] == deepest and near(ours["complete_generations"], complete)
        report.expect(fits, f"{where}, {name}", f"rests on {ours['deepest']} and {ours['complete_generations']}, not {deepest} and {complete}")
        report.saw("dogs")
        report.saw("inbred dogs", int(ours["coefficient"] > 0))
    for (sire, dam), mating in zip(matings, answer["matings"], strict=True):
        ours, theirs = 2 * mating["coefficient"], kin[known[sire], known[dam]]
        fits = near(ours, theirs) and near(ours, matrix[place[sire], place[dam]])
        report.expect(fits, f"{where}, {sire} × {dam}", f"are related by {ours!r}, sgkit {theirs!r}")
        report.saw("matings")
    # The figures of a kennel say nothing of pairs.
    for (sire, dam), mating, pair in zip(matings, answer["matings"], answer["pairs"], strict=True) if "pairs" in answer else ():
        theirs = kin[known[sire], known[dam]]
        report.expect(near(pair["relationship"], theirs), f"{where}, {sire} × {dam}", f"are related by {pair['relationship']!r}, sgkit {theirs!r}")
        fits = near(pair["paths"], mating["coefficient"], absolute=1e-9)
        report.expect(fits, f"{where}, {sire} × {dam}", f"have common ancestors that add up to {pair['paths']!r}, not {mating['coefficient']!r}")
        report.saw("pairs with their common ancestors")


def judge_random(site, report):
    rng = random.Random(1922)
    pedigrees = []
    for _ in range(RANDOM_PEDIGREES):
        rows = random_pedigree(rng)
        pairs = all_pairs(rows)
        pedigrees.append((rows, rng.sample(pairs, min(MATINGS, len(pairs)))))
    # A few are asked for every pair, so that whole matrices are compared.
    for number in range(5):
        pedigrees[number] = (pedigrees[number][0], all_pairs(pedigrees[number][0]))
    answers = ask(site, [question(*pedigree) for pedigree in pedigrees])
    for number, ((rows, matings), answer) in enumerate(zip(pedigrees, answers, strict=True)):
        compare(answer, rows, matings, f"random pedigree {number}", report)
        report.saw("pedigrees")
        report.saw("half-known dogs", sum((sire is None) != (dam is None) for _, sire, dam in rows))


def rows_of(text):
    """Rows from `name sire dam; …`, `-` for unknown."""
    return [tuple(None if word == "-" else word for word in row.split()) for row in text.split(";")]


MRODE = rows_of("1 - -;2 - -;3 1 2;4 1 -;5 4 3;6 5 2")
MRODE_MATRIX = np.array([
    [1, 0, 0.5, 0.5, 0.5, 0.25],
    [0, 1, 0.5, 0, 0.25, 0.625],
    [0.5, 0.5, 1, 0.25, 0.625, 0.5625],
    [0.5, 0, 0.25, 1, 0.625, 0.3125],
    [0.5, 0.25, 0.625, 0.625, 1.125, 0.6875],
    [0.25, 0.625, 0.5625, 0.3125, 0.6875, 1.125],
])

# A mating (the puppy is x) and its coefficient.
MATINGS_OF_TEXTBOOKS = {
    "parent and offspring": ("a - -;b - -;c a b;x a c", 1 / 4),
    "full sibs": ("a - -;b - -;c a b;d a b;x c d", 1 / 4),
    "half sibs": ("a - -;b - -;e - -;c a b;d a e;x c d", 1 / 8),
    "grandparent and grandchild": ("a - -;b - -;c a b;e - -;d e c;x a d", 1 / 8),
    "uncle and niece": ("a - -;b - -;c a b;d a b;e - -;f c e;x d f", 1 / 8),
    "double first cousins": ("a - -;b - -;c - -;d - -;e a b;f a b;g c d;h c d;i e g;j f h;x i j", 1 / 8),
    "first cousins": ("a - -;b - -;c a b;d a b;e - -;g - -;h c e;i g d;x h i", 1 / 16),
    "half cousins": ("a - -;b - -;c - -;d a b;e a c;f - -;g - -;h d f;i g e;x h i", 1 / 32),
    "second cousins": ("a - -;b - -;c a b;d a b;e - -;f - -;g c e;h d f;i - -;j - -;k g i;l h j;x k l", 1 / 64),
}
FULL_SIBS = [0.25, 0.375, 0.5, 0.59375, 0.671875, 0.734375, 0.78515625, 0.826171875, 0.859375]
BACK_CROSS = [0.25, 0.375, 0.4375, 0.46875, 0.484375]


def judge_textbooks(site, report):
    sibs = [("m0", None, None), ("f0", None, None)]
    for generation in range(1, len(FULL_SIBS) + 2):
        parents = (f"m{generation - 1}", f"f{generation - 1}")
        sibs += [(f"m{generation}", *parents), (f"f{generation}", *parents)]
    back = [("sire", None, None), ("b0", None, None), *((f"b{g}", "sire", f"b{g - 1}") for g in range(1, len(BACK_CROSS) + 2))]
    single = {words: (rows_of(text), {"x": value}) for words, (text, value) in MATINGS_OF_TEXTBOOKS.items()}
    cases = {
        "Mrode's table 2.1": (MRODE, {"5": 0.125, "6": 0.125}),
        **single,
        "repeated mating of full sibs": (sibs, {f"m{g}": value for g, value in enumerate(FULL_SIBS, 2)}),
        "repeated crossing back to one sire": (back, {f"b{g}": value for g, value in enumerate(BACK_CROSS, 2)}),
    }
    questions = [question(rows, all_pairs(rows)) for rows, _ in cases.values()]
    for (where, (rows, coefficients)), answer in zip(cases.items(), ask(site, questions), strict=True):
        compare(answer, rows, all_pairs(rows), where, report)
        for name, value in coefficients.items():
            ours = answer["dogs"][name]["coefficient"]
            report.expect(near(ours, value), f"{where}, {name}", f"has F = {ours!r}, the textbook {value!r}")
            report.saw("textbook values")
        if rows is MRODE:
            matrix = relationship(answer, rows, all_pairs(rows))
            report.expect(np.allclose(matrix, MRODE_MATRIX, rtol=0, atol=1e-12), where, f"has the matrix\n{matrix}")


def judge_kennel(site, report):
    """The dogs and litters of the kennel that was published, through its records."""
    dogs = {file.stem: records.read_file(file) for file in sorted(site.content.glob("dogs/*.yaml"))}
    litters = {file.parent.name: records.read_file(file) for file in sorted(site.content.glob("litters/*/litter.yaml"))}
    rows = [(name, *(dog.get(key) if dog.get(key) in dogs else None for key in ("sire", "dam"))) for name, dog in dogs.items()]
    [answer] = ask(site, [{"ask": "kennel", "folder": str(site.content), "now": f"{site.kennel['as_of']}T12:00:00Z"}])
    if isinstance(answer, Refused):
        report.fault("the kennel", f"is refused: {answer.message}")
        return
    matings = [(litter["sire"], litter["dam"]) for litter in litters.values()]
    of_litters = [answer["litters"][name]["inbreeding"] for name in litters]
    compare({"dogs": answer["dogs"], "matings": of_litters}, rows, matings, "the kennel", report)
    report.saw("litters of the kennel", len(matings))


def check(site, report):
    judge_random(site, report)
    judge_textbooks(site, report)
    judge_kennel(site, report)
