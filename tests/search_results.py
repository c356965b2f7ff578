"""What the search of families finds, as tables: `python -m tests.search_results evolution | time | counts | rules`.

evolution   against scipy's differential evolution on the same function, for the brim load
time        processor time of every family's search for brim, likely load and count
counts      the best of all families for eight objects that differ, beside the best ready pattern
rules       the hull that carries most in usual hands, under each rule of an event
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from scipy.optimize import differential_evolution

from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.errors import BadRequest
from folder.event.rules import Rules
from folder.pattern.families.catalogue import FAMILIES
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Sheet
from folder.search.families import Improvement, improve
from folder.search.family.designs import Designs, DesignSpace
from folder.search.objective import Aim, Limits, Objective
from folder.second_process import cores
from folder.studies import study

OBJECTS = {
    "us-cent": None,
    "centimetre-cube": None,
    "marble-16": None,
    "wood-brick": 17.5,
    "chalk": 9.0,
    "sauce-cup-60": 2.5,
    "wood-screw-4x30": 1.8,
    "washer-m10": None,
}
"""Eight objects that differ, and what one of them weighs, g, where the list has no mass: a usual one (judgement)."""

SEARCHED = 4
"""So many families are searched for each object: those of which one hull each was found to hold most."""

FLOOR = Sheet().width_mm * Sheet().height_mm / 15.0
"""The least floor that `improve` asks for, mm2."""

RULES: dict[str, Rules | None] = {
    "no rule": None,
    "footprint 75 x 100 mm": Rules(footprint_mm=(75.0, 100.0)),
    "walls of 25 mm at most": Rules(wall_most_mm=25.0),
    "one open floor": Rules(one_hold=True),
    "footprint 75 x 100 mm, one open floor": Rules(footprint_mm=(75.0, 100.0), one_hold=True),
    "footprint 75 x 100 mm, walls of 25 mm at most, one open floor": Rules(
        footprint_mm=(75.0, 100.0), wall_most_mm=25.0, one_hold=True
    ),
}
"""One row each."""


class EvolutionRow(Struct, frozen=True):
    """One family's search for the brim load, and an evolution of the same numbers."""

    family: str
    numbers: int
    ours: float
    theirs: float
    tried: int
    asked: int
    combinations: int

    @classmethod
    def of(cls, family: str, **settings: object) -> EvolutionRow:
        """Both searches; the evolution has the words and counts that ours found, for each combination anew."""
        found, kind = improve(family), FAMILIES[family]
        words = {p.name: found.best.values[p.name] for p in kind.parameters if p.choices or p.whole}
        space = DesignSpace(Designs(family, Sheet(), Objective()), kind.filled(Sheet(), kind.values(words)), frozenset(words))
        asked = 0

        def cost(place: np.ndarray) -> float:
            nonlocal asked
            asked += 1
            value = space.rough(place, lambda _: None)
            return -value if value > -math.inf else 0.0

        settings = {"tol": 1e-8, "maxiter": 200, "polish": False, **settings}
        ways = (len(p.choices) or int(p.high - p.low) + 1 for p in kind.parameters if p.name in words)
        combinations = math.prod(ways)
        evolved = differential_evolution(cost, [(0.0, 1.0)] * len(space.free), rng=1, **settings)
        return cls(family, len(space.free), found.best.score, -evolved.fun, found.tried, asked, combinations)

    @property
    def text(self) -> str:
        """Its row of the table."""
        return (
            f"| {self.family} | {self.numbers} | {self.combinations} | {self.ours:.3f} | {self.theirs:.3f} | {self.tried} | {self.asked} "
            f"| {self.tried / self.asked:.3f} |"
        )


def objects() -> Iterator[Item]:
    """The eight, each with a mass."""
    for name, mass_g in OBJECTS.items():
        item = find_item(name)
        yield item if mass_g is None else replace(item, mass_g=mass_g)


def best_of_family(family: str, objective: Objective) -> Improvement | None:
    """The best of one family, None where none keeps the limits. Any number of bends is looked at by itself."""
    try:
        return improve(family, objective=objective)
    except BadRequest:
        return None


def best_of_all(objective: Objective) -> list[Improvement]:
    """The best of every family, the best first."""
    with ProcessPoolExecutor(cores(), mp_context=get_context("spawn")) as pool:
        found = pool.map(best_of_family, FAMILIES, [objective] * len(FAMILIES))
        return sorted((each for each in found if each is not None), key=lambda each: -each.best.score)


def best_counts(objective: Objective, likely: Sequence[Improvement]) -> list[Improvement]:
    """The best of the families whose best likely loads hold most objects, the best first."""
    designs = {each.family: Designs(each.family, Sheet(), objective).fine(each.best.values) for each in likely}
    known = {family: found[0].score for family, found in designs.items() if found is not None}
    first = sorted(known, key=lambda family: -known[family])[:SEARCHED]
    with ProcessPoolExecutor(cores(), mp_context=get_context("spawn")) as pool:
        found = pool.map(best_of_family, first, [objective] * len(first))
        return sorted((each for each in found if each is not None), key=lambda each: -each.best.score)


def ready_scores(objective: Objective) -> list[tuple[float, str]]:
    """What every ready pattern on the usual sheet scores, the best first; one that passes a limit has no score."""
    found = []
    for name, path in ready_patterns().items():
        pattern = read_pattern(path)
        score = objective.score_of(study(pattern, hand=objective.hand)) if pattern.sheet == Sheet() else None
        if score is not None:
            found.append((score, name))
    return sorted(found, reverse=True)


def settings_text(found: Improvement) -> str:
    """The family and its numbers, so exact that they keep the rules they were found for."""
    said = (f"{k} {v:.2f}" if isinstance(v, float) else f"{k} {v}" for k, v in found.best.values.items() if v and v != "auto")
    return f"{found.family}: {', '.join(said)}"


def evolution_table() -> Iterator[str]:
    """Row by row."""
    yield "| family | numbers | combinations of words | ours, g | evolution, g | designs tried | evolution's | share |"
    yield "|---|---|---|---|---|---|---|---|"
    for family in FAMILIES:
        yield EvolutionRow.of(family).text


def time_table() -> Iterator[str]:
    """Row by row."""
    aims: tuple[Aim, ...] = ("brim", "likely", "count")
    yield "| family | " + " | ".join(f"{aim}, s | designs | best" for aim in aims) + " |"
    yield "|---" * (1 + 3 * len(aims)) + "|"
    for family in FAMILIES:
        cells = []
        for aim in aims:
            item = find_item("us-cent") if aim == "count" else None
            began = time.process_time()
            found = improve(family, objective=Objective(aim, item, limits=Limits(floor_least_mm2=FLOOR)))
            cells.append(f"{time.process_time() - began:.2f} | {found.tried} | {found.best.score:.1f}")
        yield f"| {family} | " + " | ".join(cells) + " |"


def count_table() -> Iterator[str]:
    """Row by row."""
    yield "| object | best found | count | best ready pattern | count |"
    yield "|---|---|---|---|---|"
    likely = best_of_all(Objective("likely", limits=Limits(floor_least_mm2=FLOOR)))
    for item in objects():
        objective = Objective("count", item, limits=Limits(floor_least_mm2=FLOOR))
        best, ready = best_counts(objective, likely)[0], ready_scores(replace(objective, limits=Limits()))[0]
        yield f"| {item.label}, {item.mass_g:g} g | {settings_text(best)} | {int(best.best.score)} | {ready[1]} | {int(ready[0])} |"


def rules_table() -> Iterator[str]:
    """Row by row."""
    yield "| rule | best found | likely, g | best ready pattern | likely, g |"
    yield "|---|---|---|---|---|"
    for name, rules in RULES.items():
        objective = Objective("likely", limits=Limits(floor_least_mm2=FLOOR, rules=rules))
        best, ready = best_of_all(objective), ready_scores(replace(objective, limits=Limits(rules=rules)))
        kept = f"{ready[0][1]} | {ready[0][0]:.0f}" if ready else "none | "
        yield (
            f"| {name} | {settings_text(best[0])} | {best[0].best.score:.0f} | {kept} |"
            if best
            else f"| {name} | none | | {kept} |"
        )


TABLES = {"evolution": evolution_table, "time": time_table, "counts": count_table, "rules": rules_table}

if __name__ == "__main__":
    for line in TABLES[sys.argv[1]]():
        print(line, flush=True)  # noqa: T201 (a table is asked for)
