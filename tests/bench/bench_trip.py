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
from tests.bench.clock import growth
from tests.bench.conftest import Report
from tests.drawings import drawn, line, tray

SLACK = 1.5
WATER = Water.of(20.0)


Seconds = tuple[float, float]
"""The least time of ours and of the bare way."""


def tell(report: Report, what: str, spent: Seconds, aim: float, power: float | None = None) -> None:
    """A ratio beside its aim; fails far above the aim."""
    ours, bare = spent
    text = f"{what}: {1e3 * ours:.2f} ms against {1e3 * bare:.2f} ms"
    report(text, against="the bare way", ratio=ours / bare, aim=aim, growth=power)
    assert ours / bare < aim * SLACK, f"{ours / bare:.2f} < {aim * SLACK:g}"


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


def noding_s(pattern: Pattern, times: int) -> Seconds:
    """Noding and faces, and as bare shapely cuts the same lines."""
    lines = strings(pattern)

    def bare() -> shapely.GeometryCollection:
        return shapely.polygonize([shapely.unary_union(lines)])

    assert shapely.get_num_geometries(bare()) == faces_of(pattern).count
    return timed(lambda: faces_of(pattern), bare, times)


def test_noding_and_faces_take_at_most_twice_as_long_as_bare_shapely(report: Report) -> None:
    few, many = noding_s(grid(60), 12), noding_s(grid(200), 12)
    tell(report, "noding and faces, plain tray", noding_s(tray(), 400), 2.0)
    tell(report, "noding and faces, 60 lines, 961 faces", few, 2.0)
    tell(report, "noding and faces, 200 lines, 10,201 faces", many, 2.0, growth({961: few[0], 10_201: many[0]}))


def test_the_whole_trip_of_the_plain_tray_takes_under_15_nodings_of_its_lines(report: Report) -> None:
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

    tell(report, "the trip of the plain tray without clashes", timed(without_clashes, bare, 300), 15.0)
    tell(report, "the whole trip of the plain tray", timed(trip, bare, 300), 15.0)


def test_where_the_trip_spends_its_time(report: Report) -> None:
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


def test_reading_a_file_is_a_small_part_of_the_trip(tmp_path: Path, report: Report) -> None:
    path = tmp_path / "tray.json"
    path.write_bytes(pattern_bytes(tray()))
    ours, trip = timed(lambda: read_pattern(path), lambda: study(tray()).brim, 100)
    report(f"reading a file: {1e6 * ours:.0f} us", against="the trip", ratio=ours / trip, aim=0.5)
    assert ours < 0.5 * trip


def test_checking_as_a_process_takes_at_most_half_as_long_again_as_importing_numpy_and_shapely(
    tmp_path: Path, report: Report
) -> None:
    """With bytecode in place on both sides, as after an install; the first, slower run writes it."""
    command = [str(Path(sysconfig.get_path("scripts")) / "folder"), "check", str(PATTERNS / "plain-tray.json")]
    importing = [sys.executable, "-c", "import numpy, shapely"]
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {"PYTHONPYCACHEPREFIX": str(tmp_path)}

    def process(argv: list[str]) -> Callable[[], object]:
        return lambda: subprocess.run(argv, check=True, capture_output=True, env=env)

    tell(report, "folder check plain-tray as a process", timed(process(command), process(importing), 15), 1.5)
