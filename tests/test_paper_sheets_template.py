"""The template is true to size, on both papers, and says what the pupils need to know."""

import math
from itertools import chain

import numpy as np
import pytest
from lxml import etree

from folder.cargo.item_list import find_item
from folder.draw.picture import Area, Box, Label, Line, box_round
from folder.draw.sheet.numbers import TICK_WEIGHT
from folder.paper.design import Design
from folder.paper.job import PrintJob
from folder.paper.kinds import KINDS
from folder.paper.pages import PAPERS
from folder.paper.pdf import pdf_bytes, render_png
from folder.paper.sheets.template import OVERLAP_MM, SIDE_UP, template
from folder.paper.svg import page_svg
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.designs import ON_PAPERS
from tests.overlap import overlaps
from tests.papers import from_browser, from_poppler, grey, pdf_paths
from tests.studied import ready_study
from tests.test_draw_sheet_flat import tray
from tests.test_paper_svg import GOLDEN, SVG, same

DPI = 300


def words(page) -> str:
    return " ".join(item.text for item in page.drawing().marks if isinstance(item, Label))


def edge_of(page) -> Box:
    (edge,) = (item for item in page.picture.marks if isinstance(item, Line) and item.style == "edge" and item.closed)
    return box_round(edge.points)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_15_cm_sheet_is_one_page_with_nothing_in_the_way(paper):
    for wall in (5.0, 10.0, 25.0, 45.0):
        (page,) = template(tray(wall), paper)
        assert not overlaps(page)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_square_is_150_mm_in_the_svg(paper):
    (page,) = template(tray(), paper)
    root = etree.fromstring(page_svg(page, checked=True).encode())
    boxes = [box_round(tuple(map(float, p.split(","))) for p in e.get("points").split()) for e in root.iter(f"{SVG}polygon")]
    (square,) = (box for box in boxes if box.width > 140)
    assert pytest.approx((150.0, 150.0), abs=1e-9) == (square.width, square.height)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_square_is_150_mm_in_the_pdf(paper):
    (page,) = template(tray(), paper)
    boxes = [box_round(points) for command, points in pdf_paths(pdf_bytes([page])) if command in ("S", "s")]
    (square,) = (box for box in boxes if box.width > 140 and box.height > 140)
    assert pytest.approx((150.0, 150.0), abs=1e-3) == (square.width, square.height)


def assert_square_in(image: np.ndarray, page) -> None:
    """From the middle of one edge line to the middle of the other is 150 mm at 300 dpi, within 1 pixel."""
    edge = edge_of(page)
    px = DPI / 25.4
    middle, near = edge.middle, round(2 * px)
    row = image[round((page.height_mm - middle[1] - 7.0) * px)]
    column = image[:, round((middle[0] - 7.0) * px)]
    for values, places in (
        (row, (edge.left, edge.right)),
        (column, (page.height_mm - edge.top, page.height_mm - edge.bottom)),
    ):
        found = []
        for place in places:
            first = round(place * px) - near
            ink = 255.0 - values[first : first + 2 * near]
            found.append(first + 0.5 + float((ink * np.arange(2 * near)).sum() / ink.sum()))
            assert pytest.approx(place * px, abs=1.5) == found[-1]
        assert pytest.approx(150.0 * px, abs=1.0) == found[1] - found[0]


def assert_bars_in(image: np.ndarray, page) -> None:
    """Both bars to be measured with a ruler are 100 mm at 300 dpi, within 1 pixel: from their first ink to their last."""
    px = DPI / 25.4
    lines = [m for m in page.drawing().marks if isinstance(m, Line) and pytest.approx(100.0) == m.length_mm and m.style == "thin"]
    assert 2 == len(lines)
    for line in lines:
        (ax, ay), (bx, by) = ((x, page.height_mm - y) for x, y in line.points)
        level = pytest.approx(ay) == by
        across, start = (ay, min(ax, bx)) if level else (ax, min(ay, by))
        near, first = slice(round((across - 1.0) * px), round((across + 1.0) * px)), round((start - 2.0) * px)
        ink = (255.0 - (image if level else image.T)[near, first : round((start + 102.0) * px)]).max(axis=0)
        inked = np.nonzero(ink > 127.5)[0]
        assert pytest.approx(start * px, abs=1.0) == first + inked[0]
        assert pytest.approx(100.0 * px, abs=1.0) == inked[-1] + 1 - inked[0]


def plain_page(paper):
    """A template whose floor stays white, so that the square's edge is the only ink near it."""
    return template(tray(), paper, floor=[((74.0, 74.0), (76.0, 74.0), (76.0, 76.0))])[0]


def test_the_square_is_150_mm_and_the_bars_100_in_a_picture_at_300_dpi():
    page = plain_page("a4")
    image = grey(render_png(pdf_bytes([page]), 0, DPI))
    assert_square_in(image, page)
    assert_bars_in(image, page)


def test_the_square_is_150_mm_and_the_bars_100_as_poppler_paints_the_pdf(tmp_path):
    page = plain_page("letter")
    image = from_poppler(pdf_bytes([page]), DPI, tmp_path)
    if image is None:
        pytest.skip("pdftoppm is not installed")
    assert_square_in(image, page)
    assert_bars_in(image, page)


def test_the_square_is_150_mm_and_the_bars_100_as_a_browser_paints_the_svg(tmp_path):
    page = plain_page("letter")
    image = from_browser(page_svg(page), page.width_mm, page.height_mm, DPI, tmp_path)
    if image is None:
        pytest.skip("no Chromium is installed")
    assert_square_in(image, page)
    assert_bars_in(image, page)


def ticks_of(page) -> list[Line]:
    edge = edge_of(page)
    marks = (item for item in page.picture.marks if isinstance(item, Line) and item.weight == TICK_WEIGHT)
    return [item for item in marks if edge.grown(0.01).holds(item.points[0])]


def test_a_tick_of_5_mm_runs_on_from_every_crease_that_ends_at_the_edge():
    (page,) = template(tray())
    edge = edge_of(page)
    found = {(round(t.points[0][0] - edge.left), round(t.points[0][1] - edge.bottom)) for t in ticks_of(page)}
    on_edges = {(x, y) for x in (0, 25, 125, 150) for y in (0, 25, 125, 150) if x in (0, 150) or y in (0, 150)}
    assert on_edges == found
    for (x, y), (tx, ty) in (tick.points for tick in ticks_of(page)):
        assert pytest.approx(5.0, abs=0.2) == max(edge.left - tx, tx - edge.right, edge.bottom - ty, ty - edge.top) or (
            pytest.approx(5.0, abs=0.2) == math.dist((x, y), (tx, ty))
        )


@pytest.mark.parametrize("paper", PAPERS)
def test_ticks_are_in_line_with_their_creases_within_a_pixel_at_300_dpi(paper):
    """The middle of the ink of each upright tick outside the square against that of its crease inside."""
    (page,) = template(tray(), paper, floor=[((74.0, 74.0), (76.0, 74.0), (76.0, 76.0))])
    image, px, edge = grey(render_png(pdf_bytes([page]), 0, DPI)), DPI / 25.4, edge_of(page)

    def middle(x: float, low: float, high: float) -> float:
        columns = slice(round((x - 1.2) * px), round((x + 1.2) * px))
        rows = slice(round((page.height_mm - high) * px), round((page.height_mm - low) * px))
        ink = (255.0 - image[rows, columns]).sum(axis=0)
        return float((ink * np.arange(len(ink))).sum() / ink.sum())

    for x in (edge.left + 25.0, edge.right - 25.0):
        outside = middle(x, edge.bottom - 4.5, edge.bottom - 1.0)
        assert pytest.approx(middle(x, edge.bottom + 27.0, edge.bottom + 60.0), abs=1.0) == outside


@pytest.mark.parametrize(("name", "paper"), ON_PAPERS)
def test_every_step_stands_on_a_template_that_is_easy_to_read(name, paper):
    """Also where several creases end in one point; what is measured on a folded packet stands on that one's own page."""
    job = job_of(name, paper)
    pages = KINDS["template"].maker(job)
    numbers = {int(m.text) for p in pages for m in p.picture.marks if isinstance(m, Label) and m.text.isdigit()}
    made = {panel.number for panel in job.panels if panel.step.kind in ("fold", "crease")}
    assert made <= numbers
    for page in pages:
        assert not overlaps(page)
        edge = box_round(edges_of(page)[0].points)
        pinches = [box_round(chain(*m.rings)) for m in page.picture.marks if isinstance(m, Area) and len(m.rings) == 2]
        on_sheet = [pinch for pinch in pinches if pinch.top > edge.bottom]
        assert all(edge.holds((pinch.left, pinch.bottom)) and edge.holds((pinch.right, pinch.top)) for pinch in on_sheet)
        assert SIDE_UP in words(page).lower()
        assert "whole sheet" not in words(page)


def test_a_packet_is_printed_for_each_folded_state_that_is_measured_in():
    """The screw box is folded in half twice: 150 x 150, then 75 x 150, then 75 x 75 mm."""
    sizes = [round(box_round(p for line in edges_of(page) for p in line.points).width) for page in pages_of_kind("screw-box")]
    assert [150, 75, 75] == sizes
    assert 1 == len(pages_of_kind("plain-tray")) == len(pages_of_kind("hemmed-tray"))
    # The edge with the dot lies under the other half from step 1 on.
    assert ["always this edge", *["this edge, under foil"] * 2] == [
        next(m.text for m in page.picture.marks if isinstance(m, Label) and "this edge" in m.text)
        for page in pages_of_kind("screw-box")
    ]


def pages_of_kind(name: str):
    return KINDS["template"].maker(job_of(name, "a4"))


def edges_of(page) -> list[Line]:
    """The border of the sheet, or of the packet."""
    top = page.body.top
    lines = [i for i in page.picture.marks if isinstance(i, Line) and i.style in ("edge", "outline") and i.length_mm > 20.0]
    return [line for line in lines if line.points[0][1] <= top]


def job_of(name: str, paper) -> PrintJob:
    made = ready_study(name)
    design = Design(made.pattern, made.folded, made.hull, layering=made.layering)
    return PrintJob(design, made.water, paper, find_item("us-cent"))


def test_the_template_says_which_side_is_up_what_can_hurt_and_what_the_lines_mean():
    (page,) = template(tray())
    said = words(page)
    for phrase in (
        SIDE_UP,
        "150 × 150 mm",
        "valley",
        "mountain",
        "the floor",
        "fold in this order",
        "Foil edges",
        "own rules",
    ):
        assert phrase in said
    assert "Measure me" in said


def test_a_pattern_that_does_not_fold_says_so_across_the_page():
    for page in template(tray(), warning="This does not fold yet"):
        assert "This does not fold yet" in words(page)
        assert not overlaps(page)


def test_words_find_another_place_when_a_line_runs_through_the_middle():
    (page,) = template(Pattern(creases=(Crease((0, 75), (150, 75), step=1), Crease((75, 0), (75, 150), step=2))))
    assert SIDE_UP in words(page)
    assert not overlaps(page)


def test_a_wide_sheet_is_printed_on_lying_paper():
    overview, page = template(Pattern("Wide", sheet=Sheet(220, 120)))
    assert page.landscape
    assert (220, 120) == (edge_of(page).width, edge_of(page).height)
    assert "The whole sheet, " in words(overview)
    assert not overlaps(overview)
    assert not overlaps(page)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("size", [(200, 200), (300, 300), (180, 700)])
def test_a_sheet_larger_than_the_paper_comes_in_tiles_that_overlap(paper, size):
    pattern = Pattern("Big", sheet=Sheet(*size), creases=(Crease((0, 30), (size[0], 30), step=1),))
    overview, *tiles = template(pattern, paper)
    assert "The whole sheet, " in words(overview)
    across = {words(tile).split("Row ")[1].split(".")[0] for tile in tiles}
    assert len(tiles) == len(across) >= 2
    for page in (overview, *tiles):
        assert not overlaps(page)


def test_tiles_keep_the_true_size_and_share_their_crosses():
    pattern = Pattern("Big", sheet=Sheet(300, 300))
    _, *tiles = template(pattern)
    assert 4 == len(tiles)
    corner = [item for item in tiles[0].picture.marks if isinstance(item, Line) and item.style == "edge"]
    assert pytest.approx(300 / 2 + OVERLAP_MM / 2) == box_round(p for line in corner for p in line.points).width

    def crosses(tile):
        """Middles of the crosses, on the sheet: the corner of the sheet on this tile is known."""
        edge = box_round(p for i in tile.picture.marks if isinstance(i, Line) and i.style == "edge" for p in i.points)
        return edge, [i.points for i in tile.picture.marks if isinstance(i, Line) and i.style == "thin"]

    # The upper left and the upper right tile: both show the sheet's upper edge, which runs into the overlap.
    (left_edge, left), (right_edge, right) = crosses(tiles[0]), crosses(tiles[1])
    from_left = {(round(a[0] - left_edge.left, 6), round(left_edge.top - a[1], 6)) for a, b in left if a[1] == b[1]}
    from_right = {(round(300 - right_edge.right + a[0], 6), round(right_edge.top - a[1], 6)) for a, b in right if a[1] == b[1]}
    shared = from_left & from_right
    assert 2 == len(shared)
    assert {150.0 - 4.0} == {x for x, _ in shared}


def test_a_template_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `page_svg` of the page and look at it."""
    golden = etree.parse(GOLDEN / "template.svg").getroot()
    same(golden, etree.fromstring(page_svg(template(tray())[0], checked=True).encode()))
