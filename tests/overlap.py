"""What is hard to read on a page: text over text, over a line, on a dark area, under something, or off the paper.

Boxes of labels are as wide as their letters really run. A line under a filled area that carries the whole label does
not count, nor does an area too light to trouble the text (contrast 4.5 to 1 or more: WCAG 2.2, 1.4.3).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, pairwise

import numpy as np
from msgspec import Struct

from folder.draw.clip import holds, part_inside
from folder.draw.picture import Area, Box, Label, Line, Mark, box_round
from folder.draw.text import label_corners
from folder.findings import Point
from folder.paper.pages import Page

PRINTABLE_MM = 6.0
"""Nearest to the paper's edge that every desktop printer reaches (common practice)."""
CONTRAST = 4.5

Quad = tuple[Point, Point, Point, Point]


class Overlap(Struct, frozen=True):
    """A label, and what is in its way."""

    text: str
    by: str


def overlaps(page: Page) -> tuple[Overlap, ...]:
    """Everything on the page that is hard to read or would be cut off; nothing when the page is good."""
    items = page.drawing().marks
    paper = Box(0.0, 0.0, page.width_mm, page.height_mm).grown(-PRINTABLE_MM)
    quads = {k: label_corners(item) for k, item in enumerate(items) if isinstance(item, Label) and item.text}
    found: list[Overlap] = []
    boxes = np.zeros((len(items), 4))
    for k, item in enumerate(items):
        places = quads[k] if k in quads else tuple(p for path in _paths(item) for p in path)
        boxes[k] = box = box_round(places or paper.corners)
        if box.left < paper.left or box.bottom < paper.bottom or box.right > paper.right or box.top > paper.top:
            found.append(Overlap(item.text if isinstance(item, Label) else "", "the edge of the paper"))
    for k, quad in quads.items():
        label = items[k]
        assert isinstance(label, Label)
        left, bottom, right, top = box_round(quad)
        beside = (boxes[:, 2] < left) | (boxes[:, 0] > right) | (boxes[:, 3] < bottom) | (boxes[:, 1] > top)
        near = {k: items[k] for k in np.nonzero(~beside)[0].tolist()}
        found += [Overlap(label.text, by) for by in _in_the_way(label, quad, k, near, quads)]
    return tuple(found)


def text_contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2.2, relative luminance)."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _in_the_way(label: Label, quad: Quad, place: int, near: dict[int, Mark], quads: dict[int, Quad]) -> Iterator[str]:
    box = box_round(quad)
    ground = max((k for k, item in near.items() if k < place and _carries(item, quad)), default=-1)
    for k, item in near.items():
        if k < ground:
            continue
        match item:
            case Label() if k > place and k in quads and _touch(quad, quads[k]):
                yield f"the text {item.text!r}"
            case Line() if _crossed(item, quad, box):
                yield f"a line ({item.style})"
            case Area() if (over := _crossed(item, quad, box)) or _carries(item, quad):
                if over and item.edge:
                    yield f"a line ({item.edge})"
                if item.fill and k > place:
                    yield "an area over it"
                elif item.fill and text_contrast(item.fill, label.colour) < CONTRAST:
                    yield f"an area as dark as it ({item.fill})"


def _paths(item: Mark) -> tuple[tuple[Point, ...], ...]:
    match item:
        case Line():
            return (item.path,)
        case Area():
            return tuple((*ring, ring[0]) for ring in item.rings)
        case Label():
            return ()


def _carries(item: Mark, quad: Quad) -> bool:
    """Whether an area lies under the whole of a label."""
    if not isinstance(item, Area) or not item.fill:
        return False
    box = box_round(quad)
    return all(holds(item.rings, p) for p in quad) and not _crossed(item, quad, box)


def _crossed(item: Mark, quad: Quad, box: Box) -> bool:
    """Whether a line, or the edge of an area, runs through a label's box."""
    for a, b in chain.from_iterable(pairwise(path) for path in _paths(item)):
        if max(a[0], b[0]) < box.left or min(a[0], b[0]) > box.right:
            continue
        if max(a[1], b[1]) < box.bottom or min(a[1], b[1]) > box.top:
            continue
        if part_inside(a, b, quad):
            return True
    return False


def _touch(one: Quad, other: Quad) -> bool:
    return any(part_inside(a, b, other) for a, b in pairwise((*one, one[0]))) or any(
        part_inside(a, b, one) for a, b in pairwise((*other, other[0]))
    )


def _luminance(colour: str) -> float:
    channels = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
