"""Pattern files: read, write, find the ready ones.

UTF-8 JSON, one object; unknown keys are refused by name, numbers are finite; writing then reading gives the same Pattern.
"""

from __future__ import annotations

import math
import os
import re
from pathlib import Path
from typing import Annotated, Literal

import msgspec
from msgspec.structs import asdict, replace

from folder.errors import BadRequest, UnreadableFile, UnwritableFile, nearest
from folder.pattern.families import catalogue
from folder.pattern.pattern import MOST_CREASES, SHEET_SIDE_MM, THICKNESS_UM, Crease, FamilyRef, Pattern, Sense, Sheet
from folder.places import PATTERNS, write_whole

MOST_BYTES = 4 * 1024 * 1024
FORMAT, VERSION = "foil-pattern", 1
_FEW_LINES = 346
"""Fewer cannot cross more often than is folded, each pair once."""

_Side = Annotated[float, msgspec.Meta(ge=SHEET_SIDE_MM[0], le=SHEET_SIDE_MM[1])]
# Ten times the largest sheet: far enough for any slip of the hand, near enough for exact arithmetic.
_Place = tuple[
    Annotated[float, msgspec.Meta(ge=-10_000, le=10_000)],
    Annotated[float, msgspec.Meta(ge=-10_000, le=10_000)],
]


class _Sheet(msgspec.Struct, forbid_unknown_fields=True):
    width_mm: _Side = 150.0
    height_mm: _Side = 150.0
    thickness_um: Annotated[float, msgspec.Meta(ge=THICKNESS_UM[0], le=THICKNESS_UM[1])] = 16.0


class _Crease(msgspec.Struct, forbid_unknown_fields=True):
    start: _Place = msgspec.field(name="from")
    end: _Place = msgspec.field(name="to")
    sense: Sense
    turn_deg: Annotated[float, msgspec.Meta(ge=0, le=180)] | None = None
    step: Annotated[int, msgspec.Meta(ge=0, le=10_000)] | None = None


class _Family(msgspec.Struct, forbid_unknown_fields=True):
    name: str
    parameters: dict[str, float | str] = {}


class _File(msgspec.Struct, forbid_unknown_fields=True):
    format: Literal["foil-pattern"]
    version: Literal[1]
    name: str = "Untitled"
    note: str = ""
    sheet: _Sheet = msgspec.field(default_factory=_Sheet)
    floor_at: _Place | None = None
    creases: Annotated[list[_Crease], msgspec.Meta(max_length=MOST_CREASES)] | None = None
    crimps: Annotated[list[_Place], msgspec.Meta(max_length=MOST_CREASES)] | None = None
    family: _Family | None = None


_decoder = msgspec.json.Decoder(_File)


def read_pattern(path: str | os.PathLike[str]) -> Pattern:
    """The pattern in a file. Raises UnreadableFile with one line: what, where, found, remedy."""
    where = os.fspath(path)
    try:
        with open(path, "rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = (isinstance(error, OSError) and error.strerror) or str(error)
        raise UnreadableFile("the file cannot be read", where=where, found=reason, remedy="Check its name and place") from error
    if len(data) > MOST_BYTES:
        raise UnreadableFile("the file is too large for a pattern", where=where, remedy="A pattern file has at most 4 MB")
    if not data.strip():
        raise UnreadableFile("the file is empty", where=where, remedy="Save the pattern again, or take a ready one")
    return parse_pattern(data, where)


def parse_pattern(data: bytes, where: str = "pattern") -> Pattern:
    """The pattern in the bytes of a file. `where` names them in an error."""
    data = data.removeprefix(b"\xef\xbb\xbf")  # some editors put a byte order mark first
    try:
        file = _decoder.decode(data)
        _refuse_doubles(data)
        return _from_file(file)
    except msgspec.ValidationError as error:
        what, _, place = str(error).partition(" - at `")
        place = place.rstrip("`").removeprefix("$").lstrip(".")
        remedy = "The README's section on pattern files says what may stand here"
        if place == "version":
            remedy = f"This program reads version {VERSION}; a newer one may be needed"
        raise UnreadableFile(
            _plain(what), where=f"{where}, {place}" if place else where, found=_found(data, place), remedy=remedy
        ) from error
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise UnreadableFile("this is not JSON text", where=where, found=str(error), remedy="Is it a pattern file?") from error
    except BadRequest as error:
        raise UnreadableFile(
            error.what,
            where=f"{where}, {error.where}" if error.where else where,
            found=_shown(error.found),
            remedy=error.remedy,
        ) from error


_PLAIN = (
    (r"Invalid enum value .*", "not one of the values that are possible here"),
    (r"Object contains unknown field", "no such key:"),
    (r"Object missing required field", "a key is missing:"),
    (r"`object( \| null)?`", "a group in braces"),
    (r"`array( \| null)?`", "a list"),
    (r"`float( \| null)?`", "a number"),
    (r"`int( \| null)?`", "a whole number"),
    (r"`str`", "text"),
    (r"`", "'"),
)
"""What the checking library says, and what we say."""


def _plain(what: str) -> str:
    """The checking library's message in plain words."""
    for theirs, ours in _PLAIN:
        what = re.sub(theirs, ours, what)
    return _shown(what)


def _shown(text: str) -> str:
    """Words that come from a file, shortened, with nothing in them that a terminal would obey."""
    return "".join(c for c in text if c.isprintable())[:120]


def _colons(value: object) -> int:
    """How many colons a document that says each thing once is written with, when nothing in it is escaped."""
    if isinstance(value, dict):
        return sum(1 + key.count(":") + _colons(inner) for key, inner in value.items())
    if isinstance(value, list):
        return sum(map(_colons, value))
    return value.count(":") if isinstance(value, str) else 0


def _refuse_doubles(data: bytes) -> None:
    """Refuse an object that says one thing twice: nobody can tell which of the two was meant."""
    # The checking library silently takes the last one; the slow one is asked only when something stands there once more.
    if b"\\" not in data and data.count(b":") == _colons(msgspec.json.decode(data)):
        return
    import json

    def once(pairs: list[tuple[str, object]]) -> dict[str, object]:
        members: dict[str, object] = {}
        for key, value in pairs:
            if key in members:
                raise BadRequest("the same key stands here twice", found=_json(key), remedy="Remove one of the two")
            members[key] = value
        return members

    json.loads(data, object_pairs_hook=once)


def _found(data: bytes, place: str) -> str:
    """What stands in a file at a place such as `creases[3].from`, shortened; nothing where the place is a whole part."""
    try:
        value: object = msgspec.json.decode(data)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        return ""  # not text, nested too deeply, or a number too large to be one
    for key, index in re.findall(r"(\w+)|\[(\d+)\]", place):
        if isinstance(value, dict):
            value = value.get(key)
        elif isinstance(value, list) and index:
            value = value[int(index)]
    if isinstance(value, dict | list):
        return f"{len(value)} of them" if isinstance(value, list) else ""
    return _shown(_json(value))


def _from_file(file: _File) -> Pattern:
    sheet = Sheet(file.sheet.width_mm, file.sheet.height_mm, file.sheet.thickness_um)
    if file.family is not None:
        if file.creases:
            raise BadRequest("a file with a family holds no creases of its own", where="creases", remedy="Remove one of the two")
        made = catalogue.make(file.family.name, file.family.parameters, sheet=sheet, note=file.note)
        floor_at = made.floor_at if file.floor_at is None else file.floor_at
        crimps = made.crimps if file.crimps is None else tuple(file.crimps)
        return replace(made, name=file.name, floor_at=floor_at, crimps=crimps)
    creases = tuple(
        Crease(c.start, c.end, c.sense, None if c.turn_deg is None else math.radians(c.turn_deg), c.step)
        for c in file.creases or ()
    )
    _refuse_tangles(creases)
    floor_at = file.floor_at or (sheet.width_mm / 2.0, sheet.height_mm / 2.0)
    return Pattern(file.name, file.note, sheet, floor_at, creases, tuple(file.crimps or ()))


def _refuse_tangles(creases: tuple[Crease, ...]) -> None:
    if len(creases) < _FEW_LINES:
        return
    from folder.pattern.crossings import MOST_CROSSINGS, crossings_about

    count = crossings_about(creases)
    if count > MOST_CROSSINGS:
        raise BadRequest(
            "the lines cross too often",
            where="creases",
            found=f"about {count:,} crossings",
            remedy=f"Keep it under {MOST_CROSSINGS:,}: end lines where they meet others",
        )


def pattern_bytes(pattern: Pattern) -> bytes:
    """The bytes of a pattern's file: one crease a line, so that a person can read and compare them."""
    head = {
        "format": FORMAT,
        "version": VERSION,
        "name": pattern.name,
        "note": pattern.note,
        "sheet": asdict(pattern.sheet),
        "floor_at": pattern.floor_at,
    }
    lines = [f"{_json(key)}: {_json(value)}" for key, value in head.items()]
    if pattern.family is not None and _is_made(pattern, pattern.family):
        lines.append(f'"family": {_json({"name": pattern.family.name, "parameters": dict(pattern.family.parameters)})}')
    else:
        rows = ",\n  ".join(_json(_crease_object(c)) for c in pattern.creases)
        lines.append(f'"creases": [\n  {rows}\n ]' if rows else '"creases": []')
    lines.append(f'"crimps": {_json(pattern.crimps)}')
    return ("{" + ",\n ".join(lines) + "}\n").encode()


def write_pattern(pattern: Pattern, path: str | os.PathLike[str]) -> None:
    """Write a pattern's file in one step. Raises UnwritableFile; what stood there is unharmed then."""
    data = pattern_bytes(pattern)
    try:
        parse_pattern(data)
    except UnreadableFile as error:
        raise UnwritableFile("this pattern could not be read back", where=os.fspath(path), found=str(error)) from error
    write_whole(Path(path), data)


def ready_patterns() -> dict[str, Path]:
    """The ready pattern files by their short names, such as `plain-tray`."""
    return {path.stem: path for path in sorted(PATTERNS.glob("*.json"))}


def find_pattern(name: str) -> Path:
    """The file a user means: a path, or the short name of a ready pattern."""
    path = Path(name)
    if path.suffix == ".json" or os.path.exists(name):  # not Path.exists: it raises where a name is too long for the disk
        return path
    ready = ready_patterns()
    if name in ready:
        return ready[name]
    raise UnreadableFile("no such file or ready pattern", where=name, remedy=nearest(name, ready, among="Ready patterns"))


def _is_made(pattern: Pattern, ref: FamilyRef) -> bool:
    """The family still gives these creases: nobody has changed one since."""
    return catalogue.make(ref.name, ref.parameters, sheet=pattern.sheet).creases == pattern.creases


def _crease_object(crease: Crease) -> dict[str, object]:
    turn = None if crease.turn_rad is None else round(math.degrees(crease.turn_rad), 12)
    made: dict[str, object] = {"from": crease.start, "to": crease.end, "sense": crease.sense, "turn_deg": turn}
    if crease.step is not None:
        made["step"] = crease.step
    return made


def _json(value: object) -> str:
    return msgspec.json.encode(value).decode()
