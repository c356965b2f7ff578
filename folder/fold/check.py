"""Does the square fold into this shape with no cut: the fold's part of the report.

misfit     how far one vertex is from closing, rad
gap        how far two places of one point lie apart, mm: what the hands would feel; it decides
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from folder.findings import CODES, Finding, Level, Point, Remedy, Report
from folder.fold.closing.opening import openings
from folder.fold.flat_rule import flat_rule_findings
from folder.fold.place import Folded
from folder.fold.place import folded as refolded
from folder.fold.vertex import Fans, fans_of, misfits
from folder.geometry.space import Floats, Ints, carry
from folder.pattern.faces.faces import Faces
from folder.pattern.pattern import Pattern
from folder.pattern.planar import lone_vertices
from folder.units import DEG_PER_RAD, TOLERANCES

FOLD_CODES = frozenset(code.name for code in CODES.values() if code.verdict)
"""Stops with one of these codes mean that the sheet does not fold as drawn."""


def fold_report(pattern: Pattern, folded: Folded) -> tuple[Report, bool]:
    """The fold's findings, and whether this hull needs a cut."""
    faces = folded.faces
    fans = fans_of(faces)
    misfit = misfits(fans.turns(folded.turn), fans.sector)
    gap = openings(folded, fans, misfit)
    findings = list(flat_rule_findings(faces, fans, folded.turn, gap))
    lone: set[Point | None] = set()
    if folded.closure_gap_mm > TOLERANCES.closed_mm:
        # A point that has a plainer finding already is not told twice.
        lone = {_at(faces.vertices[v]) for v in lone_vertices(faces)[0]}
        places = lone | {f.at for f in findings}
        findings += [f for f in _will_not_close(faces, fans, misfit, gap) if f.at not in places]
    stopped = bool(lone) or any(f.level == "stop" for f in findings)
    if not stopped and folded.closure_gap_mm > (TOLERANCES.take_up_mm if findings else TOLERANCES.closed_mm):
        findings.append(_gap(folded))
    cuts = list(_cuts(pattern, folded))
    needs_cut = folded.closure_gap_mm > TOLERANCES.take_up_mm or (bool(cuts) and _cut_is_needed(folded))
    return Report.of(findings + cuts), needs_cut


def _level(gap_mm: float) -> Level:
    return "stop" if gap_mm > TOLERANCES.take_up_mm else "note"


def _at(xy: Floats) -> Point:
    """A place (2,) mm as numbers."""
    return (float(xy[0]), float(xy[1]))


def _will_not_close(faces: Faces, fans: Fans, misfit: Floats, gap: Floats) -> Iterator[Finding]:
    """A finding for each vertex (v,) of the fans that opens by more than nothing: misfit (v,) rad, gap (v,) mm."""
    for row in np.nonzero(gap > TOLERANCES.closed_mm)[0].tolist():
        off = f"{misfit[row] * DEG_PER_RAD:.2f} deg off, which opens by {gap[row]:.2f} mm"
        at = _at(faces.vertices[fans.vertex[row]])
        if _level(gap[row]) == "note":
            yield Finding("will-not-close", "note", at, "The folds here miss by a hair. Foil will take it up.", f"{off}.")
        else:
            text = "The folds that meet here do not fit together yet: a line is missing, or one runs askew."
            yield Finding("will-not-close", "stop", at, text, f"{off}.")


def _gap(folded: Folded) -> Finding:
    """Every vertex closes and yet the sheet does not come back onto itself: round a hole, or by adding up."""
    worst = int(folded.gaps.argmax())
    gap = float(folded.gaps[worst])
    at = _at(folded.faces.vertices[folded.faces.edges[worst]].mean(axis=0))
    if _level(gap) == "note":
        return Finding(
            "will-not-close", "note", at, "The folds miss by a hair here. Foil will take it up.", f"{gap:.2f} mm apart."
        )
    return Finding(
        "will-not-close",
        "stop",
        at,
        "Going round the sheet, the folds do not come together here.",
        f"{gap:.2f} mm apart.",
    )


def _cuts(pattern: Pattern, folded: Folded) -> Iterator[Finding]:
    faces = folded.faces
    if not any(c.sense == "cut" for c in pattern.creases):
        return
    for index in sorted({*faces.crease[faces.cut].tolist(), *_dangling_cuts(pattern, faces).tolist()}):
        crease = pattern.creases[index]
        middle = ((crease.start[0] + crease.end[0]) / 2.0, (crease.start[1] + crease.end[1]) / 2.0)
        depth = _lowest_lip(folded, index)
        detail = f"{crease.length_mm:.1f} mm long" + (
            "." if depth is None else f"; it lets water in {depth:.1f} mm above the floor."
        )
        text = "This is a cut, and cuts are not allowed: water comes in here. Fold instead."
        yield Finding("cut-drawn", "stop", middle, text, detail, Remedy("Take the cut away.", (index,)))


def _dangling_cuts(pattern: Pattern, faces: Faces) -> Ints:
    """(k,) the creases that are cuts and end in mid-sheet."""
    loose = faces.dangling[:, 2]
    return loose[[pattern.creases[i].sense == "cut" for i in loose.tolist()]] if len(loose) else loose


def _lowest_lip(folded: Folded, crease: int) -> float | None:
    """The lowest height of both lips of a cut above the floor's plane, mm; None when no lip is placed."""
    faces = folded.faces
    heights = [
        carry(folded.motions[side[None]], faces.vertices[end][None])[0, 2]
        for edge in np.nonzero(faces.crease == crease)[0]
        for side in faces.sides[edge]
        if side >= 0 and folded.placed[side]
        for end in faces.edges[edge]
    ]
    return max(0.0, float(min(heights))) if heights else None


def _cut_is_needed(folded: Folded) -> bool:
    """The sheet would not close with its cuts healed: what they have freed or taken off stands in its own way."""
    whole = replace(folded.faces, cut=np.zeros_like(folded.faces.cut))
    return refolded(whole, folded.turn).closure_gap_mm > TOLERANCES.take_up_mm
