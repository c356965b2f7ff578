"""Facts about names and rooms: one public name stands for one thing, files and directories stay small, contracts list what is there."""

from __future__ import annotations

import ast
import tomllib
from collections import Counter, defaultdict
from pathlib import Path

import folder
from tests.__main__ import ROOT

PACKAGE = Path(folder.__file__).resolve().parent
MODULES = sorted(PACKAGE.rglob("*.py"))
VERBS = PACKAGE / "cli" / "verbs"
VERB_PROTOCOL = {"run"}
"""Every verb of the command line has an entry point `run(arguments)`: one protocol, implemented once a verb."""
MOST_MODULES = 13
"""Some twelve: a directory past this many modules gets rooms."""


def public_names(module: Path) -> set[str]:
    """The public classes and functions a module defines itself."""
    body = ast.parse(module.read_text(encoding="utf-8")).body
    defined = (ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    names = {node.name for node in body if isinstance(node, defined) and not node.name.startswith("_")}
    return names - VERB_PROTOCOL if module.parent == VERBS else names


def test_a_public_name_stands_for_one_thing_in_the_whole_package() -> None:
    places = defaultdict(list)
    for module in MODULES:
        for name in public_names(module):
            places[name].append(str(module.relative_to(PACKAGE)))
    assert {} == {name: found for name, found in places.items() if len(found) > 1}


def test_a_directory_holds_some_twelve_modules() -> None:
    """Widgets are one module a widget, and verbs one module a verb."""
    many_alike = {PACKAGE / "window" / "widgets", VERBS}
    rooms = Counter(m.parent for m in MODULES if m.name != "__init__.py" and m.parent not in many_alike)
    assert {} == {str(room.relative_to(PACKAGE)): n for room, n in rooms.items() if n > MOST_MODULES}


def test_the_contracts_on_pygame_name_all_that_must_do_without_it() -> None:
    """A package added later is under the contract too; in the window, all that decides and nothing that draws."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]["contracts"]
    outside, inside = (set(c["source_modules"]) for c in contracts if c.get("forbidden_modules") == ["pygame"])
    packages = {f"folder.{p.stem}" for p in PACKAGE.iterdir() if p.suffix == ".py" or (p / "__init__.py").exists()}
    assert packages - {"folder.window", "folder.__init__", "folder.__main__"} == outside
    assert {"folder.window.tools", "folder.window.commands", "folder.window.editor", "folder.window.background"} <= inside
