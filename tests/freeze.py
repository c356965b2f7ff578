"""One directory that runs by a double click, without Python: made by PyInstaller (`pip install ".[freeze]"`).

`python -m tests freeze DIR` makes DIR/folder with the program `folder` in it: without words it opens the window, with words it is the
command line. Tried on Linux. On Windows and Mac the same command has not been tried; there a system makes directories for itself alone.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
START = """import sys
from multiprocessing import freeze_support
if __name__ == "__main__":
    freeze_support()  # the second process starts here too
    from folder.cli import main
    sys.exit(main())
"""


def freeze(directory: Path) -> int:
    """Build the directory; the exit code."""
    with tempfile.TemporaryDirectory() as work:
        start = Path(work) / "start.py"
        start.write_text(START, encoding="utf-8")
        data = [f"--add-data={ROOT / name}{os.pathsep}folder/{name}" for name in ("patterns", "assets")]
        places = [f"--distpath={directory.resolve()}", f"--workpath={work}", f"--specpath={work}", f"--paths={ROOT}"]
        # Verbs, families and pages are imported by their names when they are asked for.
        options = ["--noconfirm", "--log-level=ERROR", "--name=folder", "--collect-submodules=folder"]
        command = [sys.executable, "-m", "PyInstaller", *options, *data, *places, str(start)]
        return subprocess.run(command, cwd=ROOT, check=False).returncode
