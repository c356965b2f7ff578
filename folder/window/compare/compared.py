"""What is known of the hulls that are compared, worked out in a thread of the worker and kept. No pygame.

first     a first count, at once; the full one comes after it
measured  what is shown of a hull: its picture, its measures, what it takes
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.draw.chart import Spread
from folder.draw.hull.foil import foil
from folder.draw.hull.view import good_view
from folder.draw.picture import Area, Line, Mark, Picture, box_round
from folder.draw.style import PAPER
from folder.findings import Point
from folder.hull.shape import Measures
from folder.pattern.pattern import Pattern
from folder.practice.log import trials_now
from folder.search.ranking import Contender, contender, distinct_names
from folder.studies import Study, study
from folder.verdict import Verdict
from folder.window.background.identity import IdentityKey
from folder.window.compare.counts import Counts
from folder.window.editor import Editor

WORKING = "working …"
BROKEN = "too much for the program"


class MeasuredHull(Struct, frozen=True, eq=False):
    """What is shown of a hull."""

    contender: Contender
    drawn: Picture

    @property
    def verdict(self) -> Verdict:
        """Whether it folds to a hull that is allowed."""
        return self.contender.verdict

    @property
    def measures(self) -> Measures:
        """What it measures."""
        return self.contender.measures

    @property
    def spread(self) -> Spread:
        """Its row in the chart."""
        return self.contender.spread


def measured(made: Study, item: Item | None = None, *, first: bool = False, drawn: Picture | None = None) -> MeasuredHull:
    """What there is to show of a study, with an object; without one in g. `drawn` is its picture, where there is one already."""
    return MeasuredHull(contender(made, item, first=first), drawn or _drawn(made))


def _drawn(made: Study) -> Picture:
    """The hull as foil, on paper, as large as it is seen from there."""
    picture = foil(made.folded, good_view(made.folded), layering=made.layering, ground=PAPER)
    return Picture(picture.marks, box_round(_places(picture.marks)))


def _places(marks: Iterable[Mark]) -> Iterator[Point]:
    for mark in marks:
        match mark:
            case Line():
                yield from mark.points
            case Area():
                yield from (point for ring in mark.rings for point in ring)


class Row(Struct, frozen=True, eq=False):
    """A hull on the page: which of the others it is (-1: the one on the table), its name told apart, what is known of it."""

    index: int
    name: str
    pattern: Pattern
    known: MeasuredHull | None
    text: str = ""
    """Why nothing is known."""

    @property
    def contender(self) -> Contender | None:
        """What it takes, under the name it has here."""
        return None if self.known is None else replace(self.known.contender, name=self.name)

    @property
    def spread(self) -> Spread:
        """Its row in the chart."""
        one = self.contender
        return Spread(self.name, None, text=self.text or WORKING) if one is None else one.spread


def compared_rows(editor: Editor) -> list[Row]:
    """All hulls, the one on the table first; what is not known yet is asked for."""
    counts, others = editor.state.comparing.counts, editor.state.comparing.others
    patterns = [editor.document.pattern, *(other.pattern for other in others)]
    known = [_known(editor, counts, pattern) for pattern in patterns]
    details = ["" if one is None else f"wall {one.measures.wall_height_mm:.0f}" for one, _ in known]
    names = distinct_names([pattern.name for pattern in patterns], details)
    return [
        Row(k - 1, name, pattern, one, text)
        for k, (name, pattern, (one, text)) in enumerate(zip(names, patterns, known, strict=True))
    ]


def _known(editor: Editor, counts: Counts, pattern: Pattern) -> tuple[MeasuredHull | None, str]:
    """What is known of a pattern, and why nothing is. A study is made once, and counted with each object."""
    item, hand, trials = weighed_item(editor), editor.state.floating.hand, trials_now()
    of = (IdentityKey(pattern), hand, IdentityKey(trials))
    made = counts.ask(editor.worker, ("study", *of), partial(_made, pattern, hand), heavy=True)
    if not made.done() or made.cancelled():
        return None, WORKING
    if made.exception() is not None:
        return None, BROKEN
    found: tuple[Study, Picture] = made.result()
    key = key_of(editor, pattern)
    first = counts.ask(editor.worker, ("first", *key), partial(_counted, *found, item, first=True))
    if not first.done() or first.cancelled():
        return None, WORKING
    if first.exception() is not None:
        return None, BROKEN
    quick: MeasuredHull = first.result()
    if item is None or quick.contender.likely is None:
        return quick, ""
    full = counts.ask(editor.worker, ("full", *key), partial(_counted, *found, item, first=False))
    if not full.done() or full.cancelled() or full.exception() is not None:
        return quick, ""
    return full.result(), ""


def weighed_item(editor: Editor) -> Item | None:
    """The object in use; None, and all is in g, while its mass is not known."""
    item = editor.state.object_choice.item
    return None if item is None or item.mass_g is None else item


def key_of(editor: Editor, pattern: Pattern) -> tuple[Hashable, ...]:
    """All that what a pattern takes depends on."""
    choice = editor.state.object_choice
    item = choice.item
    shape = None if item is None else (item.shape, item.size_mm, item.mass_g, item.stacks, item.nest_step_mm)
    return (IdentityKey(pattern), shape, editor.state.floating.hand, IdentityKey(trials_now()))


def _made(pattern: Pattern, hand: str) -> tuple[Study, Picture]:
    """The study of a pattern with its load, and its picture."""
    made = study(pattern, trials=trials_now(), hand=hand)
    _ = made.joined_load
    return made, _drawn(made)


def _counted(made: Study, drawn: Picture, item: Item | None, *, first: bool) -> MeasuredHull:
    return measured(made, item, first=first, drawn=drawn)
