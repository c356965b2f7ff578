"""What is said of lines that end by a corner: which corner it is, and from where it is measured."""

from msgspec.structs import replace

from folder.draw.steps.panel import panels
from folder.fold.sequence.runs import table_outline
from folder.fold.sequence.steps import fold_sequence
from folder.geometry.space import Floats
from folder.pattern.file import find_pattern, read_pattern
from folder.pattern.pattern import Pattern, Sheet
from folder.pattern.walls.plan import WallLine, WallPlan, laid
from folder.studies import study
from tests.drawings import CORNER_SIGNS, drawn, floor_corners, line, tray


def said(pattern: Pattern) -> list[str]:
    """The words of each step."""
    result = study(pattern)
    order = fold_sequence(pattern, result.folded)
    return [" ".join(panel.words) for panel in panels(pattern, order, hull=result.folded)]


def corners_folded_in(wall: float, sizes: tuple[float, ...]) -> Pattern:
    """A tray whose sheet has its corners folded in first, each so far: the diagonal there goes through two layers."""
    pattern = tray(wall)
    sheet = pattern.sheet
    creases = [crease for crease in pattern.creases if crease.end not in sheet.corners]
    for floor, tip, (sx, sy), size in zip(floor_corners(wall, sheet), sheet.corners, CORNER_SIGNS, sizes, strict=True):
        middle = (tip[0] - sx * size / 2, tip[1] - sy * size / 2)
        creases += [
            line(floor, middle, "valley", 180.0),
            line(middle, tip, "mountain", 180.0),
            line((tip[0] - sx * size, tip[1]), middle, "valley", 180.0),
            line(middle, (tip[0], tip[1] - sy * size), "valley", 180.0),
        ]
    return replace(pattern, creases=tuple(creases))


def test_spare_foil_at_a_corner_that_was_folded_in_is_at_the_corner():
    """The outline has eight corners on the table, the hull four; a diagonal is measured along the short edge it ends on.

    By hand: half the fold of 15 mm and of 10 mm is 15 / sqrt(2) = 10.6 and 10 / sqrt(2) = 7.1 mm.
    """
    pattern = corners_folded_in(30.0, (15.0, 10.0, 15.0, 10.0))
    words = said(pattern)
    assert (
        sum("Pinch the spare foil at the corner flat: it points outward. Do the same at all four corners." in w for w in words)
        == 1
    )
    assert not any("middle of the side" in w for w in words)
    result = study(pattern)
    made = panels(pattern, fold_sequence(pattern, result.folded), hull=result.folded)
    step = next(panel for panel in made if panel.step.kind == "crease" and "fingertip" in panel.words[0])
    assert {7.1, 10.6} == {round(span.size_mm, 1) for span in step.sentences.spans}


def test_one_line_to_the_corner_and_one_to_each_edge_is_said_of_three_lines_alone():
    """A leaning tray has three lines at each corner; where one side is hemmed, each corner has one, to the corner or to the edge."""
    assert sum("one line to the corner, one to each edge" in words for words in said(tray(25.0, 65.0))) == 1
    corners = floor_corners(30.0, Sheet())
    walls = tuple(WallLine(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))
    hull = laid(WallPlan(Sheet(), (75.0, 75.0), walls, hem_mm=8.0, hem_sides=("lower",)))
    words = [each for each in said(drawn(hull.creases)) if "from the corner" in each]
    assert len(words) == 1
    assert words[0].endswith("Each runs from a crossing to the corner, or to an edge 8 mm from the corner.")


def test_a_crease_that_ends_on_an_edge_makes_no_corner_there():
    """The packet of a six-sided bowl has six corners, by its name; what ends on its edges is off them by rounding alone."""
    pattern = read_pattern(find_pattern("six-sided-bowl"))
    result = study(pattern)
    order = fold_sequence(pattern, result.folded)
    last = [panel for panel in panels(pattern, order, hull=result.folded) if panel.step.kind == "crease"][-1]
    places: Floats = last.was.corners.reshape(-1, 3)
    assert len(table_outline(places)) == 6
    assert sum(line.guide == "through" for line in last.lines) == 6


def test_which_edge_is_folded_is_said_where_the_line_is_measured_from_the_other():
    """The keel is 7 mm high in the middle of 150 mm: the right half and more is folded to the left, 75 - 7 / 2 mm from the left edge."""
    first = said(read_pattern(find_pattern("keel-tray")))[0]
    assert first == "Fold the right edge over along the dashed line. The line is 71.5 mm from the left edge."
