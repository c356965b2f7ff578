"""The page: its size, its margins, the bar that is measured, the cautions."""

import re

import numpy as np
import pytest
from lxml import etree

from folder.draw.picture import Area, Box, Label, Line, Picture
from folder.paper.pages import CAUTIONS, FLOATING, FOLDING, MARGIN_MM, PAPERS, Page, measure_bar
from folder.paper.pdf import pdf_bytes, render_png
from folder.paper.svg import page_svg
from tests.overlap import overlaps
from tests.papers import from_browser, from_poppler, grey, ink_span, pdf_paths

SVG = "{http://www.w3.org/2000/svg}"
DPI = 300
BAR_PX = 100 / 25.4 * DPI
EVERY = [(paper, landscape) for paper in PAPERS for landscape in (False, True)]


def measured_page(paper="a4", landscape=False) -> Page:
    return Page("Plain tray", "Template 1:1", paper, landscape, scale="both", cautions=FOLDING)


def ink_box(points) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def bar_boxes(boxes: list[Box]) -> tuple[Box, Box]:
    """The bar across and the bar upright among the boxes of all areas: 3 mm wide and longer than 50."""
    across = [box for box in boxes if abs(box.height - 3.0) < 1e-3 and box.width > 50]
    upright = [box for box in boxes if abs(box.width - 3.0) < 1e-3 and box.height > 50]
    assert (1, 1) == (len(across), len(upright))
    return across[0], upright[0]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_bar_is_100_mm_both_ways_in_the_svg(paper):
    root = etree.fromstring(page_svg(measured_page(paper), checked=True).encode())
    assert root.get("viewBox").split()[2] + "mm" == root.get("width")
    rings = [re.findall(r"(-?[\d.]+),(-?[\d.]+)", path.get("d")) for path in root.iter(f"{SVG}path")]
    across, upright = bar_boxes([ink_box([(float(x), float(y)) for x, y in ring]) for ring in rings])
    assert pytest.approx(100.0, abs=1e-9) == across.width
    assert pytest.approx(100.0, abs=1e-9) == upright.height


@pytest.mark.parametrize("paper", PAPERS)
def test_the_bar_is_100_mm_both_ways_in_the_pdf(paper):
    paths = pdf_paths(pdf_bytes([measured_page(paper)]))
    across, upright = bar_boxes([ink_box(points) for command, points in paths if command == "f*"])
    assert pytest.approx(100.0, abs=1e-3) == across.width
    assert pytest.approx(100.0, abs=1e-3) == upright.height


def assert_bars_in(image: np.ndarray, page: Page) -> None:
    """From the first to the last inked pixel of both bars: 100 mm at 300 dpi, within 1 pixel."""

    def px(mm: float) -> int:
        return round(mm / 25.4 * DPI)

    areas = [item for item in page.drawing().marks if isinstance(item, Area)]
    across, upright = bar_boxes([ink_box([p for ring in area.rings for p in ring]) for area in areas])
    top = page.height_mm - across.top
    rows = image[px(top) : px(top + 3.0), px(across.left - 2) : px(across.right + 2)].min(axis=0)
    first, last = ink_span(rows)
    assert pytest.approx(BAR_PX, abs=1.0) == last - first + 1
    assert pytest.approx(px(2.0), abs=1.5) == first
    columns = image[px(page.height_mm - upright.top - 2) : px(page.height_mm - upright.bottom + 2)]
    first, last = ink_span(columns[:, px(upright.left) : px(upright.right)].min(axis=1))
    assert pytest.approx(BAR_PX, abs=1.0) == last - first + 1


def test_the_bar_is_100_mm_in_a_picture_at_300_dpi():
    page = measured_page()
    assert_bars_in(grey(render_png(pdf_bytes([page]), 0, DPI)), page)


def test_the_bar_is_100_mm_as_poppler_paints_the_pdf(tmp_path):
    page = measured_page("letter")
    image = from_poppler(pdf_bytes([page]), DPI, tmp_path)
    if image is None:
        pytest.skip("pdftoppm is not installed")
    assert_bars_in(image, page)


def test_the_bar_is_100_mm_as_a_browser_paints_the_svg(tmp_path):
    page = measured_page("letter")
    image = from_browser(page_svg(page), page.width_mm, page.height_mm, DPI, tmp_path)
    if image is None:
        pytest.skip("no Chromium is installed")
    assert_bars_in(image, page)


def test_the_bar_itself_is_100_mm_and_marked_in_tens():
    bar = measure_bar()
    assert (0.0, 0.0, 100.0, 3.0) == bar.box
    edges = sorted({x for ring in bar.marks[0].rings for x, _ in ring})
    assert [10.0 * k for k in range(11)] == edges


def test_beside_the_bar_stands_what_to_do():
    """Measure me; if this is not 100 mm, print at 100 %."""
    words = " ".join(i.text for i in measured_page().drawing().marks if isinstance(i, Label))
    assert "Measure me: 100 mm. If not, print at 100 %." in words


@pytest.mark.parametrize(("paper", "landscape"), EVERY)
@pytest.mark.parametrize("warning", ["", "This does not fold yet"])
@pytest.mark.parametrize("cautions", [(), FOLDING, FLOATING])
def test_nothing_on_an_empty_page_is_in_the_way_of_anything(paper, landscape, warning, cautions):
    page = Page("Plain tray", "Record", paper, landscape, "both", cautions, warning)
    assert not overlaps(page)


@pytest.mark.parametrize(("paper", "landscape"), EVERY)
def test_the_body_is_free_of_head_and_foot(paper, landscape):
    """A picture that fills the body touches neither the head nor the foot."""
    page = Page("Plain tray", "Record", paper, landscape, "both", FLOATING, "This does not fold yet")
    corners = page.body.corners
    filled = page.showing(Picture.of([Line(corners, "thin", closed=True), Line((corners[0], corners[2]), "thin")]))
    assert not overlaps(filled)


def test_a_15_cm_sheet_fits_both_papers_with_its_margins():
    for paper in PAPERS:
        body = measured_page(paper).body
        assert body.left >= MARGIN_MM
        assert min(body.width, body.height) >= 150 + 2 * 8


def test_lying_paper_is_as_wide_as_standing_paper_is_high():
    """CHECKS section 10."""
    assert (297.0, 210.0) == (Page("", "", "a4", True).width_mm, Page("", "", "a4", True).height_mm)
    assert (215.9, 279.4) == (Page("", "", "letter").width_mm, Page("", "", "letter").height_mm)


def test_the_cautions_name_everything_that_can_hurt_and_defer_to_the_event():
    """Edges cut; screws and pins; small objects; wipe up water; an adult; the event's own rules."""
    said = " ".join(CAUTIONS[name] for name in FLOATING).lower()
    for word in ("edges", "screws", "pins", "choke", "wipe", "adult", "event's own rules"):
        assert word in said
    lines = [i.text for i in Page("", "Record", cautions=FLOATING).drawing().marks if isinstance(i, Label)]
    assert said == " ".join(lines[-len(FLOATING) :]).lower()


def test_pupils_text_is_12_points_or_more():
    """12 pt and up on what a pupil reads."""
    page = Page("Plain tray", "Record", scale="both", cautions=FLOATING, warning="This does not fold yet")
    sizes = {i.size_mm for i in page.drawing().marks if isinstance(i, Label) and i.text != "!"}
    assert min(sizes) >= 12 * 25.4 / 72 - 1e-9


def test_a_long_title_runs_on_a_second_line_and_is_shortened_only_there():
    long = "The long barge of the second year with the high bow and a hem all round"
    page = Page(long, "Template 1:1, 150 × 150 mm")
    first, second, _ = (i.text for i in page.drawing().marks if isinstance(i, Label))
    assert long == f"{first} {second}"
    assert not overlaps(page)
    longer = Page("Wavebreaker " * 25, "Template 1:1, 150 × 150 mm")
    assert [i.text for i in longer.drawing().marks if isinstance(i, Label)][1].endswith("…")
    assert not overlaps(longer)
    word = "Donaudampfschifffahrtsgesellschaftskapitaenskajuetenboot-two"
    broken = Page(word, "Template 1:1, 150 × 150 mm")
    first, second, _ = (i.text for i in broken.drawing().marks if isinstance(i, Label))
    assert word == first.removesuffix("-") + second
    assert not overlaps(broken)


def test_the_margin_is_more_than_printers_leave_blank_and_leaves_room_for_the_sheet():
    """6 mm of blank (common practice); a sheet of 150 mm with 8 mm round it at true size on paper 210 mm wide (ISO 216)."""
    assert 6.0 < MARGIN_MM < (210.0 - 150.0 - 2 * 8.0) / 2.0
