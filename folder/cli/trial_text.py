"""What is told of trials, as text for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from folder.practice.summary import Summary
from folder.practice.trial import Trial, grams
from folder.studies import LoadEstimate
from folder.units import rounded_down


def trial_line(t: Trial) -> str:
    """A trial in a line: when, which hull, how many of what, what was said beforehand, by whom."""
    guess = f", guessed {t.guess}" if t.guess is not None else ""
    who = f", {t.pupil}" if t.pupil else ""
    return f"{t.date}  {t.pattern}: {t.count} × {t.item} of {t.mass_each_g:g} g = {grams(t.held_g)} g{guess}{who}"


def summary_lines(summary: Summary, loads: Sequence[LoadEstimate | None]) -> Iterator[str]:
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
