"""Solid pictures: what is seen of the folded sheet, and what is hidden."""

import math

import numpy as np
import pytest
import shapely
import trimesh

from folder.draw.hull.depth import sorted_by_cover
from folder.draw.hull.lift import layer_lifts, layers_of
from folder.draw.hull.solid import ABOVE, BELOW, View, good_view, solid
from folder.draw.picture import Area, Line, Picture
from folder.draw.style import FOIL, PAPER, SHADE
from folder.fold.place import Folded, folded
from folder.fold.sequence.partway import partway
from folder.geometry.space import carry
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.pattern import Pattern
from tests.drawings import drawn, hand_rounded, line, tray

VIEWS = [View(), View(math.radians(140.0), math.radians(50.0)), View(math.radians(20.0), math.radians(-25.0))]


def shape_of(pattern: Pattern) -> Folded:
    return folded(faces_of(pattern))


def hull(family: str, **parameters: float) -> Folded:
    return shape_of(make(family, parameters))


def lines_of(picture: Picture, style: str = "") -> list[Line]:
    return [item for item in picture.marks if isinstance(item, Line) and style in ("", item.style)]


def areas_of(picture: Picture) -> list[Area]:
    return [item for item in picture.marks if isinstance(item, Area)]


def fill_at(picture: Picture, x: float, y: float) -> str | None:
    """The colour that is seen at a place."""
    fill = None
    for area in areas_of(picture):
        whole = shapely.Polygon(area.rings[0], area.rings[1:]) if len(area.rings) > 1 else shapely.Polygon(area.rings[0])
        if whole.covers(shapely.Point(x, y)):
            fill = area.fill
    return fill


def shown(picture: Picture, *places: tuple[float, float], within_mm: float = 0.05) -> list[bool]:
    """Whether each place lies on a drawn line."""
    return near_any(np.array(places), np.array([item.points for item in lines_of(picture)]), within_mm).tolist()


def near_any(points: np.ndarray, segments: np.ndarray, within_mm: float) -> np.ndarray:
    """(n,) whether places (n, 2) lie near any of some segments (m, 2, 2)."""
    start, along = segments[:, 0], segments[:, 1] - segments[:, 0]
    size = np.maximum((along * along).sum(axis=1), 1e-12)
    t = np.clip(((points[:, None] - start) * along).sum(axis=2) / size, 0.0, 1.0)
    off = np.linalg.norm(points[:, None] - start - t[..., None] * along, axis=2)
    return (off < within_mm).any(axis=1)


def ray_cast(shape: Folded, view: View) -> tuple[np.ndarray, np.ndarray]:
    """Places (n, 2) on every edge that is to be drawn, and whether a ray from there reaches the eye, by trimesh."""
    faces, lifts = shape.faces, layer_lifts(shape)
    bias = lifts * np.sign(shape.normals @ view.axes[2])
    seen = view.project(shape, shape.corners)
    seen[..., 2] += bias[faces.triangle_face, None]
    mesh = trimesh.Trimesh(seen.reshape(-1, 3), np.arange(3 * len(seen)).reshape(-1, 3), process=False)
    origins, own = [], []
    for edge in np.nonzero(~faces.joined | (np.abs(shape.turn) > 1e-6))[0]:
        a, b = faces.vertices[faces.edges[edge]]
        sides = [s for s in faces.sides[edge] if s >= 0]
        side = max(sides, key=lambda s: bias[s])
        count = max(2, round(math.dist(a, b) / 3.0))
        flat = a + (np.arange(count)[:, None] + 0.5) / count * (b - a)
        points = view.project(shape, carry(np.repeat(shape.motions[side][None], count, axis=0), flat))
        points[:, 2] += bias[side] + 0.02
        origins.append(points)
        own += [sides] * count
    origins = np.concatenate(origins)
    up = np.tile([0.0, 0.0, 1.0], (len(origins), 1))
    triangle, ray = mesh.ray.intersects_id(origins, up, multiple_hits=True)
    hidden = np.zeros(len(origins), dtype=bool)
    for r, t in zip(ray, triangle, strict=True):
        hidden[r] |= faces.triangle_face[t] not in own[r]
    return origins[:, :2], ~hidden


@pytest.mark.parametrize("family", FAMILIES)
def test_drawn_lines_agree_with_rays_cast_to_the_eye(family):
    """Oracle: trimesh's ray casting. A place that is drawn must be seen on some edge, and one that is seen be drawn."""
    shape = folded(faces_of(make(family)))
    right = total = 0
    for view in VIEWS:
        segments = np.array([item.points for item in lines_of(solid(shape, view))])
        places, visible = ray_cast(shape, view)
        is_drawn = near_any(places, segments, 0.03)
        # A hidden edge may lie behind a line that is drawn.
        elsewhere = np.array([bool((np.linalg.norm(places[visible] - p, axis=1) < 2.0).any()) for p in places])
        agree = np.where(visible, is_drawn, ~is_drawn | elsewhere)
        right, total = right + int(agree.sum()), total + len(places)
    assert right >= 0.99 * total


def test_a_ray_would_find_a_line_drawn_through_a_wall():
    """The comparison above can fail: with every line drawn, hidden or not, it does."""
    shape = hull("square-tray")
    visible = ray_cast(shape, View())[1]
    assert 0.1 < 1.0 - visible.mean() < 0.9


# The flap of the corner at the lower left: its diagonal lies on the left wall, from the floor's corner to the rim.
FLAP = np.array([25.0, 37.5, 12.5])


@pytest.mark.parametrize("pattern", [make("square-tray"), hand_rounded(tray(), 0.2)], ids=["exact", "rounded by hand"])
@pytest.mark.parametrize(("around_deg", "seen"), [(-75.0, True), (75.0, False)])
def test_a_flap_outside_a_wall_is_seen_from_outside_and_hidden_from_inside(pattern, around_deg, seen):
    shape = shape_of(pattern)
    view = View(math.radians(around_deg), math.radians(35.0))
    x, y, _ = view.project(shape, FLAP)
    assert [seen] == shown(solid(shape, view), (x, y), within_mm=0.4)
    # Drawn without an order of layers the flap would show through: it lies in the wall's plane.
    if not seen and pattern.family:
        assert [True] == shown(solid(shape, view, lifts=np.zeros(shape.faces.count)), (x, y))


def test_inside_outside_and_floor_have_their_own_tints():
    shape = hull("square-tray")
    floor = np.arange(shape.faces.count) == shape.faces.root
    picture = solid(shape, View(), floor=floor)
    assert {FOIL, PAPER, SHADE} == {area.fill for area in areas_of(picture)}
    assert SHADE == fill_at(picture, 0.0, 0.0)
    assert FOIL == fill_at(solid(shape, BELOW, floor=floor), 0.0, 0.0)


def test_from_above_a_hem_covers_the_sheet_and_shows_the_outside():
    shape = shape_of(drawn([line((0, 140), (150, 140), "valley", 180)]))
    picture = solid(shape, ABOVE)
    assert (150.0, 140.0) == pytest.approx((picture.box.width, picture.box.height))
    assert [PAPER, FOIL] == [fill_at(picture, 0.0, 0.0), fill_at(picture, 0.0, 60.0)]
    # The sheet's edge lies on the inside, the fold is the new edge; the crease beneath nothing is hidden.
    assert [True, True] == shown(picture, (0.0, 55.0), (0.0, 65.0))
    # Turned over, the hem is behind the sheet and only the fold shows.
    turned = solid(shape, BELOW)
    assert [False, True] == shown(turned, (0.0, 55.0), (0.0, 65.0))
    assert FOIL == fill_at(turned, 0.0, 60.0)


def test_turned_over_is_like_a_page():
    shape = shape_of(drawn([line((0, 140), (150, 140), "mountain", 180), line((20, 0), (20, 140), "valley", 0)]))
    assert FOIL == fill_at(solid(shape, BELOW), 0.0, 0.0)
    # What was on the left is on the right, what was up stays up.
    assert BELOW.project(shape, np.array([20.0, 140.0, 0.0]))[:2] == pytest.approx((55.0, 65.0))


def test_a_pleat_lies_in_three_layers():
    shape = shape_of(
        drawn([line((90, 0), (90, 150), "valley", 180), line((80, 0), (80, 150), "mountain", 180)], floor_at=(20, 75))
    )
    lifts = layer_lifts(shape) * np.sign(shape.normals[:, 2])
    left, right = (shape.faces.face_at(at) for at in ((20.0, 75.0), (120.0, 75.0)))
    middle = shape.faces.face_at((85.0, 75.0))
    assert lifts[left] < lifts[middle] < lifts[right] or lifts[right] < lifts[middle] < lifts[left]
    assert 0.0 == lifts[left]


def test_layers_of_a_sheet_that_is_only_creased_are_one():
    shape = folded(faces_of(make("hemmed-tray")), np.zeros(len(hull("hemmed-tray").turn)))
    assert [0] == np.unique(layers_of(shape)).tolist()
    (area,) = areas_of(solid(shape, ABOVE))
    assert pytest.approx(150.0 * 150.0) == shapely.Polygon(area.rings[0]).area


def test_a_line_through_several_faces_is_one_line():
    shape = shape_of(drawn([line((0, 75), (150, 75)), *(line((x, 0), (x, 150), "valley", 0) for x in (30, 60, 90))]))
    view = View(above_rad=1.2)
    (fold,) = lines_of(solid(shape, view), "outline")
    ends = view.project(shape, np.array([[0.0, 75.0, 0.0], [150.0, 75.0, 0.0]]))[:, :2]
    assert pytest.approx(ends) == np.array(sorted(fold.points))


def test_marked_edges_are_drawn_in_their_style_where_they_are_seen():
    shape = hull("square-tray")
    flat = folded(shape.faces, np.zeros(len(shape.turn)))
    marks = np.abs(shape.turn) > 3.0
    picture = solid(flat, ABOVE, edge_marks=[(shape.faces.joined, "crease"), (marks, "valley")])
    assert 8 == len(lines_of(picture, "valley"))
    assert not lines_of(picture, "outline")
    assert lines_of(picture, "crease")


def test_a_slit_shows_both_lips():
    shape = shape_of(drawn([line((75, 0), (75, 40), "cut"), line((0, 40), (150, 40), "valley", 60)]))
    picture = solid(shape, View(0.3, 0.6))
    assert len(lines_of(picture, "edge")) >= 6


def test_a_face_with_a_hole_does_not_hide_what_is_in_it():
    square = [(50.0, 50.0), (100.0, 50.0), (100.0, 100.0), (50.0, 100.0)]
    loop = [line(square[k - 1], square[k], "valley", 0) for k in range(4)]
    shape = shape_of(drawn(loop))
    floor = np.arange(shape.faces.count) == shape.faces.root
    picture = solid(shape, ABOVE, floor=floor)
    assert [SHADE, PAPER] == [fill_at(picture, 0.0, 0.0), fill_at(picture, 60.0, 0.0)]


@pytest.mark.parametrize("family", ["square-tray", "hemmed-tray", "leaning-tray"])
def test_a_half_folded_sheet_is_drawn_whole(family):
    shape = hull(family)
    half = folded(shape.faces, partway(shape.faces, shape.turn, 0.5).turn)
    picture = solid(half, good_view(half))
    seen = View.project(good_view(half), half, half.corners).reshape(-1, 3)
    assert (np.ptp(seen[:, 0]), np.ptp(seen[:, 1])) == pytest.approx((picture.box.width, picture.box.height), abs=0.01)


def test_faces_that_cover_each_other_in_a_ring_are_all_painted_the_deepest_first():
    first, second, nearer = np.array([0, 1, 0, 2]), np.array([1, 2, 2, 3]), np.array([1.0, 1.0, -1.0, -1.0])
    assert [1, 0, 2, 3] == sorted_by_cover(first, second, nearer, np.array([2.0, 1.0, 3.0, 4.0]))[0]


@pytest.mark.parametrize("family", FAMILIES)
def test_the_floor_is_seen_over_the_near_wall_in_a_good_view(family):
    """Oracle: a ray from the middle of the floor to the eye, cast by trimesh, meets nothing."""
    shape = hull(family)
    view = good_view(shape)
    corners = shape.corners.reshape(-1, 3)
    mesh = trimesh.Trimesh(corners, np.arange(len(corners)).reshape(-1, 3), process=False)
    middle = shape.corners[shape.faces.triangle_face == shape.faces.root].mean(axis=(0, 1))
    start = middle + 0.5 * view.axes[2]
    steepest = math.radians(55.0)  # so that the walls of a deep box are seen too
    assert view.above_rad == steepest or not mesh.ray.intersects_any(start[None], view.axes[2][None])[0]
    assert math.radians(35.0) <= view.above_rad <= steepest
