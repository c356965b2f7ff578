"""The wall chart: every line and arrow the pages use, as they use it."""

import numpy as np
import pytest
from lxml import etree

from folder.draw.picture import PUPIL_MM, Area, Label, Line
from folder.draw.sheet import key
from folder.draw.steps import arrow
from folder.draw.style import STYLES
from folder.paper.pages import PAPERS
from folder.paper.pdf import pdf_bytes, render_png
from folder.paper.sheets.notation import LARGE, LINES, MARKS, SIGN, notation_pages
from folder.paper.svg import page_svg
from tests.overlap import overlaps
from tests.papers import grey, ink_runs
from tests.test_paper_svg import GOLDEN, same


def labels(page) -> list[Label]:
    return [item for item in page.drawing().marks if isinstance(item, Label)]


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_in_the_way(paper):
    pages = notation_pages(paper)
    assert 2 == len(pages)
    for page in pages:
        assert not overlaps(page)


def test_every_line_that_a_key_explains_is_on_the_chart():
    shown = {i.style for page in notation_pages() for i in page.picture.marks if isinstance(i, Line)}
    assert {name for name in key.WORDS if name in STYLES} <= shown


def test_every_arrow_of_the_folding_diagrams_is_on_the_chart():
    names = {name for sign in MARKS for name in sign.drawn.__code__.co_names}
    assert {"valley_arrow", "mountain_arrow", "there_and_back", "turn_over"} <= names
    assert all(hasattr(arrow, name) for name in ("valley_arrow", "mountain_arrow", "there_and_back", "turn_over"))


@pytest.mark.parametrize("sign", [*LINES, *MARKS], ids=lambda sign: sign.name)
def test_every_sign_stands_in_its_room(sign):
    for item in sign.drawn():
        points = item.points if isinstance(item, Line) else [p for r in item.rings for p in r] if isinstance(item, Area) else []
        assert all(SIGN.grown(1.0).holds(p) for p in points)


def test_it_is_read_from_a_few_steps_away():
    """Names of 20 pt, sentences of 15 pt: well above the 12 pt of a page in the hand."""
    sizes = [i.size_mm for page in notation_pages() for i in page.picture.marks if isinstance(i, Label)]
    assert 1.25 * PUPIL_MM < sorted(sizes)[3]


def test_the_lines_are_told_apart_in_a_grey_copy_at_150_dpi():
    """CHECKS 5, ISO 128-2: the ink of each line comes in runs of its own lengths."""
    (page, _) = notation_pages()
    image, px = grey(render_png(pdf_bytes([page]), 0, 150, grey=True)), 150 / 25.4
    seen = {}
    for item in page.picture.marks:
        if isinstance(item, Line) and item.weight == LARGE and item.style in ("valley", "mountain", "hidden", "guide", "edge"):
            (left, y), (right, _) = item.points
            row = image[round((page.height_mm - y) * px), round(left * px) - 2 : round(right * px) + 2]
            runs = ink_runs(row)
            seen[item.style] = (len(runs), np.round(np.median([b - a for a, b in runs])))
    assert 5 == len(seen) == len(set(seen.values()))
    assert 1 == seen["edge"][0]
    assert seen["valley"][1] > 3 * seen["mountain"][1]  # most marks of dash-dot-dot are dots
    assert seen["hidden"][0] > seen["guide"][0]


def test_a_wall_chart_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `page_svg` of the page and look at it."""
    golden = etree.parse(GOLDEN / "notation.svg").getroot()
    same(golden, etree.fromstring(page_svg(notation_pages()[1], checked=True).encode()))
