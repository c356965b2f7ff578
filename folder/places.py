"""Where things lie on disk: ready patterns and assets (checkout or installed), and the user's own directory."""

from __future__ import annotations

import errno
import os
import re
import time
import unicodedata
from contextlib import suppress
from pathlib import Path

from folder.errors import UnreadableFile, UnwritableFile

_HERE = Path(__file__).resolve().parent
_ROOT = _HERE if (_HERE / "patterns").is_dir() else _HERE.parent

PATTERNS = _ROOT / "patterns"
"""The ready pattern files."""

ASSETS = _ROOT / "assets"
"""Fonts, the object list, the icon."""

_PLAIN = str.maketrans({"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th"})
"""Letters that are no plain letter with an accent."""


def user_data() -> Path:
    """The directory that holds the trial log and kept work. `FOLDER_DATA` overrides it. Not created here.

    Where each system keeps a program's data, as platformdirs knows it; loaded here, for it takes time.
    """
    override = os.environ.get("FOLDER_DATA")
    if override:
        return Path(override)
    from platformdirs import user_data_dir

    return Path(user_data_dir("folder", appauthor=False))


def read_whole(path: Path, most_bytes: int, what: str) -> bytes:
    """The bytes of a file of at most so many. `what` names it in the UnreadableFile that is raised otherwise."""
    try:
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except OSError as error:
        raise UnreadableFile(f"cannot read {what}", where=str(path), found=error.strerror or "") from error
    if len(data) > most_bytes:
        remedy = f"Keep it under {most_bytes // 1_000_000} MB"
        raise UnreadableFile(f"{what} is too large", where=str(path), remedy=remedy)
    return data


HALF_WRITTEN = ".folder-part"
"""How the name of a file ends while it is written: no other program's files end so."""

WRITTEN_S = 60.0
"""A file is written within so long."""
BOOK_WRITTEN_S = 3600.0
"""A directory in which the pages of a class are made, within so long."""


def write_whole(path: Path, data: bytes) -> None:
    """Put `data` in a file in one step: a temporary file beside it, flushed, then renamed over it.

    Raises UnwritableFile; whatever stood there before is unharmed then, and nothing half written is left. What a program that
    was killed while it wrote has left in this directory is taken away.
    """
    import tempfile  # only wanted where something is written

    refuse_unwritable(path)
    target = Path(os.path.realpath(path))  # a link to a file stays one
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name[:40]}.", suffix=HALF_WRITTEN, dir=target.parent)
    except OSError as error:
        raise _unwritable(path, error) from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        # mkstemp makes files for the owner alone; a pattern is meant to be shared.
        os.chmod(temporary, 0o644)
        os.replace(temporary, target)
    except BaseException as error:
        Path(temporary).unlink(missing_ok=True)
        if isinstance(error, OSError):
            raise _unwritable(path, error) from error
        raise
    drop_half_written(target.parent)


def refuse_unwritable(path: str | os.PathLike[str]) -> None:
    """Raise UnwritableFile where it is plain that no file can be put: in no directory, or in the place of what is none."""
    target = Path(path)
    wrong = 0
    if not os.path.isdir(target.parent):
        wrong = errno.ENOTDIR if os.path.exists(target.parent) else errno.ENOENT
    elif os.path.isdir(target):
        wrong = errno.EISDIR
    elif os.path.exists(target) and not os.path.isfile(target):
        raise _unwritable(target, OSError("no file but a device or a pipe"))
    if wrong:
        raise _unwritable(target, OSError(wrong, os.strerror(wrong)))


def drop_half_written(directory: Path) -> None:
    """Take away half-written files, and directories of them, that nobody can be writing any more."""
    now = time.time()
    with suppress(OSError), os.scandir(directory) as entries:
        for entry in entries:
            if entry.name.endswith(HALF_WRITTEN):
                with suppress(OSError):
                    is_book = entry.is_dir(follow_symlinks=False)
                    # A clock that was set back makes files of the future.
                    if abs(now - entry.stat().st_mtime) > (BOOK_WRITTEN_S if is_book else WRITTEN_S):
                        _drop_book(entry.path) if is_book else os.unlink(entry.path)


def _drop_book(path: str) -> None:
    import shutil  # only wanted where something was left

    shutil.rmtree(path, ignore_errors=True)


def _unwritable(path: Path, error: OSError) -> UnwritableFile:
    remedy = "Choose another place, or make room there; what stood there before is unharmed"
    return UnwritableFile("the file cannot be written", where=str(path), found=error.strerror or str(error), remedy=remedy)


def slug(name: str) -> str:
    """A name as part of a file name: plain letters without their accents, digits and hyphens, short."""
    plain = unicodedata.normalize("NFKD", name.lower().translate(_PLAIN))
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    return re.sub(r"[^a-z0-9]+", "-", kept).strip("-")[:60] or "pattern"
