"""How a hand finds the lines of a step: small sheets where the answer is plain."""

import numpy as np
import pytest

from folder.fold.place import Folded, folded
from folder.fold.sequence.landmark import table_lines
from folder.fold.sequence.table_line import TableLine
from folder.geometry.space import Bools
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.folds import crease, strip


def lines_of(pattern: Pattern, creased: Bools | None = None, *, folds: bool = True) -> list[TableLine]:
    """The lines of the first step of a pattern: all its creases, folded over or only creased."""
    faces: Faces = faces_of(pattern)
    was: Folded = folded(faces, np.zeros(len(faces.turn)))
    seen = np.zeros_like(faces.joined) if creased is None else creased
    return table_lines(was, faces.joined & ~seen, seen, folded(faces) if folds else None)


def test_a_fold_in_half_brings_edge_to_edge() -> None:
    (line,) = lines_of(strip([35.0, 35.0], [180.0]))
    assert ("edge to edge", ()) == (line.guide, line.sizes_mm)
    assert ((35.0, 0.0), (35.0, 20.0)) == (line.start, line.end)
    assert (35.0, True, None) == (line.reach_mm, line.whole, line.corner)
    assert ((35.0, 10.0), 20.0) == (line.middle, line.length_mm)


@pytest.mark.parametrize("folds", [True, False])
def test_a_fold_beside_the_middle_is_measured_from_the_near_edge(folds: bool) -> None:
    """30 mm from the right edge, and the right side, away from the floor, is what comes over."""
    (line,) = lines_of(strip([40.0, 30.0], [180.0]), folds=folds)
    assert ("from edge", (30.0,)) == (line.guide, line.sizes_mm)
    assert (1.0, 0.0) == pytest.approx(line.beyond)


def test_the_longest_line_comes_first_and_lines_with_gaps_are_apart() -> None:
    """Two stretches of one line, 20 and 30 mm, with 50 mm of sheet between; and one of 100 mm."""
    creases: tuple[Crease, ...] = (
        crease((50.0, 0.0), (50.0, 100.0), 90.0),
        crease((0.0, 40.0), (20.0, 40.0), 90.0),
        crease((70.0, 40.0), (100.0, 40.0), 90.0),
    )
    unfolded = tuple(crease((x, 0.0), (x, 100.0), 0.0) for x in (20.0, 70.0))
    faces = faces_of(Pattern(sheet=Sheet(100.0, 100.0), creases=(*creases, *unfolded)))
    wanted = faces.joined & (faces.crease < 3)
    found = table_lines(folded(faces, np.zeros(len(faces.turn))), wanted, np.zeros_like(wanted))
    assert [100.0, 30.0, 20.0] == [pytest.approx(line.length_mm) for line in found]


def test_one_corner_that_is_folded_in_is_named_and_measured_along_both_edges() -> None:
    pattern = Pattern(sheet=Sheet(100.0, 100.0), creases=(crease((70.0, 0.0), (100.0, 40.0), 180.0),), floor_at=(20.0, 50.0))
    (line,) = lines_of(pattern)
    assert (100.0, 0.0) == line.corner
    assert "corner cut" == line.guide
    assert [30.0, 40.0] == pytest.approx(sorted(line.sizes_mm))
    assert 24.0 == pytest.approx(line.reach_mm)  # 30 * 40 / 50


def test_a_line_between_marks_needs_no_measure() -> None:
    """From corner to corner of the sheet."""
    pattern = Pattern(sheet=Sheet(100.0, 60.0), creases=(crease((0.0, 0.0), (100.0, 60.0), 180.0),), floor_at=(20.0, 50.0))
    (line,) = lines_of(pattern, folds=False)
    assert ("through", ()) == (line.guide, line.sizes_mm)
