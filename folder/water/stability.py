"""How a floating hull answers being tilted.

K, B, G, M    the floor's middle; centre of buoyancy; centre of mass; metacentre: KM = KB + BM, GM = KM - KG
righting arm  how far, seen level, the buoyancy pulls up on the low side of the weight: positive, the hull comes back
toward        the way a hull is tilted: the side that goes down, as an angle from the x axis
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats
from folder.hull.rim import spills
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.units import RAD_PER_DEG
from folder.water.displace import UPRIGHT, Pose, displacement, drafts, frames, pose_moments
from folder.water.fluid import Water

STEEPEST_RAD = 80.0 * RAD_PER_DEG
"""Tilts are looked at up to here: a hull that has come so far has long shipped water or gone over."""

LEVEL_RAD = 0.1 * RAD_PER_DEG
"""Who leans by less is level: nobody sees it."""

_STEP_RAD = 5.0 * RAD_PER_DEG
_HAIR_RAD = 1e-7
"""So much before water comes in the last arm is taken."""
_SIDES_RAD = np.arange(24) * 15.0 * RAD_PER_DEG
_TILTS = 17
"""The sides toward which a level hull is tried, and at how many tilts."""


class Metacentre(Struct, frozen=True):
    """Where a hull floats and how stiffly, held with its floor level."""

    draft_mm: float
    kb_mm: float
    bm_mm: float
    """For the way the hull is easiest to tilt."""
    km_mm: float
    gm_mm: float


class Arms(Struct, frozen=True, eq=False):
    """Righting arms of a hull tilted one way, its displacement kept. Arrays are read-only."""

    toward_rad: float
    heel_rad: Floats
    """(k,)"""
    arm_mm: Floats
    """(k,)"""
    freeboard_mm: Floats
    """(k,): the least; once it is negative water is in and the arm says nothing any more."""


class Righting(Struct, frozen=True):
    """How a hull answers being pushed over toward its weak side, its load staying in its place."""

    toward_rad: float
    """The weak side: where it leans to at rest; of a level hull, where water comes in first."""
    heel_rad: tuple[float, ...]
    """From the level floor on, to where water comes in."""
    arm_mm: tuple[float, ...]
    """None at the heel at which it rests."""
    flooding_rad: float | None
    """The heel at which water comes in; None if it does not up to the steepest."""
    vanishing_rad: float | None
    """The heel from which it turns over by itself; None if water comes in first."""


def metacentre(skin: Skin, weight: Weight, water: Water) -> Metacentre:
    """KB, BM, KM and GM of the hull with a `weight` in all, its floor held level."""
    draft = float(drafts(skin, np.array([UPRIGHT]), weight.mass_g / water.density_g_per_mm3)[0])
    afloat = displacement(skin, Pose(draft))
    kb = afloat.centre_mm[2]
    bm = afloat.least_moment_mm4 / afloat.volume_mm3 if afloat.volume_mm3 > 0.0 else 0.0
    return Metacentre(draft, kb, bm, kb + bm, kb + bm - weight.centre_mm[2])


def righting_arms(skin: Skin, weight: Weight, water: Water, toward_rad: float, heel_rad: Floats) -> Arms:
    """Righting arms at the heels `(k,)` toward one side."""
    heels = np.array(heel_rad, dtype=float)
    arm, freeboard = _arms(skin, weight, water, np.full(len(heels), toward_rad), heels)
    for array in (heels, arm, freeboard):
        array.flags.writeable = False
    return Arms(toward_rad, heels, arm, freeboard)


def _arms(skin: Skin, weight: Weight, water: Water, toward_rad: Floats, heel_rad: Floats) -> tuple[Floats, Floats]:
    """Righting arms and least freeboards `(k,)` mm at heels `(k,)`, each toward its own side `(k,)`."""
    ups = tilted_ups(toward_rad, heel_rad)
    depth = drafts(skin, ups, weight.mass_g / water.density_g_per_mm3)
    axes = frames(ups)
    moments = pose_moments(skin, ups, depth, axes)
    volume = -moments[:, 0, 3]
    level = -moments[:, 3, 1:3] / np.where(volume > 0.0, volume, np.inf)[:, None]
    # Seen in the water's axes: the frame turns no more than need be, so the low side keeps its direction.
    low = np.column_stack([np.cos(toward_rad), np.sin(toward_rad)])
    arm = ((level - (axes[:, :2] @ np.array(weight.centre_mm))) * low).sum(axis=1)
    return arm, spills(ups @ skin.vertices.T, skin)[0] - depth


def flooding_angle(skin: Skin, weight: Weight, water: Water, toward_rad: float) -> float | None:
    """The heel at which the edge line goes under when the hull is tilted toward one side; None if none up to 80 deg."""
    return _first(skin, weight, water, toward_rad, lambda arms: arms.freeboard_mm <= 0.0)


def righting(skin: Skin, weight: Weight, water: Water, leaning: Pose) -> Righting:
    """The righting arms of a hull that floats in the pose `leaning` with a `weight` in all."""
    leans = leaning.tilt_rad > LEVEL_RAD
    toward = math.atan2(-leaning.up[1], -leaning.up[0]) if leans else _weak_side(skin, weight, water)
    floods = flooding_angle(skin, weight, water, toward)
    end = STEEPEST_RAD if floods is None else floods - _HAIR_RAD
    heels = np.append(np.arange(0.0, end - _STEP_RAD / 4.0, _STEP_RAD), end)
    arms = righting_arms(skin, weight, water, toward, heels)
    beyond = leaning.tilt_rad + LEVEL_RAD
    gone = None
    if ((arms.arm_mm <= 0.0) & (heels > beyond)).any():
        gone = _first(skin, weight, water, toward, lambda a: (a.arm_mm <= 0.0) & (a.heel_rad > beyond))
    return Righting(toward, tuple(heels.tolist()), tuple(arms.arm_mm.tolist()), floods, gone)


def _weak_side(skin: Skin, weight: Weight, water: Water) -> float:
    """The side toward which the least work brings water in: the arm summed over the heel."""
    heels = np.linspace(0.0, STEEPEST_RAD, _TILTS)
    tilted = _arms(skin, weight, water, np.repeat(_SIDES_RAD, _TILTS), np.tile(heels, len(_SIDES_RAD)))
    arm, board = (part.reshape(len(_SIDES_RAD), _TILTS) for part in tilted)
    # Of the step in which the water comes in the part counts that is dry.
    here, there = board[:, :-1], board[:, 1:]
    dry = np.clip(here / np.maximum(here - there, 1e-9), 0.0, 1.0)
    dry = np.where(there > 0.0, 1.0, dry) * np.cumprod(here > 0.0, axis=1)
    work = ((arm[:, :-1] + dry / 2.0 * np.diff(arm, axis=1)) * dry).sum(axis=1)
    return float(_SIDES_RAD[np.argmin(np.round(work, 6))])


def tilted_ups(toward_rad: Floats, heel_rad: Floats) -> Floats:
    """Ups `(k, 3)` of a hull tilted toward each side `(k,)` by each heel `(k,)`."""
    low = np.sin(heel_rad)
    return np.column_stack([-low * np.cos(toward_rad), -low * np.sin(toward_rad), np.cos(heel_rad)])


def _first(skin: Skin, weight: Weight, water: Water, toward_rad: float, gone: Callable[[Arms], Bools]) -> float | None:
    """The smallest heel, rad, up to the steepest at which `gone` holds: a fine row of tilts (n,), then ever finer ones."""
    heels = np.linspace(0.0, STEEPEST_RAD, 81)
    for _ in range(8):
        flags = gone(righting_arms(skin, weight, water, toward_rad, heels))
        if not flags.any():
            return None
        first = int(np.argmax(flags))
        if first == 0:
            return float(heels[0])
        heels = np.linspace(heels[first - 1], heels[first], 17)
    return float(heels[-1])
