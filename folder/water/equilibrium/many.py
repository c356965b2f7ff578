"""Where hulls come to rest: many poses at once, each under its own weight.

At rest the displaced water weighs as much as the hull and its load, and its centre is straight below theirs: there the
potential energy of hull and water is least. Newton's method goes there on draft and tilt together, the hydrostatic
stiffness being the exact second derivative. Where the stiffness is negative the step is turned downhill; a step that
does not lower the energy is halved. Tilts of any size; no small-angle formula.

Energies are divided by the water's density: a weight counts as the volume W of water that it displaces at rest, mm3.

With draft T, displaced volume V, its centre B, the weight's centre G, waterplane area A, second moments I and centre F of
the waterplane (of flotation), all in the water's axes with heights from the floor's middle (mm):

energy    E = W (zG - T) + the integral of h^2 / 2 over the waterplane's columns, h the height of the skin above the water
draft     dE/dT = V - W: minus the volume residual;  d2E/dT2 = A
gradient  for a turn about F, which keeps V:  W xG - V xB - xF (W - V), and so for y
stiffness for such turns:  I about F + V zB - W zG;  at rest, where V = W, that is V GM, with BM = I / V

The last is Bouguer's metacentric height; see Biran & Lopez-Pulido, Ship Hydrostatics and Stability, 2nd ed. (2014), ch. 2.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats
from folder.hull.skin import Skin
from folder.units import RAD_PER_DEG, TOLERANCES
from folder.water.displace import frames, pose_moments

CAPSIZE_RAD = 45.0 * RAD_PER_DEG
CAPSIZE_UP = math.cos(CAPSIZE_RAD)
"""A hull that leans by more lies on its side: it has turned over, though it may float like that."""

STEEPEST_UP = math.cos(80.0 * RAD_PER_DEG)
"""A hull that turns past 80 deg will not come back."""

_LARGEST_TURN_RAD = 0.2
_LARGEST_TURN_UNSTABLE_RAD = 0.05
"""Where the hull is falling over, short steps, so that a rest on the way is not jumped over."""
_WARY_HALVINGS = 5
"""A step out of a valley of the energy is halved this often before it is believed: the rest may lie between."""
_STEPS = 60
_SUNK_SIZES = 8.0
"""A hull deeper than this many times its own reach has gone down: it may have nothing left that holds out water."""
_MOST_HALVINGS = 40
_STILL_RAD, _STILL_MM = 3e-6, 1e-4
"""A Newton step this small leaves an error of about its square."""


class EnergyDerivatives(Struct, frozen=True, eq=False):
    """Energy, gradient and stiffness of `n` poses, each under its weight."""

    axes: Floats
    """(n, 3, 3): the water's axes."""
    moments: Floats
    """(n, 4, 4), see `displace.pose_moments`."""
    energy: Floats
    """(n,) mm4"""
    volume_residual: Floats
    """(n,) mm3: how much more it must displace; minus the derivative of the energy with draft."""
    gradient: Floats
    """(n, 2) mm4: the derivative of the energy with the two turns, the displacement kept."""
    stiffness: Floats
    """(n, 2) mm4: its second derivative, the least and the most over all ways to turn."""
    principal: Floats
    """(n, 2, 2): the principal turns, as columns, that these stiffnesses belong to."""

    @property
    def least_stiffness(self) -> Floats:
        """(n,) mm4: the stiffness the way the hull is easiest to tilt."""
        return self.stiffness[:, 0]


class Equilibria(Struct, frozen=True, eq=False):
    """Where `n` hulls have come to rest."""

    ups: Floats
    """(n, 3)"""
    drafts_mm: Floats
    """(n,)"""
    still: Bools
    """(n,): it lies still; False when the hull has gone over or down."""
    least_stiffness: Floats
    """(n,) mm4: negative where any push would lead on."""


def energy_derivatives(skin: Skin, volumes_mm3: Floats, centres: Floats, ups: Floats, drafts_mm: Floats) -> EnergyDerivatives:
    """Energy, gradient and stiffness of poses `(n,)`, for weights with centres `(n, 3)`."""
    axes = frames(ups)
    m = pose_moments(skin, ups, drafts_mm, axes)
    points = (axes @ centres[:, :, None])[:, :, 0]
    volume, area, first = -m[:, 0, 3], _or_infinite(m[:, 0, 0]), m[:, 0, 1:3]
    lever = drafts_mm * volume - m[:, 3, 3] / 2.0 - volumes_mm3 * points[:, 2]
    residual = volumes_mm3 - volume
    flotation = first / area[:, None]
    gradient = volumes_mm3[:, None] * points[:, :2] + m[:, 1:3, 3] - flotation * residual[:, None]
    curvature, principal = np.linalg.eigh(m[:, 1:3, 1:3] - flotation[:, :, None] * first[:, None, :])
    energy = volumes_mm3 * (points[:, 2] - drafts_mm) + m[:, 3, 3] / 2.0
    return EnergyDerivatives(axes, m, energy, residual, gradient, curvature + lever[:, None], principal)


def least_stiffness(m: Floats, righting: Floats) -> Floats:
    """The stiffness `(n,)` mm4 the way each hull is easiest to tilt, from its moments and its righting lever.

    The same as in `energy_derivatives`, where the lever is what the centre of what is displaced and the weight's make of it.
    """
    area, first, second = _or_infinite(m[:, 0, 0]), m[:, 0, 1:3], m[:, 1:3, 1:3]
    xx, yy = (second[:, i, i] - first[:, i] ** 2 / area for i in (0, 1))
    xy = second[:, 0, 1] - first[:, 0] * first[:, 1] / area
    return (xx + yy) / 2.0 - np.hypot((xx - yy) / 2.0, xy) + righting


def find_equilibria(
    skin: Skin,
    volumes_mm3: Floats,
    centres: Floats,
    ups: Floats,
    drafts_mm: Floats,
) -> Equilibria:
    """The rests downhill from poses: ups `(n, 3)` and drafts `(n,)` mm, under weights of `(n,)` mm3 at centres `(n, 3)` mm.

    One from which a push leads on counts as a rest too: ask its stiffness."""
    size = float(np.abs(skin.vertices).max())
    n = len(ups)
    done = Equilibria(ups.copy(), drafts_mm.copy(), np.zeros(n, dtype=bool), np.zeros(n))
    rows, volumes, here = np.arange(n), volumes_mm3, _Iterate.new(ups, drafts_mm)
    while len(rows):
        trial_ups, trial_drafts = _turned_by(here.ups, here.push), here.drafts + here.sink
        found = energy_derivatives(skin, volumes, centres, trial_ups, trial_drafts)
        push, sink, turn, lost = _steps(found, size)
        zeros = np.zeros(len(rows))
        trial = _Iterate(trial_ups, trial_drafts, push, sink, found.energy, found.least_stiffness, zeros, here.steps + 1.0)
        leaves = (trial.stiffness < 0.0) & (here.stiffness > 0.0) & (here.halved < _WARY_HALVINGS)
        higher = found.energy > here.energy + 1e-13 * size * volumes
        rejected = (higher | leaves) & (here.halved < _MOST_HALVINGS)
        converged = (turn < _STILL_RAD) & (np.abs(sink) < _STILL_MM)
        over = (trial_ups[:, 2] <= STEEPEST_UP) | (trial_drafts > _SUNK_SIZES * size) | lost
        if rejected.any():
            trial = _chosen(rejected, here.halfway(), trial)
            converged &= ~rejected
            over &= ~rejected
        here = trial
        ends = converged | over | (here.steps >= _STEPS)
        if ends.any():
            # Near the rest each step squares the error, so the last one is taken unchecked.
            last = rows[ends]
            done.ups[last], done.drafts_mm[last] = _turned_by(here.ups, here.push)[ends], (here.drafts + here.sink)[ends]
            done.still[last], done.least_stiffness[last] = converged[ends], here.stiffness[ends]
            rows, volumes, centres = rows[~ends], volumes[~ends], centres[~ends]
            here = _Iterate(*(part[~ends] for part in here))
    return done


class _Iterate(NamedTuple):
    """Where some hulls are on their way down, and the step they are about to take."""

    ups: Floats
    drafts: Floats
    push: Floats
    sink: Floats
    energy: Floats
    stiffness: Floats
    halved: Floats
    steps: Floats

    @classmethod
    def new(cls, ups: Floats, drafts_mm: Floats) -> _Iterate:
        """At the start: ups `(n, 3)`, drafts `(n,)` mm."""
        n, most = len(ups), np.full(len(ups), np.inf)
        return cls(ups, drafts_mm, np.zeros((n, 3)), np.zeros(n), most, np.zeros(n), np.zeros(n), np.zeros(n))

    def halfway(self) -> _Iterate:
        """The same place, about to take half the step."""
        return self._replace(push=self.push / 2.0, sink=self.sink / 2.0, halved=self.halved + 1.0, steps=self.steps + 1.0)


def _chosen(flags: Bools, one: _Iterate, other: _Iterate) -> _Iterate:
    """Row by row the one where the flag `(n,)` is up, else the other."""
    return _Iterate(*(np.where(flags if a.ndim == 1 else flags[:, None], a, b) for a, b in zip(one, other, strict=True)))


def _turned_by(ups: Floats, push: Floats) -> Floats:
    """Ups `(n, 3)` after pushes `(n, 3)` across them."""
    moved = ups + push
    return moved / np.sqrt((moved * moved).sum(axis=1))[:, None]


def _or_infinite(area: Floats) -> Floats:
    """The areas `(n,)` mm2, infinite where there is no waterplane to speak of: what is divided by it is then nothing."""
    return np.where(area > TOLERANCES.waterplane_mm2, area, np.inf)


def _steps(found: EnergyDerivatives, size: float) -> tuple[Floats, Floats, Floats, Bools]:
    """Newton's steps, turned downhill where the stiffness is negative and kept short.

    Pushes of the up `(n, 3)`, sinkages `(n,)` mm, how far each turns, `(n,)` rad, and which have no finite step: those
    stay where they are.
    """
    most = np.abs(found.stiffness)
    least = 1e-9 * most.max(axis=1) + 1e-300
    along = -(found.gradient[:, None, :] @ found.principal)[:, 0] / np.maximum(most, least[:, None])
    turn = (found.principal @ along[:, :, None])[:, :, 0]
    area = _or_infinite(found.moments[:, 0, 0])
    wanted = found.volume_residual + (found.moments[:, 0, 1:3] * turn).sum(axis=1)
    sink = np.where(area < np.inf, wanted / area, size / 8.0)
    largest = np.where(found.least_stiffness > 0.0, _LARGEST_TURN_RAD, _LARGEST_TURN_UNSTABLE_RAD)
    far = np.hypot(turn[:, 0], turn[:, 1])
    shrink = np.minimum(1.0, np.minimum(largest / (far + 1e-300), size / 4.0 / (np.abs(sink) + 1e-300)))
    push, sink, far = (turn[:, None, :] @ found.axes[:, :2])[:, 0] * shrink[:, None], sink * shrink, far * shrink
    lost = ~np.isfinite(sink + far)
    if lost.any():
        push[lost], sink[lost], far[lost] = 0.0, 0.0, 0.0
    return push, sink, far, lost
