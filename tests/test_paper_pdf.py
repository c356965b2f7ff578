"""Pages as PDF at true size, and their previews."""

import io
import os
import subprocess
import sys

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from folder.draw.picture import Area, Box, Label, Line, Picture
from folder.draw.style import STYLES, dash_runs
from folder.errors import BadRequest, UnreadableFile, UnwritableFile
from folder.paper.pages import FOLDING, Page
from folder.paper.pdf import LEFT_OUT, pdf_bytes, render_png, write_pdf, write_png
from tests.papers import from_poppler, grey, ink_runs, pdf_paths, pdf_text
from tests.test_paper_svg import NAMES

DPI = 150
PX_PER_MM = DPI / 25.4
TOLD_APART = ("valley", "mountain", "crease", "hidden", "cut", "guide")


def lines_page() -> Page:
    """A line of 120 mm in every style, 10 mm apart from the top of the body, from the edge of a pixel (0.8 in)."""
    page = Page("Lines", "Test")
    top = page.body.top
    lines = [Line(((20.32, top - 10 * k - 10), (140.32, top - 10 * k - 10)), name) for k, name in enumerate(TOLD_APART)]
    return page.showing(Picture.of(lines))


def row_of(image: np.ndarray, page: Page, line: Line) -> np.ndarray:
    """The darkest grey along a line, from its start to its end."""
    y = (page.height_mm - line.points[0][1]) * PX_PER_MM
    x = line.points[0][0] * PX_PER_MM
    rows = image[int(y - 1) : int(y + 2), round(x) : round(x + line.length_mm * PX_PER_MM)]
    return rows.min(axis=0)


def kinds(image: np.ndarray, page: Page) -> dict[str, tuple[int, int, int]]:
    """For each style: how many long, short and unbroken stretches of ink there are along its line."""
    found = {}
    for line in page.picture.marks:
        lengths = [(b - a) / PX_PER_MM for a, b in ink_runs(row_of(image, page, line))]
        long = sum(2.0 < length < 100.0 for length in lengths)
        found[line.style] = (long, sum(length <= 1.0 for length in lengths), sum(length >= 100.0 for length in lengths))
    return found


def assert_told_apart(image: np.ndarray, page: Page) -> None:
    """Valley: dashes alone. Mountain: two dots after every dash. Hidden and guide: dots, near or far. The rest: whole."""
    found = kinds(image, page)
    dashes, dots, whole = found["valley"]
    assert dashes >= 14
    assert (0, 0) == (dots, whole)
    dashes, dots, whole = found["mountain"]
    assert dashes >= 9
    assert (2 * (dashes - 1), 0) == (dots, whole)
    assert (0, 0, 1) == found["crease"] == found["cut"]
    assert (0, 0) == found["hidden"][::2] == found["guide"][::2]
    assert found["hidden"][1] > 1.7 * found["guide"][1]
    assert found["guide"][1] > 20


def test_line_styles_are_told_apart_in_grey_at_150_dpi():
    page = lines_page()
    assert_told_apart(grey(render_png(pdf_bytes([page]), 0, DPI, grey=True)), page)


def test_line_styles_are_told_apart_as_poppler_paints_them(tmp_path):
    page = lines_page()
    image = from_poppler(pdf_bytes([page]), DPI, tmp_path)
    if image is None:
        pytest.skip("pdftoppm is not installed")
    assert_told_apart(image, page)


@pytest.mark.parametrize("name", ["valley", "mountain"])
def test_dashes_on_paper_lie_where_the_style_says(name):
    """ISO 128-2 lengths (CHECKS section 5), measured on the picture: every run within a pixel at 150 dpi."""
    page = lines_page()
    image = grey(render_png(pdf_bytes([page]), 0, DPI, grey=True))
    line = next(line for line in page.picture.marks if line.style == name)
    runs = np.array(ink_runs(row_of(image, page, line))) / PX_PER_MM
    expected = np.array(dash_runs(line.length_mm, STYLES[name]))
    assert expected.shape == runs.shape
    assert np.abs(expected - runs).max() <= 1.0 / PX_PER_MM


def test_a_cut_is_thicker_than_an_existing_crease_on_paper():
    page = lines_page()
    image = grey(render_png(pdf_bytes([page]), 0, 600, grey=True))
    thick = {}
    for line in page.picture.marks:
        y, x = (round(v * 600 / 25.4) for v in (page.height_mm - line.points[0][1], line.points[0][0] + 1.0))
        thick[line.style] = int((image[y - 30 : y + 30, x] < 128).sum())
    assert thick["cut"] >= 2 * thick["crease"]


@pytest.mark.parametrize(("paper", "landscape", "size"), [("a4", False, (210, 297)), ("letter", True, (279.4, 215.9))])
def test_the_paper_has_its_true_size(paper, landscape, size):
    """CHECKS section 10."""
    page = PdfReader(io.BytesIO(pdf_bytes([Page("Tray", "Test", paper, landscape)]))).pages[0]
    assert pytest.approx(size, abs=1e-3) == [float(v) * 25.4 / 72 for v in page.mediabox[2:]]


def test_pages_of_different_paper_keep_their_sizes_in_one_file():
    boxes = PdfReader(io.BytesIO(pdf_bytes([Page("T", "1"), Page("T", "2", "letter", True)]))).pages
    assert [210, 279] == [int(float(page.mediabox[2]) * 25.4 / 72 + 0.01) for page in boxes]


def test_places_are_true_to_a_micrometre():
    page = Page("T", "K").showing(Picture.of([Line(((30.0, 40.0), (180.0, 190.0)))]))
    points = [points for command, points in pdf_paths(pdf_bytes([page])) if command == "S"][-1]
    assert pytest.approx([30.0, 40.0, 180.0, 190.0], abs=1e-3) == [v for point in points for v in point]


def test_text_stays_text_in_the_bundled_font():
    page = Page("Søren's tray", "Steps 1 of 2", cautions=FOLDING)
    pdf = pdf_bytes([page])
    assert "Søren's tray" in pdf_text(pdf)
    fonts = PdfReader(io.BytesIO(pdf)).pages[0]["/Resources"]["/Font"].values()
    embedded = {font["/BaseFont"].split("+")[-1] for font in fonts if "/FontFile2" in font.get("/FontDescriptor", {})}
    assert {"Lexend-Regular", "Lexend-Bold"} == embedded


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_no_name_breaks_a_page(name):
    pdf = pdf_bytes([Page(name, "Template 1:1", warning=name)])
    assert "Template 1:1" in pdf_text(pdf)
    assert "\x00" not in pdf_text(pdf)
    assert grey(render_png(pdf, 0, 30)).min() < 128


def test_a_sign_the_font_has_not_is_left_out_with_a_word():
    text = pdf_text(pdf_bytes([Page("Boat 🚢 one", "Test")]))
    assert "Boat one" in text
    assert LEFT_OUT in text
    assert LEFT_OUT not in pdf_text(pdf_bytes([Page("Boat one é", "Test")]))
    for name in ("قارب", "סירה", "🚢", "小明 …"):
        pdf = pdf_bytes([Page(name, "Test")])
        assert pdf_text(pdf).startswith("Test\nSome letters")
        # A line to write it on, from the left margin of 12 mm, where the title's baseline is.
        assert grey(render_png(pdf, 0, 150))[80:110, 75:200].min(axis=0).max() < 128


def test_the_viewer_is_asked_for_no_scaling_and_told_title_and_language():
    """ISO 32000-1: PrintScaling (table 150), Lang (14.9.2), DisplayDocTitle; read back with another library."""
    reader = PdfReader(io.BytesIO(pdf_bytes([Page("Tray", "Test"), Page("Tray", "Other")])))
    assert "/None" == reader.root_object["/ViewerPreferences"]["/PrintScaling"]
    assert reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"]
    assert "en" == reader.root_object["/Lang"]
    assert "Tray" == reader.metadata.title


def test_a_hole_in_an_area_stays_open():
    ring, hole = Box(40, 40, 80, 80).corners, Box(50, 50, 70, 70).corners
    page = Page("T", "K").showing(Picture.of([Area((ring, hole), "#000000")]))
    image = grey(render_png(pdf_bytes([page]), 0, 72))
    here, there = ((round((page.height_mm - y) / 25.4 * 72), round(x / 25.4 * 72)) for x, y in ((45, 60), (60, 60)))
    assert 0 == image[here]
    assert 255 == image[there]


def test_turned_text_runs_upward():
    page = Page("", "").showing(Picture.of([Label("HHHHHHHH", (100.0, 100.0), 10.0, rotation_rad=np.pi / 2)]))
    image = grey(render_png(pdf_bytes([page]), 0, 72))
    rows, columns = np.nonzero(image[300:700] < 128)
    assert np.ptp(rows) > 3 * np.ptp(columns)
    assert rows.max() + 300 <= (297 - 100) / 25.4 * 72 + 2


def test_the_same_pages_give_the_same_bytes_in_every_process(tmp_path):
    script = (
        "import sys; from folder.paper.pages import Page; from folder.paper.pdf import pdf_bytes;"
        "sys.stdout.buffer.write(pdf_bytes([Page('Tray', 'Test', cautions=('edges', 'rules'), scale='both')]))"
    )
    env = {**os.environ, "PYTHONHASHSEED": "7"}
    other = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, cwd=tmp_path, env=env).stdout
    assert other == pdf_bytes([Page("Tray", "Test", cautions=FOLDING, scale="both")])


def test_a_preview_says_its_resolution(tmp_path):
    path = tmp_path / "page.png"
    write_png(Page("Tray", "Test"), path, 100)
    with Image.open(path) as image:
        assert pytest.approx((100, 100), abs=0.1) == image.info["dpi"]
        assert pytest.approx((827, 1169), abs=1) == image.size


def test_what_cannot_be_printed_is_said_in_one_line(tmp_path):
    pdf = pdf_bytes([Page("Tray", "Test")])
    for wrong in (
        lambda: pdf_bytes([]),
        lambda: render_png(pdf, 1),
        lambda: render_png(pdf, -1),
        lambda: render_png(pdf, 0, 1e9),
    ):
        with pytest.raises(BadRequest):
            wrong()
    with pytest.raises(UnreadableFile):
        render_png(b"no PDF")
    with pytest.raises(UnwritableFile) as caught:
        write_pdf([Page("Tray", "Test")], tmp_path / "missing" / "page.pdf")
    assert "\n" not in str(caught.value)


def test_drawing_libraries_are_loaded_only_when_they_are_used():
    script = "import sys, folder.paper.pdf; print({'reportlab', 'pypdfium2', 'PIL', 'svgwrite'} & set(sys.modules))"
    assert "set()" == subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, text=True).stdout.strip()
