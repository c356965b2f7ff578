"""The player of the folding: which step is shown, how far along it is, and how it runs with the clock. No pygame.

step   None while the whole hull is shown
runs   from `share` of its step on, until the step `last` is done; a short rest stands between two steps
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

REST_S = 0.45
"""Between two steps, so that the eye sees what has been done."""
FRAME_S = 1.0 / 30.0
"""From one picture of the film to the next."""


class Player(Struct, frozen=True):
    """What is shown of the folding."""

    step: int | None = None
    share: float = 1.0
    """How far along the step is; while it runs, how far it was at `since_s`."""
    last: int | None = None
    """It runs until this step is done; None when it stands."""
    since_s: float | None = None
    """The clock when it began to run; None before it has."""

    @property
    def runs(self) -> bool:
        """Whether it runs."""
        return self.last is not None

    def at(self, now_s: float, seconds: Sequence[float]) -> Player:
        """It at a moment of the clock, with the seconds that each step takes; standing once all that was to run has run."""
        if self.step is None or self.last is None:
            return self
        if self.step >= len(seconds):
            return Player()
        if self.since_s is None:
            return replace(self, since_s=now_s)
        step, left = self.step, now_s - self.since_s + self.share * seconds[self.step]
        while left >= seconds[step]:
            if step >= min(self.last, len(seconds) - 1):
                return Player(step)
            left -= seconds[step]
            if left < REST_S:
                return Player(step, 1.0, self.last, now_s - left)  # done, and it rests
            left -= REST_S
            step += 1
        return Player(step, left / seconds[step], self.last, now_s)


def played(player: Player, count: int) -> Player:
    """Play is pressed: on from where it stands, from the start when all is done; pressed again, it pauses."""
    if not count:
        return Player()
    if player.runs:
        return Player(player.step, player.share)
    if player.step is None or (player.step == count - 1 and player.share >= 1.0):
        return Player(0, 0.0, count - 1)
    if player.share >= 1.0:
        return Player(player.step + 1, 0.0, count - 1)
    return Player(player.step, player.share, count - 1)


def one_step(step: int) -> Player:
    """A step is played, and it alone."""
    return Player(step, 0.0, step)


def stepped(player: Player, by: int, count: int) -> Player:
    """One step on, which is played; or one back, which is shown as it is when done. Past either end the whole hull."""
    if not count:
        return Player()
    if by > 0:
        to = 0 if player.step is None else player.step + 1
        return one_step(to) if to < count else Player()
    to = count - 1 if player.step is None else player.step - 1
    return Player(to) if to >= 0 else Player()
