"""A fold-pattern designer for foil-hull events.

>>> from folder import read_pattern, study
>>> study(read_pattern("patterns/plain-tray.json")).load.brim_g

Importing it changes nothing outside it, and loads the rest when it is first asked for: command line and window set the
process up before numpy is there.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from folder.pattern.file import read_pattern, write_pattern
    from folder.studies import study

__version__ = "0.1.0"
__all__ = ["read_pattern", "study", "write_pattern"]

_HOMES = {"read_pattern": "folder.pattern.file", "study": "folder.studies", "write_pattern": "folder.pattern.file"}


def __getattr__(name: str) -> Any:
    """What the package offers, from the module where it lives."""
    if name not in _HOMES:
        raise AttributeError(f"module 'folder' has no attribute {name!r}")
    value = globals()[name] = getattr(import_module(_HOMES[name]), name)
    return value
