"""The object in use: one for all pages. No pygame."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.item_list import items

FIRST_ITEM = "us-cent"
"""The object to begin with: a common coin."""
HEAVIEST_G = 5000.0
"""More than the largest sheet could float."""


class ObjectChoice(Struct, frozen=True):
    """Which object is in use, and what the user's own weigh."""

    name: str = FIRST_ITEM
    own_mass_g: float | None = None
    """The mass of one, where the user has weighed it; it stands in for the list's."""

    @property
    def item(self) -> Item | None:
        """The object, with the user's own mass; None where there is none of that name any more."""
        found = {item.name: item for item in items()}.get(self.name)
        return found if found is None or self.own_mass_g is None else replace(found, mass_g=self.own_mass_g)
