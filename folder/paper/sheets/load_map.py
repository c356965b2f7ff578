"""How to load: a map of every layer, on the design card where they have room there, else on a page of their own."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cargo.predict import Cargo
from folder.draw.afloat import MOST_SHOWN, DrawnCargo, cargo_outlines, loading_map
from folder.draw.picture import PUPIL_MM, Box, Label, Mark, Picture, box_round, centred, overlaid
from folder.draw.text import clean, shortened, wrapped
from folder.hull.hull import Hull
from folder.paper.design import Design
from folder.paper.pages import GAP_MM, LEADING_MM, Page, PaperName

MOST_LAYERS = 3
"""Side by side on the card; more have a page of their own."""
PLANS = ((3, 1), (4, 2), (5, 2), (5, 3), (6, 3), (6, 4))
"""Maps in a row and rows on a page of the loading plan: as many as save a page, while numbers can be read."""
CARD_MAPS = Box(0.0, 0.0, 118.0, 44.0)
"""What the maps have on the card, with their names."""
LEAST_OBJECT_MM = 8.0
"""An object drawn smaller than this has hardly room for its number."""
LEAST_MAP_MM = 36.0
"""With its words; in less room a map could not be read."""


def card_map(hull: Hull, cargo: Cargo, box: Box) -> Picture:
    """How to load: every layer beside the next, or the first alone where the others have a page of their own."""
    objects = cargo_outlines(cargo)
    layers = layers_in(objects)
    marks: list[Mark] = [
        Label(
            _cut(cargo, box.width),
            (box.left, box.top - 0.75 * LEADING_MM),
            weight="bold",
        )
    ]
    if not objects:
        advice = wrapped(" ".join(cargo.advice), PUPIL_MM, box.width)
        marks += [Label(line, (box.left, box.top - (k + 2) * LEADING_MM)) for k, line in enumerate(advice)]
        return Picture(tuple(marks), box)
    if box.height < LEAST_MAP_MM:
        return Picture(tuple(marks), box)
    shown = list(range(layers)) if layers <= MOST_LAYERS else [0]
    maps = layer_maps(
        hull, objects, shown, box._replace(bottom=box.bottom + LEADING_MM, top=box.top - LEADING_MM - 1.0), len(shown)
    )
    parts = [Picture(tuple(marks), box), *maps]
    if _has_page(hull, objects):
        how = f"The {'other layers' if layers > MOST_LAYERS else 'numbers'}: see the loading plan."
    else:
        how = _how(objects, maps)
    return overlaid([*parts, Picture.of([Label(how, (box.left, box.bottom + 1.0))])])


def _cut(cargo: Cargo, room_mm: float) -> str:
    """The object and how many are likely, in a line."""
    each = f", {cargo.item.mass_g:g} g each" if cargo.item.mass_g is not None else ""
    words = f"{cargo.item.label}{each}: likely {cargo.count} ({cargo.count_low} to {cargo.count_high})"
    return shortened(clean(words), PUPIL_MM, room_mm, "bold")


def layers_in(objects: Sequence[DrawnCargo]) -> int:
    """How many layers some objects lie in."""
    return max((thing.layer for thing in objects), default=0) + 1


def layer_maps(hull: Hull, objects: Sequence[DrawnCargo], layers: Sequence[int], box: Box, columns: int) -> list[Picture]:
    """A loading map of each of some layers, with its name under it, in rows of so many."""
    rows = -(-len(layers) // columns)
    wide, high = (box.width - GAP_MM * (columns - 1)) / columns, (box.height - GAP_MM * (rows - 1)) / rows
    only = layers_in(objects) == 1
    maps = []
    for k, layer in enumerate(layers):
        row, column = divmod(k, columns)
        left, top = box.left + column * (wide + GAP_MM), box.top - row * (high + GAP_MM)
        drawn = loading_map(hull.cover.outline, objects, layer, Box(left, top - high + LEADING_MM, left + wide, top))
        name = "one layer" if only else f"layer {layer + 1}"
        maps.append(overlaid([drawn, Picture.of([centred(name, (drawn.box.middle[0], drawn.box.bottom - 0.6 * LEADING_MM))])]))
    return maps


def loading_plan(design: Design, cargo: Cargo | None, paper: PaperName = "a4", *, warning: str = "") -> tuple[Page, ...]:
    """A page with every layer, where the card has no room for them or for their numbers; else none, nor where nobody could lay by it."""
    if cargo is None or design.hull is None:
        return ()
    objects = cargo_outlines(cargo)
    layers = layers_in(objects)
    if not objects or not _has_page(design.hull, objects):
        return ()
    pages = []
    cautions = ("sharp", "small", "water") if cargo.item.sharp else ("small", "water")
    blank = Page(design.pattern.name, "Loading plan", paper, landscape=True, warning=warning, cautions=cautions)
    columns, rows = _plan_grid(design.hull, objects, blank.body)
    most = columns * rows
    for first in range(0, layers, most):
        body = blank.body
        words = Label(
            _cut(cargo, body.width),
            (body.left, body.top - 0.75 * LEADING_MM),
            weight="bold",
        )
        room = body._replace(top=body.top - 2 * LEADING_MM)
        maps = layer_maps(design.hull, objects, range(first, min(first + most, layers)), room, columns)
        pages.append(blank.showing(overlaid([Picture((words,), body), *maps])))
    return tuple(pages)


def _plan_grid(hull: Hull, objects: Sequence[DrawnCargo], body: Box) -> tuple[int, int]:
    """Maps in a row and rows on a page: the largest maps that take the fewest pages, an object never too small for its number."""
    floor, thing = box_round(hull.cover.outline), box_round(objects[0].ring)
    layers, room = layers_in(objects), body.height - 2 * LEADING_MM

    def object_mm(columns: int, rows: int) -> float:
        wide = (body.width - GAP_MM * (columns - 1)) / columns
        high = (room - GAP_MM * (rows - 1)) / rows - LEADING_MM
        return min(wide / floor.width, high / floor.height) * min(thing.width, thing.height)

    fit = [grid for grid in PLANS if object_mm(*grid) >= LEAST_OBJECT_MM] or [PLANS[0]]
    return min(fit, key=lambda grid: (-(-layers // (grid[0] * grid[1])), grid[0] * grid[1]))


def _has_page(hull: Hull, objects: Sequence[DrawnCargo]) -> bool:
    """Whether the layers have a page of their own: the card has no room for them, or for numbers that have room there."""
    if _crowded(objects):
        return False
    layers = layers_in(objects)
    if layers > MOST_LAYERS or _all_numbered(objects, layer_maps(hull, objects, range(layers), CARD_MAPS, layers)):
        return layers > MOST_LAYERS
    body = Page("", "", "letter", landscape=True, cautions=("sharp", "small", "water")).body
    columns, _ = _plan_grid(hull, objects, body)
    room = body._replace(top=body.top - 2 * LEADING_MM)
    return _all_numbered(objects, layer_maps(hull, objects, range(layers), room, columns))


def _all_numbered(objects: Sequence[DrawnCargo], maps: Sequence[Picture]) -> bool:
    """Whether every object has its number on the maps."""
    return len(objects) == sum(isinstance(mark, Label) and mark.text.isdigit() for drawn in maps for mark in drawn.marks)


def _crowded(objects: Sequence[DrawnCargo]) -> bool:
    """Whether so many lie in a layer that they are a grey field."""
    return sum(thing.layer == 0 for thing in objects) > MOST_SHOWN


def _how(objects: Sequence[DrawnCargo], maps: Sequence[Picture]) -> str:
    """How to load where the maps say no more."""
    if _crowded(objects):
        return "Lay them evenly: opposite sides in turn."
    return "Load in this order." if _all_numbered(objects, maps) else "Go on like this: opposite sides in turn."
