"""What design a trial is of: creases and sheet, whatever the name."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Crease, Sheet
from folder.practice.identity import design_key
from tests.drawings import tray

TRAY = tray(25.0)


def test_no_two_ready_patterns_share_a_key() -> None:
    ready = [read_pattern(path) for path in ready_patterns().values()]
    assert len(ready) == len({design_key(pattern) for pattern in ready})


def test_name_note_crimps_and_guides_do_not_make_another_design() -> None:
    guide = Crease((0.0, 0.0), (9.0, 9.0), "guide", 0.0)
    other = replace(TRAY, name="Mine", note="x", crimps=((3.0, 3.0),), creases=(*TRAY.creases, guide))
    assert design_key(TRAY) == design_key(other)


@given(st.randoms())
def test_the_order_and_direction_of_creases_do_not_matter(random: object) -> None:
    creases = [replace(c, start=c.end, end=c.start) for c in TRAY.creases]
    random.shuffle(creases)  # type: ignore[attr-defined]
    assert design_key(TRAY) == design_key(replace(TRAY, creases=tuple(creases)))


def test_another_sheet_wall_sense_or_turn_is_another_design() -> None:
    first, *rest = TRAY.creases
    mountain = replace(first, sense="mountain")
    others = [
        tray(25.01),
        replace(TRAY, sheet=Sheet(300.0, 300.0)),
        replace(TRAY, sheet=Sheet(thickness_um=24.0)),
        replace(TRAY, creases=(mountain, *rest)),
        replace(TRAY, creases=(replace(first, turn_rad=math.radians(89.9)), *rest)),
        replace(TRAY, creases=(replace(first, turn_rad=None), *rest)),
        replace(TRAY, creases=tuple(rest)),
    ]
    assert len(others) + 1 == len({design_key(pattern) for pattern in (TRAY, *others)})
