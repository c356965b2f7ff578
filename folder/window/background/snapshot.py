"""A folded sheet as it is seen: its picture as foil. No pygame."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from folder.draw.hull.foil import foil
from folder.draw.hull.lines import EdgeMark
from folder.draw.hull.marks.faults import fault_marks
from folder.draw.hull.rough import is_rough
from folder.draw.hull.view import View
from folder.draw.picture import Picture
from folder.draw.style import PAPER
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.studies import Study


class Snapshot(Struct, frozen=True):
    """The picture of a folded sheet from one side; its box is the frame in which the sheet stays whole."""

    view: View
    picture: Picture


def step_snapshot(state: Folded, view: View, marks: Sequence[EdgeMark] = (), layering: Layering | None = None) -> Snapshot:
    """Look at a folded sheet on a white ground; marks are edges drawn in a style of their own."""
    return Snapshot(view, foil(state, view, layering=layering, edge_marks=marks, ground=PAPER))


def hull_snapshot(study: Study, view: View) -> Snapshot:
    """Look at the hull of a study, with what is wrong with it."""
    faults = None if study.folds or is_rough(study.folded) else fault_marks(study.folded, study.clashes)
    return Snapshot(view, foil(study.folded, view, layering=study.layering, faults=faults))
