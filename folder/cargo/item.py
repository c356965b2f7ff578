"""Items: the small identical objects a hull carries, shipped with the program or added by the user.

item        one kind of object: its shape, size, mass and habits
size_mm     the numbers that give a shape its size, in the order of its row in SHAPES
nest step   the height, mm, that each further cup adds to a nested stack
weigh yours the mass is None: it varies too much between makers to be printed

The shipped list is `assets/objects.json`; the user's own is `objects.json` among their data and wins where names meet.
"""

from __future__ import annotations

import os
import re
import unicodedata
import zlib
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

import msgspec
from msgspec import Struct
from msgspec.structs import asdict

from folder import places
from folder.cargo.shape import SHAPES, Shape
from folder.errors import BadRequest, UnreadableFile, UnwritableFile

LARGEST_MM = 1000.0
"""No object is larger than the largest sheet."""

HEAVIEST_G = 100_000.0
"""More than the largest sheet could float."""

SWALLOW_WIDTH_MM, SWALLOW_LENGTH_MM = 31.7, 57.1
"""The small-parts cylinder of 16 CFR 1501.4 (from memory): what fits inside can choke a small child."""

LONGEST_NAME = 60
FORMAT, VERSION = "foil-objects", 1
FILE_LIMIT_BYTES = 4_000_000
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class Item(Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of object.

    `name` is lower case with hyphens, `label` is what people read. `size_mm` holds the numbers its shape has in SHAPES. `mass_g` is
    None where it varies too much ("weigh yours"). `nest_step_mm` is None for what does not nest.
    """

    name: str
    label: str
    shape: str
    size_mm: tuple[float, ...]
    mass_g: float | None
    stacks: bool = False
    nest_step_mm: float | None = None
    rolls: bool = False
    sharp: bool = False
    source: str = ""
    many: str = ""
    """What several are called, where an s at the end of the label's first part would be wrong or long."""
    group: str = ""
    """What it is listed under, where that is not the group of its shape."""

    def __post_init__(self) -> None:
        where = f"object '{self.name}'"
        if not _NAME.fullmatch(self.name) or len(self.name) > LONGEST_NAME:
            raise BadRequest(
                "the name is not usable",
                where=where,
                remedy="Use lower case letters, digits and single hyphens, at most 60, such as 'washer-m8'",
            )
        if not self.label.isprintable() or not self.label.strip():
            raise BadRequest("the label cannot be read", where=where, remedy="Give one line of plain text")
        for what, word in (("the word for several", self.many), ("the group", self.group)):
            if word and (not word.isprintable() or not word.strip()):
                raise BadRequest(f"{what} cannot be read", where=where, remedy="Give one line of plain text, or none")
        if self.shape not in SHAPES:
            raise BadRequest("no such shape", where=where, found=repr(self.shape), remedy=f"Use {_either(SHAPES)}")
        wanted = self.form.sizes
        if len(self.size_mm) != len(wanted):
            raise BadRequest(
                f"a {self.shape} has {len(wanted)} size(s)",
                where=where,
                found=str(len(self.size_mm)),
                remedy=f"Give {', '.join(wanted)} in mm",
            )
        for what, size in zip(wanted, self.size_mm, strict=True):
            if not 0 < size <= LARGEST_MM:  # also refuses nan
                raise BadRequest(
                    f"the {what} is not possible",
                    where=where,
                    found=f"{size:g} mm",
                    remedy=f"Give more than 0 and at most {LARGEST_MM:g} mm",
                )
        if self.mass_g is not None and not 0 < self.mass_g <= HEAVIEST_G:
            raise BadRequest(
                "the mass is not possible",
                where=where,
                found=f"{self.mass_g:g} g",
                remedy="Give a mass above 0 g, or none for 'weigh yours'",
            )
        if self.nest_step_mm is not None and not (self.form.nests and 0 < self.nest_step_mm <= self.extents_mm[2]):
            raise BadRequest(
                "the nest step is not possible",
                where=where,
                found=f"{self.nest_step_mm:g} mm",
                remedy="Only a cup nests, and the step is above 0 and no more than its height",
            )

    @property
    def form(self) -> Shape:
        """All that is common to objects of its shape."""
        return SHAPES[self.shape]

    @property
    def group_name(self) -> str:
        """What it is listed under."""
        return self.group or self.form.group

    @property
    def nests(self) -> bool:
        """Whether one fits into the next."""
        return self.nest_step_mm is not None

    @property
    def extents_mm(self) -> tuple[float, float, float]:
        """Length, width and height of the box around it as it lies by itself: tubes and screws on their side."""
        return self.form.extents_mm(self.size_mm)

    @property
    def footprint_mm(self) -> tuple[float, ...]:
        """What it covers of a floor: the radius of what is round, else length and width."""
        length, width, _ = self.extents_mm
        return (length, width) if self.form.outline == "block" else (width / 2.0,)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What an adult should know before handing it out, a sentence each."""
        sentences = []
        if self.sharp:
            sentences.append("Edges or points can cut skin and foil: an adult hands these out.")
        _, middle, longest = sorted(self.extents_mm)
        if middle <= SWALLOW_WIDTH_MM and longest <= SWALLOW_LENGTH_MM:
            sentences.append("Small enough to choke on: keep away from small children, count them out and back in.")
        return tuple(sentences)


def items() -> tuple[Item, ...]:
    """All objects: the shipped ones in their order, then the user's own; the user's wins where the names are equal.

    The shipped alone where the user's own list cannot be read: `own_fault` says why.
    """
    try:
        own = _own()
    except UnreadableFile:
        own = ()
    return tuple({item.name: item for item in (*_shipped(), *own)}.values())


def own_fault() -> str:
    """What is wrong with the user's own list of objects, in a line; "" when nothing is."""
    try:
        _own()
    except UnreadableFile as error:
        return f"{error}. Going on with the shipped objects."
    return ""


def find_item(name: str) -> Item:
    """The object of this name or label, however it is spaced or capitalised. BadRequest names the nearest ones."""
    by_name = {item.name: item for item in items()}
    wanted = _hyphened(name)
    if wanted in by_name:
        return by_name[wanted]
    for item in by_name.values():
        if _is_called(item, name):
            return item
    import difflib  # only wanted when a name was not found

    near = [n for n in by_name if wanted and (wanted in n or n in wanted)]
    near += [n for n in difflib.get_close_matches(wanted, by_name, n=5, cutoff=0.5) if n not in near]
    examples = f"There are {len(by_name)}, such as {_either(list(by_name)[:3])}"
    hint = f"Did you mean {_either(near[:5])}?" if near else examples
    raise BadRequest("there is no object of that name", where="object", found=repr(name), remedy=hint)


def add_item(item: Item) -> Path:
    """Keep an object among the user's own, in place of one of the same name. Returns the file, replaced in one step."""
    return _keep({old.name: old for old in _own()} | {item.name: item})


def remove_item(name: str) -> Item:
    """Take an object out of the user's own; what is shipped stays. BadRequest where there is none of that name or label."""
    wanted, own = _hyphened(name), {item.name: item for item in _own()}
    gone = own.get(wanted) or next((item for item in own.values() if _is_called(item, name)), None)
    if gone is None:
        shipped = any(wanted == item.name for item in _shipped())
        what = "this object came with the program and stays" if shipped else "you have no object of that name"
        remedy = f"Yours are {_either(own)}" if own else "You have none of your own yet"
        raise BadRequest(what, where="object", found=repr(name), remedy=remedy)
    _keep({each: item for each, item in own.items() if each != gone.name})
    return gone


def own_items() -> tuple[Item, ...]:
    """The user's own objects; UnreadableFile where their list cannot be read."""
    return _own()


def item_name(label: str) -> str:
    """A label as a name: lower case, with hyphens; a number of its own where the label has no letter from a to z and no digit."""
    plain = unicodedata.normalize("NFKD", label).encode("ascii", "ignore").decode()
    return _hyphened(plain)[:LONGEST_NAME].strip("-") or f"own-{zlib.crc32(label.encode())}"


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


def _own() -> tuple[Item, ...]:
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
    return _hyphened(item.label) == _hyphened(name) != "" or item.label.casefold() == name.strip().casefold()


def _hyphened(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def _either(names: Iterable[str]) -> str:
    *most, last = [f"'{name}'" for name in names]
    return f"{', '.join(most)} or {last}" if most else last
