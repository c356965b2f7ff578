"""The pages at the sizes of screens and of letters: nothing over another, nothing cut, the sheet and the hull large."""

from itertools import combinations

import numpy as np
import pytest
from msgspec.structs import replace

from folder.pattern.file import find_pattern, read_pattern, write_pattern
from folder.window.app import fitting_scale
from folder.window.view_state import PAGES
from tests.editor_stage import EditorStage

SCREENS = ((1024, 700), (1280, 800), (1366, 768), (1920, 1080))
LETTERS = (1.0, 1.5, 2.0)
CASES = sorted({(size, fitting_scale(scale, size)) for size in SCREENS for scale in LETTERS})
"""Every screen with every size of letters; where a screen is too small for letters that large, they are as large as fits."""
HOLDERS = ("scroll", "tabs", "choice", "tiles", "strip", "option", "bar", "word", "message", "hull")
"""Kinds that hold others (`hull` is a row of the page Compare), are parts of others, or lie over them as they should."""
ON_PICTURES = ("card/", "zoom/", "menu/", "hand/", "note/", "float/tub")
"""What stands on the sheet as it should; the tub, on whose water all of its page stands."""


@pytest.fixture(params=CASES, ids=lambda case: f"{case[0][0]}x{case[0][1]} at {case[1]:.0%}", scope="module")
def pages(request, tmp_path_factory):
    """Every page at one size, as it stands when all is known: its records, its texts, its size, and the window."""
    (size, scale), directory = request.param, tmp_path_factory.mktemp("layout")
    own = directory / "own.json"
    write_pattern(replace(read_pattern(find_pattern("plain-tray")), name="Otter"), own)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FOLDER_DATA", str(directory / "data"))
        patch.setenv("HOME", str(directory))
        stage = EditorStage(directory, size, scale, start=True, recent=[str(own)])
        shots = {"start": shot(stage)}
        stage.press("recent/0")
        stage.settle()
        for page in PAGES:
            if page != "fold":
                stage.turn_to(page)
            stage.settle()
            shots[page] = shot(stage)
        yield shots


def shot(stage):
    return dict(stage.ui.last), list(stage.ui.display_list.texts), stage.ui.page


def leaves(records):
    return [
        r for r in records.values()
        if r.layer == 0 and min(r.visible.w, r.visible.h) >= 1 and r.kind not in HOLDERS and not r.name.startswith(ON_PICTURES)
    ]  # fmt: skip


def test_no_two_widgets_lie_over_each_other(pages):
    for page, (records, _, _) in pages.items():
        for one, other in combinations(leaves(records), 2):
            if one.name.startswith(f"{other.name}/") or other.name.startswith(f"{one.name}/"):
                continue  # a part of the other
            if any(
                r.kind in ("text", "picture") and not r.pointed and r.visible.covers(s.visible)
                for r, s in ((one, other), (other, one))
            ):
                continue  # a part of the page that only shows, with what stands on it
            both = one.visible.meet(other.visible)
            assert min(both.w, both.h) < 1.5, (page, one.name, other.name)


def test_no_widget_and_no_text_is_cut(pages):
    for page, (records, texts, whole) in pages.items():
        assert [] == [said.text for said in texts if said.cut], page
        for record in leaves(records):
            if not record.scrolls:
                assert whole.covers(record.pane), (page, record.name)
                assert record.visible.covers(record.pane), (page, record.name)


def test_the_five_pages_and_undo_stand_in_the_bar_of_each_page(pages):
    for page in PAGES:
        records, _, _ = pages[page]
        assert {f"page/{one}" for one in PAGES} | {"name", "undo", "redo", "open", "save", "help", "start"} <= records.keys()


def test_the_sheet_takes_two_fifths_of_the_height_and_the_hull_two_thirds_of_the_sheet(pages):
    records, _, whole = pages["fold"]
    sheet, hull = records["sheet"].pane, records["hull"].pane
    side = min(sheet.w, sheet.h)
    assert side >= 0.4 * whole.h
    assert hull.w >= side * 2 / 3
    assert hull.w * hull.h >= 0.4 * side * side


def test_every_tool_that_is_not_under_more_is_in_sight(pages):
    records, _, _ = pages["fold"]
    for tool in ("wall", "corner", "hem", "line", "pick"):
        record = records[f"tool/{tool}"]
        assert record.visible.covers(record.pane), tool


def test_nothing_empty_is_larger_than_the_hull(pages):
    records, texts, whole = pages["fold"]
    cell = 10
    free = np.ones((int(whole.h) // cell, int(whole.w) // cell), dtype=bool)
    for pane in [r.visible for r in leaves(records)] + [said.pane for said in texts]:
        free[int(pane.y) // cell : -int(-pane.bottom // cell), int(pane.x) // cell : -int(-pane.right // cell)] = False
    hull = records["hull"].pane
    assert largest_rectangle(free) * cell * cell < hull.w * hull.h


def largest_rectangle(free):
    """The most cells of a rectangle of free ones: the largest rectangle under a row of heights, row by row."""
    heights, best = np.zeros(free.shape[1] + 1, dtype=int), 0
    for row in free:
        heights[:-1] = np.where(row, heights[:-1] + 1, 0)
        stack = []
        for k, height in enumerate(heights.tolist()):
            start = k
            while stack and stack[-1][1] >= height:
                start, high = stack.pop()
                best = max(best, high * (k - start))
            stack.append((start, height))
    return best


def test_the_largest_rectangle_is_found():
    free = np.zeros((5, 6), dtype=bool)
    free[1:4, 2:6] = True
    free[:, 0] = True
    assert 12 == largest_rectangle(free)
