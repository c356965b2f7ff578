"""How fast a drawing that does not fold is told and shown, as ratios in the same run, and how that grows.

Run `python -m pytest tests/bench/bench_scribble.py`. For the report the bare way is one `unary_union` and `polygonize` of
the same lines by shapely; for remedies among free turns it is one whole search for them.
"""

from __future__ import annotations

import pytest
import shapely
from msgspec.structs import replace

from folder.draw.hull.solid import solid
from folder.fold.closing.solve import solved
from folder.fold.remedy import with_remedies
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern
from folder.studies import study
from tests.bench.clock import growth, seconds, timed
from tests.bench.conftest import Report
from tests.drawings import with_instead
from tests.scribbles import whole_lines


def noded(pattern: Pattern) -> int:
    """The bare way: how many faces shapely cuts."""
    edge = shapely.box(0.0, 0.0, 150.0, 150.0).boundary
    lines = shapely.linestrings([(c.start, c.end) for c in pattern.creases])
    return len(shapely.get_parts(shapely.polygonize([shapely.unary_union([edge, *lines])])))


def study_of_no_hull(pattern: Pattern) -> None:
    made = study(pattern)
    assert not made.folds
    assert made.report.stops
    assert 0.0 == made.measures.volume_mm3


@pytest.mark.parametrize("kind", ["at random", "grid"])
def test_a_report_of_300_lines_that_do_not_fold(kind: str, report: Report) -> None:
    """Nothing superlinear in the faces beside the noding itself, and no hull of what is none: it took two minutes."""
    times = {}
    for count in (75, 300):
        pattern = whole_lines(count, kind)
        times[count] = timed(lambda p=pattern: study_of_no_hull(p), 3)[1], timed(lambda p=pattern: noded(p), 3)[1]  # type: ignore[misc]
    ours, bare = times[300]
    power = growth({1: times[75][0], 16: ours})  # four times the lines cut sixteen times the faces
    report(
        f"300 whole lines, {kind}: report {ours:.2f} s, {ours / bare:.1f} times bare noding and polygons ({bare:.2f} s)",
        against="bare shapely",
        ratio=ours / bare,
        aim=9.0,
        growth=power,
    )
    assert ours < 9.0 * bare
    assert power < 1.3


@pytest.mark.parametrize("kind", ["at random", "grid"])
def test_a_picture_of_300_lines_that_do_not_fold(kind: str, report: Report) -> None:
    """Linear in its faces: four times the faces take about four times as long."""
    times = {}
    for count in (150, 300):
        shape = study(whole_lines(count, kind)).folded
        times[shape.faces.count] = timed(lambda s=shape: solid(s), 3)[1]  # type: ignore[misc]
    few, much = (1e6 * taken / faces for faces, taken in times.items())
    text = f"picture of whole lines, {kind}: {few:.1f} us a face for 150 lines, {much:.1f} us for 300"
    report(text, against="a face of the half", ratio=much / few, aim=2.0, growth=growth(times))
    assert much < 2.0 * few


@pytest.mark.parametrize("name", ["six-sided-bowl", "pinched-barge", "leaning-hemmed-tray"])
def test_remedies_among_free_turns(name: str, report: Report) -> None:
    """Every second turn is left open and a line is missing: up to thirty remedies are tried, each by a few starts."""
    ready = read_pattern(ready_patterns()[name])
    gone = len(ready.creases) - 2
    pattern = with_instead(
        ready, [replace(c, turn_rad=None) if k % 2 == 0 else c for k, c in enumerate(ready.creases) if k != gone]
    )
    made = study(pattern)
    assert not made.folds
    found = list(made.report.findings)
    ours = seconds(lambda: with_remedies(pattern, made.folded, found), 3)
    whole = seconds(lambda: solved(made.faces, pattern.creases), 3)
    text = f"remedies of {name}, {int(made.faces.free.sum())} free edges: {ours:.2f} s, {ours / whole:.1f} whole searches"
    report(text, against="one whole search", ratio=ours / whole, aim=25.0)
    assert ours < 25.0 * whole
