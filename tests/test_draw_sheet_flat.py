"""The sheet on the table as a picture."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from folder.draw.picture import Area, Box, Label, Line, Picture, box_round
from folder.draw.sheet.flat import OFF_MM, crease_sheet, face_rings, free_spot, step_places
from folder.draw.sheet.key import WORDS, key, names_used
from folder.draw.sheet.mark import BADGE_MM, finding_mark, step_badge
from folder.findings import LEVELS, Finding
from folder.paper.pages import Page
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.overlap import overlaps

ROOM = Box(-50.0, -50.0, 1050.0, 1050.0)
RIGHT = math.pi / 2


def tray(wall: float = 25.0) -> Pattern:
    """A square tray drawn by hand: floor lines first, then the corner folds."""
    low, high = wall, 150.0 - wall
    floor = [(low, low), (high, low), (high, high), (low, high)]
    creases = [Crease(floor[k], floor[(k + 1) % 4], "valley", RIGHT, 1) for k in range(4)]
    for x, y in floor:
        side_x, side_y = (0.0 if x == low else 150.0), (0.0 if y == low else 150.0)
        creases.append(Crease((x, y), (side_x, side_y), "valley", math.pi, 2))
        creases.append(Crease((x, y), (side_x, y), "mountain", math.pi, 2))
        creases.append(Crease((x, y), (x, side_y), "valley", RIGHT, 2))
    return Pattern("Tray", creases=tuple(creases))


def lines(picture: Picture, style: str) -> list[Line]:
    return [item for item in picture.marks if isinstance(item, Line) and item.style == style]


def texts(picture: Picture) -> list[str]:
    return [item.text for item in picture.marks if isinstance(item, Label)]


def test_every_crease_is_drawn_where_it_is_and_as_what_it_is():
    pattern = tray()
    picture = crease_sheet(pattern)
    for style in ("valley", "mountain"):
        drawn = {(c.start, c.end) for c in pattern.creases if c.sense == style}
        assert drawn == {line.points for line in lines(picture, style)}


def test_the_sheets_edge_is_drawn_at_its_true_size():
    (edge,) = lines(crease_sheet(Pattern("x", sheet=Sheet(150, 120))), "edge")
    assert edge.closed
    assert (0, 0, 150, 120) == box_round(edge.points)


def test_scaling_moves_the_lines_and_leaves_the_marks_their_size():
    whole, half = crease_sheet(tray()), crease_sheet(tray(), scale=0.5)
    assert [tuple((x / 2, y / 2) for x, y in line.points) for line in lines(whole, "valley")] == [
        line.points for line in lines(half, "valley")
    ]
    widths = {round(box_round(i.rings[0]).width, 6) for i in half.marks if isinstance(i, Area) and i.edge == "thin"}
    assert {BADGE_MM} == widths


def test_a_crease_that_stays_flat_is_an_existing_crease():
    flat = Crease((0, 50), (150, 50), "mountain", 0.0)
    free = Crease((0, 70), (150, 70), "mountain", None)
    picture = crease_sheet(Pattern(creases=(flat, free)))
    assert [((0, 50), (150, 50))] == [line.points for line in lines(picture, "crease")]
    assert [((0, 70), (150, 70))] == [line.points for line in lines(picture, "mountain")]


def test_a_cut_carries_its_mark_and_a_pinch_its_own():
    plain = crease_sheet(Pattern(creases=(Crease((50, 0), (50, 40), "guide", None),)))
    cut = crease_sheet(Pattern(creases=(Crease((50, 0), (50, 40), "cut", None),)))
    assert len(plain.marks) + 1 == len(cut.marks)
    (mark,) = [i for i in cut.marks if isinstance(i, Area) and i.edge == "cut"]
    assert pytest.approx((50, 20)) == box_round(mark.rings[0]).middle
    pinched = crease_sheet(Pattern(crimps=((0.0, 60.0),)))
    wedges = pinched.marks[-1]
    assert (2, 3) == (len(wedges.rings), len(wedges.rings[0]))
    box = box_round(p for ring in wedges.rings for p in ring)
    assert pytest.approx((0, 60)) == box.middle
    assert box.height > box.width  # it pinches along the edge it sits on


@pytest.mark.parametrize("wall", [5.0, 10.0, 25.0, 45.0, 60.0])
def test_every_step_is_numbered_and_no_number_stands_on_a_line_or_another(wall):
    picture = crease_sheet(tray(wall))
    assert {"1", "2"} == set(texts(picture))
    page = Page("", "").showing(picture.moved(30.0, 60.0))
    assert not overlaps(page)


def test_numbers_of_creases_that_end_at_the_edge_stand_outside_the_sheet():
    for number, (x, y) in step_places(tray(), 1.0, [], ROOM):
        assert (2 == number) == (not (0 <= x <= 150 and 0 <= y <= 150))


def test_no_more_numbers_than_lines_that_have_one():
    silent = Pattern(creases=(Crease((0, 50), (150, 50)), Crease((0, 60), (150, 60), step=7)))
    assert [7] == [number for number, _ in step_places(silent, 1.0, [], ROOM)]
    assert not texts(crease_sheet(tray(), steps=False))


def test_a_crease_far_off_the_sheet_is_cut_off_near_it():
    wild = Pattern(creases=(Crease((75, 75), (9000, 75), step=1), Crease((-5000, -5000), (-4000, -4000), step=2)))
    box = crease_sheet(wild, [Finding("off-sheet", "stop", (9000.0, 75.0), "It leaves the sheet.")]).box
    assert -25 < box.left
    assert box.right < 150 + OFF_MM + 10


@given(
    st.lists(
        st.tuples(st.integers(0, 15), st.integers(0, 15), st.integers(0, 15), st.integers(0, 15), st.integers(1, 120)),
        max_size=12,
    )
)
def test_any_drawing_can_be_pictured_with_its_numbers_clear_of_lines(rows):
    creases = tuple(Crease((10.0 * a, 10.0 * b), (10.0 * c, 10.0 * d), step=step) for a, b, c, d, step in rows)
    page = Page("", "").showing(crease_sheet(Pattern(creases=creases)).moved(30.0, 60.0))
    assert not overlaps(page)


def test_findings_are_marked_by_shape_and_word_and_keep_clear_of_one_another():
    """Each level has its own shape and word."""
    corners = {level: len(finding_mark(level, (0, 0))[2].rings[0]) for level in LEVELS}
    assert {"stop": 8, "warn": 3, "note": 36} == corners
    found = [Finding("x", level, (75.0, 75.0), "") for level in LEVELS] + [Finding("x", "stop", None, "")]
    found += [Finding("x", "stop", (150.0, 75.0), ""), Finding("x", "warn", (75.0, 75.0), "")]
    picture = crease_sheet(Pattern(), found)
    assert ["stop", "!", "look out", "!", "note", "i", "stop", "!", "look out", "!"] == texts(picture)
    assert not overlaps(Page("", "").showing(picture.moved(30.0, 60.0)))


def test_a_long_step_number_widens_its_ring():
    short, long = (box_round(step_badge(number, (0, 0))[0].rings[0]) for number in (1, 1000))
    assert BADGE_MM == short.width < long.width
    assert short.height == long.height


def test_the_ring_round_a_face_is_the_face():
    pattern = tray()
    faces = faces_of(pattern)
    for face in range(faces.count):
        outer, *holes = (shapely.Polygon(ring) for ring in face_rings(faces, face))
        assert not holes
        assert pytest.approx(float(faces.areas[face])) == outer.area
        assert shapely.is_ccw(outer.exterior)
    (floor,) = face_rings(faces, faces.root)
    assert {(25.0, 25.0), (125.0, 25.0), (125.0, 125.0), (25.0, 125.0)} == set(floor)


def test_the_ring_round_a_face_with_a_hole_has_two_parts():
    ring = [(50.0, 50.0), (90.0, 50.0), (90.0, 90.0), (50.0, 90.0)]
    inner = Pattern(floor_at=(10.0, 10.0), creases=tuple(Crease(ring[k - 1], ring[k]) for k in range(4)))
    faces = faces_of(inner)
    areas = sorted(shapely.Polygon(ring).area for ring in face_rings(faces, faces.root))
    assert [1600.0, 22500.0] == areas


def test_a_free_spot_is_free_and_the_nearest():
    ring = Box(0, 0, 100, 100).corners
    assert (50, 50) == free_spot(20, 5, ring, (50, 50), [])
    line = Line(((0, 50), (100, 50)))
    x, y = free_spot(20, 5, ring, (50, 50), [line])
    assert 2.5 <= abs(y - 50) < 8
    assert 0 <= x <= 100
    assert free_spot(120, 5, ring, (50, 50), []) is None


def test_the_key_explains_what_the_pattern_uses_and_nothing_else():
    assert ("valley", "mountain", "edge", "tick", "floor", "step") == names_used(tray())
    cut = Pattern(creases=(Crease((0, 9), (9, 0), "cut", None), Crease((0, 20), (20, 0), "guide")), crimps=((1, 1),))
    assert ("cut", "guide", "edge", "tick", "floor", "pinch") == names_used(cut)


@pytest.mark.parametrize("room", [70.0, 130.0, 186.0])
def test_the_key_fits_its_room_and_nothing_in_it_is_in_the_way(room):
    block = key(tuple(WORDS), room)
    assert block.box.width <= room
    assert list(WORDS.values()) == [text for text in texts(block) if text != "1"]
    assert not overlaps(Page("", "").showing(block.moved(12.0, 250.0)))


def test_findings_at_the_corners_stay_over_the_sheet_whatever_number_stands_beside_them():
    """A mark that is in the way moves toward the middle: none is pushed off below the sheet."""
    corners = [(0.0, 0.0), (150.0, 0.0), (0.0, 150.0), (150.0, 150.0)]
    lines = tuple(Crease(corner, (75.0, 75.0), step=2) for corner in corners)
    found = [Finding("x", "warn", corner, "") for corner in corners * 2]
    plain = crease_sheet(Pattern(creases=lines)).box
    assert plain.bottom - 1.0 <= crease_sheet(Pattern(creases=lines), found).box.bottom
