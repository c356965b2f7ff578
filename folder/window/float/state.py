"""What the page Float is about: a guess, the objects that stand in the hull, and the tub it floats in. No pygame.

loading   one go with a hull and an object: the guess, then object by object, until water comes in or the pupil has enough
held      how many it held: the one that let water in does not count
try       a loading that is over, kept beside the others of the same hull
shelf     the loadings of one hull on disk: what was confirmed is there when the program comes back, however it ended
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import msgspec
from msgspec import Struct

from folder.cargo.spot import Spot
from folder.errors import FolderError
from folder.findings import Point
from folder.places import write_whole
from folder.water.tub import Tub

MOST_COUNT = 1000
"""Nobody loads more than this one by one on a screen."""
MOST_TRIES = 20
SAID = "This loading cannot be kept on disk. It goes on all the same."
"""Where a disk is full or may not be written."""
USUAL_TUB = Tub(400.0, 300.0, 120.0, 50.0)
"""A washing-up bowl or a storage box, as they stand on a table (common practice)."""

Ending = Literal["", "floods", "capsizes", "enough"]
"""How a loading ended; "" while it goes on."""


class TubLoading(Struct, frozen=True):
    """What has been confirmed so far."""

    guess: int | None = None
    spots: tuple[Spot, ...] = ()
    ending: Ending = ""

    @property
    def held(self) -> int:
        """How many it holds."""
        return len(self.spots) - (self.ending in ("floods", "capsizes"))


class Try(Struct, frozen=True):
    """A loading that is over."""

    item: str
    label: str
    each_g: float
    guess: int | None
    held: int
    ending: Ending

    @property
    def off(self) -> int | None:
        """How far the guess was off; more than it held is above 0."""
        return None if self.guess is None else self.guess - self.held


class Of(Struct, frozen=True):
    """What a loading is of: the design's key, the object's name, the mass of one."""

    design: str = ""
    item: str = ""
    each_g: float = 0.0


class FloatState(Struct, frozen=True):
    """Where a pupil is on the page."""

    of: Of = Of()
    loading: TubLoading = TubLoading()
    tries: tuple[Try, ...] = ()
    """Of this hull, the newest first, whatever the object."""
    before: int | None = None
    """The most that the hull before this one held of this object."""
    hand: str = "usual"
    tub: Tub = USUAL_TUB
    told: bool = False
    """The coach asked for the answer before there was a guess."""
    coach: bool = False
    """The coach's words are open."""
    large_map: bool = False
    layer: int | None = None
    """The layer the map shows; None for that of the next object."""
    cursor: Point | None = None
    """Where the keys would let an object go, in the hull's frame."""

    @property
    def may_tell(self) -> bool:
        """Whether the answer may be shown: there is a guess, or the coach asked."""
        return self.told or self.loading.guess is not None


class Shelf(Struct, frozen=True):
    """The loadings of one hull."""

    of: Of = Of()
    loading: TubLoading = TubLoading()
    tries: tuple[Try, ...] = ()


def shelf_of(design: str, directory: Path) -> Shelf:
    """What is kept of a hull; an empty shelf where there is nothing, or it cannot be read."""
    try:
        return msgspec.json.decode(_file(design, directory).read_bytes(), type=Shelf)
    except (OSError, msgspec.DecodeError, UnicodeDecodeError, FolderError):
        return Shelf()


def keep_shelf(shelf: Shelf, directory: Path) -> str:
    """Keep it, in one step. A sentence where that cannot be."""
    path = _file(shelf.of.design, directory)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, msgspec.json.encode(msgspec.structs.replace(shelf, tries=shelf.tries[:MOST_TRIES])))
    except (OSError, FolderError):
        return SAID
    return ""


def _file(design: str, directory: Path) -> Path:
    return directory / "loadings" / f"{design}.json"
