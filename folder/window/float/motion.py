"""What moves in the tub: an object falls, the hull goes from one rest to the next, fills and sinks, or turns over. No pygame.

scene    what is to be seen when all is still: the spots, and how the hull lies with them
motion   from one scene to the next, told by the seconds since it began; whatever is drawn at its end is what the rest says
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.spot import Spot
from folder.draw.tub.attitude import Attitude
from folder.draw.tub.moment import Body, Moment
from folder.draw.tub.shell import Shell
from folder.window.float.lying import TubPose

FALL_S, MOVE_S, FILL_S, SINK_S, TURN_S = 0.3, 0.7, 1.5, 1.2, 1.3
DROP_MM = 45.0
"""From so high an object is let go."""
OVER_RAD = math.radians(168.0)
"""A hull that has turned over lies like that."""
STEP_S = 1.0 / 40.0
"""A frame while something moves."""


class TubScene(Struct, frozen=True, eq=False):
    """What is to be seen when all is still."""

    shell: Shell
    item: Item | None
    spots: tuple[Spot, ...]
    lying: TubPose


class TubMotion(Struct, frozen=True, eq=False):
    """The way to a scene."""

    start: Attitude
    """How the hull was drawn when it began."""
    to: TubScene
    falls: bool
    """The last object is let go; it does not just lie there."""
    began_s: float

    @property
    def length_s(self) -> float:
        """How long it takes."""
        fall = FALL_S if self.falls else 0.0
        match self.to.lying.state:
            case "floods":
                return fall + MOVE_S + FILL_S + SINK_S
            case "capsizes":
                return fall + TURN_S + SINK_S
        return fall + MOVE_S

    def at(self, now_s: float) -> Moment:
        """What is to be seen now."""
        scene, since = self.to, max(now_s - self.began_s, 0.0)
        fall = FALL_S if self.falls else 0.0
        lift = DROP_MM * (1.0 - min(since / fall, 1.0) ** 2) if fall else 0.0
        since = max(since - fall, 0.0)
        bodies = [Body(spot) for spot in scene.spots]
        if lift > 0.0:
            bodies[-1] = Body(scene.spots[-1], lift)
        moment = Moment(scene.shell, self.start, scene.item, tuple(bodies), rise_mm=scene.lying.tub.rise_mm)
        match scene.lying.state:
            case "floods":
                return self._sinking(moment, since)
            case "capsizes":
                return self._turning(moment, since)
        return replace(moment, attitude=self.start.toward(scene.lying.attitude, _eased(since / MOVE_S)))

    def _sinking(self, moment: Moment, since: float) -> Moment:
        """To the pose at which the water reaches the rim; it fills from there; it goes down."""
        lying = self.to.lying
        rim = lying.attitude
        if since < MOVE_S:
            return replace(moment, attitude=self.start.toward(rim, _eased(since / MOVE_S)))
        filled = _eased((since - MOVE_S) / FILL_S)
        hull = self.to.shell.hull
        down = Attitude(0.0, rim.toward_rad, _bottom_mm(self.to))
        gone = _eased((since - MOVE_S - FILL_S) / SINK_S)
        deeper = replace(rim, draft_mm=rim.draft_mm + 3.0 * filled)
        attitude = deeper.toward(down, gone)
        lowest = float(attitude.world(hull.skin.vertices[hull.skin.triangles[hull.skin.floor]].reshape(-1, 3))[:, 2].min())
        pool = lowest + filled * (0.0 - lowest) if gone < 0.15 else None
        stream = lying.at if filled < 0.97 else None
        return replace(moment, attitude=attitude, pool_mm=pool, drowned=min(1.0, 2.5 * gone), stream=stream)

    def _turning(self, moment: Moment, since: float) -> Moment:
        """Over on its side and on; what was in it falls out and lies on the bottom."""
        lying, scene = self.to.lying, self.to
        side = math.atan2(lying.at[1], lying.at[0])
        if self.start.tilt_rad > 1e-3:
            side = self.start.toward_rad
        share = _eased(since / TURN_S)
        over = Attitude(OVER_RAD, side, 0.0)
        start = self.start if self.start.tilt_rad > 1e-3 else replace(self.start, toward_rad=side)
        attitude = start.toward(over, share)
        gone = _eased((since - TURN_S) / SINK_S)
        attitude = replace(attitude, draft_mm=attitude.draft_mm + gone * _bottom_mm(scene) * 0.8)
        bodies = moment.bodies
        out = _eased((since - 0.35 * TURN_S) / (0.65 * TURN_S + 0.4 * SINK_S))
        if out > 0.0 and scene.spots:
            bodies = tuple(Body(spot, 0.0, _fallen(scene, start, over, spot, k, out)) for k, spot in enumerate(scene.spots))
        return replace(moment, attitude=attitude, bodies=bodies, drowned=gone)

    def over(self, now_s: float) -> bool:
        """Whether all is still."""
        return now_s - self.began_s >= self.length_s


def _fallen(
    scene: TubScene, start: Attitude, over: Attitude, spot: Spot, number: int, share: float
) -> tuple[float, float, float]:
    """Where an object is on its way from the hull to the bottom."""
    leaves = start.toward(over, 0.35).world(np.array([spot.centre]))[0]
    side = np.array([math.cos(over.toward_rad), math.sin(over.toward_rad), 0.0])
    aside = np.array([-side[1], side[0], 0.0])
    reach = scene.shell.reach_mm
    lies = side * (0.35 + 0.3 * (number % 5) / 5.0) * reach + aside * (spot.x_mm * -side[1] + spot.y_mm * side[0]) * 1.1
    lies[2] = -_bottom_mm(scene) + spot.half_mm
    x, y, z = (leaves + share * (lies - leaves)).tolist()
    return (x, y, z)


def _bottom_mm(scene: TubScene) -> float:
    """How deep the bottom of the tub lies."""
    lowest = float((scene.shell.hull.skin.vertices @ np.array(scene.lying.pose.up)).min())
    return max(scene.lying.tub.under_keel_mm + scene.lying.pose.draft_mm - lowest, 1.0)


def _eased(share: float) -> float:
    """Soft at both ends."""
    t = min(max(share, 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


def motion_to(before: TubMotion | None, to: TubScene, now_s: float) -> TubMotion:
    """The motion to a scene from whatever is drawn now; the first scene is there at once."""
    if before is None or before.to.shell is not to.shell:
        return TubMotion(to.lying.attitude, to, False, now_s - 60.0)
    falls = len(to.spots) == len(before.to.spots) + 1 and to.spots[:-1] == before.to.spots
    start = before.at(now_s).attitude if before.to.lying.afloat else before.start
    return TubMotion(start, to, falls, now_s)
