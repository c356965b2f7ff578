"""Pages as SVG: true size, text stays text, the same bytes every time."""

import errno
import os
from pathlib import Path

import pytest
from lxml import etree

from folder.draw.picture import Area, Box, Label, Line, Picture
from folder.draw.sheet.mark import crimp_mark, cut_mark, finding_mark, step_badge
from folder.draw.steps.arrow import mountain_arrow, valley_arrow
from folder.draw.style import STYLES
from folder.errors import UnwritableFile
from folder.paper.pages import FOLDING, Page
from folder.paper.svg import page_svg, picture_svg, write_svg
from tests.overlap import overlaps

SVG = "{http://www.w3.org/2000/svg}"
GOLDEN = Path(__file__).parent / "golden"

NAMES = {
    "quotes": 'The "Duck" & <Drake>\'s',
    "emoji": "Boat 🚢👩\u200d🚀 no. 1",
    "300 letters": "Wavebreaker" * 27 + "end",
    "300 letters in words": "Wave breaker " * 23,
    "right to left": "סירת נייר",
    "mixed direction": "tray \u202eevil\u202c قارب 12",
    "control characters": "a\x00b\x07c\x1bd\ue000\ufffe\n\ttwo",
    "combining": "e\u0301" * 40,
    "empty": "",
}


def same(one, other):
    """Two elements with the same names, values, texts and children."""
    assert (one.tag, dict(one.attrib), one.text or "") == (other.tag, dict(other.attrib), other.text or "")
    assert len(one) == len(other)
    for a, b in zip(one, other, strict=True):
        same(a, b)


def one_of_each() -> Picture:
    """Every line style, every mark, text in every anchor and turn."""
    items = [Area((((2, 2), (58, 2), (58, 20)), ((50, 4), (54, 4), (54, 6))), "#EEF2F5", "thin")]
    for k, name in enumerate(STYLES):
        items.append(Line(((5, 30 + 5 * k), (95, 30 + 5 * k)), name))
    items += [Line(((70, 5), (80, 5), (80, 15)), "mountain", closed=True, weight=0.7), cut_mark((60, 85), (90, 85))]
    items += [*step_badge(12, (10, 90)), crimp_mark((25, 90), 0.5), *finding_mark("stop", (40, 90))]
    items += [*valley_arrow((5, 100), (30, 100)), *mountain_arrow((40, 100), (70, 100), -0.2)]
    items += [Label("start", (10, 110)), Label("middle", (50, 110), anchor="middle", weight="bold")]
    items.append(Label("end, turned", (90, 110), 3.0, "end", rotation_rad=0.3))
    return Picture(tuple(items), Box(0, 0, 100, 120))


def test_a_picture_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `picture_svg(one_of_each(), ...)` and look at it."""
    golden = etree.parse(GOLDEN / "one_of_each.svg").getroot()
    same(golden, etree.fromstring(picture_svg(one_of_each(), "One of each", checked=True).encode()))


@pytest.mark.parametrize(("paper", "landscape", "size"), [("a4", False, (210, 297)), ("letter", True, (279.4, 215.9))])
def test_one_user_unit_is_one_millimetre_of_the_paper(paper, landscape, size):
    """CHECKS section 10: A4 210 x 297 mm, Letter 215.9 x 279.4 mm."""
    root = etree.fromstring(page_svg(Page("Tray", "Test", paper, landscape), checked=True).encode())
    assert (f"{float(size[0])}mm", f"{float(size[1])}mm") == (root.get("width"), root.get("height"))
    assert [0, 0, *size] == [float(v) for v in root.get("viewBox").split()]


def test_the_picture_is_flipped_so_that_up_is_up():
    line = Line(((1.0, 2.0), (11.0, 2.0)))
    root = etree.fromstring(picture_svg(Picture((line,), Box(0, 0, 20, 30)), "x", checked=True).encode())
    drawn = root.find(f".//{SVG}line")
    assert ["1.0", "28.0", "11.0", "28.0"] == [drawn.get(k) for k in ("x1", "y1", "x2", "y2")]


def test_a_dash_is_written_in_millimetres_by_its_width():
    line = Line(((0, 0), (100, 0)), "mountain", weight=0.7)
    drawn = etree.fromstring(picture_svg(Picture.of([line]), "x", checked=True).encode()).find(f".//{SVG}line")
    width = float(drawn.get("stroke-width"))
    dashes = [float(v) for v in drawn.get("stroke-dasharray").split(",")]
    assert pytest.approx([12, 3, 0.5, 3, 0.5, 3], abs=0.002) == [v / width for v in dashes]


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_no_name_breaks_a_page(name):
    page = Page(name, "Template 1:1", warning=name, cautions=FOLDING, scale="both")
    root = etree.fromstring(page_svg(page, checked=True).encode())
    texts = [t.text for t in root.iter(f"{SVG}text")]
    assert "Template 1:1" in texts
    assert not overlaps(page)


def test_text_stays_text():
    page = Page("Søren's tray", "Steps 1 of 2")
    assert ["Søren's tray", "Steps 1 of 2"] == [
        t.text for t in etree.fromstring(page_svg(page, checked=True).encode()).iter(f"{SVG}text")
    ]


def test_the_validator_refuses_what_is_not_svg():
    with pytest.raises((TypeError, ValueError)):
        picture_svg(Picture.of([Label("x", (0, 0), colour="no colour")]), "x", checked=True)


def test_the_same_page_gives_the_same_text():
    page = Page("Tray", "Test", cautions=FOLDING, scale="both")
    assert page_svg(page) == page_svg(page)


def test_a_full_disk_leaves_no_half_file_and_the_old_one_unharmed(tmp_path, monkeypatch):
    path = tmp_path / "page.svg"
    write_svg(Page("Old", "Test"), path)
    old = path.read_bytes()

    def full(_handle):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UnwritableFile, match=r"page\.svg") as caught:
        write_svg(Page("New", "Test"), path)
    assert "\n" not in str(caught.value)
    assert old == path.read_bytes()
    assert [path] == list(tmp_path.iterdir())


@pytest.mark.parametrize("place", ["missing/page.svg", "."])
def test_a_place_that_cannot_be_written_is_said_in_one_line(tmp_path, place):
    with pytest.raises(UnwritableFile) as caught:
        write_svg(Page("Tray", "Test"), tmp_path / place)
    assert "\n" not in str(caught.value)
    assert not list(tmp_path.iterdir())
