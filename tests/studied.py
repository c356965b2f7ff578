"""Studies made once in a run and only read: what a test looks at and does not change need not be worked out anew for each."""

from __future__ import annotations

from functools import cache

from folder.pattern.families.catalogue import make
from folder.pattern.file import read_pattern
from folder.places import PATTERNS
from folder.studies import Study, study


@cache
def ready_study(name: str) -> Study:
    """Of a ready pattern."""
    return study(read_pattern(PATTERNS / f"{name}.json"))


@cache
def family_study(name: str, **values: float) -> Study:
    """Of a family, with some of its parameters set."""
    return study(make(name, values))
