"""The check that finds what is hard to read must find it."""

import math

import pytest

from folder.draw.picture import PUPIL_MM, Area, Label, Line, Mark, Picture
from folder.paper.pages import Page
from tests.overlap import overlaps, text_contrast

WORD = Label("floor", (60.0, 150.0))


def found(*items: Mark) -> list[tuple[str, str]]:
    """What is in the way of a word when these items are drawn with it, in order."""
    return [(o.text, o.by) for o in overlaps(Page("T", "K").showing(Picture.of(items)))]


def square(x: float, y: float, side: float, fill: str | None = "#FFFFFF", edge=None) -> Area:
    return Area((((x, y), (x + side, y), (x + side, y + side), (x, y + side)),), fill, edge)


def test_a_word_alone_is_readable():
    assert not found(WORD)


def test_two_words_on_one_another_are_found_once():
    assert [("floor", "the text 'wall'")] == found(WORD, Label("wall", (63.0, 152.0)))


def test_words_that_only_would_touch_if_they_were_wider_are_not():
    assert not found(WORD, Label("wall", (60.0, 150.0 + 1.05 * PUPIL_MM)))
    assert not found(WORD, Label("wall", (59.5, 150.0), anchor="end"))


def test_a_turned_word_is_measured_as_it_lies():
    beside = (60.0, 140.0)
    assert found(WORD, Label("wall wall", beside, rotation_rad=math.pi / 4))
    assert not found(WORD, Label("wall wall", beside, rotation_rad=-math.pi / 4))


@pytest.mark.parametrize("style", ["valley", "thin"])
def test_a_line_through_a_word_is_found_before_it_and_after_it(style):
    line = Line(((50.0, 151.0), (100.0, 151.0)), style)
    assert [("floor", f"a line ({style})")] == found(line, WORD) == found(WORD, line)
    assert not found(Line(((50.0, 145.0), (100.0, 145.0)), style), WORD)


def test_a_line_under_an_area_that_carries_the_word_does_not_count():
    line = Line(((50.0, 151.0), (100.0, 151.0)))
    assert not found(line, square(55.0, 140.0, 25.0), WORD)
    assert found(line, square(62.0, 140.0, 25.0), WORD)


def test_an_area_over_a_word_hides_it():
    assert [("floor", "an area over it")] == found(WORD, square(55.0, 140.0, 25.0))


def test_text_on_a_dark_ground_is_found_unless_it_is_light():
    dark = square(55.0, 140.0, 25.0, "#1E2A38")
    assert [("floor", "an area as dark as it (#1E2A38)")] == found(dark, WORD)
    assert not found(dark, Label("floor", WORD.at, colour="#FFFFFF"))


def test_what_leaves_the_paper_is_found():
    assert [("floor", "the edge of the paper")] == found(Label("floor", (200.0, 150.0)))
    assert [("", "the edge of the paper")] == found(Line(((-5.0, 20.0), (50.0, 20.0))))


def test_contrast_is_that_of_wcag():
    """WCAG 2.2, definition of contrast ratio: black on white 21; #767676 on white is the known least grey, 4.54."""
    assert pytest.approx(21.0) == text_contrast("#000000", "#FFFFFF") == text_contrast("#FFFFFF", "#000000")
    assert pytest.approx(4.54, abs=0.005) == text_contrast("#767676", "#FFFFFF")
