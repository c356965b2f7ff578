"""What is asked about a hull on the water; answered in threads of the worker. No pygame.

foretold   what a hand makes of the hull, and how many of an object it will take: seconds
aboard     so many objects, each in its place in loading order: a fraction of a second
lying      how the hull lies with the load, what it looks like from the side, how much it takes just there: quick
pile       a load in one heap, drawn as a block whose middle is where the load's centre is reckoned to be
"""

from __future__ import annotations

from decimal import Decimal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.packing.stack import centres
from folder.cargo.predict import Cargo, laid_out, predict
from folder.cargo.vessel import Vessel, vessel_of
from folder.draw.afloat import DrawnCargo, drawn_cargo, side_view
from folder.draw.picture import Box, Picture, box_round
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.hull.hull import Hull
from folder.hull.weight import Weight
from folder.practice.counted import joined_prediction
from folder.studies import Study
from folder.water import working_load
from folder.water.displace import Triple
from folder.water.equilibrium.rest import Rest, rest, standing_on_floor
from folder.water.flooding.load import flooding_loads
from folder.water.fluid import Water
from folder.water.working_load import LOAD_HEIGHT_MM, WorkingLoad

PILE_MM = 18.0
"""Width of the block a pile is drawn as, or a third of the floor where that is less."""


class CountPrediction(Struct, frozen=True, eq=False):
    """What a hand makes of a hull, and of an object, if there is one."""

    load: WorkingLoad
    vessel: Vessel
    cargo: Cargo | None = None
    basis: str = ""
    """What it rests on besides the model, in a sentence; empty where there are no trials."""


class PlacedCargo(Struct, frozen=True, eq=False):
    """So many objects in their places; `cargo.loading` is theirs."""

    cargo: Cargo
    objects: tuple[DrawnCargo, ...]
    centre_mm: Triple
    """Of all together."""
    layers: int

    @property
    def around(self) -> Box:
        """The box round all of them, seen from above."""
        return box_round(p for thing in self.objects for p in thing.ring)


class FloatingPose(Struct, frozen=True, eq=False):
    """How the hull lies."""

    rest: Rest
    side: Picture
    most_g: float
    """What it takes with the load's centre there, if all is folded perfectly."""


def predict_count(study: Study, hand: str, item: Item | None, each_g: float | None) -> CountPrediction | None:
    """What a hand makes of the hull; None where it is no hull or carries nothing. `each_g` replaces the object's own."""
    made = study if study.hand == hand else replace(study, hand=hand)
    if made.hull is None or made.working is None or made.expected is None:
        return None
    vessel = vessel_of(made.hull, made.water, made.working)
    if item is None:
        return CountPrediction(made.expected, vessel, basis="" if made.joined is None else made.joined.in_grams.text)
    cargo, knowledge = joined_prediction(vessel, item, made.joined, mass_text(each_g))
    return CountPrediction(made.expected, vessel, cargo, "" if knowledge is None else knowledge.text)


def mass_text(each_g: float | None) -> str | None:
    """A mass as it is written, for arithmetic in decimals."""
    return None if each_g is None else format(Decimal(repr(each_g)), "f")


def place_cargo(prediction: CountPrediction, count: int, each_g: float) -> PlacedCargo:
    """So many objects in the order that keeps the hull most level. BadRequest where there is no room for them."""
    assert prediction.cargo is not None
    cargo, vessel, stack = prediction.cargo, prediction.vessel, prediction.cargo.stack
    if count != len(cargo.loading.places_mm):
        if count <= len(stack.places_mm):
            loading = laid_out(vessel, cargo.item, stack, count, Decimal(repr(each_g)))
        else:  # there are more places for many
            more = predict(vessel, cargo.item, mass_each=mass_text(each_g), wanted=count)
            loading, stack = more.loading, more.stack
        cargo = replace(cargo, loading=loading, stack=stack)
    places = cargo.loading.places_mm
    x, y, z = centres(places)[-1].tolist() if count else (*vessel.level_at_mm, 0.0)
    return PlacedCargo(cargo, drawn_cargo(cargo), (x, y, z), stack.layers(count))


def floating_pose(
    hull: Hull,
    water: Water,
    mass_g: float,
    centre_mm: Triple,
    objects: tuple[DrawnCargo, ...],
    into: Box,
    sizes: bool,
    layering: Layering | None = None,
) -> FloatingPose:
    """How the hull lies with a load, drawn into a box, with its draft and freeboard if `sizes`."""
    load = standing_on_floor(hull.skin, Weight(mass_g, centre_mm))
    found = rest(hull.skin, hull.weight + load, water)
    most = flooding_loads(hull.skin, hull.weight, np.array([centre_mm]), water)
    return FloatingPose(found, side_view(hull, found, objects, into, sizes=sizes, layering=layering), float(most.load_g[0]))


def best_load_place(hull: Hull, study: Study) -> Point:
    """Where a load keeps the hull level, or the floor's middle where that is not on the floor."""
    return (0.0, 0.0) if study.brim is None else working_load.level_place(hull.skin, study.brim)


def pile(hull: Hull, at: Point, height_mm: float = LOAD_HEIGHT_MM) -> DrawnCargo:
    """A load in one heap, its centre at a height above the floor."""
    around = box_round(hull.cover.outline)
    half = min(PILE_MM, around.width / 3, around.height / 3) / 2
    ring = Box(at[0] - half, at[1] - half, at[0] + half, at[1] + half).corners
    return DrawnCargo(1, 0, ring, 0.0, 2 * max(height_mm, 1.0))


def on_floor(hull: Hull, start: Point, wanted: Point) -> Point:
    """The place nearest to a wanted one, on the straight way there from a start, that is over the floor."""
    if hull.skin.over_floor(np.array([wanted]))[0]:
        return wanted
    near, far = np.array(start), np.array(wanted)
    for _ in range(2):  # the second time between the last place over the floor and the first beside it
        ways = near + np.linspace(1.0, 0.0, 65)[:, None] * (far - near)
        over = np.nonzero(hull.skin.over_floor(ways))[0]
        if not len(over):
            break
        near, far = ways[over[0]], ways[max(over[0] - 1, 0)]
    x, y = near.tolist()
    return (x, y)
