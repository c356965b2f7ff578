"""Hulls held against each other with one object: which takes the most, and why, in a sentence.

contender   a hull with what usual hands get into it, in objects or in g, and what perfect hands would
winner      the one that likely takes the most; where that is a near thing it is said
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from folder.draw.chart import Spread
from folder.errors import BadRequest
from folder.hull.shape import Measures
from folder.pattern.pattern import Pattern
from folder.practice.counted import joined_cargo, joined_prediction
from folder.studies import Study
from folder.units import rounded_down
from folder.verdict import Verdict, stand_sentence, verdict_of

NEAR = 0.04
"""Two hulls whose likely loads differ by less than this part are as good as each other: less than a fold costs (judgement)."""

MORE = 0.03
"""A measure that is larger by less explains nothing."""

CM3 = 1000.0
TIPS = ("tilt", "tipping", "stability")


class Contender(Struct, frozen=True, eq=False):
    """A hull as it is compared. `low`, `likely`, `high` and `most` are objects, or g where there is no object; None: it holds nothing."""

    name: str
    pattern: Pattern
    verdict: Verdict
    measures: Measures
    low: float | None = None
    likely: float | None = None
    high: float | None = None
    most: float | None = None
    """What perfect hands get in: by the brim load, as far as there is room."""
    limited_by: str = ""
    """What limits a count (mass, room, tilt, tipping) or a load (rim, tilt, stability)."""
    hold_until: int = 0
    standing: str = ""
    """Till when a hand must hold it, in words."""
    basis: str = ""
    """What it rests on, where there are trials."""
    about: bool = False
    """A first count: packing and order have not been searched."""

    @property
    def good(self) -> bool:
        """It folds to a hull that is allowed, and holds something."""
        return self.verdict.level == "good" and self.likely is not None

    @property
    def spread(self) -> Spread:
        """Its row in a chart."""
        if self.low is None or self.likely is None or self.high is None:
            return Spread(self.name, None, text=self.verdict.short if self.verdict.level != "good" else "carries nothing yet")
        return Spread(self.name, (self.low, self.likely, self.high), self.most, about=self.about)


def contender(study: Study, item: Item | None = None, *, first: bool = False) -> Contender:
    """A hull held against others with an object, as `cargo` counts it; without one in g.

    `first` is a first count: at once, a few objects off at most. BadRequest for an object without a mass.
    """
    verdict = verdict_of(study)
    base = Contender(study.pattern.name, study.pattern, verdict, study.measures, standing=stand_sentence(study))
    if study.hull is None or study.brim is None or study.joined_load is None or study.working is None:
        return base
    basis = "" if study.joined is None or not study.joined.evidence.n else study.load.basis or ""
    if item is None:
        load = study.joined_load
        return replace(
            base,
            low=load.low_g,
            likely=load.likely_g,
            high=load.high_g,
            most=load.brim_g,
            limited_by=load.limited_by,
            basis=basis,
        )
    try:
        vessel = vessel_of(study.hull, study.water, study.working)
        each = _each(item)
        if first:
            quick = predict(vessel, item, rounds=0)
            cargo, _ = joined_cargo(quick, study.joined, float(each), lambda _: quick.loading)
        else:
            cargo, _ = joined_prediction(vessel, item, study.joined)
    except BadRequest as error:
        if item.mass_g is None:
            raise
        return replace(base, verdict=Verdict("too-many", "neutral", str(error)))
    return replace(
        base, low=cargo.count_low, likely=cargo.count, high=cargo.count_high, most=cargo.perfect,
        limited_by=cargo.limited_by, hold_until=cargo.hold_until, basis=basis,
        about=first,
    )  # fmt: skip


def _each(item: Item) -> float:
    if item.mass_g is None:
        raise BadRequest(
            "its mass varies too much to be listed", where=f"object '{item.name}'", remedy="Weigh yours and give its mass"
        )
    return item.mass_g


def ranked(contenders: Sequence[Contender]) -> list[int]:
    """The numbers of the contenders, the best first: hulls that are allowed, by what is likely, then by what is low, then as given."""

    def place(k: int) -> tuple[bool, float, float, int]:
        one = contenders[k]
        return (not one.good, -(one.likely or 0.0), -(one.low or 0.0), k)

    return sorted(range(len(contenders)), key=place)


def distinct_names(names: Sequence[str], details: Sequence[str] = ()) -> tuple[str, ...]:
    """The same names, told apart where two are alike: by a detail where that differs, else by a number."""
    out = list(names)
    for name in dict.fromkeys(names):
        alike = [k for k, one in enumerate(names) if one == name]
        if len(alike) < 2:
            continue
        extra = [details[k] if k < len(details) else "" for k in alike]
        if len(set(extra)) == len(extra) and all(extra):
            for k, detail in zip(alike, extra, strict=True):
                out[k] = f"{name}, {detail}"
        else:
            taken = set(out)
            for number, k in enumerate(alike[1:], 2):
                while f"{name} ({number})" in taken:
                    number += 1
                out[k] = f"{name} ({number})"
                taken.add(out[k])
    return tuple(out)


def why_it_wins(contenders: Sequence[Contender], item: Item | None = None) -> str:
    """Which hull takes the most and why, in a sentence or two; "" where fewer than two hold something."""
    order = [contenders[k] for k in ranked(contenders) if contenders[k].good]
    if not order:
        return "None of them is a hull that may be loaded yet."
    if len(order) < 2:
        return ""
    best = order[0]
    others = [one for one in order[1:] if (one.pattern.creases, one.pattern.sheet) != (best.pattern.creases, best.pattern.sheet)]
    if not others:
        return "They are the same hull."
    second = others[0]
    ahead = (best.likely or 0.0) - (second.likely or 0.0)
    if ahead <= NEAR * (best.likely or 0.0):
        return f"As good as “{second.name}”: fold and test both. {_caution(best, second)}".strip()
    more = f"{rounded_down(ahead)} g" if item is None else f"{int(ahead)}"
    return f"The most: {more} more than “{second.name}”. {_reason(best, second)} {_caution(best, second)}".strip()


def _reason(best: Contender, second: Contender) -> str:
    """What the best has more of than the next one, the plainest first."""
    mine, theirs = best.measures, second.measures
    if second.limited_by == "room" and best.limited_by != "room":
        return "There is room in it for more."
    if mine.volume_mm3 > (1.0 + MORE) * theirs.volume_mm3:
        said = (
            f"{_how(best, second)}it pushes more water away: {mine.volume_mm3 / CM3:.0f} cm³, not {theirs.volume_mm3 / CM3:.0f}."
        )
        return said[0].upper() + said[1:]
    if second.limited_by in TIPS and best.limited_by not in TIPS:
        return "It lies steadier: less is lost when the load is off the middle."
    if mine.foil_mass_g < (1.0 - MORE) * theirs.foil_mass_g:
        return "It is lighter itself."
    if (best.most or 0.0) and (best.likely or 0.0) / max(best.most or 1.0, 1e-9) > (second.likely or 0.0) / max(
        second.most or 1.0, 1e-9
    ):
        return "It forgives more: uneven folds and a load off the middle cost it less."
    return "It is the better mix of floor and wall."


def _how(best: Contender, second: Contender) -> str:
    """What of its form makes it hold more water away."""
    mine, theirs = best.measures, second.measures
    floor = mine.floor_area_mm2 / max(theirs.floor_area_mm2, 1.0)
    wall = mine.rim_height_mm / max(theirs.rim_height_mm, 0.1)
    if floor > 1.0 + MORE and wall > 1.0 + MORE:
        return "its floor is larger and its rim higher, so "
    if floor > 1.0 + MORE:
        return "its floor is larger, so "
    if wall > 1.0 + MORE:
        return "its rim is higher, so "
    return "its walls lean out, so " if mine.footprint_mm > theirs.footprint_mm else ""


def _caution(best: Contender, second: Contender) -> str:
    """What is to be minded with it."""
    if best.hold_until or best.standing:
        return best.standing or f"Hold it until {best.hold_until} stand in it."
    if best.limited_by in TIPS and second.limited_by not in TIPS:
        return "But it tips sooner: load the middle first."
    return ""
