"""`folder draw [FILE]`, or `folder` alone: the window."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from folder.cli import VERBS, Parser


def run(argv: Sequence[str]) -> int:
    """Open the window; a file that cannot be read is said before there is one."""
    parser = Parser(prog="folder draw", description=VERBS["draw"])
    parser.add_argument("file", nargs="?", help="a pattern file, or the name of a ready pattern")
    args = parser.parse_args(argv)
    path = pattern = None
    if args.file is not None:
        from folder.pattern.file import find_pattern, read_pattern, ready_patterns

        path = find_pattern(args.file)
        pattern = read_pattern(path)
        if path in ready_patterns().values() and not os.path.exists(args.file):
            path = None  # a ready pattern is a model: it opens as new work, so that saving asks where
    from folder.window.opening import open_window

    surface = open_window()
    from folder.window.app import run_window as work  # the heavy part, loaded while the first frame stands

    if work(surface, path, pattern):
        _end()
    return 0


def _end() -> None:
    """End the process although a study is still at work: nobody waits for it, and in an interpreter that ends it could fall over."""
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            stream.flush()
    os._exit(0)
