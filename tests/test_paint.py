"""Pictures painted on a surface: ink where the lines are, as much as they should have, and nothing that hangs."""

import math
import random
import time

import numpy as np
import pygame
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from folder.draw.picture import Area, Box, Label, Line, Picture, centred, disc
from folder.draw.style import STYLES, Style, dash_runs
from folder.window.paint.layer import PaintLayer
from folder.window.paint.surface import ink, paint, painted_in_parts
from folder.window.viewport import Viewport
from folder.window.widgets.glyph_cache import GlyphCache
from folder.window.widgets.renderer import MARKS_A_FRAME, Renderer

PLAIN = Viewport(4.0, (20.0, 380.0))
"""4 px to a mm, the origin near the lower left of a surface of 400 by 400."""


@pytest.fixture(scope="module")
def glyph_cache():
    return GlyphCache()


def sheet(size=(400, 400)):
    surface = pygame.Surface(size)
    surface.fill("white")
    return surface


def darkness(surface, colour=(0, 0, 0)):
    """How much of each pixel is inked, (w, h), from a white ground."""
    grey = pygame.surfarray.array3d(surface).astype(float)
    full = 255.0 - np.array(colour)
    channel = int(np.argmax(full))
    return (255.0 - grey[:, :, channel]) / full[channel]


def length_of(runs):
    return sum(end - start for start, end in runs)


@pytest.mark.parametrize("deg", [0, 7, 22.5, 30, 44.9, 45, 45.1, 60, 90, 123, 180, 300])
@pytest.mark.parametrize("name", ["valley", "mountain", "guide", "hidden"])
def test_a_dashed_line_has_the_ink_of_its_dashes_at_any_angle(deg, name):
    """Length of the dashes times the width; a dot is drawn as long as it is wide.

    Level dashes are rounded to whole pixels, and a dot is but four of them; at 45 deg the samples lie worst.
    """
    style = Style(0.5, STYLES[name].dashes, "#000000")
    surface, turn = sheet(), math.radians(deg)
    ends = [(200 + r * math.cos(turn), 200 + r * math.sin(turn)) for r in (-150, 150)]
    ink(surface, ends, style)
    runs = [max(end - start, 0.5) for start, end in dash_runs(75, style)]
    assert darkness(surface).sum() == pytest.approx(
        sum(runs) * 4 * 2, rel=0.03 if name in ("valley", "mountain") and deg % 90 else 0.06
    )


@pytest.mark.parametrize("deg", [0, 15, 30, 45, 60, 90, 140])
@pytest.mark.parametrize("width_mm", [0.25, 0.5, 0.7, 1.0])
def test_a_solid_line_has_about_the_ink_of_its_width(deg, width_mm):
    """pygame draws a whole number of pixels along an axis: at most half a pixel off, across."""
    surface, turn = sheet(), math.radians(deg)
    ends = [(200 + r * math.cos(turn), 200 + r * math.sin(turn)) for r in (-150, 150)]
    ink(surface, ends, Style(width_mm, (), "#000000"))
    assert darkness(surface).sum() / 300 == pytest.approx(max(width_mm * 4, 1), abs=0.55)


def test_the_middle_of_the_ink_is_the_middle_of_the_line():
    for name in ("edge", "outline", "thin", "valley", "mountain"):
        for deg in (0, 20, 45, 70, 90):
            surface, turn = sheet(), math.radians(deg)
            x, y = 200.3, 199.6
            ends = [(x + r * math.cos(turn), y + r * math.sin(turn)) for r in (-120, 120)]
            ink(surface, ends, Style(STYLES[name].width_mm, STYLES[name].dashes, "#000000"))
            dark = darkness(surface)
            along = np.arange(400) + 0.5
            middle = (dark.sum(1) @ along / dark.sum(), dark.sum(0) @ along / dark.sum())
            assert math.dist(middle, (x, y)) < 0.8, (name, deg)


def test_level_dashes_are_crisp():
    """No pixel of a level or upright dashed line is grey."""
    for ends in ([(50, 100), (350, 100)], [(100.4, 50), (100.4, 350)]):
        surface = sheet()
        ink(surface, ends, Style(0.5, (12, 3), "#000000"))
        dark = darkness(surface)
        grey = (dark > 0.02) & (dark < 0.98)
        assert (dark > 0.98).sum() > 400
        assert 0 == grey.sum()


@pytest.mark.parametrize("name", list(STYLES))
def test_what_a_clip_shows_is_what_the_whole_shows_there(name, glyph_cache):
    """Cutting to what is in sight moves no dash and no pixel."""
    rng = random.Random(name)
    lines = [Line(tuple((rng.uniform(-20, 110), rng.uniform(-20, 110)) for _ in range(3)), name) for _ in range(6)]
    picture, part = Picture.of(lines), pygame.Rect(120, 90, 150, 170)
    whole, clipped = sheet(), sheet()
    paint(whole, picture, PLAIN, glyph_cache)
    clipped.set_clip(part)
    paint(clipped, picture, PLAIN, glyph_cache)
    clipped.set_clip(None)
    apart = np.abs(darkness(whole.subsurface(part)) - darkness(clipped.subsurface(part)))
    assert (apart > 0.1).mean() < 0.001
    assert (darkness(clipped).sum() - darkness(clipped.subsurface(part)).sum()) < 1e-9


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 1e300, 1e12])
def test_what_is_not_finite_or_absurdly_far_is_refused_at_once(bad, glyph_cache):
    items = [Line(((bad, 0), (10, 10)), "valley"), Line(((0, 0), (10, bad))), disc((bad, 5), 3),
             Area((((0, 0), (10, bad), (10, 0)),), "#000000"), Label("far", (bad, 0))]  # fmt: skip
    surface = sheet()
    start = time.process_time()
    assert len(items) == paint(surface, Picture(tuple(items), Box(0, 0, 1, 1)), PLAIN, glyph_cache)
    assert time.process_time() - start < 1
    assert 0 == darkness(surface).sum()


def test_a_label_that_cannot_be_turned_or_sized_is_refused(glyph_cache):
    items = [Label("a", (5, 5), rotation_rad=math.nan), Label("b", (5, 5), size_mm=1e6), Label("c", (5, 5), size_mm=math.nan)]
    assert 3 == paint(sheet(), Picture.of(items), PLAIN, glyph_cache)


def test_a_line_seen_from_very_near_is_drawn_at_once(glyph_cache):
    """100,000,000 px of dashes, of which a window's width is seen."""
    surface = sheet()
    start = time.process_time()
    lines = [Line(((-1e7, 40), (1e7, 41)), name) for name in STYLES]
    area = Area((((-1e8, -1e8), (1e8, -1e8), (1e8, 50), (-1e8, 50)),), "#CFE6EF")
    assert 0 == paint(surface, Picture.of([area, *lines]), PLAIN, glyph_cache)
    assert time.process_time() - start < 1
    assert darkness(surface).sum() > 400


points = st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))


@given(st.lists(points, min_size=2, max_size=6), st.sampled_from(list(STYLES)), st.floats(0.01, 500))
def test_any_finite_line_and_area_is_drawn(places, name, zoom):
    surface = sheet((60, 60))
    items = [Line(tuple(places), name), Area((tuple(places),), "#CFE6EF", name)]
    viewport = Viewport(zoom, (30, 30))
    assert 0 == paint(surface, Picture.of(items), viewport, GlyphCache())


def star(n=7, step=3, r=80.0):
    return [(200 + r * math.cos(k * step * math.tau / n), 200 + r * math.sin(k * step * math.tau / n)) for k in range(n)]


def test_an_area_with_a_hole_is_filled_by_the_even_odd_rule(glyph_cache):
    """Against shapely's area of the same rings."""
    outer, hole = [(10, 10), (80, 15), (70, 80), (15, 70)], [(30, 30), (60, 32), (40, 60)]
    surface = sheet()
    paint(surface, Picture.of([Area((tuple(outer), tuple(hole)), "#000000", "thin")]), PLAIN, glyph_cache)
    mm2 = shapely.Polygon(outer, [hole]).area
    assert darkness(surface).sum() == pytest.approx(mm2 * 16, rel=0.02)


def test_an_area_cut_by_the_window_keeps_what_is_in_sight(glyph_cache):
    """Against shapely's cut of the same polygon."""
    ring = [(-300, -200), (150, -50), (260, 40), (50, 30), (20, 180), (-40, 50)]
    surface = sheet()
    paint(surface, Picture.of([Area((tuple(ring),), "#000000", "thin")]), PLAIN, glyph_cache)
    seen = shapely.Polygon([PLAIN.px(p) for p in ring]).intersection(shapely.box(0, 0, 400, 400)).area
    assert darkness(surface).sum() == pytest.approx(seen, rel=0.01)


def test_a_label_stands_on_its_baseline_at_its_anchor(glyph_cache):
    """Capitals of the bundled font are 0.700 of the size high (its OS/2 table)."""
    for anchor, low, high in (("start", 200, 300), ("middle", 150, 250), ("end", 100, 200)):
        surface = sheet()
        label = Label("HHH", (45, 45), 10.0, anchor, colour="#000000")
        paint(surface, Picture.of([label]), PLAIN, glyph_cache)
        box = ink_box(surface)
        assert low - 3 <= box.left
        assert box.right <= high + 3
        assert box.bottom == pytest.approx(200, abs=1.5)
        assert box.height == pytest.approx(28, abs=2)


@pytest.mark.parametrize("deg", [30, 90, 180, -45])
def test_a_turned_label_is_the_level_one_turned_about_its_place(deg, glyph_cache):
    level, turned = sheet(), sheet()
    paint(level, Picture.of([Label("Fold", (45, 45), 8, colour="#000000")]), PLAIN, glyph_cache)
    label = Label("Fold", (45, 45), 8, colour="#000000", rotation_rad=math.radians(deg))
    paint(turned, Picture.of([label]), PLAIN, glyph_cache)
    a, b = (middle_of(darkness(s)) for s in (level, turned))
    c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
    dx, dy = a[0] - 200, a[1] - 200
    assert (b[0] - 200, b[1] - 200) == pytest.approx((c * dx + s * dy, -s * dx + c * dy), abs=1.0)


def middle_of(dark):
    along = np.arange(400) + 0.5
    return dark.sum(1) @ along / dark.sum(), dark.sum(0) @ along / dark.sum()


def ink_box(surface):
    xs, ys = np.nonzero(darkness(surface) > 0.3)
    return pygame.Rect(xs.min(), ys.min(), np.ptp(xs) + 1, np.ptp(ys) + 1)


def test_lines_keep_their_width_when_looked_at_more_closely(glyph_cache):
    for zoom in (2, 4, 40):
        surface = sheet()
        paint(surface, Picture.of([Line(((-50, 0), (50, 0)), "edge")]), Viewport(zoom, (200, 200)), glyph_cache)
        column = darkness(surface)[200]
        assert 2.8 == pytest.approx(column.sum(), abs=0.5)


@given(st.floats(0.1, 50), points, st.floats(0.2, 5), points)
def test_a_lens_and_back_is_the_same_place_and_zoom_holds_what_is_pointed_at(zoom, origin, times, at):
    viewport = Viewport(zoom, origin)
    assert viewport.mm(viewport.px((12.5, 75.0))) == pytest.approx((12.5, 75.0), abs=1e-3)
    assert viewport.zoomed(times, at).px(viewport.mm(at)) == pytest.approx(at, abs=1e-3)
    dx, dy = 3.0, -4.0
    x, y = viewport.px((1, 2))
    assert viewport.panned(dx, dy).px((1, 2)) == pytest.approx((x + dx, y + dy), rel=1e-9)


def test_a_fitted_lens_shows_the_whole_box_in_the_middle():
    viewport = Viewport.fit(Box(0, 0, 150, 150), 100, 50, 800, 600, 20)
    assert ((500 - 280, 630), (500 + 280, 70)) == (viewport.px((0, 0)), viewport.px((150, 150)))
    assert viewport.is_sound
    assert not Viewport(math.nan, (0, 0)).is_sound


def test_a_layer_is_made_once_until_its_key_changes():
    made, layer, surface = [], PaintLayer(), sheet()
    rect = pygame.Rect(0, 0, 100, 100)
    for key in ("a", "a", "b", "b", "a"):
        layer.show(surface, rect, key, lambda fresh, key=key: made.append((key, fresh.get_size())))
    layer.show(surface, pygame.Rect(0, 0, 50, 50), "a", lambda fresh: made.append(("a", fresh.get_size())))
    assert [("a", (100, 100)), ("b", (100, 100)), ("a", (100, 100)), ("a", (50, 50))] == made


def test_a_large_drawing_is_made_over_several_frames_and_what_was_there_stays_until_it_is_whole(glyph_cache):
    picture = Picture.of([Line(((k % 90, 1.0), (k % 90 + 3.0, 9.0)), "edge") for k in range(3 * MARKS_A_FRAME)])
    at_once = sheet()
    paint(at_once, picture, PLAIN, glyph_cache)
    layer, surface, renderer, frames = PaintLayer(), sheet(), Renderer(), 0
    rect = surface.get_rect()

    def drawn(fresh):
        fresh.fill("white")
        return painted_in_parts(fresh, picture, PLAIN, glyph_cache)

    layer.show(surface, rect, "before", lambda fresh: fresh.fill("red") and None)
    while not frames or renderer.unfinished:
        assert surface.get_at((3, 3)) == pygame.Color("red")
        renderer.unfinished, renderer.marks_left, frames = [], MARKS_A_FRAME, frames + 1
        layer.show(surface, rect, "after", drawn, renderer)
    assert 3 == frames
    assert pygame.image.tobytes(at_once, "RGB") == pygame.image.tobytes(surface, "RGB")


def test_painting_twice_gives_the_same_pixels(glyph_cache):
    items = [Line(((5, 5), (90, 70)), name) for name in STYLES] + [centred("8 mm", (45, 45)), disc((60, 30), 10)]
    pictures = []
    for _ in range(2):
        surface = sheet()
        paint(surface, Picture.of(items), PLAIN, glyph_cache)
        pictures.append(pygame.image.tobytes(surface, "RGB"))
    assert pictures[0] == pictures[1]
