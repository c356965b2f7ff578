"""What is said beside a panel, in words a ten-year-old reads."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from folder.findings import Point
from folder.fold.place import Folded
from folder.fold.sequence.flaps import HALF_TURN_RAD, Flap
from folder.fold.sequence.landmark import TableLine
from folder.fold.sequence.steps import FoldStep
from folder.geometry.space import Floats

_ALL = {2: "both", 3: "all three", 4: "all four", 5: "all five", 6: "all six", 7: "all seven", 8: "all eight"}


def words_for(step: FoldStep, was: Folded, lines: Sequence[TableLine]) -> tuple[str, ...]:
    """What to do, then what to line up or to measure, then what to repeat."""
    match step.kind:
        case "turn over":
            return ("Turn the sheet over, like a page.",)
        case "fold":
            return _folding(step, lines)
        case "crease":
            return _creasing(step, lines)
        case "raise":
            return _raising(step)
        case "lay":
            return _laying(step.flaps, was)
        case "crimp":
            return ("Pinch the flap and its wall hard together at each mark.", "Check that the rim is level all round.")
        case "check":
            return ("Look along the rim from the side. Is it level all round? Press it straight.",)


def _folding(step: FoldStep, lines: Sequence[TableLine]) -> tuple[str, ...]:
    line = lines[0]
    where = _where(step, lines)
    many = len(lines) > 1
    match line.guide:
        case "edge to edge" if not many:
            return ("Fold the sheet over, edge to edge. Press it flat.",)
        case "edge to edge" | "edge to crease":
            first = "Fold the edge over to meet the " + ("other edge." if line.guide == "edge to edge" else "crease.")
        case "from fold":
            first = "Fold the top layer back along the dashed line."
        case _ if line.corner:
            first = "Fold the corner in along the dashed line."
        case _:
            first = "Fold the edge over along the dashed line."
    repeat = (f"Do the same at {_all(len(lines))} {'corners' if line.corner else 'edges'}.",) if many else ()
    return first, *where, *repeat


def folds_over(lines: Sequence[TableLine]) -> bool:
    """Whether hands can make these creases by folding the sheet over: they run from edge to edge, or between marks."""
    return all(line.whole or line.guide == "through" for line in lines)


def _creasing(step: FoldStep, lines: Sequence[TableLine]) -> tuple[str, ...]:
    where = _where(step, lines)
    if folds_over(lines):
        return "Fold over along each dashed line, press, and unfold.", *where
    return "Press each dashed line in with a fingertip. Stop where it ends.", *where


def _where(step: FoldStep, lines: Sequence[TableLine]) -> tuple[str, ...]:
    """How the lines are found: one sentence for all of them, or the template."""
    many = len(lines) > 1
    guides = {line.guide for line in lines}
    sizes = sorted({tuple(sorted(round(s, 1) for s in line.sizes_mm)) for line in lines})
    if guides <= {"edge to edge", "edge to crease"}:
        return ()
    if guides == {"from fold"} and len(sizes) == 1:
        return (f"The line is {_mm(sizes[0][0])} from the fold.",)
    if guides == {"from edge"}:
        return (_from_edges(step, lines, sizes),)
    if guides == {"corner cut"} and len(sizes) == 1:
        a, b = sizes[0]
        if a == b:
            return (f"The line meets both edges {_mm(a)} from the corner.",)
        return (f"The line meets the edges {_mm(a)} and {_mm(b)} from the corner.",)
    if guides == {"corner to mark"}:
        return ("Bring the corner to the place where the creases meet.",)
    if guides == {"through"}:
        return (f"{'They run' if many else 'It runs'} from the corner to the place where the creases meet.",)
    if guides == {"through", "to side"} and len(sizes) == 2 and len({round(x.length_mm, 1) for x in lines}) == 2:
        return (f"From where the creases meet: one line to the corner, one to each edge, {_mm(sizes[1][0])} from the corner.",)
    return (_from_template(step),)


def _from_template(step: FoldStep) -> str:
    numbers = " and ".join(map(str, step.numbers))
    return f"On the template they have the number {numbers}." if numbers else "Find them on the template."


def _from_edges(step: FoldStep, lines: Sequence[TableLine], sizes: Sequence[tuple[float, ...]]) -> str:
    if len(sizes) == 1:
        away = _mm(sizes[0][0])
        if len(lines) > 1:
            return f"The lines are {away} from the edges."
        side = _side(lines[0].toward, over=step.over)
        return f"The line is {away} from the {side} edge." if side else f"The line is {away} from the edge."
    parts = []
    for size in (each[0] for each in sizes):
        sides = [_side(line.toward, over=step.over) for line in lines if round(line.sizes_mm[0], 1) == size]
        if "" in sides or len(set(sides)) != len(sides):
            return _from_template(step)
        parts.append(f"{' and '.join(sorted(sides))} {_mm(size)}")
    return f"From the edges: {', '.join(parts)}."


def _raising(step: FoldStep) -> tuple[str, ...]:
    corners = corner_count(step.flaps)
    if corners:
        first = "Fold the walls up. Pinch the spare foil at the corner flat: it points outward."
        return (first, f"Do the same at {_all(corners)} corners.") if corners > 1 else (first,)
    first = "Fold up along the dashed lines, little by little, all at once."
    flat = bool((np.abs(step.turn[step.edges]) > np.pi - HALF_TURN_RAD).any())
    return (first, "Press the spare foil of each corner flat against its wall.") if flat else (first,)


def _laying(flaps: Sequence[Flap], was: Folded) -> tuple[str, ...]:
    middle = np.array([*was.faces.floor_at, 0.0])
    outside = all(float(flap.away @ (flap.at - middle)) > 0 for flap in flaps)
    first = f"Fold the flap flat against the {'outside' if outside else 'inside'} of its wall."
    count = corner_count(flaps)
    sides = sorted({_side(_level(flap.away), over=False) for flap in flaps})
    walls = {"left right": "left and right", "lower upper": "front and back"}.get(" ".join(sides))
    on = (f"The flaps lie on the {walls} walls.",) if walls and outside else ()
    return first, *on, *((f"Do the same with {_all(count)} flaps.",) if count > 1 else ())


def corner_count(flaps: Sequence[Flap]) -> int:
    """How many corners some flaps belong to: layers on one hinge are one flap."""
    hinges: list[Flap] = []
    for flap in flaps:
        if all(np.linalg.norm(np.cross(flap.at - h.at, h.axis)) > 1.0 for h in hinges):
            hinges.append(flap)
    return len(hinges)


def _all(count: int) -> str:
    return _ALL.get(count, "all the")


def _side(toward: Point, *, over: bool) -> str:
    """The side of the sheet that lies in a direction, as it is seen; nothing for a slanting one."""
    x = -toward[0] if over else toward[0]
    if abs(x) > 0.99:
        return "right" if x > 0 else "left"
    if abs(toward[1]) > 0.99:
        return "upper" if toward[1] > 0 else "lower"
    return ""


def _level(direction: Floats) -> Point:
    """A direction as it is seen from above, one long."""
    x, y = direction[:2] / (np.hypot(*direction[:2]) or 1.0)
    return (float(x), float(y))


def _mm(size: float) -> str:
    return f"{size:.1f}".removesuffix(".0") + " mm"
