"""What is told of a study: as JSON for machines, as text for people."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec.structs import asdict

from folder.errors import one_line
from folder.findings import Finding
from folder.studies import Study
from folder.units import rounded_down
from folder.verdict import level_sentence, verdict_of

if TYPE_CHECKING:
    from folder.search.mend import StudiedRemedy

CAUTION = "Foil edges cut; small objects choke small children; wipe up water. An adult is in charge, and your event's own rules come first."

LONGEST_NAME = 100
"""Letters of a name from a file that are told."""

MOST_TOLD = 20
"""Findings told to people: whoever has more mends the first ones first."""

MOST_PLACES = 6
"""Places named of one finding; --json has them all."""

TO_DO = "to do"
"""Stands before what only is not finished yet, in place of STOP."""

_MARKS = {"stop": "STOP", "warn": "warn", "note": "note"}


def best_remedy(study: Study) -> StudiedRemedy | None:
    """What would mend the whole pattern best; None for a hull."""
    if verdict_of(study).level == "good":
        return None
    from folder.search.mend import remedies

    return next(iter(remedies(study, most=1)), None)


def finding_json(finding: Finding, remedy: StudiedRemedy | None = None) -> dict[str, object]:
    """A finding for machines; what stops a hull is mended by the `remedy` for the whole pattern, if there is one."""
    own = finding.remedy.text if finding.remedy else None
    return {
        "code": finding.code,
        "level": finding.level,
        "at": finding.at,
        "places": finding.everywhere,
        "text": finding.text,
        "detail": finding.detail,
        "remedy": remedy.text if remedy is not None and finding.level == "stop" else own,
    }


def check_json(study: Study) -> dict[str, object]:
    """The report, measures and loads of a pattern."""
    remedy = best_remedy(study)
    return {
        "name": study.pattern.name,
        "verdict": asdict(verdict_of(study)),
        "folds": study.folds,
        "needs_cut": study.needs_cut,
        "needs_tape": study.needs_tape,
        "closure_gap_mm": study.folded.closure_gap_mm,
        "findings": [finding_json(f, remedy) for f in study.report.findings],
        "measures": asdict(study.measures),
        "load": {**asdict(study.load), "level_at_mm": None if study.brim is None else study.brim.level_at},
        "walls": [{**asdict(b), "warns": b.warns} for b in study.bows],
        "pupil": study.pupil or None,
    }


def a_build(pupil: str) -> str:
    """What a load that is told is of."""
    return f"the next build of {one_line(pupil, LONGEST_NAME)}" if pupil else "a real build"


def _places(finding: Finding) -> str:
    places = finding.everywhere
    named = ", ".join(f"({x:.1f}, {y:.1f})" for x, y in places[:MOST_PLACES])
    return named if len(places) <= MOST_PLACES else f"{named} and {len(places) - MOST_PLACES} more places,"


def check_lines(study: Study) -> Iterator[str]:
    """The report, measures and loads of a pattern for people."""
    m, load = study.measures, study.load
    yield one_line(study.pattern.name, LONGEST_NAME)
    yield f"  {verdict_of(study).text}"
    remedy = best_remedy(study)
    if remedy is not None:
        outcome = f"then likely {rounded_down(remedy.likely_g)} g" if remedy.good else remedy.verdict.text
        yield f"  Try: {remedy.text} ({outcome}; folder mend does it)"
    floor, foil = f"floor {m.floor_area_mm2 / 100:.1f} cm2", f"foil {m.foil_mass_g:.2f} g"
    # What does not fold has neither walls nor rim, and what is open carries nothing: no numbers that are none.
    if study.folds:
        yield f"  {floor}, wall {m.wall_height_mm:.1f} mm, rim {m.rim_height_mm:.1f} mm, {foil}"
    else:
        yield f"  {floor}, {foil}; walls and load are told once it folds"
    if load.brim_g:
        yield f"  brim load {rounded_down(load.brim_g)} g (level floor, perfect hands; real builds carry less)"
    if where := level_sentence(study):
        yield f"  {where}"
    if load.likely_g is not None:
        low, likely, high = (rounded_down(g or 0.0) for g in (load.low_g, load.likely_g, load.high_g))
        yield f"  {a_build(study.pupil)}: {low} to {high} g, likely {likely} g; limited by {load.limited_by}"
        if study.working is not None and not study.trials:
            yield f"  {study.working.shares}"
        yield f"  {load.basis}"
        if load.wins:
            yield f"  worth most: {load.wins[0]}"
    worst = max(study.bows, key=lambda b: b.bow_mm, default=None)
    if worst is not None:
        w = worst.wall
        layers = "one layer" if w.layers == 1 else f"{w.layers} layers"
        advice = ": too long and high to stand alone, hem it or fold it lower" if worst.warns else ""
        yield f"  longest wall {w.span_mm:.0f} mm, {layers}: bows in about {worst.bow_mm:.1f} mm (an estimate){advice}"
    findings = study.report.findings
    unfinished = verdict_of(study).level == "neutral"
    for f in findings[:MOST_TOLD]:
        at = f" at {_places(f)} mm" if f.at else ""
        mark = TO_DO if unfinished and f.level == "stop" else _MARKS[f.level]
        yield f"  {mark}  {f.code}{at}: {f.text}"
        if f.detail:
            yield f"        {f.detail}"
        if f.remedy and (remedy is None or f.level != "stop"):
            yield f"        Try: {f.remedy.text}"
    if len(findings) > MOST_TOLD:
        yield f"  and {len(findings) - MOST_TOLD} more like these; --json lists them all"
