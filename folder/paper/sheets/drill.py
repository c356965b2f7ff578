"""The drill sheet: divisions with room to write, and the answers with their working on pages of their own."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from folder.cargo.division.arithmetic import ROUND
from folder.cargo.division.drill import Problem
from folder.cargo.division.tables import plain
from folder.draw.picture import PUPIL_MM, SMALL_MM, Box, Label, Line, Mark, Picture
from folder.draw.sheet.mark import BADGE_MM, step_badge
from folder.draw.style import FOIL, GUIDE
from folder.draw.text import width_mm, wrapped
from folder.errors import BadRequest
from folder.paper.pages import GAP_MM, LEADING_MM, Page, PaperName
from folder.paper.sheets.blank import blank

TITLE = "How many will it hold? Guess first!"
PER_PAGE = 10
"""As many as leave room for two lines of question and one to answer on."""
READ_MM = 4.4
"""Text size of a problem: the youngest read it."""
READ_LEADING_MM = 5.5
NEAREST = "Nearest table fact: "
SHORTER = ((", which is ", ": "), (": then ", ": "), (" is left over", " left"), (", and ", ", "))
"""What the working does without where that keeps it on one line: the sums say it."""
NUMBER_MM = BADGE_MM + GAP_MM
NAMES_MM = 12.0
COLUMNS = 2


def drill_pages(problems: Sequence[Problem], grade: int, seed: int, paper: PaperName = "a4") -> tuple[Page, ...]:
    """The pages with the problems, then those with the answers. Grade and seed are printed, to make the sheet again."""
    if not problems:
        raise BadRequest("there is no problem to print", where="drill")
    again = f"folder drill --grade {grade} --count {len(problems)} --seed {seed}"
    blocks = [problems[k : k + PER_PAGE] for k in range(0, len(problems), PER_PAGE)]
    pages = []
    for k, block in enumerate(blocks):
        page = Page(TITLE, _kind("Drill", grade, k, len(blocks)), paper)
        pages.append(page.showing(_problems(page.body, block, k * PER_PAGE, len(problems), again)))
    return (*pages, *_answers(problems, grade, paper, again))


def _kind(what: str, grade: int, number: int, of: int) -> str:
    return f"{what}, grade {grade}" + (f", {number + 1} of {of}" if of > 1 else "")


def _problems(body: Box, block: Sequence[Problem], before: int, count: int, again: str) -> Picture:
    y = body.top - NAMES_MM / 2
    third = (body.width - 2 * GAP_MM) / 3
    marks: list[Mark] = [
        *blank("Name", body.left, y, body.left + 1.4 * third),
        *blank("Date", body.left + 1.4 * third + GAP_MM, y, body.left + 2.1 * third + GAP_MM),
        *blank("Right", body.left + 2.1 * third + 2 * GAP_MM, y, body.right - width_mm(f"of {count}", PUPIL_MM) - 1.5),
        Label(f"of {count}", (body.right, y), anchor="end"),
        _again(again, body),
    ]
    high = (body.height - NAMES_MM - LEADING_MM) / PER_PAGE
    for k, problem in enumerate(block):
        top = body.top - NAMES_MM - k * high
        marks += _problem(before + k + 1, problem, Box(body.left, top - high, body.right, top))
    return Picture(tuple(marks), body)


def _problem(number: int, problem: Problem, box: Box) -> Iterator[Mark]:
    box = box._replace(top=box.top - 1.0)
    yield from step_badge(number, (box.left + BADGE_MM / 2, box.top - BADGE_MM / 2))
    left = box.left + NUMBER_MM + (2.0 if number > 99 else 0.0)
    for k, line in enumerate(wrapped(problem.question, READ_MM, box.right - left)):
        yield Label(line, (left, box.top - 4.4 - k * READ_LEADING_MM), READ_MM)
    answer = box.right - 46.0
    yield from _guess(left, answer - 2 * GAP_MM, box.bottom + 3.2)
    yield from blank("Answer", answer, box.bottom + 3.2, box.right)
    yield Line(((box.left, box.bottom + 1.0), (box.right, box.bottom + 1.0)), "thin", colour=FOIL)


def _guess(left: float, right: float, y: float) -> Iterator[Mark]:
    """The guess comes first: between which two numbers, and which of the two is nearer."""
    words = ("My guess: from", "to", "nearer to")
    room = (right - left - sum(width_mm(word, PUPIL_MM) + 1.5 for word in words)) / len(words) - GAP_MM
    for word in words:
        end = left + width_mm(word, PUPIL_MM) + 1.5 + room
        yield from blank(word, left, y, end)
        left = end + GAP_MM


def _again(again: str, body: Box) -> Label:
    """How to make the sheet again, small: it is not for the pupil."""
    return Label(f"The same sheet again: {again}", (body.left, body.bottom), SMALL_MM, colour=GUIDE)


def _answers(problems: Sequence[Problem], grade: int, paper: PaperName, again: str) -> Iterator[Page]:
    """The answers, each with the way that is least work, column by column."""
    body = Page(TITLE, "Answers", paper).body
    wide = (body.width - 2 * GAP_MM) / COLUMNS
    room = body.height - 2 * LEADING_MM
    columns: list[list[tuple[int, list[str]]]] = [[]]
    used = 0.0
    for number, problem in enumerate(problems, 1):
        lines = [line for sentence in _working(problem, wide) for line in _broken(sentence, wide)]
        high = (len(lines) - 1) * LEADING_MM + GAP_MM
        if used + high > room and columns[-1]:
            columns.append([])
            used = 0.0
        columns[-1].append((number, lines))
        used += high
    count = math.ceil(len(columns) / COLUMNS)
    for k in range(count):
        marks: list[Mark] = [_again(again, body)]
        for c, column in enumerate(columns[k * COLUMNS : (k + 1) * COLUMNS]):
            marks += _column(column, body.left + c * (wide + 2 * GAP_MM), body.top)
        yield Page(TITLE, _kind("Answers", grade, k, count), paper).showing(Picture(tuple(marks), body))


def _working(problem: Problem, room_mm: float) -> Iterator[str]:
    """The answer, then the guess that comes first, then the way that is least work."""
    working = problem.working
    yield f"{problem.answer}"
    yield f"{plain(problem.held_g)} g to carry, {plain(problem.each_g)} g each."
    guess = next(step.lines[-1] for step in working.steps if step.way == ROUND)
    yield guess.replace("So it is", "Guess:")
    # The last line says the answer once more, which stands above in bold.
    lines = next(step.lines for step in working.steps if step.way == working.suggestion)[:-1]
    long = any(line.startswith(NEAREST) and width_mm(line, PUPIL_MM) > room_mm for line in lines)
    yield from (line.removeprefix(NEAREST) for line in lines) if long else lines


def _broken(line: str, room_mm: float) -> Iterator[str]:
    """A line of working in the room it has: said shorter, or broken between its two sums rather than within one."""
    shorter = line
    for words, instead in SHORTER:
        if width_mm(shorter, PUPIL_MM) > room_mm:
            shorter = shorter.replace(words, instead)
    if width_mm(shorter, PUPIL_MM) <= room_mm:
        line = shorter
    for end, begin in ((":", "guess with "), (",", "about "), (", and", ""), (",", "and ")):
        first, joint, second = line.partition(f"{end} {begin}")
        if joint and width_mm(line, PUPIL_MM) > room_mm >= width_mm(f"{first}{end}", PUPIL_MM):
            yield f"{first}{end}"
            line = f"{begin}{second}"
    yield from wrapped(line, PUPIL_MM, room_mm)


def _column(column: Sequence[tuple[int, list[str]]], left: float, top: float) -> Iterator[Mark]:
    y = top
    for number, lines in column:
        yield from step_badge(number, (left + BADGE_MM / 2, y - BADGE_MM / 2))
        x = left + NUMBER_MM + (2.0 if number > 99 else 0.0)
        answer, beside, guess, *rest = lines
        y -= LEADING_MM
        yield Label(answer, (x, y), weight="bold")
        # What was asked stands beside the answer, so that more fit a page.
        yield Label(beside, (x + width_mm(answer, PUPIL_MM, "bold") + 3.0, y))
        y -= LEADING_MM
        yield Label(guess, (x, y))
        for line in rest:  # under the number, so that a sum seldom breaks
            y -= LEADING_MM
            yield Label(line, (left, y))
        y -= GAP_MM
