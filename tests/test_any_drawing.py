"""Whatever is drawn there is a report: patterns with one line changed, and lines at random. The sample here; all with --whole."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from folder.draw.solid import solid
from folder.fold.steps import order_of
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Crease, Pattern
from folder.study import study

READY = {name: read_pattern(path) for name, path in ready_patterns().items()}

CHANGES: dict[str, Callable[[Crease], Crease]] = {
    "cut": lambda c: replace(c, sense="cut", turn_rad=None),
    "guide": lambda c: replace(c, sense="guide", turn_rad=None),
    "free": lambda c: replace(c, turn_rad=None),
    "other sense": lambda c: replace(c, sense="mountain" if c.sense == "valley" else "valley"),
}


def with_changed(pattern: Pattern, index: int, change: Callable[[Crease], Crease]) -> Pattern:
    """The pattern with one crease changed."""
    creases = list(pattern.creases)
    creases[index] = change(creases[index])
    return replace(pattern, creases=tuple(creases))


@pytest.mark.parametrize("change", CHANGES)
def test_with_any_line_changed_there_are_a_report_and_steps_or_a_reason(
    change: str, many: Callable[[int, int], int]
) -> None:
    places = [(name, k) for name, pattern in READY.items() for k in range(len(pattern.creases))]
    for name, k in places[:: len(places) // many(16, len(places))]:
        pattern = with_changed(READY[name], k, CHANGES[change])
        s = study(pattern)
        order = order_of(pattern, s.folded)
        assert order.found != bool(order.note), f"{name}, line {k} {change}"
        # Where the picture is what the steps lead to, it shows the sheet; where nothing folds, the sheet all the same.
        assert solid(s.folded).items
        if not s.folds:
            assert s.report.stops
        for n in range(len(order.steps)):
            assert len(order.between(n, 0.5)) == len(s.faces.edges)


@pytest.mark.parametrize("name", READY)
def test_with_a_fold_cut_open_there_are_still_steps_or_a_reason(name: str, many: Callable[[int, int], int]) -> None:
    """Round the end of a cut a fold may move nothing, or tear the sheet: it is then no step."""
    creases = [k for k, c in enumerate(READY[name].creases) if c.sense in ("valley", "mountain")]
    for k in creases[:: -(-len(creases) // many(4, len(creases)))]:
        pattern = with_changed(READY[name], k, CHANGES["cut"])
        order = order_of(pattern, study(pattern).folded)
        assert order.found != bool(order.note)
