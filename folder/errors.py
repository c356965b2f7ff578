"""What can go wrong that is not a finding.

A wrong pattern is not an exception: it is a Report of Findings. What remains:

    FolderError            anything the user can do something about; one line, no traceback
    +-- UnreadableFile     a file that cannot be read or does not hold what it should
    +-- UnwritableFile     a file or directory that cannot be written; what stood there is unharmed
    +-- BadRequest         a number, name or choice outside what is possible
"""

from __future__ import annotations

from collections.abc import Iterable

LONGEST = 300
"""Letters of what is wrong and where: more than any path that a person types."""
LONGEST_FOUND = 120
"""Letters of a value that was found: enough to know it again."""
LONGEST_REMEDY = 1000
"""Letters of a remedy: it may list all names there are."""


def one_line(text: str, most: int) -> str:
    """Words from outside on one line: nothing in them that a terminal would obey, the middle of what is too long left out."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    half = (most - 5) // 2
    return plain if len(plain) <= most else f"{plain[:half]} ... {plain[-half:]}"


def nearest(word: str, known: Iterable[str], *, among: str = "There are") -> str:
    """A remedy for a name that is not known: the nearest right one, if any is near, and all that there are."""
    import difflib  # only wanted when a name was not found

    names = list(known)
    wanted = word.lower().replace("_", "-").strip("- ")
    plain = {name.lower().replace("_", "-").strip("- "): name for name in names}
    near = difflib.get_close_matches(wanted, plain, n=1, cutoff=0.6)
    near = near or [name for name in plain if len(wanted) > 2 and (name.startswith(wanted) or wanted.startswith(name))][:1]
    asked = f"Did you mean '{plain[near[0]]}'? " if near else ""
    return f"{asked}{among}: {', '.join(names)}"


class FolderError(Exception):
    """Base of every error meant for people.

    `what` is wrong, `where` (file, place in it, option), what was `found` there, and the `remedy`.
    `str()` puts them on one line. What comes from outside is cleaned here, once for all errors.
    """

    def __init__(self, what: str, *, where: str = "", found: str = "", remedy: str = "") -> None:
        self.what, self.where = one_line(what, LONGEST), one_line(where, LONGEST)
        self.found, self.remedy = one_line(found, LONGEST_FOUND), one_line(remedy, LONGEST_REMEDY)
        what, where, found, remedy = self.what, self.where, self.found, self.remedy
        line = f"{where}: {what}" if where else what
        if found:
            line += f" (found {found})"
        if remedy:
            line += f". {remedy}"
        super().__init__(line)


class UnreadableFile(FolderError):
    """A file that cannot be read, or does not hold what it should."""


class UnwritableFile(FolderError):
    """A file or directory that cannot be written. What stood there before is unharmed."""


class BadRequest(FolderError):
    """A number, name or choice outside what is possible."""
