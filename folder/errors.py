"""What can go wrong that is not a finding.

A wrong pattern is not an exception: it is a Report of Findings. What remains:

    FolderError            anything the user can do something about; one line, no traceback
    +-- UnreadableFile     a file that cannot be read or does not hold what it should
    +-- UnwritableFile     a file or directory that cannot be written; what stood there is unharmed
    +-- BadRequest         a number, name or choice outside what is possible
"""

from __future__ import annotations


class FolderError(Exception):
    """Base of every error meant for people.

    `what` is wrong, `where` (file, place in it, option), what was `found` there, and the `remedy`.
    `str()` puts them on one line.
    """

    def __init__(self, what: str, *, where: str = "", found: str = "", remedy: str = "") -> None:
        self.what, self.where, self.found, self.remedy = what, where, found, remedy
        line = f"{where}: {what}" if where else what
        if found:
            line += f" (found {found})"
        if remedy:
            line += f". {remedy}"
        super().__init__(" ".join(line.split()))


class UnreadableFile(FolderError):
    """A file that cannot be read, or does not hold what it should."""


class UnwritableFile(FolderError):
    """A file or directory that cannot be written. What stood there before is unharmed."""


class BadRequest(FolderError):
    """A number, name or choice outside what is possible."""
