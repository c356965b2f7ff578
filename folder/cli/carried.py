"""What a studied hull carries: its working load, and a cargo of one kind of object."""

from __future__ import annotations

from folder.cargo.item import Item
from folder.cargo.predict import Cargo, predict
from folder.cargo.vessel import vessel_of
from folder.paper.design import Design
from folder.study import Study


def design_of(study: Study) -> Design:
    """The design as the card and the compare sheet show it, with its working load where it is a hull."""
    return Design(study.pattern, study.folded, study.hull, study.working)


def cargo_of(study: Study, design: Design, item: Item) -> Cargo | None:
    """The likely cargo of an object; None where the design carries nothing."""
    if design.hull is None or design.load is None:
        return None
    return predict(vessel_of(design.hull, study.water, design.load), item)
