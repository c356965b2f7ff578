"""Trials from a spreadsheet's table and to one: where it lies, what it would bring, and what is asked about before it is taken in."""

from __future__ import annotations

import os
from pathlib import Path

from msgspec import Struct

from folder.window import theme
from folder.window.editor import Editor
from folder.window.print.printing import directory_of
from folder.window.trials.commands import leave_out, read_table, take_in, write_table
from folder.window.trials.state import ImportPlan
from folder.window.widgets import Column, Pane, Ui, button, button_w, draft, label, notice, table, text_field

ENDINGS = (".csv", ".tsv", ".txt")
MOST_SHOWN = 200


class _Carrying(Struct):
    """Where it goes to or comes from, what tables lie there, and what went wrong."""

    path: str
    files: list[Path] = []
    picked: int | None = None
    problem: str = ""
    over: str = ""
    """The file that would be written over, when that has been asked."""


def carry_page(ui: Ui, pane: Pane, foot: Pane, editor: Editor, way: str) -> bool:
    """The page; whether it is done with."""
    carrying = ui.memory(f"trials/carry/{way}", lambda: _begin(editor, way))
    taking = editor.state.trials.taking
    if taking is not None and way == "import":
        return _taking(ui, pane, foot, editor, taking)
    words = "Read trials from this table (CSV):" if way == "import" else "Write all trials as a table (CSV):"
    pane = pane.cut_top(label(ui, pane, words), 6)[1]
    row, pane = pane.cut_top(theme.PRESS_H, 8)
    carrying.path = text_field(ui, "carry/path", row, carrying.path, longest=400, tip="The file, with its directory")
    if carrying.problem:
        pane = pane.cut_top(notice(ui, pane, carrying.problem, "warn" if carrying.over else "stop"), 8)[1]
    rows = [[file.name, f"{file.parent}"] for file in carrying.files]
    pick = table(
        ui, "carry/files", pane, [Column("Table", 1.2), Column("", 1)], rows, carrying.picked, empty="There is no table here."
    )
    if pick.at is not None and pick.at != carrying.picked:
        carrying.path, carrying.picked, carrying.over = f"{carrying.files[pick.at]}", pick.at, ""
        ui.redraw()
    back, go = foot.cut_right(min(foot.w, 330.0))[0].columns([1, 1.4], 10)
    text = "Read it" if way == "import" else "Write over it" if carrying.over else "Write it"
    icon = "open" if way == "import" else "save"
    if button(ui, "carry/go", go, text, icon=icon, rank="main", enabled=editor.state.trials.waiting is None) or pick.opened:
        path = Path(draft(ui, "carry/path", carrying.path).strip()).expanduser()
        if way == "import":
            read_table(editor, path)
        elif _written(editor, carrying, path):
            return True
        ui.redraw()
    return button(ui, "carry/back", back, "Cancel")


def _begin(editor: Editor, way: str) -> _Carrying:
    directory = directory_of(editor)
    found: list[Path] = []
    for place in dict.fromkeys((directory, Path.home())):
        try:
            found += sorted(p for p in place.iterdir() if p.suffix.lower() in ENDINGS and not p.name.startswith("."))
        except OSError:
            continue
    path = directory / "trials.csv"
    first = f"{found[0]}" if way == "import" and found else f"{path}"
    return _Carrying(first, found[:MOST_SHOWN])


def _written(editor: Editor, carrying: _Carrying, path: Path) -> bool:
    """Write the table; what is there is written over only after that has been said."""
    if os.path.exists(path) and carrying.over != f"{path}":
        carrying.over = f"{path}"
        carrying.problem = f"There is a file “{path.name}” already. Write over it, or choose another name."
        return False
    carrying.problem, carrying.over = write_table(editor, path), ""
    return not carrying.problem


def _taking(ui: Ui, pane: Pane, foot: Pane, editor: Editor, taking: ImportPlan) -> bool:
    """What the table would bring; whether it is done with."""
    fresh = len(taking.fresh)
    text = f"{fresh} new {'trial' if fresh == 1 else 'trials'} in “{taking.path.name}”."
    if taking.before:
        text += f" {taking.before} {'is' if taking.before == 1 else 'are'} in the log already and left out."
    if taking.passed_over:
        text += f" Columns passed over: {', '.join(taking.passed_over)}."
    pane = pane.cut_top(label(ui, pane, text, bold=True), 10)[1]
    if taking.doubts:
        more = f" And {len(taking.doubts) - 3} more like this." if len(taking.doubts) > 3 else ""
        said = " ".join(f"{one[0].upper()}{one[1:]}." for one in taking.doubts[:3])
        pane = pane.cut_top(notice(ui, pane, "Can this be?", "warn", said + more), 10)[1]
    words = "Take them in all the same" if taking.doubts else "Take them in"
    go, rest = foot.cut_right(button_w(ui, words, "tick", bold=True) + 10, 10)
    back = rest.cut_right(110)[0]
    waiting = editor.state.trials.waiting is not None
    rank = "danger" if taking.doubts else "main"
    if button(
        ui,
        "carry/take",
        go,
        words,
        icon="tick",
        rank="danger" if rank == "danger" else "main",
        enabled=bool(fresh) and not waiting,
    ):
        take_in(editor)
        return True
    if button(ui, "carry/leave", back, "Cancel"):
        leave_out(editor)
        return True
    return False
