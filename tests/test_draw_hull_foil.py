"""The hull as foil: whole in its frame, inside and outside told apart, one light, faults in red."""

import math
import random

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from folder.draw.hull.foil import foil, rim_edges
from folder.draw.hull.lift import layer_lifts
from folder.draw.hull.light import DULL, GROUND, SHINY, Tones, brightness, glint, mixed
from folder.draw.hull.marks.faults import GAPE, fault_marks
from folder.draw.hull.marks.ghost import ghost_over, ghost_under
from folder.draw.hull.plates import layer_plates, painted
from folder.draw.hull.view import View, whole_frame
from folder.draw.picture import Area, Line, Picture
from folder.draw.style import STOP
from folder.fold.place import folded
from folder.pattern.families.catalogue import make
from folder.pattern.file import ready_patterns
from folder.pattern.pattern import Pattern
from folder.studies import study
from tests.drawings import drawn, line
from tests.studied import family_study, ready_study
from tests.test_draw_hull_solid import areas_of, fill_at, lines_of

RNG = random.Random(7)
CAMERAS = [View(RNG.uniform(0, math.tau), math.radians(above)) for above in (-40, 5, 20, 35, 60, 89)]


def luminance(colour: str) -> float:
    """How light a colour is, 0 to 255, by the weights of ITU-R BT.709."""
    r, g, b = bytes.fromhex(colour[1:])
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


@pytest.mark.parametrize("name", ready_patterns())
def test_the_hull_is_whole_in_its_frame_from_every_camera(name):
    made = ready_study(name)
    for view in CAMERAS:
        picture = foil(made.folded, view, layering=made.layering, ground=None)
        drawn_box = Picture.of(picture.marks).box
        for corner in drawn_box.corners:
            assert picture.box.grown(0.01).holds(corner)


def test_turned_round_the_frame_stays_as_large():
    made = ready_study("tall-small-tray")
    frames = [whole_frame(made.folded, View(k * 0.7, 0.6)) for k in range(9)]
    assert np.ptp([f.width for f in frames]) == pytest.approx(0.0, abs=1e-9)
    assert np.ptp([f.height for f in frames]) == pytest.approx(0.0, abs=1e-9)


def test_while_a_sheet_is_turned_over_it_stays_whole_and_ends_as_a_page_turned():
    flat = folded(ready_study("hemmed-tray").faces, np.zeros(len(ready_study("hemmed-tray").folded.turn)))
    for share in np.linspace(0.0, 1.0, 9):
        view = View(-0.4, 0.8, math.pi * share)
        box = Picture.of(foil(flat, view, ground=None).marks).box
        assert all(whole_frame(flat, view).grown(0.01).holds(corner) for corner in box.corners)
    over = View(-0.4, 0.8, math.pi)
    right, up, _ = over.axes @ np.array([10.0, 0.0, 0.0])
    seen_right, seen_up, _ = View(-0.4, 0.8).axes @ np.array([10.0, 0.0, 0.0])
    # What the viewer has in front of him turned about the line away from him: right goes left.
    away = View(-0.4, 0.8).axes @ np.array([math.sin(0.4), math.cos(0.4), 0.0])
    assert over.axes @ np.array([math.sin(0.4), math.cos(0.4), 0.0]) == pytest.approx(away)
    assert (right, up) != pytest.approx((seen_right, seen_up))
    assert np.linalg.det(over.axes) == pytest.approx(1.0)


def test_inside_and_outside_are_told_apart_in_every_light():
    """The darkest of the shiny side beside the lightest of the dull: still lighter, or told by hue and line; on the same wall always."""
    made = family_study("square-tray", wall=30.0)
    for around in np.linspace(0.0, math.tau, 24, endpoint=False):
        view = View(float(around), 0.6)
        for normal in made.folded.normals:
            level = float(brightness((view.axes @ normal)[None], view)[0])
            assert luminance(SHINY.at(level)) - luminance(DULL.at(level)) > 45
    picture = foil(made.folded, View(0.0, 0.6), layering=made.layering)
    inside = fill_at(picture, 0.0, 0.0)
    near_wall = fill_at(picture, 0.0, float(View(0.0, 0.6).project(made.folded, np.array([75.0, 30.0, 10.0]))[1]))
    assert luminance(inside) - luminance(near_wall) > 45


def test_a_box_shows_three_tones_of_one_light():
    made = family_study("square-tray", wall=30.0)
    view, lifts = View(math.radians(-30), 0.6), layer_lifts(made.folded, made.layering)
    plates = painted(layer_plates(made.folded, lifts), view, np.zeros(3))
    inside = sorted({area.fill for plate, area in plates if view.axes[2] @ plate.normal > 0.0}, key=luminance)
    assert len(inside) == 3
    assert all(b - a > 6 for a, b in zip(map(luminance, inside), map(luminance, inside[1:]), strict=False))
    # The light comes from the left: the wall that faces left is the lighter one.
    levels = brightness(np.array([[-1.0, 0.0, 1e-9], [1.0, 0.0, 1e-9]]), View())
    assert levels[0] > levels[1]


def test_foil_mirrors_streaks_that_stay_on_it_slide_as_it_turns_and_are_brighter_on_the_shiny_side():
    square = (((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)), ((20.0, 10.0), (40.0, 10.0), (40.0, 30.0), (20.0, 30.0)))
    whole = shapely.Polygon(square[0], [square[1]])
    shiny = list(glint(square, "#D6DFE9", np.array([0.1, 0.5, 0.8]), shiny=True))
    dull = list(glint(square, "#D6DFE9", np.array([0.1, 0.5, 0.8]), shiny=False))
    assert len(shiny) >= 2
    assert [area.rings for area in shiny] == [area.rings for area in dull]
    for area, other in zip(shiny, dull, strict=True):
        assert shapely.Polygon(area.rings[0], area.rings[1:]).within(whole.buffer(1e-6))
        assert luminance(area.fill) > luminance(other.fill) > luminance("#D6DFE9")
    assert shiny != list(glint(square, "#D6DFE9", np.array([0.5, 0.1, 0.8]), shiny=True))
    speck = (((0.0, 0.0), (5.0, 0.0), (5.0, 5.0)),)
    assert not list(glint(speck, "#D6DFE9", np.array([0.1, 0.5, 0.8]), shiny=True))


def test_light_that_meets_a_surface_square_is_brightest_and_the_light_stays_with_the_viewer():
    for view in CAMERAS:
        assert pytest.approx(math.copysign(1.0, view.light[2])) == float(brightness(view.light[None], view)[0])
        assert pytest.approx(1.0) == float(np.linalg.norm(view.light))
    assert CAMERAS[2].light == pytest.approx(View(0.1, CAMERAS[2].above_rad).light)


def test_colours_between_two_are_mixed():
    assert "#000000" == mixed("#000000", "#FFFFFF", -1.0)
    assert "#808080" == mixed("#000000", "#FFFFFF", 0.5)
    assert "#FFFFFF" == mixed("#000000", "#FFFFFF", 3.0)
    tones = Tones.of("#C08A3E")
    assert luminance(tones.dark) < luminance(tones.mid) < luminance(tones.light)


def test_the_rim_is_thick_and_a_hem_has_its_rim_at_its_fold():
    tray = family_study("square-tray", wall=30.0).folded
    ends = tray.corners.reshape(-1, 3)
    high = ends[:, 2].max()
    for shape in (tray, family_study("hemmed-tray").folded):
        edges = np.nonzero(rim_edges(shape))[0]
        assert len(edges)
        heights = shape.ends[:, edges, 2][:, shape.faces.joined[edges]]
        assert np.all(heights > 0.5 * high) or not heights.size
    hemmed = family_study("hemmed-tray").folded
    assert rim_edges(hemmed)[hemmed.faces.joined].any()
    assert not rim_edges(tray)[tray.faces.joined].any()
    picture = foil(tray, View(-0.5, 0.6))
    assert len(lines_of(picture, "thick")) >= 4


def test_the_shadow_lies_under_the_hull_and_to_the_right_and_from_below_there_is_none():
    made = ready_study("tall-small-tray")
    with_shadow = foil(made.folded, View(0.0, 0.7), layering=made.layering)
    bare = foil(made.folded, View(0.0, 0.7), layering=made.layering, ground=None)
    shadows = with_shadow.marks[: len(with_shadow.marks) - len(bare.marks)]
    assert len(shadows) >= 5
    shape = shapely.union_all([shapely.Polygon(area.rings[0]) for area in shadows if isinstance(area, Area)])
    hull = Picture.of(bare.marks).box
    assert shape.bounds[2] > hull.right + 5.0
    assert shape.bounds[0] > hull.left - 8.0
    paling = [luminance(area.fill) for area in shadows if isinstance(area, Area)]
    assert paling == sorted(paling, reverse=True)
    assert luminance(GROUND) > paling[0]
    from_below = foil(made.folded, View(0.0, -0.5), layering=made.layering)
    assert from_below.marks == foil(made.folded, View(0.0, -0.5), layering=made.layering, ground=None).marks


# What cannot be.


def test_a_corner_that_does_not_close_gapes_in_red_between_the_two_places_of_the_edge():
    """Four walls without corner folds: at each corner the edge has two places, a wall's height apart along the diagonal."""
    walls = [line((0, 30), (150, 30)), line((0, 120), (150, 120)), line((30, 0), (30, 150)), line((120, 0), (120, 150))]
    made = study(drawn(walls))
    marks = fault_marks(made.folded, made.clashes)
    assert 4 == len(marks.plates)
    assert 8 == len(marks.lines)
    for plate in marks.plates:
        border = plate.rings[0]
        sides = sorted(np.linalg.norm(border - np.roll(border, 1, axis=0), axis=1))
        assert [30.0, 30.0, 30.0 * math.sqrt(2.0)] == pytest.approx(sides)
    picture = foil(made.folded, View(above_rad=0.7), faults=marks)
    reds = {GAPE.at(x) for x in np.linspace(-1, 1, 4001)}
    assert any(area.fill in reds for area in areas_of(picture))
    assert any(mark.colour == STOP for mark in lines_of(picture))


def test_a_sheet_that_closes_does_not_gape():
    for name in ("plain-tray", "hemmed-tray"):
        made = ready_study(name)
        marks = fault_marks(made.folded, made.clashes)
        assert ((), ()) == (marks.plates, marks.lines)


def test_where_faces_cross_the_line_is_drawn_in_red_and_what_is_through_is_hatched():
    """Two walls that lean in past each other: by trigonometry they cross on one level line."""
    made = study(drawn([line((60, 0), (60, 150), "valley", 130), line((90, 0), (90, 150), "valley", 120)]))
    marks = fault_marks(made.folded, made.clashes)
    thick = [mark for mark in marks.lines if mark.style == "thick"]
    # From x = 60 up at 130 deg and from x = 90 up at 120 deg: both lean inward by 40 and 30 deg from upright.
    run = 30.0 / (math.tan(math.radians(40.0)) + math.tan(math.radians(30.0)))
    whole = np.concatenate([mark.ends for mark in thick])
    assert whole[:, 2] == pytest.approx(run)
    assert whole[:, 0] == pytest.approx(60.0 + run * math.tan(math.radians(40.0)))
    assert (0.0, 150.0) == pytest.approx((whole[:, 1].min(), whole[:, 1].max()))
    hatches = [mark for mark in marks.lines if mark.style == "outline"]
    assert len(hatches) > 10
    assert all((mark.ends[:, 2] > run - 1e-6).all() or (mark.ends[:, 2] < run + 1e-6).all() for mark in hatches)
    lines = lines_of(foil(made.folded, View(0.3, 0.9), faults=marks))
    assert sum(mark.colour == STOP for mark in lines) > 5


def test_the_ghost_is_the_hull_before_in_pale_lines():
    made = ready_study("plain-tray")
    under, over = ghost_under(made.folded, View(), made.layering), ghost_over(made.folded, View(), made.layering)
    whole = foil(made.folded, View(), layering=made.layering, ground=None)
    assert sorted(m.points for m in lines_of(whole)) == sorted(m.points for m in lines_of(under))
    assert {m.points for m in lines_of(whole, "thick")} == {m.points for m in over.marks if isinstance(m, Line)}
    assert whole.box == under.box == over.box


def test_a_scribble_of_many_faces_is_drawn_all_the_same():
    made = Pattern(creases=tuple(line((0, 3.0 * k), (150, 150 - 2.9 * k), "valley", 40) for k in range(1, 30)))
    shape = study(made).folded
    assert foil(shape, View()).marks


@pytest.mark.parametrize("family", ["square-tray", "hemmed-tray"])
def test_a_family_is_drawn_without_an_order_of_layers_too(family):
    shape = folded(study(make(family)).faces)
    assert len(foil(shape, View()).marks) > 10


def test_a_corner_whose_diagonal_is_missing_gapes_at_that_corner_alone_over_the_layers_there():
    tray = make("square-tray", {"wall": 30.0})
    missing = next(i for i, c in enumerate(tray.creases) if c.start[0] != c.end[0] and c.start[1] != c.end[1])
    made = study(replace(tray, creases=tuple(c for i, c in enumerate(tray.creases) if i != missing), family=None))
    marks = fault_marks(made.folded, made.clashes)
    (plate,) = marks.plates
    middle = plate.rings[0].mean(axis=0)
    corner = np.array(tray.creases[missing].start), np.array(tray.creases[missing].end)
    assert min(np.linalg.norm(middle[:2] - end) for end in corner) < 15.0
    # Seen from either side of the wall in whose plane it lies, it lies over the layers there.
    for side in (1.0, -1.0):
        way = side * plate.normal
        view = View(math.atan2(way[0], -way[1]), 0.3)
        if view.axes[2] @ way < 0.5:
            continue
        x, y, _ = view.project(made.folded, middle).tolist()
        beyond = made.hull is not None and way[:2] @ (middle[:2] - 75.0) < 0
        assert beyond or fill_at(foil(made.folded, view, layering=made.layering, faults=marks), x, y) in {
            GAPE.at(level) for level in np.linspace(-1, 1, 4001)
        }
