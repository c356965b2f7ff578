"""A fold-pattern designer for foil-hull events.

>>> from folder import read_pattern, study
>>> study(read_pattern("patterns/plain-tray.json")).load.brim_g
"""

from folder.pattern.file import read_pattern, write_pattern
from folder.study import study

__version__ = "0.1.0"
__all__ = ["read_pattern", "study", "write_pattern"]
