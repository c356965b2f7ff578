"""How fast the trip of a pattern is, as ratios against bare shapely and numpy in the same run.

Run `python -m pytest tests/bench/bench_trip.py`; each bench writes its ratio beside its aim. Both sides are called in
turn, and the ratio is that of their least times, which a busy machine disturbs least. A bench fails only at half as
much again as its aim: it guards against slips, the numbers are for reading. On the plain tray's few lines noding and
faces do not reach their aim: there the fixed cost of some sixty array calls rules.

What stands for the bare side: `unary_union` and `polygonize` of ready lines for noding and faces; for the whole trip one
`unary_union` of the plain tray's lines, the building of its LineStrings from the creases included; for the process an
interpreter that imports numpy and shapely.
"""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import shapely

from folder.fold.check import fold_report
from folder.fold.layers.clash import clashes_of
from folder.fold.layers.held import loose_findings
from folder.fold.place import folded
from folder.hull.hull import hull_of
from folder.hull.shape import hull_findings, measures_of
from folder.pattern.faces.faces import faces_of
from folder.pattern.file import pattern_bytes, read_pattern
from folder.pattern.pattern import Pattern
from folder.pattern.planar import planar_findings
from folder.places import PATTERNS
from folder.studies import study
from folder.water.brim_load import brim_load
from folder.water.fluid import Water
from folder.water.working_load import working_load
from tests.drawings import crossing_creases, drawn, line, tray

SLACK = 1.5
WATER = Water.of(20.0)


Seconds = tuple[float, float]
"""The least time of ours and of the bare way."""


def ratio(what: str, spent: Seconds, aim: float) -> str:
    """A ratio beside its aim, in words; fails far above the aim."""
    ours, bare = spent
    text = f"{what}: {ours / bare:.2f} times the bare way, aim {aim:g} ({1e3 * ours:.2f} ms against {1e3 * bare:.2f} ms)"
    assert ours / bare < aim * SLACK, text
    return text


def timed(ours: Callable[[], object], bare: Callable[[], object], times: int) -> Seconds:
    """Both sides in turn, call by call."""
    least = [np.inf, np.inf]
    for _ in range(times):
        for k, side in enumerate((ours, bare)):
            began = time.perf_counter()
            side()
            least[k] = min(least[k], time.perf_counter() - began)
    return float(least[0]), float(least[1])


def strings(pattern: Pattern) -> list[shapely.LineString]:
    """The lines of a pattern and the sheet's edge as shapely knows them."""
    c = pattern.sheet.corners
    edge = [shapely.LineString([c[k], c[(k + 1) % 4]]) for k in range(4)]
    return edge + [shapely.LineString([crease.start, crease.end]) for crease in pattern.creases]


def grid(count: int) -> Pattern:
    """Lines right across the sheet both ways."""
    places = np.linspace(0.0, 150.0, count // 2 + 2)[1:-1].tolist()
    return drawn(
        [line((p, 0.0), (p, 150.0), "valley", 0.0) for p in places] + [line((0.0, p), (150.0, p), "valley", 0.0) for p in places]
    )


PATTERNS_NODED = {"plain tray": tray(), "60 lines, 961 faces": grid(60), "200 lines, 10,201 faces": grid(200)}


@pytest.mark.parametrize("name", PATTERNS_NODED)
def test_noding_and_faces_take_at_most_twice_as_long_as_bare_shapely(name: str, report: Callable[[str], None]) -> None:
    pattern = PATTERNS_NODED[name]
    lines = strings(pattern)

    def bare() -> shapely.GeometryCollection:
        return shapely.polygonize([shapely.unary_union(lines)])

    assert shapely.get_num_geometries(bare()) == faces_of(pattern).count
    spent = timed(lambda: faces_of(pattern), bare, 400 if len(lines) < 50 else 12)
    report(ratio(f"noding and faces, {name}", spent, 2.0))


def test_the_whole_trip_of_the_plain_tray_takes_under_15_nodings_of_its_lines(report: Callable[[str], None]) -> None:
    """From creases to report, measures and brim load; and the same without the search for clashes and loose flaps."""
    pattern = tray()

    def trip() -> object:
        result = study(pattern)
        return result.report, result.measures, result.brim

    def without_clashes() -> object:
        faces = faces_of(pattern)
        placed = folded(faces)
        hull = hull_of(placed, pattern.sheet.thickness_um)
        assert hull is not None
        findings = planar_findings(pattern, faces), fold_report(pattern, placed), hull_findings(hull, pattern)
        return findings, measures_of(pattern, placed, hull), brim_load(hull.skin, hull.weight, WATER)

    def bare() -> object:
        return shapely.unary_union(strings(pattern))

    report(ratio("the trip of the plain tray without clashes", timed(without_clashes, bare, 300), 15.0))
    report(ratio("the whole trip of the plain tray", timed(trip, bare, 300), 15.0))


def test_where_the_trip_spends_its_time(report: Callable[[str], None]) -> None:
    """No ratio to hold: the stages of the plain tray, for whoever makes them faster."""
    pattern = tray()
    result = study(pattern)
    faces, placed, hull = result.faces, result.folded, result.hull
    assert hull is not None
    stages: dict[str, Callable[[], object]] = {
        "faces": lambda: faces_of(pattern),
        "drawing's findings": lambda: planar_findings(pattern, faces),
        "place": lambda: folded(faces),
        "fold's findings": lambda: fold_report(pattern, folded(faces)),
        "hull": lambda: hull_of(placed, 16.0),
        "brim load": lambda: brim_load(hull.skin, hull.weight, WATER),
        "clashes": lambda: clashes_of(placed),
        "loose flaps": lambda: loose_findings(placed, result.clashes.layering, pattern.crimps),
        "working load": lambda: working_load(hull.skin, hull.weight, WATER, "usual"),
    }
    spent = {name: timed(stage, lambda: None, 200)[0] for name, stage in stages.items()}
    report("plain tray: " + ", ".join(f"{name} {1e6 * s:.0f} us" for name, s in spent.items()))
    assert max(spent.values()) < 0.1


def test_four_corners_that_will_not_close_are_given_remedies_while_one_waits(report: Callable[[str], None]) -> None:
    """Each remedy is tried out: the slowest thing a pupil's drawing asks."""
    crossed, plain = crossing_creases(), tray()
    ours, bare = timed(lambda: study(crossed).report, lambda: study(plain).report, 12)
    report(f"crossing creases with their remedies: {ours / bare:.0f} plain trays ({1e3 * ours:.1f} ms)")
    assert ours < 0.5


def test_reading_a_file_is_a_small_part_of_the_trip(tmp_path: Path, report: Callable[[str], None]) -> None:
    path = tmp_path / "tray.json"
    path.write_bytes(pattern_bytes(tray()))
    ours, trip = timed(lambda: read_pattern(path), lambda: study(tray()).brim, 100)
    report(f"reading a file: {100 * ours / trip:.0f} % of the trip ({1e6 * ours:.0f} us)")
    assert ours < 0.5 * trip


def test_checking_as_a_process_takes_at_most_half_as_long_again_as_importing_numpy_and_shapely(
    tmp_path: Path, report: Callable[[str], None]
) -> None:
    """With bytecode in place on both sides, as after an install; the first, slower run writes it."""
    command = [str(Path(sysconfig.get_path("scripts")) / "folder"), "check", str(PATTERNS / "plain-tray.json")]
    importing = [sys.executable, "-c", "import numpy, shapely"]
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {"PYTHONPYCACHEPREFIX": str(tmp_path)}

    def process(argv: list[str]) -> Callable[[], object]:
        return lambda: subprocess.run(argv, check=True, capture_output=True, env=env)

    report(ratio("folder check plain-tray as a process", timed(process(command), process(importing), 15), 1.5))
