"""Pattern files: what is written is read back, and whatever else is there gets one line and harms nothing."""

from __future__ import annotations

import builtins
import json
import math
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder import places, read_pattern, write_pattern
from folder.errors import UnreadableFile, UnwritableFile
from folder.findings import Point
from folder.pattern.edit import with_creases
from folder.pattern.families.catalogue import make
from folder.pattern.file import find_pattern, parse_pattern, pattern_bytes, ready_patterns
from folder.pattern.pattern import Crease, FamilyRef, Pattern, Sheet
from folder.search.mend import remedies
from folder.studies import study
from tests.drawings import crossing_creases, tray
from tests.strategies import broken_files, kept_patterns, tried

HEAD = '"format": "foil-pattern", "version": 1'
CREASE = '{"from": [1, 2], "to": [3, 4], "sense": "valley"}'


def whole(rest: str = "") -> bytes:
    """A file with its head and something more."""
    return f"{{{HEAD}{', ' + rest if rest else ''}}}".encode()


def crease(rest: str) -> bytes:
    """A file with one crease that has something more."""
    return whole(f'"creases": [{CREASE[:-1]}, {rest}}}]')


BAD = {
    "empty": (b"", "the file is empty"),
    "blank": (b" \n\t ", "the file is empty"),
    "not JSON": (b"hello", "this is not JSON text"),
    "cut short": (whole('"creases": [' + CREASE)[:-1], "this is not JSON text"),
    "something behind": (whole() + b" x", "this is not JSON text"),
    "not UTF-8": (whole('"name": "x"').replace(b"x", b"\xe9"), "this is not JSON text"),
    "5 MB": (whole(f'"note": "{"x" * 5_000_000}"'), "too large"),
    "NaN": (whole('"floor_at": [NaN, 1]'), "this is not JSON text"),
    "infinity": (whole('"floor_at": [Infinity, 1]'), "this is not JSON text"),
    "overflow": (whole('"floor_at": [1e999, 1]'), "floor_at[0]: Number out of range"),
    "400 digits": (whole(f'"floor_at": [{"9" * 400}, 1]'), "floor_at[0]: Number out of range"),
    "a string for a place": (whole('"floor_at": ["75", 75]'), 'Expected a number, got text (found "75")'),
    "a string for a turn": (crease('"turn_deg": "90"'), 'creases[0].turn_deg: Expected a number, got text (found "90")'),
    "true for a number": (crease('"turn_deg": true'), "creases[0].turn_deg"),
    "a fraction for a step": (crease('"step": 1.5'), "creases[0].step: Expected a whole number"),
    "unknown key": (whole('"colour": 1'), "no such key: 'colour'"),
    "unknown key in a crease": (crease('"turn": 90'), "creases[0]: no such key: 'turn'"),
    "unknown key in the sheet": (whole('"sheet": {"depth_mm": 2}'), "sheet: no such key: 'depth_mm'"),
    "unknown sense": (whole('"creases": [{"from": [1, 2], "to": [3, 4], "sense": "up"}]'), 'found "up"'),
    "a key missing": (b'{"version": 1}', "a key is missing: 'format'"),
    "another format": (b'{"format": "x", "version": 1}', 'format: not one of the values that are possible here (found "x")'),
    "version 2": (b'{"format": "foil-pattern", "version": 2}', "This program reads version 1"),
    "a list": (b"[]", "Expected a group in braces, got a list"),
    "null": (b"null", "Expected a group in braces"),
    "one number for a place": (whole('"floor_at": [1]'), "floor_at: Expected a list of length 2"),
    "three numbers for a place": (whole('"crimps": [[1, 2, 3]]'), "crimps[0]: Expected a list of length 2"),
    "a place far off": (whole('"floor_at": [1e5, 1]'), "floor_at[0]: Expected a number <= 10000.0"),
    "a turn over 180": (crease('"turn_deg": 181'), "creases[0].turn_deg: Expected a number <= 180.0 (found 181)"),
    "a turn under 0": (crease('"turn_deg": -1'), "creases[0].turn_deg: Expected a number >= 0.0"),
    "a sheet too narrow": (whole('"sheet": {"width_mm": 19.9}'), "sheet.width_mm: Expected a number >= 20.0 (found 19.9)"),
    "a sheet too wide": (whole('"sheet": {"height_mm": 1001}'), "sheet.height_mm: Expected a number <= 1000.0"),
    "no foil": (whole('"sheet": {"thickness_um": 0}'), "sheet.thickness_um"),
    "5,001 creases": (whole(f'"creases": [{",".join([CREASE] * 5001)}]'), "<= 5000 (found 5001 of them)"),
    "the same key twice": (whole('"name": "a", "name": "b"'), 'the same key stands here twice (found "name")'),
    "the same key twice, deep down": (crease('"step": 1, "step": 2'), 'the same key stands here twice (found "step")'),
    "nested too deeply": (b"[" * 200_000, "Expected a group in braces"),
    "nested too deeply inside": (whole(f'"note": {"[" * 100_000}{"]" * 100_000}'), "note: Expected text, got a list"),
    "a key without end": (f'{{"{"k" * 100_000}": 1}}'.encode(), "no such key"),
    "no such family": (whole('"family": {"name": "no\\u001b such"}'), "no such family of patterns"),
    "no such parameter": (whole('"family": {"name": "square-tray", "parameters": {"wal": 1}}'), "no such parameter"),
    "a wall too high": (whole('"family": {"name": "square-tray", "parameters": {"wall": 74}}'), "wall"),
    "a family and creases": (
        whole(f'"family": {{"name": "square-tray"}}, "creases": [{CREASE}]'), "holds no creases of its own"
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD)
def test_a_file_that_is_no_pattern_gets_one_line_that_says_what_and_where(case: str, tmp_path: Path) -> None:
    data, expected = BAD[case]
    path = tmp_path / "pattern.json"
    path.write_bytes(data)
    with pytest.raises(UnreadableFile) as caught:
        read_pattern(path)
    line = str(caught.value)
    assert expected in line
    assert line.startswith(str(path))
    assert line.isprintable()  # nothing a terminal would obey, and no second line
    assert len(line) < 500
    assert data == path.read_bytes()


@given(broken_files())
@tried(300)
def test_broken_json_is_a_pattern_or_an_unreadable_file_and_nothing_else(data: bytes) -> None:
    try:
        pattern = parse_pattern(data)
    except UnreadableFile as error:
        line = str(error)
        assert line.isprintable()
        assert len(line) < 500
    else:
        assert pattern == parse_pattern(pattern_bytes(pattern))


@given(st.binary(max_size=200))
@tried(100)
def test_bytes_of_any_kind_are_refused_in_one_line(data: bytes) -> None:
    with pytest.raises(UnreadableFile):
        parse_pattern(data)


def test_a_directory_is_no_pattern(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="cannot be read"):
        read_pattern(tmp_path)


def test_a_file_that_is_not_there_is_said_to_be_missing(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="No such file"):
        read_pattern(tmp_path / "none.json")


def test_a_name_that_no_file_can_have_is_refused() -> None:
    with pytest.raises(UnreadableFile, match="cannot be read"):
        read_pattern("a\0b.json")


def test_a_file_one_may_not_read_is_said_to_be_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def denied(*_: object, **__: object) -> object:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(builtins, "open", denied)
    with pytest.raises(UnreadableFile, match="Permission denied"):
        read_pattern(tmp_path / "pattern.json")


def test_places_twice_over_the_sheet_and_5000_creases_are_read() -> None:
    rows = ",".join([CREASE] * 5000)
    assert 5000 == len(parse_pattern(whole(f'"creases": [{rows}]')).creases)
    assert (-10_000.0, 10_000.0) == parse_pattern(whole('"floor_at": [-10000, 1e4]')).floor_at


def test_what_a_file_leaves_out_has_plain_defaults() -> None:
    """A school's square of household foil, the floor in its middle."""
    assert Pattern() == parse_pattern(whole())
    assert (50.0, 30.0) == parse_pattern(whole('"sheet": {"width_mm": 100, "height_mm": 60}')).floor_at
    assert (0.0, 0.0) == parse_pattern(whole('"floor_at": [0, 0]')).floor_at


def test_a_file_says_mm_and_degrees_and_the_pattern_holds_mm_and_radians() -> None:
    read = parse_pattern(crease('"turn_deg": 90, "step": 3')).creases[0]
    assert Crease((1.0, 2.0), (3.0, 4.0), "valley", math.pi / 2.0, 3) == read
    assert None is parse_pattern(crease('"turn_deg": null')).creases[0].turn_rad
    assert '"turn_deg":90.0' in pattern_bytes(parse_pattern(crease('"turn_deg": 90'))).decode()


def test_a_byte_order_mark_is_no_harm() -> None:
    assert Pattern() == parse_pattern(b"\xef\xbb\xbf" + whole())


@given(kept_patterns())
@tried(60)
def test_writing_then_reading_gives_the_same_pattern_and_leaves_it_alone(pattern: Pattern) -> None:
    before = Pattern(*(getattr(pattern, f) for f in Pattern.__struct_fields__))
    data = pattern_bytes(pattern)
    assert before == pattern
    assert pattern == parse_pattern(data)
    assert data == pattern_bytes(parse_pattern(data))
    assert json.loads(data)["format"] == "foil-pattern"


@given(st.floats(0.0, 180.0))
@tried(200)
def test_every_turn_comes_back_to_the_last_digit(turn_deg: float) -> None:
    written = Pattern(creases=(Crease((0.0, 0.0), (1.0, 1.0), "valley", math.radians(turn_deg)),))
    assert written == parse_pattern(pattern_bytes(written))


@pytest.mark.parametrize("name", ["", "Tray", "a\nb\u2192\U0001f6f6\x1b"])
@pytest.mark.parametrize("family", ["square-tray", "leaning-tray"])
def test_a_family_pattern_comes_back_with_its_family(family: str, name: str) -> None:
    made = make(family, {"wall": 22.5}, sheet=Sheet(140.0, 180.0, 24.0), note="for tests")
    named = Pattern(name, made.note, made.sheet, (70.0, 80.0), made.creases, (*made.crimps, (1.0, 2.0)), made.family)
    data = pattern_bytes(named)
    assert named == parse_pattern(data)
    assert "creases" not in json.loads(data)


def test_an_edited_family_pattern_is_kept_crease_by_crease() -> None:
    made = make("square-tray")
    edited = with_creases(made, made.creases[1:])
    assert edited == parse_pattern(pattern_bytes(edited))
    # Even where the family's name was left standing: it no longer gives these creases.
    stale = Pattern(creases=made.creases[1:], family=FamilyRef("square-tray", made.family.parameters if made.family else {}))
    assert stale.creases == parse_pattern(pattern_bytes(stale)).creases


def test_a_mended_pattern_comes_back_from_its_file() -> None:
    mended = remedies(study(crossing_creases()))[0].pattern
    assert mended == parse_pattern(pattern_bytes(mended))


def test_a_written_file_is_whole_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "tray.json"
    write_pattern(tray(), path)
    write_pattern(tray(30.0), path)
    assert tray(30.0) == read_pattern(path)
    assert [path] == list(tmp_path.iterdir())


@pytest.mark.parametrize("step", ["fsync", "replace", "chmod"])
def test_a_write_that_fails_leaves_the_old_file_as_it_was(step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "tray.json"
    write_pattern(tray(), path)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, full)
    with pytest.raises(UnwritableFile, match="No space left"):
        write_pattern(tray(30.0), path)
    assert tray() == read_pattern(path)
    assert [path] == list(tmp_path.iterdir())


def test_a_directory_that_is_not_there_is_not_written_to(tmp_path: Path) -> None:
    with pytest.raises(UnwritableFile, match="No such file or directory"):
        write_pattern(tray(), tmp_path / "none" / "tray.json")


def test_a_directory_is_not_replaced_by_a_file(tmp_path: Path) -> None:
    (tmp_path / "taken").mkdir()
    with pytest.raises(UnwritableFile):
        write_pattern(tray(), tmp_path / "taken")
    assert [tmp_path / "taken"] == list(tmp_path.iterdir())


@pytest.mark.skipif(os.name == "nt", reason="pipes and links of POSIX")
def test_what_is_no_file_is_not_replaced_by_one_and_a_link_to_a_file_stays_a_link(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.json")
    with pytest.raises(UnwritableFile, match="a device or a pipe"):
        write_pattern(Pattern(), tmp_path / "pipe.json")
    assert (tmp_path / "pipe.json").is_fifo()
    (tmp_path / "link.json").symlink_to(tmp_path / "mine.json")
    write_pattern(Pattern(name="Mine"), tmp_path / "link.json")
    assert (tmp_path / "link.json").is_symlink()
    assert "Mine" == read_pattern(tmp_path / "mine.json").name


@pytest.mark.parametrize("place", [(math.nan, 0.0), (math.inf, 0.0), (20_000.0, 0.0)])
def test_what_could_not_be_read_back_is_not_written(place: Point, tmp_path: Path) -> None:
    path = tmp_path / "tray.json"
    write_pattern(tray(), path)
    with pytest.raises(UnwritableFile, match="read back"):
        write_pattern(Pattern(crimps=(place,)), path)
    assert tray() == read_pattern(path)


def test_every_ready_pattern_is_found_by_name_reads_and_folds() -> None:
    assert "plain-tray" in ready_patterns()
    for name, path in ready_patterns().items():
        assert path == find_pattern(name)
        assert read_pattern(path).name
    assert ready_patterns() == {p.stem: p for p in places.PATTERNS.glob("*.json")}


def test_a_path_is_taken_before_a_ready_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plain-tray").write_bytes(whole())
    assert Path("plain-tray") == find_pattern("plain-tray")
    assert Path("other.json") == find_pattern("other.json")


def test_a_name_that_is_neither_file_nor_ready_says_what_there_is() -> None:
    with pytest.raises(UnreadableFile, match="plain-tray"):
        find_pattern("no-such-tray")
