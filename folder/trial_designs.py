"""What a trial knows of its design: its key, its brim load, its sheet; of a pattern, or of the ready pattern that it names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern
from folder.practice.identity import design_key
from folder.practice.trial import Trial
from folder.studies import study


def design_fields(pattern: Pattern) -> dict[str, Any]:
    """The fields of a trial that tell its design."""
    sheet = pattern.sheet
    return {
        "pattern": pattern.name, "design": design_key(pattern), "brim_g": study(pattern).load.brim_g or None,
        "sheet_width_mm": sheet.width_mm, "sheet_height_mm": sheet.height_mm, "thickness_um": sheet.thickness_um,
    }  # fmt: skip


def with_designs(trials: Sequence[Trial], others: Sequence[Pattern] = ()) -> tuple[Trial, ...]:
    """Trials of a table, those with the name of a ready pattern, or of one of `others`, on its sheet as trials of that design.

    So what a spreadsheet holds teaches, and a slip of the pen in it is asked about.
    """
    ready, designs = ready_patterns(), {_plain(pattern.name): design_fields(pattern) for pattern in others}
    out = []
    for trial in trials:
        name = _plain(trial.pattern)
        if not trial.design and (name in ready or name in designs):
            if name not in designs:
                designs[name] = design_fields(read_pattern(ready[name]))
            design = designs[name]
            sheet = ("sheet_width_mm", "sheet_height_mm", "thickness_um")
            if all(getattr(trial, side) == design[side] for side in sheet):
                trial = replace(trial, **(design if trial.brim_g is None else design | {"brim_g": trial.brim_g}))
        out.append(trial)
    return tuple(out)


def _plain(name: str) -> str:
    """A name in any writing: `Plain Tray`, `plain_tray` and `PLAIN-TRAY.json` are one."""
    return re.sub(r"[\W_]+", "-", name.strip().casefold().removesuffix(".json")).strip("-")
