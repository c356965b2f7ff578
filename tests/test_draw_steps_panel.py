"""Words and pictures of the step sheet read together: what the words mention stands in the picture beside them, on its side.

Read are the data of the pictures: arrows and pinch marks with the places where they act, sizes, the dot. Tried on all ready
patterns, random members of the families and hulls drawn by hand.
"""

import itertools
import math
import random
import re

import numpy as np
import pytest
from msgspec.structs import replace

from folder.draw.picture import Box, Line, box_round
from folder.draw.sheet.mark import DOT_MM
from folder.draw.steps.lens import SHORT_MM, lens_in, lens_on_floor
from folder.draw.steps.panel import Panel, panels
from folder.draw.steps.sentences import LEAST_MM, folds_over, pinched
from folder.draw.text import label_corners
from folder.fold.place import folded
from folder.fold.sequence.landmark import table_lines
from folder.fold.sequence.steps import fold_sequence
from folder.fold.sequence.table_line import rounded_alike
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, find_family, make
from folder.pattern.pattern import Pattern, Sheet
from folder.search.mend import mending
from folder.studies import study
from folder.units import TOLERANCES
from folder.verdict import verdict_of
from tests.drawings import drawn, hand_rounded, line, tray
from tests.first_tries import random_try
from tests.test_fold_sequence_steps import READY, random_member, ready

BOX = Box(0.0, 0.0, 56.0, 50.0)
"""As large as on a page."""


def panels_of(pattern: Pattern) -> list[Panel]:
    shape = folded(faces_of(pattern))
    return list(panels(pattern, fold_sequence(pattern, shape), None, shape))


def members(count: int) -> list[Pattern]:
    draw = random.Random(17)
    found: list[Pattern] = []
    while len(found) < count:
        member = random_member(find_family(draw.choice(list(FAMILIES))), draw)
        found += [member] if member else []
    return found


def by_hand(count: int) -> list[Pattern]:
    """Walls that slant, trays of any sheet and corner, one side alone, a hem, a corner folded in; some rounded by hand."""
    draw = random.Random(5)
    found: list[Pattern] = []
    for k in range(count):
        a, b = draw.uniform(20, 45), draw.uniform(20, 45)
        match k % 5:
            case 0:
                pattern = drawn([line((0, a), (150, b), "valley", draw.uniform(60, 90))])
            case 1:
                sheet = Sheet(draw.uniform(100, 250), draw.uniform(100, 250))
                pattern = tray(draw.uniform(12, 40), sheet=sheet, tuck="".join(draw.choice("se") for _ in range(4)))
            case 2:
                pattern = tray(draw.uniform(25, 40), draw.uniform(50, 80))
            case 3:
                pattern = drawn(
                    [line((0, a), (150, a)), line((0, 150 - b), (150, 150 - b)), line((0, 146), (150, 146), "valley", 180)]
                )
            case _:
                pattern = drawn([line((0, a), (b, 0), "valley", 180), line((150 - a, 0), (150 - b, 150))])
        found.append(hand_rounded(pattern) if k % 2 else pattern)
    return found


def mended(count: int) -> list[Pattern]:
    """What crooked drawings of children's become with the remedies offered first."""
    found: list[Pattern] = []
    for seed in itertools.count(1000):
        taken = mending(study(random_try(seed).pattern), 3, budget_s=60.0)
        if taken and verdict_of(taken[-1].study).code == "hull":
            found.append(taken[-1].study.pattern)
        if len(found) == count:
            return found
    raise AssertionError


def numbers_in(panel: Panel) -> list[str]:
    """Every size in mm that the words say, the one apart under which nothing is asked."""
    said = " ".join(panel.words).replace(f"Under {LEAST_MM:g} mm", "")
    return re.findall(r"(\d+(?:\.\d)?)(?: mm)", said)


def assert_words(panel: Panel) -> None:
    """The words and the picture of what to do say the same."""
    said, drawn_ = " ".join(panel.words), panel.before(BOX)
    texts = {size.text for size in drawn_.sizes}
    assert set(numbers_in(panel)) <= texts | {size.text for size in panel.after(BOX).sizes}
    assert all(float(text) >= LEAST_MM for text in texts)
    alike = any(span.rounded_mm is not None for each in panel.lines for span in each.spans)
    for size in drawn_.sizes:
        # To a tenth; sizes that differ by less than foil takes up are said alike, half of that off at most.
        within = 0.06 + (TOLERANCES.closed_mm / 2 if alike else 0.0)
        assert pytest.approx(float(size.text), abs=within) == math.dist(size.start, size.end) / drawn_.scene.scale
    assert_heights(panel, said)
    if "the number" in said:
        assert f"the number {panel.number}." in said
    if "The picture shows" in said:
        assert texts or "which wall" in said
    assert_acts(panel, drawn_, said)
    if panel.step.kind == "crease":  # what is too short to be seen stands in the lens too
        short = min(min(line.reach_mm, line.length_mm) for line in panel.lines) * drawn_.scene.scale < SHORT_MM
        frames = [mark.points for mark in drawn_.picture.marks if isinstance(mark, Line) and mark.closed]
        lenses = [lens.corners for lens in (lens_in(BOX), lens_on_floor(drawn_.scene)) if lens]
        assert not short or any(np.allclose(lens, frame) for lens in lenses for frame in frames if len(frame) == 4)
    for picture in (drawn_, panel.after(BOX)):
        boxes = [box_round(label_corners(size.label)) for size in picture.sizes]
        assert not any(one.touches(other) for one, other in itertools.combinations(boxes, 2))
    if panel.dot and panel.step.kind not in ("lay", "crimp"):  # close-ups have it in their corner
        assert drawn_.dot
        assert panel.after(BOX).dot == panel.after(BOX).scene.at(panel.dot.at(panel.now)[None])[0]


def assert_heights(panel: Panel, said: str) -> None:
    """What is to be so many mm high is measured upright beside the picture of what it looks like then, at the height it has there."""
    after = panel.after(BOX)
    assert ("mm high" in said or "as high as drawn" in said) == bool(after.sizes)
    for size, height in zip(after.sizes, panel.heights, strict=True):
        motion = panel.now.motions[
            panel.now.faces.face_at(tuple(0.999999 * np.array(height.place) + 0.000001 * np.array([75, 75])))
        ]
        place = motion[:3, :2] @ height.place + motion[:3, 3]
        assert pytest.approx(place[2], abs=0.06) == float(size.text)
        assert pytest.approx(after.scene.at(place[None])[0], abs=0.01) == size.end
        assert pytest.approx(size.end[0]) == size.start[0]
        upright = place[2] * math.cos(after.scene.view.above_rad) * after.scene.scale
        assert pytest.approx(upright, rel=1e-3) == size.end[1] - size.start[1]


def assert_acts(panel: Panel, drawn_, said: str) -> None:
    """An arrow for every line, from the side that moves; two marks that face each other for every pinch."""
    kinds = [act.kind for act in drawn_.acts]
    scene, lines, kind = drawn_.scene, panel.lines, panel.step.kind
    if kind == "raise" or kind == "fold" or (kind == "crease" and folds_over(lines)):
        arrows = [act for act in drawn_.acts if act.kind == kind]
        assert len(lines) == len(arrows)
        for each, act in zip(lines, arrows, strict=True):
            start, end = scene.on_table([each.start, each.end])
            foot, out = scene.on_table([each.middle, tuple(m + b for m, b in zip(each.middle, each.beyond, strict=True))])
            beyond = np.subtract(out, foot)
            # It starts on the side that moves, ends on the other, and crosses the line between its ends.
            assert np.dot(np.subtract(act.start, start), beyond) > 0 > np.dot(np.subtract(act.end, start), beyond)
            assert pytest.approx(math.dist(start, end), abs=1e-6) == math.dist(start, act.at) + math.dist(act.at, end)
            assert math.dist(act.start, act.end) > 6.0
            assert not drawn_.dot or math.dist(act.start, drawn_.dot) > DOT_MM
            assert kind != "fold" or len(lines) > 1 or BOX.grown(0.1).holds(act.end)
    if "Pinch" in said:
        assert "pinch" in kinds
    if kind == "crease" and pinched(lines):
        assert ["pinch"] * len(kinds) == kinds
        assert len(lines) >= len(kinds) >= 1
    for act in (act for act in drawn_.acts if act.kind == "pinch"):
        assert pytest.approx(act.at) == tuple((a + b) / 2 for a, b in zip(act.start, act.end, strict=True))
        assert math.dist(act.start, act.end) > 1.0
        if drawn_.dot and kind == "crease":
            assert min(math.dist(drawn_.dot, p) for mark in act.marks for ring in mark.rings for p in ring) > DOT_MM
    if kind == "lay":
        (act,) = drawn_.acts
        assert math.dist(act.start, act.end) > 4.0
        assert all(scene.frame.grown(0.5).holds(p) for p in (act.start, act.end))


def assert_states_differ(made: list[Panel]) -> None:
    """What a picture shows after a step is not what the one before showed, unless nothing but the view changed."""
    shown = [panel.after(BOX) for panel in made]
    for (before, after), panel in zip(itertools.pairwise(shown), made[1:], strict=True):
        assert before.picture.marks != after.picture.marks, (panel.number, panel.step.kind)
        if panel.step.kind in ("fold", "raise", "lay"):
            moved = np.abs(panel.now.corners - panel.was.corners).max(axis=(1, 2))
            assert moved.max() > 1.0, (panel.number, panel.step.kind)


def assert_sheet(pattern: Pattern) -> None:
    made = panels_of(pattern)
    for panel in made:
        assert_words(panel)
    assert_states_differ(made)
    if any(panel.step.kind == "raise" for panel in made):
        assert "rim is" in " ".join(made[-1].words)


@pytest.mark.parametrize("name", READY)
def test_words_and_pictures_of_a_ready_pattern_agree(name):
    assert_sheet(ready(name))


def test_words_and_pictures_of_random_members_agree(many):
    for member in members(many(3, 50)):
        assert_sheet(member)


def test_words_and_pictures_of_hulls_drawn_by_hand_agree(many):
    for pattern in by_hand(many(5, 20)):
        assert_sheet(pattern)


@pytest.mark.whole
def test_words_and_pictures_of_drawings_that_were_mended_agree():
    for pattern in mended(20):
        assert_sheet(pattern)


def test_the_state_after_the_walls_come_up_is_the_hull_where_there_is_no_flap_to_hold():
    made = panels_of(make("two-bend-tray", {"wall": 40, "bend": 20, "turn": 30, "upright": 90}))
    assert ["crease"] * 4 + ["raise", "crimp"] == [panel.step.kind for panel in made]
    # It is pinched, and laid down in the same step: the picture shows it lying.
    assert "points outward. Lay it flat on the left or right wall." in " ".join(made[4].words)
    assert_states_differ(made)


def test_lines_drawn_by_hand_are_measured_from_edges_and_creases():
    """A line between a place on the left edge and one on a crease; both ends are told along what they lie on."""
    first = replace(line((0, 100), (150, 100), "valley", 0.0), step=1)
    second = replace(line((0, 80), (60, 100), "valley", 60.0), step=2)
    third = replace(line((60, 100), (90, 150), "valley", 60.0), step=2)
    pattern = drawn([replace(first, turn_rad=0.5), second, third])
    faces = faces_of(pattern)
    flat = folded(faces, np.zeros(len(faces.turn)))
    from folder.draw.steps.sentences import step_words
    from folder.fold.sequence.landmark import table_lines
    from folder.fold.sequence.steps import FoldStep

    new = faces.crease == 1
    step = FoldStep("crease", new, flat.turn)
    said = step_words(step, 2, flat, table_lines(flat, new, faces.crease == 0))
    assert "20 mm along the left edge, from the crease down." in " ".join(said.words)
    assert 2 == len(said.spans)


def test_what_is_under_3_mm_is_not_asked_for():
    hem = panels_of(drawn([line((0, 2), (150, 2), "valley", 180), line((0, 50), (150, 50))]))[0]
    assert not hem.before(BOX).sizes
    assert "too small to measure" in " ".join(hem.words)
    assert "the number 1" in " ".join(hem.words)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("plain-tray", "level all round"),
        ("leaning-tray", "level all round"),
        ("fan-bowl", "level all round"),
        ("usual-fan-bowl", "higher in some places"),
        ("three-bend-tray", "higher in some places"),
    ],
)
def test_the_rim_is_said_to_be_level_where_it_is(name, said):
    """Walls end level with each other within 1.5 mm, or points and ears stand higher: heights of the sheet's corner and side."""
    made = panels_of(ready(name))
    assert said in " ".join(made[-1].words)
    hull, sheet = made[-1].hull, made[-1].pattern.sheet
    ends = np.array([[0.02, 0.02], [sheet.width_mm / 2.0, 0.02]])
    motions = hull.motions[hull.faces.faces_at(ends)]
    corner, side = np.einsum("nij,nj->ni", motions[:, :3, :2], ends)[:, 2] + motions[:, 2, 3]
    if "bowl" in name:
        assert (abs(corner - side) <= 1.5) == (said == "level all round")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        (
            "diamond-bowl",
            ("At the marks in the middle of each side", "points outward", "Lay it flat on the next wall, anticlockwise"),
        ),
        (
            "usual-fan-bowl",
            (
                "At the marks in the middle of each side",
                "points inward",
                "Turn it anticlockwise toward the next wall; it stands off",
            ),
        ),
        ("two-bend-tray", ("At the marks at each corner", "points outward", "Lay it flat on the left or right wall")),
    ],
)
def test_spare_foil_too_small_to_hold_is_pinched_where_the_marks_are(name, words):
    panel = next(panel for panel in panels_of(ready(name)) if panel.step.kind == "raise")
    for phrase in words:
        assert phrase in " ".join(panel.words)
    assert 4 == sum(act.kind == "pinch" for act in panel.before(Box(0.0, 0.0, 60.0, 60.0)).acts)


def test_sizes_that_differ_by_a_hands_rounding_are_said_alike():
    """Nobody measures 25 mm here and 25.1 mm there."""
    four = [line((25.0, 0.0), (25.0, 150.0)), line((124.9, 0.0), (124.9, 150.0))]
    drawing = drawn([*four, line((0.0, 25.2), (150.0, 25.2)), line((0.0, 125.0), (150.0, 125.0))])
    faces = faces_of(drawing)
    flat = folded(faces, np.zeros(len(faces.turn)))
    lines = rounded_alike(table_lines(flat, faces.joined, np.zeros_like(faces.joined)))
    assert {25.1} == {round(span.size_mm, 6) for each in lines for span in each.spans}
    assert {25.1} == {size for each in lines for size in each.sizes_mm}
