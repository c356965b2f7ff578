"""What is said beside a panel, in words a ten-year-old reads, and what a ruler is laid along for it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from folder.draw.steps.height import LEAST_MM, Height
from folder.draw.steps.names import how_many, listed_words
from folder.draw.steps.standing import laying_words, raising_words, rim_words
from folder.findings import Point
from folder.fold.place import Folded
from folder.fold.sequence.steps import FoldStep
from folder.fold.sequence.table_line import Span, TableLine

MOST_SPANS = 8
"""More measures than this in one picture nobody could tell apart."""
MOST_PINCHED = 12
"""More short lines than this are not pinched one by one."""
ALL_DRAWN = 4
"""Up to so many lines are each measured in the picture; of more, one of each size."""
SAME_MM = 0.05
"""Sizes that are printed alike."""


class StepWords(Struct, frozen=True):
    """The words of a step, and what the picture beside them measures."""

    words: tuple[str, ...]
    """What to do, then what to line up or to measure, then what to repeat."""
    spans: tuple[Span, ...] = ()
    """What is drawn with its size: every size in the words is among them."""


def step_words(
    step: FoldStep,
    number: int,
    was: Folded,
    lines: Sequence[TableLine],
    now: Folded | None = None,
    heights: Sequence[Height] = (),
) -> StepWords:
    """What is said of a step; `number` is its own on the sheet of steps and on the template.

    now      the sheet when the step is done, where it comes off the table
    heights  how high it stands then
    """
    match step.kind:
        case "turn over":
            return StepWords(("Turn the sheet over, like a page.",))
        case "fold" | "crease":
            where, spans = _where(step, number, lines)
            if step.kind == "crease" and pinched(lines):
                corners = all(line.at_corner for line in lines)
                way = "from the corner to the crossing" if corners else "from crossing to crossing"
                return StepWords((f"Pinch {'each' if len(lines) > 1 else 'the'} dashed line sharp, but only {way}.",))
            if step.kind == "crease":
                return StepWords((creasing(lines), *where), spans)
            return StepWords(_folding(lines, where, over=step.over), spans)
        case "raise":
            rims, tips = ([mm_text(h.size_mm) for h in heights if h.what == what] for what in ("rim", "tip"))
            until = f", until the rim is {rims[0]} mm high, as drawn" if len(rims) == 1 else ""
            until = ", until the rim is as high as drawn, in mm" if len(rims) > 1 else until
            tip = f", until its tip is {tips[0]} mm high" if tips else ""
            return StepWords(raising_words(step, was, now or was, until, tip))
        case "lay":
            return StepWords(laying_words(step.flaps, was))
        case "crimp":
            return StepWords(("Pinch the flap and its wall hard together at each mark.", rim_words(was)))
        case "check":
            return StepWords(("Look along the rim from the side.", f"{rim_words(was)} Press it straight."))


def _folding(lines: Sequence[TableLine], where: tuple[str, ...], *, over: bool) -> tuple[str, ...]:
    line = lines[0]
    many = len(lines) > 1
    match line.guide:
        case "edge to edge" if not many:
            return ("Fold the sheet over, edge to edge. Press it flat.",)
        case "edge to edge" | "edge to crease":
            edges = f"{how_many(len(lines))} edges" if many else "the edge"
            first = f"Fold {edges} over to meet the {'other edge' if line.guide == 'edge to edge' else 'crease'}{'s' if many else ''}."
        case "from fold":
            first = "Fold the top layer back along the dashed line."
        case _ if line.corner:
            first = _over("corner", "in", lines)
        case _:
            # Where the line is measured from the other edge, it is said which of the two is folded.
            other = line.guide == "from edge" and line.toward != line.beyond and not many
            side = side_of(line.beyond, over=over) if other else ""
            first = _over(f"{side} edge".lstrip(), "over", lines)
    out = ("The layer under it swings out.",) if any(each.swings for each in lines) else ()
    return first, *where, *out


def _over(what: str, way: str, lines: Sequence[TableLine]) -> str:
    """Fold the edge over along the dashed line, or all of them."""
    if len(lines) == 1:
        return f"Fold the {what} {way} along the dashed line."
    return f"Fold {how_many(len(lines))} {what}s {way} along the dashed lines."


def folds_over(lines: Sequence[TableLine]) -> bool:
    """Whether hands can make these creases by folding the sheet over: they run from edge to edge."""
    return all(line.whole for line in lines)


def pinched(lines: Sequence[TableLine]) -> bool:
    """Whether hands make these creases by a pinch along each, from one landmark to the next."""
    return not folds_over(lines) and len(lines) <= MOST_PINCHED and all(line.guide == "through" for line in lines)


def creasing(lines: Sequence[TableLine]) -> str:
    """What the hands do to crease some lines."""
    many = len(lines) > 1
    if folds_over(lines):
        return f"Fold over along {'each' if many else 'the'} dashed line, press, and unfold."
    return f"Press {'each' if many else 'the'} dashed line in with a fingertip. Stop where it ends."


def _where(step: FoldStep, number: int, lines: Sequence[TableLine]) -> tuple[tuple[str, ...], tuple[Span, ...]]:
    """How the lines are found, one sentence for all of them, and what is measured; or the template."""
    many = len(lines) > 1
    guides = {line.guide for line in lines}
    sizes = sorted({tuple(sorted(round(s, 1) for s in line.sizes_mm)) for line in lines if line.sizes_mm})
    spans = [span for line in lines for span in line.spans]
    if guides <= {"edge to edge", "edge to crease"}:
        return (), ()
    if guides == {"corner to mark"}:
        return ("Bring the corner to the place where the creases meet.",), ()
    if guides == {"through"}:
        they = "They run" if many else "It runs"
        if all(line.at_corner for line in lines):
            return (f"{they} from the corner to the crossing.",), ()
        return (f"{they} from crossing to crossing.",), ()
    if any(span.size_mm < LEAST_MM for span in spans):
        return (f"Under {_mm(LEAST_MM)}: too small to measure. {_from_template(number)}",), ()
    if "template" in guides or _crowded(spans):
        return (_from_template(number),), ()
    shown = _shown(spans)
    if guides == {"from fold"} and len(sizes) == 1:
        return (f"The line is {_mm(sizes[0][0])} from the fold.",), shown
    if guides == {"from edge"}:
        return (_from_edges(step, lines, sizes),), shown
    if guides == {"corner cut"} and len(sizes) == 1:
        a, b = sizes[0]
        if a == b:
            return (f"The line meets both edges {_mm(a)} from the corner.",), shown[:2]
        return (f"The line meets the edges {_mm(a)} and {_mm(b)} from the corner.",), shown[:2]
    if guides <= {"through", "to side"} and len(sizes) == 1 and all(span.mark == "corner" for span in spans):
        return (_from_crossings(lines, _mm(sizes[0][0])),), shown
    if len(spans) <= 2:
        return tuple(_along(span, over=step.over) for span in spans), shown
    if len(shown) > MOST_SPANS:
        return (_from_template(number),), ()
    return (f"Measure in mm, {'once for all alike' if len(shown) < len(spans) else 'as drawn'}.",), shown


def _from_crossings(lines: Sequence[TableLine], size: str) -> str:
    """Lines from where creases meet to the corner, or to an edge so far from the corner."""
    to_corner = sum(line.guide == "through" and line.at_corner for line in lines)
    to_edge = sum(line.guide == "to side" for line in lines)
    if to_edge == 2 * to_corner > 0 and len(lines) == 3 * to_corner:
        return f"From where the creases meet: one line to the corner, one to each edge, {size} from the corner."
    if to_edge == len(lines):
        return f"Each runs from a crossing to an edge, {size} from the corner."
    if to_edge + to_corner == len(lines):
        return f"Each runs from a crossing to the corner, or to an edge {size} from the corner."
    return f"Each runs between crossings, or to an edge {size} from the corner."


def _shown(spans: Sequence[Span]) -> tuple[Span, ...]:
    """The spans that are drawn: all of few, one of each size of many; level and upright ones and the lowest first."""
    if len(spans) <= ALL_DRAWN:
        return tuple(spans)

    def rank(span: Span) -> tuple[bool, float, float]:
        slants = min(abs(span.start[0] - span.end[0]), abs(span.start[1] - span.end[1])) > SAME_MM
        return slants, round(span.start[1] + span.end[1], 3), round(span.start[0] + span.end[0], 3)

    first: dict[float, Span] = {}
    for span in sorted(spans, key=rank):
        first.setdefault(round(span.size_mm, 1), span)
    return tuple(first.values())


def _crowded(spans: Sequence[Span]) -> bool:
    """Whether two lengths are to be told apart by less than a child can measure."""
    sizes = sorted({round(span.size_mm, 1) for span in spans if span.along})
    return any(b - a < LEAST_MM / 2 for a, b in pairwise(sizes) if b - a > SAME_MM)


def _from_template(number: int) -> str:
    return f"Find them on the template: they have the number {number}."


def _from_edges(step: FoldStep, lines: Sequence[TableLine], sizes: Sequence[tuple[float, ...]]) -> str:
    if len(sizes) == 1:
        away = _mm(sizes[0][0])
        if len(lines) > 1:
            return f"The lines are {away} from the edges."
        side = side_of(lines[0].toward, over=step.over)
        return f"The line is {away} from the {side} edge." if side else f"The line is {away} from the edge."
    every = {size[0]: {side_of(x.toward, over=False) for x in lines if round(x.sizes_mm[0], 1) == size[0]} for size in sizes}
    if all(sides == {"left", "right", "upper", "lower"} for sides in every.values()):
        return f"The lines are {listed_words(_mm(size) for size in every)} from the edges."
    parts = []
    for size in (each[0] for each in sizes):
        sides = [side_of(line.toward, over=step.over) for line in lines if round(line.sizes_mm[0], 1) == size]
        if "" in sides or len(set(sides)) != len(sides):
            return "The picture shows how far each line is from its edge, in mm."
        parts.append(f"{listed_words(sorted(sides))} {_mm(size)}")
    return f"From the edges: {', '.join(parts)}."


def _along(span: Span, *, over: bool) -> str:
    """A span in words: 20 mm along the left edge, from the crease down."""
    x, y = span.end[0] - span.start[0], span.end[1] - span.start[1]
    length = math.hypot(x, y) or 1.0
    way = {"right": "to the right", "left": "to the left", "upper": "up", "lower": "down"}.get(
        side_of((x / length, y / length), over=over), ""
    )
    if not span.along:
        edge = side_of((-x / length, -y / length), over=over)
        return f"One end: {_mm(span.size_mm)} from the {f'{edge} ' if edge else ''}edge."
    side = f"the {span.along}" if not span.side else f"the {side_of(span.side, over=over)} {span.along}".replace("the  ", "the ")
    return f"One end: {_mm(span.size_mm)} along {side}, from the {span.mark} {way}".rstrip() + "."


def side_of(toward: Point, *, over: bool) -> str:
    """The side of the sheet that lies in a direction, as it is seen; nothing for a slanting one."""
    x = -toward[0] if over else toward[0]
    if abs(x) > 0.99:
        return "right" if x > 0 else "left"
    if abs(toward[1]) > 0.99:
        return "upper" if toward[1] > 0 else "lower"
    return ""


def mm_text(size_mm: float) -> str:
    """A size as it is printed in pictures and in words, mm to the tenth."""
    return f"{size_mm:.1f}".removesuffix(".0")


def _mm(size: float) -> str:
    return f"{mm_text(size)} mm"
