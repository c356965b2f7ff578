"""A thing told by which one it is, not by what it holds: the key of a drawing that is kept."""

from __future__ import annotations

from msgspec import Struct


class IdentityKey(Struct, frozen=True, eq=False):
    """Equal to another of the very same thing. Holding the thing keeps its identity from being used again."""

    thing: object

    def __eq__(self, other: object) -> bool:
        return isinstance(other, IdentityKey) and self.thing is other.thing

    def __hash__(self) -> int:
        return id(self.thing)
