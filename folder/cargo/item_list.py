"""The list of objects: those shipped with the program, and the user's own.

The shipped list is `assets/objects.json`; the user's own is `objects.json` among their data and wins where names meet.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

import msgspec
from msgspec import Struct
from msgspec.structs import asdict

from folder import places
from folder.cargo.item import Item, either, hyphened
from folder.errors import BadRequest, UnreadableFile, UnwritableFile

FORMAT, VERSION = "foil-objects", 1
FILE_LIMIT_BYTES = 4_000_000


def items() -> tuple[Item, ...]:
    """All objects: the shipped ones in their order, then the user's own; the user's wins where the names are equal.

    The shipped alone where the user's own list cannot be read: `own_fault` says why.
    """
    try:
        own = own_items()
    except UnreadableFile:
        own = ()
    return tuple({item.name: item for item in (*_shipped(), *own)}.values())


def own_fault() -> str:
    """What is wrong with the user's own list of objects, in a line; "" when nothing is."""
    try:
        own_items()
    except UnreadableFile as error:
        return f"{error}. Going on with the shipped objects."
    return ""


def find_item(name: str) -> Item:
    """The object of this name or label, however it is spaced or capitalised. BadRequest names the nearest ones."""
    by_name = {item.name: item for item in items()}
    wanted = hyphened(name)
    if wanted in by_name:
        return by_name[wanted]
    for item in by_name.values():
        if _is_called(item, name):
            return item
    import difflib  # only wanted when a name was not found

    near = [n for n in by_name if wanted and (wanted in n or n in wanted)]
    near += [n for n in difflib.get_close_matches(wanted, by_name, n=5, cutoff=0.5) if n not in near]
    examples = f"There are {len(by_name)}, such as {either(list(by_name)[:3])}"
    hint = f"Did you mean {either(near[:5])}?" if near else examples
    raise BadRequest("there is no object of that name", where="object", found=repr(name), remedy=hint)


def add_item(item: Item) -> Path:
    """Keep an object among the user's own, in place of one of the same name. Returns the file, replaced in one step."""
    return _keep({old.name: old for old in own_items()} | {item.name: item})


def remove_item(name: str) -> Item:
    """Take an object out of the user's own; what is shipped stays. BadRequest where there is none of that name or label."""
    wanted, own = hyphened(name), {item.name: item for item in own_items()}
    gone = own.get(wanted) or next((item for item in own.values() if _is_called(item, name)), None)
    if gone is None:
        shipped = any(wanted == item.name for item in _shipped())
        what = "this object came with the program and stays" if shipped else "you have no object of that name"
        remedy = f"Yours are {either(own)}" if own else "You have none of your own yet"
        raise BadRequest(what, where="object", found=repr(name), remedy=remedy)
    _keep({each: item for each, item in own.items() if each != gone.name})
    return gone


def _keep(kept: Mapping[str, Item]) -> Path:
    path = own_file()
    document = {"format": FORMAT, "version": VERSION, "objects": [asdict(each) for each in kept.values()]}
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        found = error.strerror or ""
        raise UnwritableFile("cannot make the directory", where=str(path.parent), found=found) from error
    places.write_whole(path, msgspec.json.format(msgspec.json.encode(document), indent=1) + b"\n")
    return path


def own_file() -> Path:
    """Where the user's own objects are kept."""
    return places.user_data() / "objects.json"


class _Document(Struct, forbid_unknown_fields=True):
    format: Literal["foil-objects"]
    version: Literal[1]
    objects: list[msgspec.Raw]


def read_items(path: Path) -> tuple[Item, ...]:
    """The objects of a list file, checked; UnreadableFile says which object is wrong and why."""
    data = places.read_whole(path, FILE_LIMIT_BYTES, "the object list")
    found: dict[str, Item] = {}
    where = str(path)
    try:
        for number, record in enumerate(msgspec.json.decode(data, type=_Document).objects, start=1):
            where = f"{path}, object {number}"
            item = msgspec.json.decode(record, type=Item)
            if item.name in found:
                raise UnreadableFile("two objects have one name", where=str(path), found=item.name, remedy="Rename one")
            found[item.name] = item
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise UnreadableFile(
            "this is not an object list",
            where=where,
            found=str(error),
            remedy="Mend that place, or move the file away to go on with the shipped objects",
        ) from error
    except BadRequest as error:
        where = f"{path}, {error.where} ({number} in the list)"
        raise UnreadableFile(error.what, where=where, found=error.found, remedy=error.remedy) from error
    return tuple(found.values())


@cache
def _shipped() -> tuple[Item, ...]:
    return read_items(places.ASSETS / "objects.json")


def own_items() -> tuple[Item, ...]:
    """The user's own objects; UnreadableFile where their list cannot be read."""
    path = own_file()
    try:
        found = os.stat(path)
    except OSError:
        return () if not os.path.exists(path) else read_items(path)
    return _own_of(path, (found.st_mtime_ns, found.st_size, found.st_ino))


@lru_cache(maxsize=1)
def _own_of(path: Path, _stamp: tuple[int, int, int]) -> tuple[Item, ...]:
    """The list as it was when the file looked so: pages of the window ask for it with every frame."""
    return read_items(path)


def _is_called(item: Item, name: str) -> bool:
    """Whether this is an object's label, however it is spaced or capitalised."""
    return hyphened(item.label) == hyphened(name) != "" or item.label.casefold() == name.strip().casefold()
