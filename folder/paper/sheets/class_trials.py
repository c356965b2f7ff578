"""A class's trials as a page, for the lesson after the day: box-and-whisker plots of the attempts, guesses against counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from folder.cargo.item_list import find_item
from folder.draw.picture import PUPIL_MM, Box, Label, Mark, Picture, overlaid
from folder.draw.statistics import AXIS_MM, ROW_MM, box_plots, guesses_and_counts
from folder.draw.text import clean, shortened, wrapped
from folder.errors import BadRequest
from folder.paper.pages import GAP_MM, LEADING_MM, Page, PaperName
from folder.practice.attempts import FiveNumbers, attempts, five_numbers, is_one_object
from folder.practice.trial import Trial, grams

ATTEMPTS = {1: "first attempt", 2: "second attempt"}
RULE = (
    "How to read it: the box goes from the lower to the upper quartile, the thick stroke is the middle number, the whiskers reach to the"
    " least and the most. Each quartile is the middle of its half; the middle number itself belongs to neither half (the school"
    " textbook's rule, after Moore and McCabe)."
)
DIAGONAL = "A dot is a trial, a larger one several. On the dotted line the guess was right; above it the hull held more than was guessed."
NO_GUESS = "Nobody's guess was noted."
HEADS = ("", "trials", "least", "lower", "middle", "upper", "most")
HEAD_MM = (44.0, 20.0, 22.0, 22.0, 24.0, 22.0, 22.0)
LONGEST_PLOT_MM = 120.0


def class_trials_page(trials: Sequence[Trial], paper: PaperName = "a4", title: str = "Our trials") -> Page:
    """The page. In objects where all were loaded with one, else in grams. BadRequest without a trial."""
    if not trials:
        raise BadRequest("there are no trials to draw", where="trials", remedy="Note some first")
    one = is_one_object(trials)
    page = Page(clean(title), "Trials of a class", paper)
    body, unit = page.body, "" if one else "g"
    rows = list(_rows(trials, one))
    y = body.top
    marks: list[Mark] = []
    thing = clean(_called(trials[0].item))
    for line in wrapped(f"Held, in {'objects: ' + thing if one else 'grams'}. {RULE}", PUPIL_MM, body.width):
        y -= LEADING_MM
        marks.append(Label(line, (body.left, y)))
    y -= GAP_MM
    plots = Box(body.left, y - len(rows) * ROW_MM - AXIS_MM, body.right, y)
    parts = [box_plots([(name, five) for name, _, five in rows], plots, unit)]
    y = plots.bottom - LEADING_MM - GAP_MM
    marks += _line(HEADS, body.left, y, bold=True)
    for name, count, five in rows:
        y -= LEADING_MM
        marks += _line((name, str(count), *(_number(value, one) for value in five)), body.left, y)
    y -= 2 * GAP_MM
    pairs = [(trial.guess, trial.count) for trial in trials if trial.guess is not None]
    for line in wrapped(DIAGONAL if pairs else NO_GUESS, PUPIL_MM, body.width):
        y -= LEADING_MM
        marks.append(Label(line, (body.left, y)))
    if pairs:
        side = min(y - GAP_MM - body.bottom, LONGEST_PLOT_MM)
        middle = body.middle[0]
        parts.append(guesses_and_counts(pairs, Box(middle - side / 2, y - GAP_MM - side, middle + side / 2, y - GAP_MM)))
    return page.showing(overlaid([*parts, Picture(tuple(marks), body)]))


def _called(item: str) -> str:
    """What an object is called, where the list has it."""
    try:
        return find_item(item).label
    except BadRequest:
        return item


def _rows(trials: Sequence[Trial], one: bool) -> Iterator[tuple[str, int, FiveNumbers]]:
    """What is plotted: the first and second attempts of those with a name, or all where nobody has one."""
    by_attempt = attempts(trials)
    named = [(words, by_attempt[k]) for k, words in ATTEMPTS.items() if k in by_attempt]
    for words, found in named or [("all trials", list(trials))]:
        five = five_numbers([float(trial.count) if one else trial.held_g for trial in found])
        if five is not None:
            yield words, len(found), five


def _line(cells: Sequence[str], left: float, y: float, *, bold: bool = False) -> Iterator[Mark]:
    x = left
    for k, (cell, width) in enumerate(zip(cells, HEAD_MM, strict=True)):
        text = shortened(cell, PUPIL_MM, width - 2.0)
        if text:
            place, anchor = ((x, y), "start") if k == 0 else ((x + width - 2.0, y), "end")
            yield Label(
                text, place, anchor="start" if anchor == "start" else "end", weight="bold" if bold or k == 0 else "regular"
            )
        x += width


def _number(value: float, one: bool) -> str:
    return f"{value:g}" if one else grams(round(value, 1))
