"""Templates of a sheet that is measured while it is folded: one for each state that is measured in, all at true size.

packet   the sheet folded flat, with the lines of the next steps on it
layered  what is creased through so many layers that its lines on the flat sheet would not help
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import groupby

import numpy as np
from msgspec import Struct

from folder.draw.clip import holds
from folder.draw.hull.solid import solid
from folder.draw.hull.view import ABOVE, BELOW, View
from folder.draw.picture import Area, Box, Line, Picture, box_round
from folder.draw.sheet.flat import face_rings
from folder.draw.sheet.key import WORDS
from folder.draw.sheet.numbers import Fold
from folder.draw.steps.panel import Panel
from folder.draw.style import SHADE
from folder.findings import Point
from folder.fold.place import Folded
from folder.fold.sequence.runs import table_outline
from folder.geometry.space import Bools, Floats, carry
from folder.paper.pages import FOLDING, Page, PaperName
from folder.paper.sheets.template import numbered_sheet, true_size_pages

LAYERED_SHARE = 0.3
"""Where more of the lines' length than this lies on two layers and more, the packet has a template of its own."""


class State(Struct, frozen=True, eq=False):
    """The sheet as it lies while some steps are measured."""

    panels: tuple[Panel, ...]
    """Those steps, one after the other."""

    @property
    def was(self) -> Folded:
        """The sheet before them."""
        return self.panels[0].was

    @property
    def over(self) -> bool:
        """The outside of the sheet is up."""
        return self.panels[0].step.over

    @property
    def after(self) -> int:
        """The number of the step before."""
        return self.panels[0].number - 1

    @property
    def steps(self) -> frozenset[int]:
        """The numbers of the steps."""
        return frozenset(panel.number for panel in self.panels)


def packets(panels: Sequence[Panel]) -> list[State]:
    """The folded states that are measured in, beside the flat sheet."""
    states = []
    table = [panel for panel in panels if panel.step.kind in ("fold", "crease")]
    for _, group in groupby(table, key=lambda panel: (id(panel.was.turn), panel.step.over)):
        state = State(tuple(group))
        if np.abs(state.was.turn).max(initial=0.0) > 0.1 and _layered(state):
            states.append(state)
    return states


def _layered(state: State) -> bool:
    """Whether the lines of a state lie on several layers for much of their length."""
    rings = _rings(state.was)
    double = total = 0.0
    for panel in state.panels:
        for line in panel.lines:
            for share in np.linspace(0.05, 0.95, 10).tolist():
                x, y = (a + share * (b - a) for a, b in zip(line.start, line.end, strict=True))
                # A little beside the line: layers may end on it.
                beside = ((x + side * line.beyond[0], y + side * line.beyond[1]) for side in (-0.6, 0.6))
                layers = max(sum(holds((ring,), at) for ring in rings) for at in beside)
                double += line.length_mm * (layers > 1)
                total += line.length_mm
    return double > LAYERED_SHARE * total


def packet_pages(name: str, state: State, floor: Bools | None, paper: PaperName, *, warning: str = "") -> tuple[Page, ...]:
    """The template of one packet; `floor` (f,) marks the faces that are the floor of the hull, once they lie together."""
    was, view = state.was, BELOW if state.over else ABOVE
    creased = state.panels[0].creased & (np.abs(was.turn) < 0.1)
    drawn = solid(was, view, edge_marks=[(creased, "crease")])
    rings = [_seen(was, view, ring) for ring in _rings(was)]
    patch = [_seen(was, view, ring) for ring in _rings(was, floor)] if floor is not None else []
    folds = []
    for panel in state.panels:
        for line in panel.lines:
            start, end = _seen(was, view, (line.start, line.end))
            folds.append(Fold(start, end, "valley", panel.number))
    marks = [m for m in drawn.marks if isinstance(m, Area)]
    marks += [Area((ring,), SHADE) for ring in patch]
    lines = [m for m in drawn.marks if not isinstance(m, Area)]
    edge = box_round(p for ring in rings for p in ring)
    triangles = view.project(was, was.corners[was.placed[was.faces.triangle_face]])[..., :2]
    hull = table_outline(np.array([p for ring in rings for p in ring]))
    outline = tuple((x, y) for x, y in hull.tolist())
    bare = Picture((*marks, *lines, *(fold.line for fold in folds)), edge)
    dot, under = None, False
    if one := state.panels[0].dot:
        x, y = view.project(was, one.at(was))[:2].tolist()
        dot, under = (x, y), one.hidden(was, view)
    sheet = numbered_sheet(bare, folds, edge, partial(_on, triangles, edge), patch, (0.0, 0.0), (), dot, outline, under=under)
    size = f"{edge.width:.0f} × {edge.height:.0f} mm"
    page = Page(
        name, f"Template 1:1, folded, after step {state.after}: {size}", paper, scale="both", cautions=FOLDING, warning=warning
    )
    names = set({"under" if under else "dot"} if dot else ()) | ({"floor"} if patch else set())
    return true_size_pages(page, sheet, tuple(_names(bare, names)))


def _on(triangles: Floats, edge: Box, place: Point) -> bool:
    """Whether a place lies on one of some triangles (t, 3, 2), all of which lie in a box."""
    if not edge.holds(place):
        return False
    to = triangles - np.array(place)
    turns = to[..., 0] * np.roll(to[..., 1], -1, axis=1) - to[..., 1] * np.roll(to[..., 0], -1, axis=1)
    return bool(((turns >= 0.0).all(axis=1) | (turns <= 0.0).all(axis=1)).any())


def _names(bare: Picture, more: set[str]) -> Iterator[str]:
    """What its key explains: its lines, and what is more."""
    used: set[str] = {mark.style for mark in bare.marks if isinstance(mark, Line)} | {"tick", "step"} | more
    yield from (name for name in WORDS if name in used)


def _rings(was: Folded, some: Bools | None = None) -> list[tuple[Point, ...]]:
    """The outer rings of faces (f,) on the table, of all by default."""
    found = []
    for face in np.nonzero(was.placed if some is None else was.placed & some)[0].tolist():
        for ring in face_rings(was.faces, face)[:1]:
            places = carry(np.repeat(was.motions[face][None], len(ring), axis=0), np.array(ring))[:, :2]
            found.append(tuple((x, y) for x, y in places.tolist()))
    return found


def _seen(was: Folded, view: View, places: Sequence[Point]) -> tuple[Point, ...]:
    """Places on the table as they are seen, the middle of the floor at the origin."""
    at = view.project(was, np.array([(x, y, 0.0) for x, y in places]))
    return tuple((x, y) for x, y in at[:, :2].tolist())
