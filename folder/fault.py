"""A fault of the program itself: its details go into a file, and one line says where, for whoever mends it.

fault   an exception that nobody foresaw; what the user did wrong is a FolderError instead
"""

from __future__ import annotations

import os
import sys
from datetime import datetime
from pathlib import Path

from folder.places import user_data

KEPT = 20
"""Fault files kept in the user's directory: the newest; a window that stumbles must not fill the disk."""


def report_fault(error: BaseException, doing: str) -> str:
    """Write the details of a fault to a file. One sentence: what happened, and where the details lie.

    `doing` names what was asked for. Never raises: where no file can be written, the sentence says so.
    """
    import tempfile  # none of these is wanted while all goes well
    import traceback

    kind = type(error).__name__
    details = "".join(traceback.format_exception(error))
    text = f"{datetime.now().isoformat(timespec='seconds')}\n{doing}\nPython {sys.version}\n{sys.platform}\n\n{details}"
    for directory in (_own, tempfile.gettempdir):
        try:
            path = _write(Path(directory()), text)
        except (OSError, RuntimeError, ValueError):
            continue
        return f"this is a fault of the program, not of what you did ({kind}). The details lie in {path}"
    return f"this is a fault of the program, not of what you did ({kind}). No file could be written for the details"


def _own() -> str:
    return str(user_data() / "faults")


def _write(directory: Path, text: str) -> Path:
    directory.mkdir(parents=True, exist_ok=True)
    stamp = datetime.now().strftime("%Y%m%d-%H%M%S-%f")
    path = directory / f"folder-fault-{stamp}-{os.getpid()}.txt"
    path.write_text(text, encoding="utf-8", errors="backslashreplace")
    for old in sorted(directory.glob("folder-fault-*.txt"))[:-KEPT]:
        old.unlink(missing_ok=True)
    return path
