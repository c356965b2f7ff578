"""Pages and pictures as SVG 1.1: one user unit is 1 mm, and text stays text. The only module that knows svgwrite."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import svgwrite

from folder.draw.picture import Area, Label, Line, Mark, Picture
from folder.draw.style import PAPER, dash_phase_mm
from folder.draw.text import FAMILY, clean, width_mm
from folder.paper.pages import Page
from folder.places import write_whole
from folder.units import DEG_PER_RAD

FONTS = f"{FAMILY}, Verdana, 'DejaVu Sans', sans-serif"


def page_svg(page: Page, *, checked: bool = False) -> str:
    """The page as one SVG document the size of its paper."""
    return picture_svg(page.drawing(), f"{clean(page.title)}, {clean(page.kind)}", checked=checked)


def write_svg(page: Page, path: Path, svg_of: Callable[[Page], str] = page_svg) -> None:
    """Write a page to a file, in one step: a half file is never seen. `svg_of` makes it."""
    write_whole(path, svg_of(page).encode())


def picture_svg(picture: Picture, title: str, *, checked: bool = False) -> str:
    """A picture as one SVG document the size of its box.

    Where it is to be `checked`, svgwrite's validator refuses an element or value outside SVG 1.1: tests ask for that, as it
    takes as long as all the rest.
    """
    box = picture.box
    width, height = _mm(box.width), _mm(box.height)
    sheet = svgwrite.Drawing(size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=checked)
    sheet.set_desc(title=clean(title))
    sheet.add(sheet.rect(size=(width, height), fill=PAPER))
    drawn = sheet.add(sheet.g(fill="none", stroke_linejoin="round", font_family=FONTS))
    for mark in picture.moved(-box.left, -box.top).marks:
        for element in _elements(mark, sheet):
            drawn.add(element)
    return f'<?xml version="1.0" encoding="utf-8"?>\n{sheet.tostring()}\n'


def _elements(mark: Mark, sheet: Any) -> Iterator[Any]:
    """The SVG elements of one mark; the picture's upper left corner is at the origin."""
    match mark:
        case Line():
            yield _line(mark, sheet)
        case Area():
            if mark.fill:
                rings = " ".join("M " + " L ".join(f"{_mm(x)},{_mm(-y)}" for x, y in ring) + " Z" for ring in mark.rings)
                yield sheet.path(rings, fill=mark.fill, fill_rule="evenodd")
            for line in mark.outlines:
                yield _line(line, sheet)
        case Label() if clean(mark.text):
            yield _text(mark, sheet)


def _line(line: Line, sheet: Any) -> Any:
    look = line.look
    extra = {"stroke": look.colour, "stroke_width": _mm(look.width_mm)}
    if look.dashes:
        extra["stroke_dasharray"] = ",".join(str(_mm(d * look.width_mm)) for d in look.dashes)
        extra["stroke_dashoffset"] = _mm(dash_phase_mm(line.length_mm, look))
    points = [(_mm(x), _mm(-y)) for x, y in line.points]
    if len(points) == 2:
        return sheet.line(*points, **extra)
    return sheet.polygon(points, **extra) if line.closed else sheet.polyline(points, **extra)


def _text(label: Label, sheet: Any) -> Any:
    text = clean(label.text)
    x, y = _mm(label.at[0]), _mm(-label.at[1])
    extra = {"font_weight": "bold"} if label.weight == "bold" else {}
    if label.anchor != "start":
        extra["text_anchor"] = label.anchor
    if label.rotation_rad:
        extra["transform"] = f"rotate({_mm(-label.rotation_rad * DEG_PER_RAD)} {x} {y})"
    # With another font than ours in its place, the text still takes the room it was given.
    room = _mm(width_mm(text, label.size_mm, label.weight))
    return sheet.text(
        text,
        insert=(x, y),
        font_size=_mm(label.size_mm),
        fill=label.colour,
        textLength=room,
        lengthAdjust="spacingAndGlyphs",
        **extra,
    )


def _mm(value: float) -> float:
    """A number to the micrometre, never minus zero."""
    return round(value, 3) + 0.0
