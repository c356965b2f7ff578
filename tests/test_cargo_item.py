"""The object list: what is in it, where it comes from, and the user's own additions."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.item_list import add_item, find_item, items, own_file, read_items
from folder.cargo.shape import SHAPES
from folder.errors import BadRequest, UnreadableFile, UnwritableFile
from folder.places import ASSETS


@pytest.fixture(autouse=True)
def own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FOLDER_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


def own(**changes: object) -> Item:
    bead = Item("red-bead", "red bead", "ball", (8.0,), 0.4, rolls=True, source="weighed")
    return replace(bead, **changes)


@pytest.mark.parametrize(
    ("name", "mass_g", "size_mm"),
    [
        ("us-cent", 2.5, (19.05, 1.52)),
        ("us-nickel", 5.0, (21.21, 1.95)),
        ("us-dime", 2.268, (17.91, 1.35)),
        ("us-quarter", 5.67, (24.26, 1.75)),
        ("euro-1-cent", 2.3, (16.25, 1.67)),
        ("euro-2-cent", 3.06, (18.75, 1.67)),
        ("euro-5-cent", 3.92, (21.25, 1.67)),
        ("euro-10-cent", 4.1, (19.75, 1.93)),
        ("euro-20-cent", 5.74, (22.25, 2.14)),
        ("uk-1p", 3.56, (20.3, 1.65)),
        ("uk-2p", 7.12, (25.9, 2.03)),
        ("washer-m5", 0.443, (10, 1.0)),
        ("washer-m6", 1.02, (12, 1.6)),
        ("washer-m8", 1.83, (16, 1.6)),
        ("washer-m10", 3.57, (20, 2.0)),
        ("marble-16", 5.36, (16,)),
        ("table-tennis-ball", 2.7, (40,)),
        ("golf-ball", 45.93, (42.67,)),
    ],
)
def test_coins_washers_and_balls_measure_what_their_makers_and_standards_say(
    name: str, mass_g: float, size_mm: tuple[float, ...]
) -> None:
    """US Mint; Regulation (EC) 975/98; Royal Mint; ISO 7089; glass 2.5 g/cm3; ITTF; R&A/USGA (CHECKS section 7)."""
    item = find_item(name)
    assert (mass_g, size_mm) == (item.mass_g, item.size_mm)


@pytest.mark.parametrize(
    ("thread", "flats_mm", "height_mm", "pitch_mm", "printed_g"),
    [(5, 8, 4.7, 0.8, 1.46), (6, 10, 5.2, 1.0, 2.62), (8, 13, 6.8, 1.25, 5.65), (10, 16, 8.4, 1.5, None)],
)
def test_a_nut_weighs_its_hexagon_less_its_thread(
    thread: int, flats_mm: float, height_mm: float, pitch_mm: float, printed_g: float | None
) -> None:
    """Sizes ISO 4032; geometry at 7.85 g/cm3, hole at the pitch diameter d - 0.6495 p (ISO 724, from memory)."""
    hole_mm2 = math.pi / 4 * (thread - 0.649519 * pitch_mm) ** 2
    mass_g = (math.sqrt(3) / 2 * flats_mm**2 - hole_mm2) * height_mm * 7.85e-3
    nut = find_item(f"nut-m{thread}")
    assert nut.mass_g == pytest.approx(mass_g, abs=0.005)
    assert printed_g is None or nut.mass_g == printed_g
    assert nut.size_mm == (pytest.approx(flats_mm / math.cos(math.pi / 6), abs=0.005), height_mm)


@pytest.mark.parametrize(
    ("thread", "hole_mm", "outer_mm", "thickness_mm"),
    [
        (3, 3.2, 7, 0.5),
        (4, 4.3, 9, 0.8),
        (5, 5.3, 10, 1.0),
        (6, 6.4, 12, 1.6),
        (8, 8.4, 16, 1.6),
        (10, 10.5, 20, 2.0),
        (12, 13, 24, 2.5),
    ],
)
def test_a_washer_weighs_its_ring_of_steel(thread: int, hole_mm: float, outer_mm: float, thickness_mm: float) -> None:
    """Closed form at 7.85 g/cm3; sizes ISO 7089 (M3, M4, M12 from memory)."""
    mass_g = math.pi / 4 * (outer_mm**2 - hole_mm**2) * thickness_mm * 7.85e-3
    washer = find_item(f"washer-m{thread}")
    assert washer.mass_g == pytest.approx(mass_g, rel=0.005)
    assert (outer_mm, thickness_mm) == washer.size_mm


@pytest.mark.parametrize(("prefix", "density_g_per_mm3"), [("marble-", 2.5e-3), ("steel-ball-", 7.8e-3), ("glass-tile-", 2.5e-3)])
def test_what_is_said_to_come_from_geometry_does(prefix: str, density_g_per_mm3: float) -> None:
    """Closed forms of ball and block."""
    found = [item for item in items() if item.name.startswith(prefix)]
    assert found
    for item in found:
        volume_mm3 = math.pi / 6 * item.size_mm[0] ** 3 if item.shape == "ball" else math.prod(item.size_mm)
        assert "from geometry" in item.source
        assert item.mass_g == pytest.approx(volume_mm3 * density_g_per_mm3, rel=0.005)


def test_no_metal_disc_is_denser_than_a_solid_coin_metal_could_be() -> None:
    """Coin metals and steel lie under 9 g/cm3, copper's 8.96; so does every disc as a solid cylinder."""
    for item in items():
        if item.shape == "disc" and item.mass_g is not None:
            volume_mm3 = math.pi / 4 * item.size_mm[0] ** 2 * item.size_mm[1]
            assert 2e-3 < item.mass_g / volume_mm3 < 9e-3, item.name


def test_the_list_covers_the_usual_small_objects_of_every_shape() -> None:
    assert set(SHAPES) == {item.shape for item in items()}
    assert len(items()) >= 40
    coins, hardware = ["us-", "euro-", "uk-"], ["washer-", "nut-", "screw", "paper-clip"]
    toys, kitchen = ["marble-", "die-", "-cube-", "bead", "tile", "table-tennis"], ["cap", "cup"]
    for kind in coins + hardware + toys + kitchen:
        assert any(kind in item.name for item in items()), kind


def test_every_object_has_a_source_and_a_mass_or_weigh_yours() -> None:
    for item in items():
        assert item.source
        assert (item.mass_g is None) == ("weigh yours" in item.source), item.name
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", item.name)


def test_paper_clips_have_no_mass_because_sources_disagree() -> None:
    assert all(item.mass_g is None for item in items() if "paper-clip" in item.name)


def test_only_cups_nest_and_balls_roll_and_screws_are_sharp() -> None:
    for item in items():
        assert item.nests == item.form.nests
        assert item.rolls == (item.shape in ("ball", "tube"))
        assert item.sharp or item.shape != "screw"


@pytest.mark.parametrize("said", ["us-cent", "US cent", "us_cent", "  Us Cent "])
def test_an_object_is_found_however_its_name_is_typed(said: str) -> None:
    assert find_item(said).name == "us-cent"


def test_an_object_is_found_by_its_label() -> None:
    assert find_item("M8 washer").name == "washer-m8"


@pytest.mark.parametrize(("said", "near"), [("us-cnt", "us-cent"), ("washer", "washer-m8"), ("euro-2-cents", "euro-2-cent")])
def test_an_unknown_name_is_answered_with_near_ones(said: str, near: str) -> None:
    with pytest.raises(BadRequest, match=f"Did you mean .*'{near}'"):
        find_item(said)


def test_a_name_near_to_nothing_is_answered_with_examples() -> None:
    with pytest.raises(BadRequest, match="such as 'us-cent'"):
        find_item("zzzzzz")


def test_the_user_adds_an_object_and_finds_it_again(own_data: Path) -> None:
    shipped = items()
    assert add_item(own()) == own_file() == own_data / "objects.json"
    assert own() == find_item("red bead")
    assert (*shipped, own()) == items()
    assert [own_file()] == list(own_data.iterdir())


def test_the_users_own_mass_wins_over_the_shipped_one() -> None:
    weighed = replace(find_item("die-16"), mass_g=4.1, source="weighed ten together")
    add_item(weighed)
    assert weighed == find_item("die-16")
    assert 1 == sum(item.name == "die-16" for item in items())


def test_adding_a_second_object_keeps_the_first() -> None:
    add_item(own())
    add_item(own(name="blue-bead"))
    add_item(own(mass_g=0.5))
    assert [("red-bead", 0.5), ("blue-bead", 0.4)] == [(item.name, item.mass_g) for item in items()[-2:]]


def test_a_list_that_cannot_be_written_says_so(own_data: Path) -> None:
    own_data.write_text("a file where a directory should be")
    with pytest.raises(UnwritableFile, match="data"):
        add_item(own())


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"name": "Red Bead"}, "name is not usable"),
        ({"name": ""}, "name is not usable"),
        ({"label": " "}, "label cannot be read"),
        ({"shape": "cone"}, "no such shape"),
        ({"size_mm": (8.0, 8.0)}, r"a ball has 1 size"),
        ({"size_mm": (0.0,)}, "diameter is not possible"),
        ({"size_mm": (math.nan,)}, "diameter is not possible"),
        ({"size_mm": (math.inf,)}, "diameter is not possible"),
        ({"mass_g": 0.0}, "mass is not possible"),
        ({"mass_g": -1.0}, "mass is not possible"),
        ({"mass_g": math.nan}, "mass is not possible"),
        ({"nest_step_mm": 2.0}, "nest step is not possible"),
    ],
)
def test_an_impossible_object_is_refused_in_a_sentence(changes: dict[str, object], said: str) -> None:
    with pytest.raises(BadRequest, match=said) as caught:
        own(**changes)
    assert "\n" not in str(caught.value)


def shipped_record(**changes: object) -> dict[str, object]:
    document = json.loads((ASSETS / "objects.json").read_text("utf-8"))
    record: dict[str, object] = document["objects"][0]
    return record | changes


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "not an object list"),
        ("[]", "not an object list"),
        ('{"format": "foil-pattern", "version": 1, "objects": []}', "format"),
        ('{"format": "foil-objects", "version": 2, "objects": []}', "version"),
        (json.dumps({"format": "foil-objects", "version": 1, "objects": [shipped_record(colour="red")]}), "colour"),
        (json.dumps({"format": "foil-objects", "version": 1, "objects": [shipped_record(mass_g="2.5")]}), "mass_g"),
        (json.dumps({"format": "foil-objects", "version": 1, "objects": [shipped_record(size_mm=[-1, 2])]}), "us-cent"),
        (json.dumps({"format": "foil-objects", "version": 1, "objects": [shipped_record()] * 2}), "two objects"),
        (b"\xff\xfe\x00".decode("latin-1"), "not an object list"),
    ],
)
def test_a_broken_list_is_refused_and_the_place_named(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "objects.json"
    path.write_text(text, "latin-1")
    with pytest.raises(UnreadableFile, match=said) as caught:
        read_items(path)
    assert str(path) in str(caught.value)


def test_a_broken_list_of_the_users_is_never_overwritten() -> None:
    add_item(own())
    own_file().write_text("{broken")
    with pytest.raises(UnreadableFile):
        add_item(own(name="blue-bead"))
    assert "{broken" == own_file().read_text()


@pytest.mark.parametrize(
    ("name", "extents_mm"),
    [
        ("us-cent", (19.05, 19.05, 1.52)),
        ("marble-16", (16, 16, 16)),
        ("wood-brick", (60, 30, 15)),
        ("cork", (45, 24, 24)),
        ("paper-cup", (73, 73, 80)),
        ("wood-screw-4x30", (30, 8, 8)),
    ],
)
def test_an_object_lies_in_a_box_of_its_size(name: str, extents_mm: tuple[float, float, float]) -> None:
    assert extents_mm == find_item(name).extents_mm


def test_small_and_sharp_objects_carry_their_cautions() -> None:
    """Small-parts cylinder 31.7 mm wide and 57.1 mm deep: 16 CFR 1501.4, from memory."""
    screw, bead, ball = find_item("wood-screw-4x30"), find_item("glass-bead-6"), find_item("table-tennis-ball")
    assert ["cut", "choke"] == [word for word in ("cut", "choke") if any(word in line for line in screw.cautions)]
    assert 1 == len(bead.cautions)
    assert () == ball.cautions


@pytest.mark.parametrize(
    ("shape", "size_mm", "small"),
    [
        ("ball", (31.0,), True), ("ball", (33.0,), False),
        ("tube", (10.0, 56.0), True), ("tube", (10.0, 59.0), False),
    ],
)  # fmt: skip
def test_what_fits_the_small_parts_cylinder_can_choke(shape: str, size_mm: tuple[float, ...], small: bool) -> None:
    """31.7 mm wide, 57.1 mm deep: 16 CFR 1501.4, from memory."""
    said = Item("thing", "Thing", shape, size_mm, 1.0).cautions
    assert small == any("choke" in sentence for sentence in said)
