"""The order of layers in pictures: what a study has found is not found again, and shows the same."""

import numpy as np
import pytest

from folder.draw.hull import lift
from folder.draw.hull.lift import layer_lifts
from folder.pattern.file import ready_patterns
from folder.verdict import design_of
from tests.studied import ready_study

LAYERED = [name for name in ready_patterns() if name not in ("screw-box", "double-sheet-tray")]


@pytest.mark.parametrize("name", LAYERED)
def test_layers_that_are_handed_on_lie_as_those_that_are_found_again(name):
    made = ready_study(name)
    assert made.layering is not None
    again = layer_lifts(made.folded)
    assert np.array_equal(again, layer_lifts(made.folded, made.layering))
    assert again.any() == any(len(cell) > 1 for cell in made.layering.cells)


def test_the_picture_of_a_design_finds_no_layers_of_its_own(monkeypatch):
    def refused(*_):
        raise AssertionError("looked for again")

    design = design_of(ready_study("hemmed-tray"))
    monkeypatch.setattr(lift, "layering_of", refused)
    monkeypatch.setattr(lift, "contacts_of", refused)
    assert design.drawn().marks
