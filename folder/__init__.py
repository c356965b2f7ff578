"""A fold-pattern designer for foil-hull events.

>>> from folder import read_pattern, study
>>> study(read_pattern("patterns/plain-tray.json")).load.brim_g
"""

import os

# Our matrices are small: a second thread for them costs more than it brings.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from folder.pattern.file import read_pattern, write_pattern
from folder.studies import study

__version__ = "0.1.0"
__all__ = ["read_pattern", "study", "write_pattern"]
