"""What is no hull is drawn face by face. Second truths: areas and heights worked out here from the folded corners."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import Polygon

from folder.draw.hull.rough import MOST_GAPING, is_rough
from folder.draw.hull.solid import ABOVE, View, solid
from folder.draw.picture import Area
from folder.draw.style import SHADE
from folder.fold.place import Folded, folded
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Pattern
from tests.drawings import drawn, line, tray


def grid(lines: int, turn_deg: float = 90.0) -> Pattern:
    """Lines across the sheet both ways, all folded up by one angle: nowhere do they close."""
    at = [150.0 * (k + 1) / (lines + 1) for k in range(lines)]
    both = [line((x, 0.0), (x, 150.0), "valley", turn_deg) for x in at] + [
        line((0.0, y), (150.0, y), "valley", turn_deg) for y in at
    ]
    return drawn(both, floor_at=(74.0, 74.0))


@pytest.fixture(scope="module")
def gaping() -> Folded:
    return folded(faces_of(grid(20)))


def test_a_sheet_of_many_faces_that_gapes_is_drawn_roughly_and_a_hull_is_not(gaping):
    assert 441 == gaping.faces.count > MOST_GAPING
    assert is_rough(gaping)
    assert not is_rough(folded(faces_of(tray())))
    assert not is_rough(folded(gaping.faces, np.zeros(len(gaping.turn))))


def test_seen_from_above_each_face_fills_what_it_covers_on_the_table(gaping):
    """The area of a face seen along the vertical is its own times the share of its normal that points up."""
    want = sorted(gaping.faces.areas[f] * abs(n) for f, n in enumerate(gaping.normals[:, 2]) if abs(n) > 0.01)
    areas = [item for item in solid(gaping, ABOVE).marks if isinstance(item, Area)]
    assert want == pytest.approx(sorted(Polygon(a.rings[0], a.rings[1:]).area for a in areas), rel=1e-6)


def test_what_lies_nearer_to_the_eye_is_painted_later(gaping):
    """From above what lies higher is nearer: the mean height of a square is that of its two triangles."""
    heights = [gaping.corners[gaping.faces.triangle_face == f, :, 2].mean() for f in range(gaping.faces.count)]
    shown = sorted(h for h, n in zip(heights, gaping.normals[:, 2], strict=True) if abs(n) > 0.01)
    first, *_, last = (Polygon(a.rings[0]).centroid for a in solid(gaping, ABOVE).marks)
    found = {}
    for f, h in enumerate(heights):
        x, y, _ = gaping.corners[gaping.faces.triangle_face == f].reshape(-1, 3).mean(axis=0) - [74.0, 74.0, 0.0]
        found.setdefault((round(float(x), 3), round(float(y), 3)), []).append(h)
    assert shown[0] == pytest.approx(min(found[round(first.x, 3), round(first.y, 3)]))
    assert shown[-1] == pytest.approx(max(found[round(last.x, 3), round(last.y, 3)]))


def test_a_hole_in_a_face_stays_a_hole_and_the_floor_is_tinted():
    square = [(60.0, 60.0), (90.0, 60.0), (90.0, 90.0), (60.0, 90.0)]
    ring = [line(a, b, "valley", 90.0) for a, b in zip(square, square[1:] + square[:1], strict=True)]
    across = [line((x, 100.0), (x, 150.0), "mountain", 45.0) for x in np.linspace(1.0, 149.0, MOST_GAPING + 5)]
    shape = folded(faces_of(drawn([*ring, *across, line((0.0, 100.0), (150.0, 100.0), "valley", 45.0)])))
    assert is_rough(shape)
    floor = np.arange(shape.faces.count) == shape.faces.root
    areas = [item for item in solid(shape, View(), floor=floor).marks if isinstance(item, Area)]
    assert 1 == sum(len(a.rings) == 2 for a in areas)
    (tinted,) = [a for a in areas if a.fill == SHADE]
    assert 4 == len(tinted.rings[0])
