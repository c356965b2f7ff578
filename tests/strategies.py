"""Hypothesis strategies: sheets, creases, patterns, hulls that fold, moves that change nothing, and broken files."""

from __future__ import annotations

import json
import math

from hypothesis import Phase, settings
from hypothesis import strategies as st

from folder.findings import Point
from folder.pattern.pattern import SENSES, Crease, Pattern, Sheet
from tests.drawings import drawn, tray


def tried(times: int) -> settings:
    """How often a fact is tried: the same examples each time, so that a red test stays red, and no race against the clock.

    A failing example is shown as it was found: to make it small takes minutes with whole patterns.
    """
    phases = [Phase.explicit, Phase.generate]
    return settings(max_examples=times, deadline=None, derandomize=True, phases=phases)


SIDES = st.floats(20.0, 1000.0).map(lambda side: round(side, 3))


def sheets() -> st.SearchStrategy[Sheet]:
    """Any sheet a file may hold; the school square often."""
    return st.just(Sheet()) | st.builds(Sheet, SIDES, SIDES, st.floats(1.0, 1000.0))


def places(sheet: Sheet) -> st.SearchStrategy[Point]:
    """Places on a coarse grid, on the sheet's edge, anywhere on it, a hair beside the grid, and off it."""
    width, height = sheet.width_mm, sheet.height_mm
    grid = st.tuples(st.integers(0, 6).map(lambda i: i * width / 6.0), st.integers(0, 6).map(lambda i: i * height / 6.0))
    hair = st.floats(-0.06, 0.06)
    beside = st.builds(lambda p, dx, dy: (p[0] + dx, p[1] + dy), grid, hair, hair)
    anywhere = st.tuples(st.floats(0.0, width), st.floats(0.0, height))
    off = st.tuples(st.floats(-50.0, width + 50.0), st.floats(-50.0, height + 50.0))
    return grid | anywhere | beside | off


def turns() -> st.SearchStrategy[float | None]:
    """Turns in rad: the usual ones often, free ones, any."""
    usual = st.sampled_from([0.0, 45.0, 90.0, 180.0]).map(math.radians)
    return usual | st.none() | st.floats(0.0, math.pi)


def creases(sheet: Sheet) -> st.SearchStrategy[Crease]:
    """Any line at all, dots included."""
    steps = st.none() | st.integers(0, 10_000)
    return st.builds(Crease, places(sheet), places(sheet), st.sampled_from(SENSES), turns(), steps)


@st.composite
def patterns(draw: st.DrawFn, most: int = 60) -> Pattern:
    """Any drawing, however odd: loose lines, sometimes over a tray that folds."""
    sheet = draw(sheets())
    base: tuple[Crease, ...] = ()
    if most >= 32 and draw(st.booleans()):
        wall = min(sheet.width_mm, sheet.height_mm) / draw(st.floats(3.0, 8.0))
        base = tray(wall, draw(st.sampled_from([60.0, 90.0])), sheet).creases
    count = draw(st.integers(0, most - len(base)))
    loose = draw(st.lists(creases(sheet), min_size=count, max_size=count))
    return drawn((*base, *loose), sheet, draw(st.none() | places(sheet)))


@st.composite
def kept_patterns(draw: st.DrawFn) -> Pattern:
    """Any pattern with all that a file holds: names in any script, crimps, steps."""
    pattern = draw(patterns(most=20))
    text = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
    crimps = tuple(draw(st.lists(places(pattern.sheet), max_size=5)))
    return Pattern(draw(text), draw(text), pattern.sheet, pattern.floor_at, pattern.creases, crimps)


@st.composite
def trays(draw: st.DrawFn) -> Pattern:
    """Hulls that fold: any sheet, wall and turn, each corner tucked either way."""
    sheet = draw(st.just(Sheet()) | st.builds(Sheet, st.floats(60.0, 300.0), st.floats(60.0, 300.0)))
    wall = draw(st.floats(0.08, 0.3)) * min(sheet.width_mm, sheet.height_mm)
    turn = draw(st.just(90.0) | st.floats(40.0, 90.0))
    tuck = "".join(draw(st.lists(st.sampled_from("se"), min_size=4, max_size=4)))
    return tray(wall, turn, sheet, tuck)


def json_values() -> st.SearchStrategy[object]:
    """Any JSON value."""
    leaves = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8)
    return st.recursive(leaves, lambda v: st.lists(v, max_size=4) | st.dictionaries(st.text(max_size=8), v, max_size=4))


@st.composite
def broken_files(draw: st.DrawFn) -> bytes:
    """Bytes that are not quite a pattern file: one part swapped, dropped or added, cut short, or one byte changed."""
    whole: dict[str, object] = {
        "format": "foil-pattern", "version": 1, "name": "Tray", "note": "",
        "sheet": {"width_mm": 150, "height_mm": 150, "thickness_um": 16}, "floor_at": [75, 75],
        "creases": [{"from": [25, 25], "to": [125, 25], "sense": "valley", "turn_deg": 90, "step": 1}], "crimps": [[50, 0]],
    }  # fmt: skip
    how = draw(st.sampled_from(["swap", "drop", "add", "crease", "short", "byte", "any"]))
    if how in ("swap", "drop"):
        key = draw(st.sampled_from(sorted(whole)))
        whole[key] = draw(json_values())
        if how == "drop":
            del whole[key]
    elif how == "add":
        whole[draw(st.text(max_size=8))] = draw(json_values())
    elif how == "crease":
        key = draw(st.sampled_from(["from", "to", "sense", "turn_deg", "step"]) | st.text(max_size=8))
        whole["creases"] = [{"from": [25, 25], "to": [125, 25], "sense": "valley", key: draw(json_values())}]
    data = json.dumps(draw(json_values()) if how == "any" else whole).encode()
    if how == "short":
        data = data[: draw(st.integers(0, len(data)))]
    elif how == "byte":
        at = draw(st.integers(0, len(data) - 1))
        data = data[:at] + bytes([draw(st.integers(0, 255))]) + data[at + 1 :]
    return data
