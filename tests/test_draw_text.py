"""Text is measured with the real advance widths of the bundled font."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

from folder.draw.picture import Label
from folder.draw.text import FILES, TO_WRITE, clean, font, label_corners, printable, shortened, width_mm, wrapped


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_advance_widths_are_those_another_reader_of_the_font_finds(weight):
    """Second truth: reportlab's own reading of the same file, in thousandths of the text size."""
    other = TTFont("other", str(FILES[weight])).face.charWidths
    ours = font(weight).advances
    assert len(ours) > 300
    assert not [char for char, advance in ours.items() if abs(1000 * advance - other[char]) > 0.51]


@given(st.text())
def test_cleaned_text_is_one_line_that_xml_accepts(text):
    """XML 1.0 section 2.2: no control characters, no surrogates, not U+FFFE or U+FFFF."""
    cleaned = clean(text)
    assert clean(cleaned) == cleaned
    assert not [c for c in cleaned if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") or ord(c) in (0xFFFE, 0xFFFF)]


def test_text_cannot_turn_the_line_round_it():
    """Unicode Standard Annex 9: overrides and isolates reach past the text they stand in."""
    assert "abc" == clean("a\u202eb\u2066c")


def test_composed_accents_find_their_glyph():
    assert "é" == clean("e\u0301")


@given(st.text(min_size=1, max_size=400), st.floats(8, 200))
def test_shortened_text_fits_its_room(text, room):
    text = clean(text)
    short = shortened(text, 4.0, room)
    assert width_mm(short, 4.0) <= room + 1e-9
    assert short == text or short.endswith("…")


@given(st.text(max_size=400), st.floats(10, 200))
def test_wrapped_lines_fit_their_room_and_keep_the_words_in_order(text, room):
    text = clean(text)
    lines = wrapped(text, 4.0, room, "bold")
    assert all(width_mm(line, 4.0, "bold") <= room + 1e-9 for line in lines)
    whole = [word for word in text.split() if width_mm(word, 4.0, "bold") <= room]
    assert whole == [word for word in " ".join(lines).split() if word in whole]


def test_a_number_keeps_its_unit_on_its_line():
    words = "one to each edge, 6.5 mm from the corner."
    for room in range(15, 90, 5):
        lines = wrapped(words, 4.0, float(room))
        assert any("6.5 mm" in line for line in lines)
        assert words == " ".join(lines)


def test_a_character_the_font_has_not_is_left_out_and_a_name_without_one_letter_left_becomes_a_line_to_write_on():
    assert "Boot é" == printable("Boot 🚢\ufe0f é")
    assert TO_WRITE == printable("小明…")
    assert "" == printable("\ufe0f")
    assert "–" == printable("–")


def test_a_label_stands_on_its_baseline_where_its_anchor_says():
    width = width_mm("floor", 10.0)
    for anchor, left in (("start", 0.0), ("middle", -width / 2), ("end", -width)):
        low, _, high, _ = label_corners(Label("floor", (0.0, 0.0), 10.0, anchor))
        assert pytest.approx(left) == low[0]
        assert pytest.approx(left + width) == high[0]
        assert low[1] < 0 < high[1]


def test_a_label_turned_a_quarter_runs_upward():
    first, second, *_ = label_corners(Label("floor", (5.0, 5.0), 10.0, rotation_rad=1.5707963267948966))
    assert pytest.approx(first[0]) == second[0]
    assert pytest.approx(first[1] + width_mm("floor", 10.0)) == second[1]
