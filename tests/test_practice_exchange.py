"""Trials to and from CSV: whatever a spreadsheet does to them, nothing is lost and nothing half imported."""

from __future__ import annotations

import codecs
import contextlib
import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.cargo.item_list import find_item
from folder.draw.picture import Label
from folder.errors import UnreadableFile, UnwritableFile
from folder.paper.sheets.record import COLUMNS as RECORD_COLUMNS
from folder.paper.sheets.record import DAY, WHAT_HAPPENED, record_page
from folder.practice.exchange import export_csv, format_csv, parse_csv, read_csv
from folder.practice.log import TrialLog, read_trials
from folder.practice.summary import summarise
from folder.practice.trial import COLUMNS, HAND_NAMES, Trial

HEADER = "date,pattern,item,mass_each_g,count\n"
CENTS = Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 40)

CLASS_LOADS = {150: (20, 12, 45, 6, 15, 11, 23, 65), 200: (14, 124, 8, 30, 40, 19, 34, 74), 300: (104, 157, 31, 52, 58)}
"""One class of 9 to 10 year olds, US cents, by side of the square in mm: public-broadcast children's science pages."""

CLASS_CSV = "date;pattern;sheet_width_mm;sheet_height_mm;item;mass_each_g;count\r\n" + "".join(
    f"2025-03-14;free;{side};{side};us-cent;2,5;{count}\r\n" for side, counts in CLASS_LOADS.items() for count in counts
)


def parse(text: str) -> tuple[Trial, ...]:
    return parse_csv(text.encode(), "table.csv").trials


def refusal(text: str) -> str:
    with pytest.raises(UnreadableFile) as caught:
        parse(text)
    assert "\n" not in str(caught.value)
    return str(caught.value)


# --- Round trips ----------------------------------------------------------------------------------------------------

names = st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=30).filter(
    lambda text: text == text.strip()
)
notes = st.text(st.characters(exclude_categories=["Cc", "Cs"], include_characters="\t\n\r"), max_size=30)
formulas = st.tuples(st.sampled_from(["=", "+", "-", "@", "'=", "''@", " =", "\t=", "'", "'tis "]), notes).map("".join)
measures = st.floats(1e-6, 1e6)
trials = st.builds(
    Trial,
    date=st.dates().map(lambda day: day.isoformat()),
    pattern=names | formulas.map(str.split).map("".join).filter(bool),
    item=names,
    mass_each_g=measures,
    count=st.integers(0, 10**6),
    guess=st.none() | st.integers(0, 10**6),
    sheet_width_mm=measures,
    sheet_height_mm=measures,
    thickness_um=measures,
    sheets_used=st.integers(1, 99),
    hand=st.sampled_from(HAND_NAMES),
    brim_g=st.none() | measures,
    note=notes | formulas,
)


@given(st.lists(trials, max_size=5), st.booleans())
def test_what_is_written_reads_back_as_it_was(noted: list[Trial], decimal_comma: bool) -> None:
    assert (tuple(noted), ()) == parse_csv(format_csv(noted, decimal_comma=decimal_comma), "table.csv")


@given(st.lists(trials, max_size=5), st.booleans())
def test_no_text_cell_begins_like_a_formula(noted: list[Trial], decimal_comma: bool) -> None:
    """The list of leading characters: OWASP, CSV Injection (from memory). Read back with the csv module alone."""
    table = format_csv(noted, decimal_comma=decimal_comma).decode("utf-8-sig")
    for row in csv.reader(io.StringIO(table, newline=""), delimiter=";" if decimal_comma else ","):
        for cell in row:
            assert not cell.lstrip().startswith(("=", "+", "-", "@"))
            assert not cell.startswith(("\t", "\r", "\n"))


def test_an_export_opens_in_a_spreadsheet_of_either_custom(tmp_path: Path) -> None:
    """A byte-order mark tells spreadsheets that it is UTF-8; RFC 4180 ends lines with CR LF."""
    for decimal_comma, line in ((False, b",2.5,,40,"), (True, b";2,5;;40;")):
        export_csv([CENTS], tmp_path / "out.csv", decimal_comma=decimal_comma)
        data = (tmp_path / "out.csv").read_bytes()
        assert data.startswith(codecs.BOM_UTF8 + b"Date")
        assert line in data
        assert data.endswith(b"\r\n")
        assert (CENTS,) == read_csv(tmp_path / "out.csv").trials


def test_an_export_that_fails_leaves_what_stood_there(tmp_path: Path) -> None:
    (tmp_path / "taken").mkdir()
    with pytest.raises(UnwritableFile, match="taken"):
        export_csv([CENTS], tmp_path / "taken")
    assert ["taken"] == [path.name for path in tmp_path.iterdir()]


# --- Whatever a spreadsheet does ------------------------------------------------------------------------------------


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_delimiters_encodings_and_line_ends_are_told_by_themselves(delimiter: str, encoding: str, end: str) -> None:
    lines = [("date", "pattern", "item", "mass_each_g", "count"), ("2025-03-14", "Größe 2", "us-cent", "2.5", "40")]
    table = "".join(delimiter.join(cells) + end for cells in lines)
    [trial] = parse_csv(table.encode(encoding), "table.csv").trials
    assert ("Größe 2", 2.5, 40) == (trial.pattern, trial.mass_each_g, trial.count)


@pytest.mark.parametrize(
    "row",
    [
        '2025-03-14,Plain tray,us-cent,"2,5",40',
        "14.3.2025,Plain tray,us-cent,2.50,40.0",
        "2025/03/14, Plain tray ,us-cent, 2.5 , 40 ",
        '"2025-03-14","Plain tray","us-cent","2.5","40",,,',
        "2025-03-14,Plain tray,us-cent,25e-1,40\n,,,,\n\n",
    ],
)
def test_one_trial_may_be_written_in_many_ways(row: str) -> None:
    assert (CENTS,) == parse(HEADER + row)


def test_columns_come_in_any_order_and_case_and_a_spreadsheet_may_announce_its_delimiter() -> None:
    assert (CENTS,) == parse("sep=;\nCount;Mass each g;ITEM;pattern;date;\n40;2,5;us-cent;Plain tray;2025-03-14;\n")


def test_three_decimals_after_a_comma_are_decimals_where_semicolons_part_the_cells() -> None:
    [trial] = parse(HEADER.replace(",", ";") + "2025-03-14;tray;us-dime;2,268;40")
    assert 2.268 == trial.mass_each_g


def test_all_columns_may_be_given() -> None:
    row = "2025-03-14,t,i,2.5,40,38,200,100,24,2,Hurried,242.5,=1+1\n"
    expected = Trial("2025-03-14", "t", "i", 2.5, 40, 38, 200.0, 100.0, 24.0, 2, "hurried", 242.5, "=1+1")
    assert (expected,) == parse(",".join(COLUMNS) + "\n" + row)


def test_the_headings_of_the_printed_record_are_those_of_the_table() -> None:
    said = {mark.text for mark in record_page("Tray").drawing().marks if isinstance(mark, Label)}
    table = next(csv.reader(io.StringIO(format_csv([]).decode("utf-8-sig"))))
    printed = {*DAY, *(heading for heading, _ in RECORD_COLUMNS), WHAT_HAPPENED}
    assert printed <= said
    assert printed == set(table[: len(printed)])


def test_a_record_is_typed_as_it_is_printed() -> None:
    head = 'Date,Name,Pattern,Object,"each, g",Guess,Held,Sheets,What happened first?\n'
    [trial] = parse(head + "2025-03-14,Mia,Plain tray,us-cent,2.5,38,40,1,it tipped\n")
    assert Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 40, 38, pupil="Mia", happened="it tipped") == trial


def test_columns_that_are_none_of_ours_are_passed_over_and_named() -> None:
    table = parse_csv(b"Date,weather,Pattern,Object,Held,Mark out of ten\n2025-03-14,rain,Plain tray,us-cent,40,7\n", "t.csv")
    assert ((CENTS,), ("weather", "Mark out of ten")) == table


@pytest.mark.parametrize("name", ["us-cent", "US cent", "us_cent"])
def test_an_object_of_the_list_needs_no_mass(name: str) -> None:
    [trial] = parse(f'Date,Pattern,Object,Held,"each, g"\n2025-03-14,Plain tray,{name},40,\n')
    assert find_item("us-cent").mass_g == trial.mass_each_g


def test_an_object_that_is_not_in_the_list_needs_its_mass() -> None:
    assert "line 2, each, g" in refusal("Date,Pattern,Object,Held\n2025-03-14,Plain tray,odd thing,40\n")


# --- Refusals -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("2025-03-14,t,i,heavy,4", "mass_each_g: this is not a number"),
        ("2025-03-14,t,i,-2.5,4", "mass_each_g: the number is not possible"),
        ("2025-03-14,t,i,nan,4", "mass_each_g: this is not a number"),
        ("2025-03-14,t,i,1e999,4", "mass_each_g: the number is not possible"),
        ('2025-03-14,t,i,"1,000",4', "thousands or decimals"),
        ("2025-03-14,t,i,1.000.5,4", "mass_each_g: this is not a number"),
        ("2025-03-14,t,i,2.5,4.5", "count: this is not a whole number"),
        ("2025-03-14,t,i,2.5,", "count: the cell is empty"),
        ("2025-03-14,t,i,2.5", "count: the cell is empty"),
        ("3/4/2025,t,i,2.5,4", "date: this is not a date"),
        ("31.2.2025,t,i,2.5,4", "date: this is not a date"),
        ("2025-03-14,t,i,2.5,4,more", "outside the named columns"),
        ('2025-03-14,t,"i,2.5,4', "quotation mark"),
        ('2025-03-14,t,"i"x,2.5,4', "quotation mark"),
    ],
)
def test_a_wrong_row_is_named_by_its_line(row: str, said: str) -> None:
    good = "2025-03-14,t,i,2.5,4\n"
    message = refusal(HEADER + good + "\n" + good + row + "\n")
    assert "table.csv, line 5" in message
    assert said in message
    assert "nothing was imported" in message


def test_the_line_is_that_of_the_file_even_after_notes_of_several_lines() -> None:
    row = '2025-03-14,t,i,2.5,4,"a note\nof three\nlines"\n'
    message = refusal(HEADER.replace("count", "count,note") + row + "2025-03-14,t,i,2.5,x\n")
    assert "line 5, count" in message


def test_further_wrong_lines_are_named_too() -> None:
    message = refusal(HEADER + "2025-03-14,t,i,2.5,x\n" * 3)
    assert "line 2, count" in message
    assert "Also wrong: line 3, 4" in message
    assert "and 93 more" in refusal(HEADER + "2025-03-14,t,i,2.5,x\n" * 99)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no column Date, Pattern, Object, Held"),
        ("2025-03-14,t,i,2.5,4\n", "no column Date"),
        (HEADER.replace("count", "counted"), "no column Held"),
        (HEADER.replace("count", "count,count"), "column Held twice"),
    ],
)
def test_a_table_without_its_header_is_refused_and_the_columns_named(text: str, said: str) -> None:
    message = refusal(text)
    assert said in message
    assert "Brim load, g" in message


def test_bytes_that_are_no_text_are_refused() -> None:
    with pytest.raises(UnreadableFile, match="not a table in text"):
        parse_csv(b"\x81\x8d\x8f\x90\x9d", "table.csv")


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match=r"gone\.csv"):
        read_csv(tmp_path / "gone.csv")


@given(st.binary(max_size=200))
def test_any_bytes_either_read_or_are_refused(data: bytes) -> None:
    with contextlib.suppress(UnreadableFile):
        assert () == parse_csv(data, "table.csv").trials, "200 bytes of noise held a header and a trial"


# --- Into the log ---------------------------------------------------------------------------------------------------


def test_nothing_is_half_imported(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    table.write_text(HEADER + "2025-03-14,t,i,2.5,4\n" * 50 + "2025-03-14,t,i,2.5,x\n")
    with TrialLog(tmp_path / "trials.sqlite") as log:
        log.add(CENTS)
        with pytest.raises(UnreadableFile, match="line 52"):
            log.add_all(read_csv(table).trials)
        assert (CENTS,) == log.trials()


def test_100_000_rows_are_imported_or_the_one_wrong_line_named(tmp_path: Path) -> None:
    rows = "2025-03-14;t;i;2,5;4;leaked, at the corner\r\n" * 100_000
    table = tmp_path / "table.csv"
    table.write_bytes((HEADER.replace(",", ";").replace("count", "count;note") + rows).encode("utf-8-sig"))
    with TrialLog(tmp_path / "trials.sqlite") as log:
        assert 100_000 == log.add_all(read_csv(table).trials)
    assert 100_000 == len(read_trials(tmp_path / "trials.sqlite"))
    table.write_bytes(table.read_bytes() + b"2025-03-14;t;i;2,5;;\r\n")
    with pytest.raises(UnreadableFile, match=r"line 100002, count: the cell is empty"):
        read_csv(table)


def test_the_class_loads_of_three_sheet_sizes_are_imported_and_summarised(tmp_path: Path) -> None:
    """CHECKS section 8."""
    table = tmp_path / "class.csv"
    table.write_text(CLASS_CSV)
    with TrialLog(tmp_path / "trials.sqlite") as log:
        assert 21 == log.add_all(read_csv(table).trials)
        summary = summarise(log.trials())
    assert 21 == summary.n
    assert [(150, 8), (200, 8), (300, 5)] == [(each.sheet_width_mm, each.held_g.n) for each in summary.patterns]
    for each, counts in zip(summary.patterns, CLASS_LOADS.values(), strict=True):
        assert (2.5 * min(counts), 2.5 * max(counts)) == (each.held_g.smallest, each.held_g.largest)
        assert 2.5 * sum(counts) / len(counts) == pytest.approx(each.held_g.mean)
