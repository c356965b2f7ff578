"""Loading orders of real objects in real hulls: against plain greedy, and their poses against trimesh with scipy's fsolve."""

import itertools
import math
from functools import cache

import numpy as np
import pytest
from scipy.optimize import fsolve

from folder.cargo.item_list import items
from folder.cargo.order.order import Loading, load_order
from folder.cargo.packing.room import room_of
from folder.cargo.packing.stack import centres, fill
from folder.errors import BadRequest
from folder.hull.weight import Weight
from folder.water.equilibrium.rest import rest
from folder.water.equilibrium.under_loads import laden
from tests.designs import READY
from tests.skins import below_water
from tests.studied import ready_study

MOST = 120
"""More objects than this are not laid one by one in a test."""


@cache
def room(name):
    return room_of(ready_study(name).hull)


def lie(name):
    known = ready_study(name)
    return lambda masses_g, centres_mm: laden(known.hull.skin, known.hull.weight, masses_g, centres_mm, known.water)


def pairs(count):
    """So many ready hulls and objects: places, layers, count, mass, whether it rolls; drawn from all of them."""
    chance = np.random.default_rng(3)
    every = list(itertools.product(READY, items()))
    chance.shuffle(every)
    found = 0
    for name, item in itertools.cycle(every):
        if found == count:
            return
        known = ready_study(name)
        mass_g = item.mass_g or float(chance.uniform(1.0, 12.0))
        if known.working is None or known.working.stands_from_g != 0.0:
            continue
        number = int(chance.uniform(0.7, 1.15) * known.working.likely_g / mass_g)
        if not 1 <= number <= MOST:
            continue
        try:
            stack = fill(room(name), item, rounds=0, enough=number)
        except BadRequest:  # dust
            continue
        number = min(number, len(stack.places_mm))
        if number:
            found += 1
            yield name, item, stack, number, mass_g


def plain_greedy(places, layer, count, mass_g, ask) -> tuple[int, float, float]:
    """How many are held, least freeboard and greatest tilt: each object where the hull, as it then lies, keeps most freeboard."""
    left, total = list(range(len(places))), np.zeros(3)
    least, most = math.inf, 0.0
    for aboard in range(1, count + 1):
        lowest = min(layer[i] for i in left)
        tried = [i for i in left if layer[i] == lowest]
        lying = ask(np.full(len(tried), mass_g * aboard), (total + places[tried]) / aboard)
        freeboard = np.where(lying.floats, lying.least_mm, -math.inf)
        best = int(freeboard.argmax())
        if freeboard[best] == -math.inf:
            return aboard - 1, least, most
        least, most = min(least, float(freeboard[best])), max(most, float(lying.tilt_rad[best]))
        total = total + places[tried[best]]
        left.remove(tried[best])
    return count, least, most


def rows_of(loading: Loading, stack):
    """Where the places of an order stand in the stack."""
    row = {tuple(place): number for number, place in enumerate(stack.places_mm.tolist())}
    return [row[tuple(place)] for place in loading.places_mm.tolist()]


def test_no_order_is_worse_than_plain_greedy(many):
    """Greedy on the same places and on all of the layers in use: freeboard within 0.05 mm, tilt within 1 deg, none fewer."""
    worse = []
    for name, item, stack, count, mass_g in pairs(many(5, 500)):
        ask = lie(name)
        loading = load_order(stack.places_mm, stack.layer, count, mass_g, ask, ready_study(name).brim.level_at, item.rolls)
        for own in (rows_of(loading, stack), np.nonzero(stack.layer <= stack.layer[count - 1])[0]):
            held, least, most = plain_greedy(stack.places_mm[own], stack.layer[own], count, mass_g, ask)
            lower, steeper = least - loading.least_mm, math.degrees(most - loading.most_rad)
            if held > loading.held or (held == loading.held and (lower > 0.05 or steeper < -1.0)):
                worse.append((name, item.name, count, held - loading.held, round(lower, 3), round(steeper, 2)))
    assert [] == worse


def upward(unknown):
    """The water's up from how much it leans along x and y; the first number is the draft."""
    up = np.array([unknown[1], unknown[2], 1.0])
    return up / np.linalg.norm(up)


def test_the_moments_of_an_order_are_those_trimesh_and_fsolve_find(many):
    """Up to three moments of each order: tilt to 1e-5 deg and least freeboard to 1e-5 mm.

    Where the edge line is nowhere below the rim, and no layer of the skin is dry: there trimesh's slice of the whole skin is
    what the hull displaces, and the lowest place of the edge line is where water would come in.
    """
    chance, checked = np.random.default_rng(5), 0
    for name, item, stack, count, mass_g in pairs(many(12, 150)):
        known = ready_study(name)
        skin, own, water = known.hull.skin, known.hull.weight, known.water
        edge = skin.vertices[skin.on_edge]
        rim = known.hull.rim_height_mm
        sliced = below_water(skin, np.array([0.0, 0.0, 1.0]), 0.9 * rim)[0]
        if edge[:, 2].min() < rim - 1e-9 or sliced < 0.95 * known.brim.volume_mm3 * 0.9:
            continue
        loading = load_order(stack.places_mm, stack.layer, count, mass_g, lie(name), known.brim.level_at, item.rolls)
        middle = centres(loading.places_mm)
        for moment in {0, *chance.integers(0, max(1, loading.held), 2).tolist()} if loading.held else ():
            load_g = mass_g * (moment + 1)
            total = own.mass_g + load_g
            centre = (own.mass_g * np.array(own.centre_mm) + load_g * middle[moment]) / total

            def out_of_balance(unknown, total=total, centre=centre, skin=skin, water=water):
                up = upward(unknown)
                volume, buoyancy = below_water(skin, up, float(unknown[0]))
                arm = np.cross(np.array(buoyancy) - centre, up)
                return [volume * water.density_g_per_mm3 / total - 1.0, arm[0], arm[1]]

            near = rest(skin, Weight(total, tuple(centre.tolist())), water).pose
            x, y, z = near.up
            for aside in (1.0, 0.1, 0.01):  # nearer by, where it does not find the way
                start = [near.draft_mm + 0.1 * aside, x / z - 0.005 * aside, y / z + 0.005 * aside]
                solved, _, found, _ = fsolve(out_of_balance, start, xtol=1e-9, factor=0.1, full_output=True)
                if found == 1:
                    break
            assert np.abs(out_of_balance(solved)).max() < 1e-6, (name, item.name, moment)
            checked += 1
            tilt = math.atan(math.hypot(*solved[1:]))
            assert math.degrees(tilt) == pytest.approx(math.degrees(loading.tilt_rad[moment]), abs=1e-5)
            least = float((edge @ upward(solved)).min() - solved[0])
            assert least == pytest.approx(loading.freeboard_mm[moment], abs=1e-5)
    assert checked >= many(3, 50)
