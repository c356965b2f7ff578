"""What is told of all trials together. Apart from the verbs of the log: it needs whole studies, they do not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from msgspec.structs import asdict

from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern
from folder.practice.identity import design_key
from folder.practice.summary import Summary, summarise
from folder.practice.trial import Trial, grams
from folder.studies import LoadEstimate, study
from folder.units import rounded_down


def trial_summary(trials: Sequence[Trial]) -> tuple[dict[str, Any], list[str]]:
    """The log summed up: for machines, and line by line for people."""
    summary = summarise(trials)
    loads = list(_loads(summary, trials))
    data = summary.as_json()
    for pattern, load in zip(data["patterns"], loads, strict=True):
        pattern["load"] = None if load is None else asdict(load)
    return data, list(_lines(summary, loads))


def _loads(summary: Summary, trials: Sequence[Trial]) -> Iterator[LoadEstimate | None]:
    """What each design's next build carries, where the design is a ready one: as `check` tells it."""
    ready: dict[object, Pattern] = {}
    if summary.patterns:
        for path in ready_patterns().values():
            pattern = read_pattern(path)
            ready[design_key(pattern)] = ready[pattern.name, pattern.sheet.width_mm, pattern.sheet.height_mm] = pattern
    for one in summary.patterns:
        design = ready.get(one.design or (one.pattern, one.sheet_width_mm, one.sheet_height_mm))
        yield None if design is None else study(design, trials=trials).load


def _lines(summary: Summary, loads: Sequence[LoadEstimate | None]) -> Iterator[str]:
    """How the trials of each design went, what its next build carries, and what all have in common."""
    if not summary.n:
        yield "No trials yet: nothing is known from real builds."
    for p, load in zip(summary.patterns, loads, strict=True):
        yield f"{p.pattern}, {p.sheet_width_mm:g} × {p.sheet_height_mm:g} mm"
        h = p.held_g
        if h.n == 1:
            yield f"  held: 1 trial, {grams(h.median)} g"
        else:
            yield f"  held: {h.n} trials, {h.smallest:,.1f} to {h.largest:,.1f} g, the middle one {h.median:,.1f} g"
        if load is not None:
            low, likely, high = (rounded_down(g or 0.0) for g in (load.low_g, load.likely_g, load.high_g))
            yield f"  next: {low} to {high} g, likely {likely} g. {load.basis}"
        else:
            yield "  next: folder check FILE tells it, with the pattern's file"
        if p.guesses.n:
            yield f"  guesses: {p.guesses.text}"
    if summary.share.n:
        share = summary.share
        least, most = f"{100 * share.smallest:.0f}", f"{100 * share.largest:.0f}"
        trials = "1 trial" if share.n == 1 else f"{share.n} trials"
        yield f"All patterns: {trials}, {least if least == most else f'{least} to {most}'} % of the brim load"
    if summary.guesses.n:
        yield f"All guesses: {summary.guesses.text}"
