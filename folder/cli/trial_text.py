"""What is told of trials, as text for people."""

from __future__ import annotations

from folder.practice.trial import Trial, grams


def trial_line(t: Trial) -> str:
    """A trial in a line: when, which hull, how many of what, what was said beforehand, by whom."""
    guess = f", guessed {t.guess}" if t.guess is not None else ""
    who = f", {t.pupil}" if t.pupil else ""
    return f"{t.date}  {t.pattern}: {t.count} × {t.item} of {t.mass_each_g:g} g = {grams(t.held_g)} g{guess}{who}"
