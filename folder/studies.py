"""The whole trip of one pattern: drawing, fold, hull, water. The only place that chains the stages; it holds no formula."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from folder.findings import Finding, Report
from folder.fold.check import FOLD_CODES, fold_report
from folder.fold.flex import flex_findings
from folder.fold.layers.clash import Clashes, clash_findings, clashes_of, pressed
from folder.fold.layers.held import loose_findings
from folder.fold.layers.thick import stack_findings
from folder.fold.place import Folded, folded
from folder.hull.hull import Hull, hull_of
from folder.hull.shape import Measures, floor_missing, hull_findings, measures_of, sealed_mm3
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.pattern import Pattern
from folder.pattern.planar import planar_findings
from folder.units import rounded_down
from folder.water.brim_load import BrimLoad, brim_load
from folder.water.fluid import Water

# What only some patterns need is imported where it is used: `folder check` is run once for every pattern of a class.
if TYPE_CHECKING:
    from folder.event.rules import Rules
    from folder.fold.closing.solve import Solution
    from folder.fold.layers.order import Layering
    from folder.practice.estimate import JoinedEstimate
    from folder.practice.trial import Trial
    from folder.water import working_load
    from folder.water.wall_deflection import WallDeflection
    from folder.water.working_load import WorkingLoad as Working


class LoadEstimate(Struct, frozen=True):
    """What a hull carries, g. None where the sheet does not fold to a hull."""

    brim_g: float | None = None
    surface_tension_g: float | None = None
    low_g: float | None = None
    likely_g: float | None = None
    high_g: float | None = None
    limited_by: str | None = None
    stands_from_g: float | None = None
    """From this load on the hull stands by itself: 0.0 when it stands empty, None when it never does."""
    basis: str | None = None
    """What low, likely and high rest on, in a sentence."""
    count_on_g: float | None = None
    """19 builds in 20 hold that; None without trials."""
    trials_own: int = 0
    trials_others: int = 0
    """How many trials of this design and of others it rests on."""
    wins: tuple[str, ...] = ()
    """What one change would win, the most first."""


class Study(Struct, frozen=True, eq=False, dict=True):
    """Everything there is to know of a pattern; each stage is worked out when it is first asked for."""

    pattern: Pattern
    water: Water
    trials: tuple[Trial, ...] = ()
    """What real builds did; of any pattern."""
    hand: str = "usual"
    """Careful, usual or hurried."""
    rules: Rules | None = None
    """The rules of the event it is for."""
    pupil: str = ""
    """Who builds it next; anyone where no name is given."""

    @cached_property
    def faces(self) -> Faces:
        """The sheet cut into faces."""
        return faces_of(self.pattern)

    @cached_property
    def solution(self) -> Solution:
        """The turns, free ones solved."""
        from folder.fold.closing.solve import solved

        return solved(self.faces, self.pattern.creases)

    @cached_property
    def folded(self) -> Folded:
        """The sheet folded."""
        return folded(self.faces, self.solution.turn if self.faces.free.any() else None)

    @cached_property
    def clashes(self) -> Clashes:
        """Faces that pass through each other, and the order of layers."""
        return clashes_of(self.folded)

    @cached_property
    def layering(self) -> Layering | None:
        """The order of layers, for pictures; None where it was not looked for, or is that of the sheet pressed flat."""
        return self.clashes.layering if self.clashes.complete and pressed(self.folded) is self.folded else None

    @cached_property
    def hull(self) -> Hull | None:
        """The vessel; None when there is no floor."""
        return hull_of(self.folded, self.pattern.sheet.thickness_um, folds=self.folds)

    @cached_property
    def _fold(self) -> tuple[Report, bool]:
        return fold_report(self.pattern, self.folded)

    @cached_property
    def fold_findings(self) -> list[Finding]:
        """What drawing and fold have to say."""
        unsolved: list[Finding] = []
        if self.faces.free.any():
            from folder.fold.closing.unsolved import unsolved_findings

            unsolved = unsolved_findings(self.faces, self.pattern.creases, self.solution)
        places = {place for f in unsolved for place in f.everywhere}
        return [
            *planar_findings(self.pattern, self.faces),
            *unsolved,
            *(f for f in self._fold[0].findings if f.code != "will-not-close" or f.at not in places),
            *clash_findings(self.folded, self.clashes),
            *stack_findings(self.folded, self.clashes.layering),
            *loose_findings(self.folded, self.clashes.layering, self.pattern.crimps),
        ]

    @cached_property
    def report(self) -> Report:
        """All findings of all stages, worst first; what is found at several places is one finding. What would mend them: `search.mend`."""
        if not self.folds:
            # What the edge does is idle talk while the sheet does not fold.
            found = [*self.fold_findings, *floor_missing(self.hull, self.pattern)]
        else:
            found = [*self.fold_findings, *flex_findings(self.folded, self.pattern.crimps, self.pattern.floor_at)]
            found += [*hull_findings(self.hull, self.pattern), *self._standing()]
            found = [self._priced(f) for f in found]
        return Report.of(found if self.rules is None else self._ruled(found, self.rules)).merged()

    def _ruled(self, found: list[Finding], rules: Rules) -> list[Finding]:
        """The findings as an event's rules see them, with those of the rules."""
        from folder.event.check import by_rules, rule_findings

        return [
            *(by_rules(f, rules) for f in found),
            *rule_findings(rules, self.pattern, self.hull if self.folds else None, remedies=True),
        ]

    @cached_property
    def folds(self) -> bool:
        """The sheet folds to this shape, cuts and open seams aside."""
        return not any(f.level == "stop" and f.code in FOLD_CODES for f in self.fold_findings)

    @property
    def needs_cut(self) -> bool:
        """Some inner vertex does not close, or a cut is drawn without which it would not."""
        return self._fold[1]

    @property
    def needs_tape(self) -> bool:
        """It folds, but edges that meet without being joined lie below the rim that tape would give it."""
        return self.folds and self.hull is not None and self.hull.seams.needs_tape

    @cached_property
    def measures(self) -> Measures:
        """What the hull measures; of a sheet that does not fold the floor alone."""
        return measures_of(self.pattern, self.folded, self.hull, folds=self.folds)

    @cached_property
    def brim(self) -> BrimLoad | None:
        """The brim load; None when the sheet does not fold to a hull."""
        if self.hull is None or not self.folds:
            return None
        return brim_load(self.hull.skin, self.hull.weight, self.water)

    @cached_property
    def stands_from_g(self) -> float | None:
        """The load from which the hull stands, g: 0.0 when it stands empty, None when it never does. See `water.equilibrium.stand`."""
        if self._afloat is None:
            return None
        from folder.water.equilibrium.stand import empty_state, stands_from

        hull, top = self._afloat
        if empty_state(hull.skin, hull.weight, self.water) == "floats":
            return 0.0
        from folder.water.working_load import load_place

        return stands_from(hull.skin, hull.weight, self.water, load_place(hull.skin, top))

    def _standing(self) -> list[Finding]:
        """What the water has to say of a hull that does not stand when it is empty."""
        if self._afloat is None:
            return []
        from folder.water.equilibrium.stand import stand_findings

        return stand_findings(self.stands_from_g, self._afloat[1].load_g, self.pattern.floor_at)

    @property
    def _afloat(self) -> tuple[Hull, BrimLoad] | None:
        """The hull and its brim load, if it folds and has a rim that keeps water out."""
        if self.hull is None or self.brim is None or not 0.0 < self.hull.rim_height_mm < math.inf:
            return None
        return self.hull, self.brim

    @cached_property
    def working(self) -> working_load.WorkingLoad | None:
        """The working load as the model has it, with what it rests on; None when nothing can be carried."""
        if self._afloat is None:
            return None
        from folder.water import working_load

        hull, top = self._afloat
        return working_load.working_load(hull.skin, hull.weight, self.water, self.hand, top=top)

    @cached_property
    def load(self) -> LoadEstimate:
        """What the hull carries: by the model, joined with the trials as soon as there are some."""
        if self.brim is None:
            return LoadEstimate()
        whole = LoadEstimate(self.brim.load_g, self.brim.surface_tension_g)
        if self.working is None:
            return whole
        w = self.working
        changes = tuple(f"{win.change}: {rounded_down(win.gain_g)} g" for win in w.wins)
        whole = replace(whole, limited_by=w.limited_by, stands_from_g=w.stands_from_g, wins=changes)
        if self.joined is None:
            from folder.water.build_variation import first_try_text

            basis = f"No trials yet: from the model alone. {first_try_text(w.brim_g)}"
            return replace(whole, low_g=w.low_g, likely_g=w.likely_g, high_g=w.high_g, basis=basis)
        estimate = self.joined.in_grams
        return replace(
            whole, low_g=estimate.low, likely_g=estimate.likely, high_g=estimate.high, basis=estimate.text,
            count_on_g=estimate.count_on, trials_own=estimate.n_own, trials_others=estimate.n_others,
        )  # fmt: skip

    @cached_property
    def joined(self) -> JoinedEstimate | None:
        """The model joined with the trials; None where there are no trials, or the model holds nothing."""
        if not self.trials or self.brim is None or self.working is None or not self.working.likely_g > 0.0:
            return None
        from folder.practice.estimate import join

        return join(self.trials, self.pattern, self.brim.load_g, self.hand, self._held_by, self.pupil)

    def _held_by(self, hand: str) -> Sequence[float]:
        """What simulated builds by a hand hold, g."""
        made = self if hand == self.hand else replace(self, hand=hand, trials=())
        return () if made.working is None else made.working.held_g

    @cached_property
    def joined_load(self) -> Working | None:
        """The working load as it is told: the model's, with what trials taught."""
        if self.working is None or self.joined is None:
            return self.working
        estimate = self.joined.in_grams
        return replace(self.working, low_g=estimate.low, likely_g=estimate.likely, high_g=estimate.high)

    @cached_property
    def bows(self) -> tuple[WallDeflection, ...]:
        """How far each wall may bow in under the water's push: an estimate."""
        from folder.water.wall_deflection import wall_deflection, wall_spans

        if self.working is None or self.hull is None:
            return ()
        return tuple(wall_deflection(wall, self.pattern.sheet.thickness_um, self.water) for wall in wall_spans(self.hull.skin))

    def _priced(self, finding: Finding) -> Finding:
        """A finding about the edge line with what it costs in load."""
        sealed = None if self.hull is None else sealed_mm3(self.hull, finding)
        if self.hull is None or self.brim is None or sealed is None:
            return finding
        lost = self.water.density_g_per_mm3 * sealed - self.hull.weight.mass_g - self.brim.load_g
        if lost < 0.5:
            return finding
        cause = "The cuts cost" if finding.code == "cut-drawn" else "It costs"
        return replace(finding, detail=f"{finding.detail} {cause} {lost:.0f} g of load.")


def study(
    pattern: Pattern,
    *,
    temp_c: float = 20.0,
    trials: Sequence[Trial] = (),
    hand: str = "usual",
    rules: Rules | None = None,
    pupil: str = "",
) -> Study:
    """The study of a pattern in fresh water of a temperature, folded by a hand or a pupil, with what `trials` taught, under rules.

    BadRequest when the water is not liquid, or the hand is none of careful, usual and hurried.
    """
    if hand != "usual":
        from folder.water.build_variation import variation_named

        hand = variation_named(hand).name
    return Study(pattern, Water.of(temp_c), tuple(trials), hand, rules, pupil)
