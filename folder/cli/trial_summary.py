"""What is told of all trials together. Apart from the verbs of the log: it needs whole studies, they do not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from msgspec.structs import asdict, replace

from folder.cargo.item_list import find_item
from folder.cargo.predict import Cargo, predict
from folder.cargo.vessel import vessel_of
from folder.errors import BadRequest
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern
from folder.practice.attempts import is_one_object
from folder.practice.counted import count_estimate
from folder.practice.identity import design_key
from folder.practice.summary import Summary, group_of, summarise
from folder.practice.trial import Trial, grams, pupil_key
from folder.studies import Study, study
from folder.units import rounded_down


def trial_summary(trials: Sequence[Trial]) -> tuple[dict[str, Any], Iterator[str]]:
    """The log summed up: for machines, and line by line for people."""
    summary = summarise(trials)
    studies = list(_studies(summary, trials))
    data = summary.as_json()
    for pattern, made in zip(data["patterns"], studies, strict=True):
        pattern["load"] = None if made is None else asdict(made.load)
    return data, _lines(summary, trials, studies)


def _studies(summary: Summary, trials: Sequence[Trial]) -> Iterator[Study | None]:
    """Each design as `check` sees it, where it is a ready one."""
    ready: dict[object, Pattern] = {}
    if summary.patterns:
        for path in ready_patterns().values():
            pattern = read_pattern(path)
            ready[design_key(pattern)] = ready[pattern.name, pattern.sheet.width_mm, pattern.sheet.height_mm] = pattern
    for one in summary.patterns:
        design = ready.get(group_of(one))
        yield None if design is None else study(design, trials=trials)


def _pupil_lines(made: Study, trials: Sequence[Trial]) -> Iterator[str]:
    """What the next build of this design holds by each pupil who has tried it, in objects where all tried with one sort."""
    names: dict[str, str] = {}
    for trial in trials:
        names.setdefault(pupil_key(trial.pupil), trial.pupil)
    names.pop("", None)
    joined = made.joined
    if joined is None or not names:
        return
    cargo, each_g = _cargo_of(made, trials) if is_one_object(trials) else None, trials[0].mass_each_g
    for name in names.values():
        of_one, here = replace(joined, pupil=name), joined.evidence.n_of(name)[0]
        if not here:
            continue
        rests = "1 trial" if here == 1 else f"{here} trials"
        if cargo is None:
            e = of_one.in_grams
            yield f"  {name}: next {rounded_down(e.low)} to {rounded_down(e.high)} g, likely {rounded_down(e.likely)} g ({rests})"
        else:
            e = count_estimate(cargo, of_one, each_g)
            yield f"  {name}: next {e.low:.0f} to {e.high:.0f} × {cargo.item.label}, likely {e.likely:.0f} ({rests})"


def _cargo_of(made: Study, trials: Sequence[Trial]) -> Cargo | None:
    """The object of all trials on the floor of the hull; None where it cannot be laid out."""
    try:
        item = replace(find_item(trials[0].item), mass_g=trials[0].mass_each_g)
        if made.hull is None or made.working is None:
            return None
        return predict(vessel_of(made.hull, made.water, made.working), item)
    except BadRequest:  # also where there are more of them than anyone lays one by one
        return None


def _lines(summary: Summary, trials: Sequence[Trial], studies: Sequence[Study | None]) -> Iterator[str]:
    """How the trials of each design went, what its next build carries, and what all have in common."""
    if not summary.n:
        yield "No trials yet: nothing is known from real builds."
    for p, made in zip(summary.patterns, studies, strict=True):
        yield f"{p.pattern}, {p.sheet_width_mm:g} × {p.sheet_height_mm:g} mm"
        h = p.held_g
        if h.n == 1:
            yield f"  held: 1 trial, {grams(h.median)} g"
        else:
            yield f"  held: {h.n} trials, {h.smallest:,.1f} to {h.largest:,.1f} g, the middle one {h.median:,.1f} g"
        if made is not None:
            load = made.load
            low, likely, high = (rounded_down(g or 0.0) for g in (load.low_g, load.likely_g, load.high_g))
            yield f"  next: {low} to {high} g, likely {likely} g. {load.basis}"
            yield from _pupil_lines(made, [trial for trial in trials if group_of(trial) == group_of(p)])
        else:
            yield "  next: folder check FILE tells it, with the pattern's file"
        if p.guesses.n:
            yield f"  guesses: {p.guesses.text}"
    if summary.share.n:
        share = summary.share
        least, most = f"{100 * share.smallest:.0f}", f"{100 * share.largest:.0f}"
        of = "1 trial" if share.n == 1 else f"{share.n} trials"
        yield f"All patterns: {of}, {least if least == most else f'{least} to {most}'} % of the brim load"
    if summary.guesses.n:
        yield f"All guesses: {summary.guesses.text}"
