"""The colours, sizes and fonts of the window."""

import itertools

import pygame
import pytest

from folder.window import theme
from folder.window.widgets.glyph_cache import KEPT_FACES, KEPT_PX, GlyphCache
from folder.window.widgets.icon import ICONS


def test_contrast_of_black_on_white_is_21_and_of_a_colour_on_itself_1():
    """The two ends of the scale (WCAG 2.2, contrast ratio)."""
    assert 21 == pytest.approx(theme.contrast_ratio((0, 0, 0), (255, 255, 255)))
    assert 1 == theme.contrast_ratio((90, 120, 30), (90, 120, 30))


@pytest.mark.parametrize(("code", "ratio"), [("#777777", 4.48), ("#767676", 4.54), ("#FF0000", 4.00), ("#0000FF", 8.59)])
def test_contrast_on_white_is_as_published(code, ratio):
    """Ratios that accessibility guides print for these colours on white (from memory)."""
    assert ratio == pytest.approx(theme.contrast_ratio(theme.rgb(code), (255, 255, 255)), abs=0.006)


def test_every_text_colour_stands_out_from_every_ground_it_is_put_on():
    """4.5:1 (WCAG 2.2, 1.4.3)."""
    assert [] == [pair for pair in theme.TEXT_PAIRS if theme.contrast_ratio(*pair) < 4.5]


def test_every_border_and_mark_stands_out_from_its_ground():
    """3:1 (WCAG 2.2, 1.4.11)."""
    assert [] == [pair for pair in theme.SHAPE_PAIRS if theme.contrast_ratio(*pair) < 3]


def test_every_level_has_an_icon_of_its_own():
    drawings = [ICONS[theme.LEVEL_ICON[level]] for level in theme.LEVEL_INK]
    assert all(a != b for a, b in itertools.combinations(drawings, 2))


def test_every_icon_keeps_inside_its_grid_with_room_for_the_pen():
    for name, strokes in ICONS.items():
        for x, y in itertools.chain.from_iterable(strokes):
            assert 1 <= x <= 23, name
            assert 1 <= y <= 23, name


def test_the_fonts_come_with_their_licence_and_have_the_letters_we_write():
    """The Open Font License asks that its text goes with the fonts (OFL 1.1, 2)."""
    for path in theme.FONTS.values():
        assert "SIL OPEN FONT LICENSE Version 1.1" in (path.parent / "OFL.txt").read_text(encoding="utf-8")
    glyph_cache = GlyphCache()
    for bold in (False, True):
        missing = [c for c, m in zip(WRITTEN, glyph_cache.face(17, bold).metrics(WRITTEN), strict=True) if m is None]
        assert [] == missing


WRITTEN = "abcxyzABCXYZ0123456789.,:;!?'\"“”‘’()[]%+-–×÷=/°²³±µ…"


def test_wrapped_lines_fit_and_lose_no_word():
    glyph_cache, text = GlyphCache(), "Fold the long wall first, then tuck the corner behind it."
    lines = glyph_cache.wrap(text, 17, False, 150)
    assert text == " ".join(lines)
    assert all(glyph_cache.width(line, 17) <= 150 for line in lines)


def test_a_word_wider_than_the_line_is_broken():
    glyph_cache = GlyphCache()
    lines = glyph_cache.wrap("W" * 60, 17, False, 100)
    assert "W" * 60 == "".join(lines)
    assert all(glyph_cache.width(line, 17) <= 100 for line in lines)


def test_shortened_text_fits_and_says_that_it_was_cut():
    glyph_cache = GlyphCache()
    short = glyph_cache.shorten("A hemmed tray with a very long name", 17, False, 120)
    assert short.endswith("…")
    assert glyph_cache.width(short, 17) <= 120
    assert "Tray" == glyph_cache.shorten("Tray", 17, False, 120)


def test_text_that_cannot_be_shown_is_drawn_all_the_same():
    assert isinstance(GlyphCache().drawn("a\0b\tc\ud800", 17, False, theme.INK), pygame.Surface)


def test_texts_and_faces_that_are_kept_take_bounded_memory_and_the_one_asked_for_last_stays():
    """A window of long use has shown any text in any size: letters of a zoomed drawing above all."""
    glyph_cache = GlyphCache()
    often = glyph_cache.drawn("often", 17, False, (0, 0, 0))
    for k in range(600):
        glyph_cache.drawn(f"text number {k}", 8 + k % 60, bool(k % 2), (0, 0, 0))
        assert often is glyph_cache.drawn("often", 17, False, (0, 0, 0))
    kept = sum(image.get_width() * image.get_height() for image in glyph_cache._drawn.values())
    assert KEPT_PX >= kept > KEPT_PX / 2
    assert KEPT_FACES >= len(glyph_cache._faces)
    assert kept == glyph_cache._drawn_px
