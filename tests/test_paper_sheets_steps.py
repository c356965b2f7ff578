"""The step sheet: every step has its panel, and nothing on it is hard to read."""

import random

import numpy as np
import pytest
from hypothesis import given
from lxml import etree
from msgspec.structs import replace

from folder.draw.hull.scene import FOLD_WEIGHT
from folder.draw.hull.solid import good_view, solid
from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, box_round
from folder.draw.steps.panel import panels
from folder.draw.text import label_corners
from folder.fold.place import folded
from folder.fold.sequence.steps import fold_sequence
from folder.paper.pages import LEADING_MM, Page
from folder.paper.pdf import pdf_bytes, render_png
from folder.paper.sheets.step_cells import COLUMNS, cells_on_a_page, rows_on_a_page
from folder.paper.sheets.steps import START, steps_pages
from folder.paper.svg import page_svg
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.pattern import Pattern, Sheet
from tests.designs import ON_PAPERS
from tests.drawings import drawn, hand_rounded, line, tray
from tests.overlap import overlaps
from tests.papers import grey, pdf_text
from tests.strategies import kept_patterns, tried
from tests.test_fold_sequence_steps import READY, random_member, ready
from tests.test_paper_svg import GOLDEN, same


def pages_of(pattern: Pattern, paper="a4", **rest) -> tuple[Page, ...]:
    shape = folded(faces_of(pattern))
    floor = np.arange(shape.faces.count) == shape.faces.root
    return steps_pages(pattern, shape, paper, floor=floor, **rest)


def labels(page: Page) -> list[Label]:
    return [item for item in page.drawing().marks if isinstance(item, Label)]


def words(pages: tuple[Page, ...]) -> str:
    return " ".join(label.text for page in pages for label in labels(page))


def numbers(pages: tuple[Page, ...]) -> list[int]:
    return [int(label.text) for page in pages for label in labels(page) if label.text.isdigit() and label.weight == "bold"]


@pytest.mark.parametrize(("name", "paper"), ON_PAPERS)
def test_every_step_of_a_ready_pattern_has_a_panel_and_nothing_is_in_the_way(name, paper):
    pattern = ready(name)
    pages = pages_of(pattern, paper)
    order = fold_sequence(pattern, folded(faces_of(pattern)))
    assert list(range(1, len(order.steps) + 1)) == numbers(pages)
    for page in pages:
        assert not overlaps(page)
        assert min(item.size_mm for item in page.picture.marks if isinstance(item, Label)) >= PUPIL_MM
        for label in labels(page):
            for x, y in label_corners(label):
                assert 0.0 < x < page.width_mm
                assert 0.0 < y < page.height_mm
        assert "Foil edges" in words((page,))
        assert "own rules" in words((page,))


@pytest.mark.parametrize("name", READY)
def test_pictures_stay_in_the_body_of_their_page(name):
    for page in pages_of(ready(name), "letter"):
        room = page.body.grown(2.0)
        for item in page.picture.marks:
            places = (
                item.points if isinstance(item, Line) else [p for r in item.rings for p in r] if isinstance(item, Area) else []
            )
            assert all(room.holds(place) for place in places)


def test_pages_of_random_family_members_have_nothing_in_the_way():
    draw = random.Random(11)
    for name in FAMILIES:
        member = random_member(FAMILIES[name], draw)
        if member:
            assert not [o for page in pages_of(member) for o in overlaps(page)]


@pytest.mark.parametrize(
    ("name", "paper", "flat_mm", "standing_mm"),
    [("plain-tray", "a4", 50, 40), ("plain-tray", "letter", 46, 42), ("hemmed-tray", "a4", 50, 47), ("hemmed-tray", "letter", 52, 44),
     ("fan-bowl", "a4", 32, 35), ("fan-bowl", "letter", 34, 36)],
)  # fmt: skip
def test_pictures_are_large_and_stand_clear_of_words_and_of_each_other(name, paper, flat_mm, standing_mm):
    """Sizes of the sheet before a flat step and of the hull after one that stands, as they were looked at."""
    pattern = ready(name)
    made = list(panels(pattern, fold_sequence(pattern, folded(faces_of(pattern)))))
    body = Page("", "", paper, cautions=("edges", "rules")).body
    each = COLUMNS * rows_on_a_page(made, body)
    for k in range(0, len(made), each):
        cells, _ = cells_on_a_page(made[k : k + each], each // COLUMNS, body)
        for cell in cells:
            assert not cell.before.touches(cell.after)
            top = cell.box.top - len(cell.lines) * LEADING_MM
            assert all(
                top >= box.top and cell.box.grown(0.1).holds(corner)
                for box in (cell.before, cell.after)
                for corner in box.corners
            )
            assert cell.after.top + len(cell.side) * LEADING_MM <= top
            flat = cell.panel.flat
            drawn, at, least = (cell.panel.before, cell.before, flat_mm) if flat else (cell.panel.after, cell.after, standing_mm)
            whole = drawn(Box(0.0, 0.0, at.width, at.height)).scene.whole
            assert max(whole.width, whole.height) >= least


def test_a_tray_says_what_to_measure_and_what_to_line_up():
    said = words(pages_of(make("square-tray", {"wall": 22.5})))
    for phrase in (
        "22.5 mm from the edges",
        "only from the corner to the crossing",
        "Fold the walls up",
        "all four corners",
        "flat against the outside",
        "the left and right walls",
        "Pinch",
        "rim is level",
    ):
        assert phrase in " ".join(said.split())


def test_flaps_on_the_end_walls_are_said_to_lie_there():
    assert "front and back walls" in words(pages_of(make("square-tray", {"tuck": "ends"})))
    assert "The flaps lie" not in words(pages_of(make("square-tray", {"tuck": "round"})))


def test_folds_before_the_walls_say_how_they_are_found():
    hemmed = words(pages_of(make("hemmed-tray", {"hem": 6.0})))
    assert "The line meets both edges 12 mm from the corner" in hemmed
    assert "6 mm from the edges" in hemmed
    assert "edge to edge" in words(pages_of(make("tall-box")))
    assert "9 mm from the fold" in words(pages_of(make("pleated-floor-tray", {"pleat": 9.0})))


def test_walls_of_different_width_are_measured_one_by_one():
    said = words(pages_of(make("long-barge", {"left": 38.0, "right": 38.0, "bow": 26.0, "stern": 30.0})))
    assert "From the edges: lower 26 mm, upper 30 mm, left and right 38 mm." in " ".join(said.split())


def test_what_cannot_be_measured_is_taken_from_the_template_by_its_number():
    """A hem of 2 mm: no child measures that."""
    hem = drawn([line((0, 2), (150, 2), "valley", 180), line((0, 50), (150, 50))])
    assert "Find them on the template: they have the number 1" in words(pages_of(hem))


def test_a_fold_to_the_outside_rotations_the_sheet_over_twice():
    said = words(pages_of(drawn([line((0, 140), (150, 140), "mountain", 180), line((0, 60), (150, 60))])))
    assert 2 == said.count("Turn the sheet over")


def test_a_drawing_that_does_not_close_says_so_instead_of_showing_steps():
    crossing = drawn([line((25, 0), (25, 150)), line((0, 25), (150, 25))])
    (page,) = pages_of(crossing, warning="THIS PATTERN DOES NOT FOLD AS DRAWN")
    assert "do not come together" in words((page,))
    assert "DOES NOT FOLD" in words((page,))
    assert not numbers((page,))
    assert not overlaps(page)


def test_an_empty_sheet_says_that_there_is_nothing_to_fold():
    (page,) = pages_of(Pattern())
    assert "Nothing is folded" in words((page,))


@pytest.mark.parametrize("name", ['"Quotes" & <tags>', "🚢 boat 👨‍👩‍👧", "قارب ورقي", "x" * 300, "", "a\nb\t\u202ec"])
def test_a_strange_name_does_not_break_a_page(name):
    (page,) = pages_of(replace(make("square-tray"), name=name))
    assert not overlaps(page)
    etree.fromstring(page_svg(page, checked=True).encode())
    assert "Fold the walls up" in pdf_text(pdf_bytes([page])).replace("\n", " ")


@pytest.mark.parametrize("sheet", [Sheet(300, 60), Sheet(60, 300), Sheet(1000, 1000), Sheet(20, 20)])
def test_sheets_of_any_shape_and_size_fit(sheet):
    wall = min(sheet.width_mm, sheet.height_mm) / 5
    for page in pages_of(tray(wall, sheet=sheet)):
        assert not overlaps(page)


def test_a_tray_rounded_by_hand_has_the_steps_of_the_exact_one():
    assert numbers(pages_of(tray())) == numbers(pages_of(hand_rounded(tray())))


@tried(25)
@given(kept_patterns())
def test_any_drawing_gets_pages(pattern):
    for page in pages_of(pattern, warning="Look out"):
        assert page_svg(page, checked=True)


def test_a_crimp_off_the_sheet_is_not_shown():
    off = replace(make("square-tray"), crimps=((-20.0, 50.0),))
    assert "Pinch the flap" not in words(pages_of(off))
    some = replace(off, crimps=(*off.crimps, (10.0, 75.0)))
    assert "Pinch the flap" in words(pages_of(some))


def test_a_fold_too_small_to_see_is_shown_larger():
    """A hem of 2 mm: its picture holds a second, larger one, in a frame of its own."""
    hem = [line((0, y), (150, y), "valley", 180) for y in (2, 148)]
    (page,) = pages_of(drawn(hem))
    frames = [item for item in page.picture.marks if isinstance(item, Line) and item.closed and item.style in ("thin", "outline")]
    assert len(frames) >= 2
    (wide,) = pages_of(drawn([line((0, 40), (150, 40), "valley", 180)]))
    assert not [item for item in wide.picture.marks if isinstance(item, Line) and item.closed and item.style == "outline"]


def test_no_arrow_lies_under_what_is_shown_larger():
    pattern = ready("hemmed-tray")
    _, hem, *_ = panels(pattern, fold_sequence(pattern, folded(faces_of(pattern))))
    drawn = hem.before(Box(0.0, 0.0, 57.0, 90.0))
    *_, frame = (item for item in drawn.picture.marks if isinstance(item, Line) and item.closed)
    inset = box_round(frame.points)
    assert 10.0 < inset.width < 25.0
    assert pytest.approx(inset.width) == inset.height
    assert 4 == len(drawn.acts)
    assert not [act for act in drawn.acts if inset.touches(box_round([act.start, act.end]))]


def test_valleys_and_mountains_are_told_apart_in_a_grey_picture_at_150_dpi():
    """In the panel that raises the walls, the tucked sides are dash-dot-dot and the floor dashed: gaps tell them apart."""
    (page,) = pages_of(make("square-tray"))
    folds = [item for item in page.picture.marks if isinstance(item, Line) and item.style in ("valley", "mountain")]
    lines = [item for item in folds if item.weight == FOLD_WEIGHT]
    image = grey(render_png(pdf_bytes([page]), 0, 150, grey=True))
    px = 150 / 25.4

    def gaps(item: Line) -> float:
        """Gaps along a line, per mm."""
        (ax, ay), (bx, by) = item.points[0], item.points[-1]
        t = np.linspace(0.0, 1.0, 400)
        column = np.round((ax + t * (bx - ax)) * px).astype(int)
        row = np.round((page.height_mm - ay - t * (by - ay)) * px).astype(int)
        ink = np.min([image[row + d, column + e] for d in (-1, 0, 1) for e in (-1, 0, 1)], axis=0) < 200
        return float((ink[:-1] & ~ink[1:]).sum()) / item.length_mm

    mountains = [gaps(item) for item in lines if item.style == "mountain"]
    valleys = [gaps(item) for item in lines if item.style == "valley" and item.length_mm > 10.0]
    assert mountains
    assert min(mountains) > 1.3 * max(valleys), (mountains, valleys)


def test_the_first_line_says_which_side_is_up():
    assert START in words(pages_of(make("square-tray")))


def test_a_step_sheet_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `page_svg` of the page and look at it."""
    golden = etree.parse(GOLDEN / "steps.svg").getroot()
    (page,) = pages_of(tray())
    same(golden, etree.fromstring(page_svg(page, checked=True).encode()))


def test_the_pictures_on_paper_are_those_of_the_screen():
    """The hull after the last step is the solid picture of the folded sheet, scaled."""
    pattern = make("square-tray")
    shape = folded(faces_of(pattern))
    *_, laid, _ = panels(pattern, fold_sequence(pattern, shape))
    on_screen = [item for item in solid(shape, good_view(shape)).marks if isinstance(item, Area)]
    drawn = laid.after(Box(0, 0, 50, 50))
    on_paper = [item for item in drawn.picture.marks if isinstance(item, Area)][: len(on_screen)]
    for there, here in zip(on_screen, on_paper, strict=True):
        for a, b in zip(there.rings[0], here.rings[0], strict=True):
            assert pytest.approx(b) == tuple(drawn.scene.scale * v + s for v, s in zip(a, drawn.scene.shift, strict=True))
