"""The argument parser of every verb: what it refuses it says in one line, and places left of the middle are values."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any, NoReturn

from folder.errors import BadRequest, nearest

_HELP_WIDTH = 98
_NEGATIVE = re.compile(r"-[.,]?\d")
"""How a value begins that is a number below zero, or a place such as -7,-7; no option begins so."""
_CHOICE = re.compile(r"argument (.+?): invalid choice: (['\"])(.*)\2 \(choose from (.*)\)", re.DOTALL)
"""What the library says of a value that is none of the choices."""


class Parser(argparse.ArgumentParser):
    """An argument parser that reports a wrong call in one line, like every other error."""

    def __init__(self, **options: Any) -> None:
        # Shortened options would swallow a family's parameters: --w could be --width or --wall. Without a width the
        # formatter looks for the terminal's, with a module that takes longer to load than all of this one's work.
        super().__init__(allow_abbrev=False, formatter_class=partial(argparse.HelpFormatter, width=_HELP_WIDTH), **options)

    def parse_known_args(  # type: ignore[override]  # the library's many signatures are not needed
        self, args: Sequence[str] | None = None, namespace: Any = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """As the library does, but for values below zero: it takes a place such as -7,-7 for an option."""
        return super().parse_known_args(None if args is None else list(_joined(args)), namespace)

    def parse_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: Any = None
    ) -> argparse.Namespace:
        """As the library does; for an option that there is not, the nearest one is named."""
        given, rest = self.parse_known_args(args, namespace)
        if rest:
            self._chosen(given).refuse(rest[0])
        return given

    def _chosen(self, given: argparse.Namespace) -> Parser:
        """The parser of the word that was chosen, as of `trial edit`; this one where there are no such words."""
        for action in self._actions:
            if isinstance(action, argparse._SubParsersAction):
                chosen = action.choices.get(str(getattr(given, action.dest, "")))
                return chosen if isinstance(chosen, Parser) else self
        return self

    def refuse(self, word: str) -> NoReturn:
        """BadRequest for a word that this verb does not know."""
        where, more = self.prog.removeprefix("folder").strip(), f"{self.prog} --help tells more"
        if not word.startswith("-"):
            raise BadRequest("this is one word too many", where=where, found=word, remedy=more)
        options = [option for action in self._actions for option in action.option_strings if option != "-h"]
        remedy = nearest(word.partition("=")[0], options, among="Its options")
        raise BadRequest("no such option", where=where, found=word, remedy=f"{remedy}; {more}")

    def error(self, message: str) -> NoReturn:
        """Raise instead of printing the usage and leaving."""
        where = self.prog.removeprefix("folder").strip()
        choice = _CHOICE.fullmatch(message)
        if choice:
            names = [name.strip(" '\"") for name in choice[4].split(",")]
            raise BadRequest(f"{choice[1]} knows no such word", where=where, found=choice[3], remedy=nearest(choice[3], names))
        raise BadRequest(message, where=where, remedy=f"{self.prog} --help tells more")


def parse_numbers(text: str, option: str, count: int, example: str) -> list[float]:
    """So many numbers with commas between them, as in `--at 5,-10`."""
    try:
        values = [float(part) for part in text.split(",")]
    except ValueError:
        values = []
    if len(values) != count:
        wanted = "one number is wanted" if count == 1 else f"{count} numbers with commas are wanted"
        raise BadRequest(wanted, where=option, found=text, remedy=f"For example: {example}")
    return values


def _joined(args: Sequence[str]) -> Iterator[str]:
    """`--at -7,-7` as `--at=-7,-7`: a value below zero after an option is that option's."""
    option = ""
    for word in args:
        if option and _NEGATIVE.match(word):
            yield f"{option}={word}"
            option = ""
            continue
        if option:
            yield option
            option = ""
        if word.startswith("--") and len(word) > 2 and "=" not in word:
            option = word
        else:
            yield word
    if option:
        yield option
