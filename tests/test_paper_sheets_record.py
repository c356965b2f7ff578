"""The trial record sheet: a box for everything a trial is noted with, room for a hand, cautions."""

from itertools import pairwise

import pytest
from lxml import etree

from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, Area, Label, Line, box_round
from folder.paper.pages import CAUTIONS, MARGIN_MM, PAPERS
from folder.paper.sheets.record import COLUMNS, LEAST_ROWS, REASONS, TICK_MM, TITLE, class_record, record_page
from folder.paper.svg import page_svg
from folder.practice.trial import NO_ROOM
from tests.overlap import overlaps
from tests.test_paper_svg import GOLDEN, NAMES, same


def texts(page) -> list[str]:
    return [item.text for item in page.drawing().marks if isinstance(item, Label)]


def ticks(page):
    boxes = [box_round(i.rings[0]) for i in page.picture.marks if isinstance(i, Area) and i.edge == "thin"]
    return [box for box in boxes if abs(box.width - TICK_MM) < 1e-6]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["", "Plain tray", *NAMES.values()], ids=["class", "plain", *NAMES])
def test_nothing_is_in_the_way_whatever_the_name(name, paper):
    page = record_page(name, paper, warning=name)
    assert not overlaps(page)
    etree.fromstring(page_svg(page, checked=True).encode())


@pytest.mark.parametrize("paper", PAPERS)
def test_there_is_a_column_for_all_that_a_trial_is_noted_with(paper):
    """The columns of the log (practice.trial), but for what the pupil need not know."""
    said = texts(record_page("", paper))
    for heading in ("Date", "Name", "Pattern", "Object", "each, g", "Guess", "Held", "Sheets"):
        assert heading in said
    for reason in REASONS:
        assert reason in said


@pytest.mark.parametrize("paper", PAPERS)
def test_every_row_has_a_box_to_tick_for_each_reason_and_room_for_a_hand(paper):
    """20 rows on a page, so that a class of 28 takes two; 7.1 mm is the ruling of American writing paper (common practice)."""
    page = record_page("", paper)
    found = ticks(page)
    rows = sorted({round(box.bottom, 6) for box in found})
    assert len(rows) * len(REASONS) == len(found)
    assert LEAST_ROWS <= len(rows)
    assert rows[1] - rows[0] >= 7.1
    lefts = sorted({round(box.left, 6) for box in found})
    assert min(b - a for a, b in pairwise(lefts)) > TICK_MM + 1.9


def test_that_there_was_no_more_room_has_a_box_too():
    assert NO_ROOM in texts(record_page())


@pytest.mark.parametrize("paper", PAPERS)
def test_the_table_is_as_wide_as_the_page_lets_it(paper):
    page = record_page("", paper)
    (frame,) = (i for i in page.picture.marks if isinstance(i, Line) and i.closed)
    box = box_round(frame.points)
    assert (MARGIN_MM, page.width_mm - MARGIN_MM) == (box.left, box.right)
    assert sum(width for _, width in COLUMNS) < box.width


def test_a_sheet_for_one_pattern_has_its_name_in_every_row():
    page = record_page("Plain tray")
    assert "Plain tray" == page.title
    assert len({box.bottom for box in ticks(page)}) + 1 == texts(page).count("Plain tray")
    assert TITLE == record_page().title


def test_a_long_name_on_one_line_stands_in_the_middle_of_its_row():
    page = record_page("Double-sheet tray")
    box = next(box for box in ticks(page))
    name = next(m for m in page.picture.marks if isinstance(m, Label) and m.text == "Double-sheet tray")
    assert pytest.approx(box.middle[1], abs=0.05) == name.at[1] + CAP_HEIGHT * name.size_mm / 2
    assert name.size_mm < PUPIL_MM


def test_a_class_has_a_row_for_each_pupil_by_name():
    names = [f"Pupil {k}" for k in range(28)]
    pages = class_record(names, "Plain tray")
    assert [28 - LEAST_ROWS, LEAST_ROWS] == sorted(sum(text in names for text in texts(page)) for page in pages)
    assert names == [text for page in pages for text in texts(page) if text in names]


def test_it_carries_every_caution_of_the_tub():
    said = " ".join(texts(record_page()))
    for caution in CAUTIONS.values():
        assert caution in said


def test_all_text_is_12_pt():
    labels = [i for i in record_page("Tray", "letter").drawing().marks if isinstance(i, Label) and i.text != "!"]
    assert all(label.size_mm >= PUPIL_MM - 1e-9 for label in labels)


def test_a_record_sheet_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `page_svg` of the page and look at it."""
    golden = etree.parse(GOLDEN / "record.svg").getroot()
    same(golden, etree.fromstring(page_svg(record_page("Plain tray"), checked=True).encode()))
