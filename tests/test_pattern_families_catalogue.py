"""Every family over its parameters: it folds exactly or says why not, and the hull has the shape it should."""

import math
import re

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.fold.layers.clash import clashes_of
from folder.fold.place import folded
from folder.fold.vertex import fans_of, misfits
from folder.hull.hull import hull_of
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.bowls import inset
from folder.pattern.families.catalogue import FAMILIES, find_family, make
from folder.pattern.families.parameter import Parameter
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Sheet
from folder.studies import study

EXACT_MM = 1e-9


def fold(pattern):
    return folded(faces_of(pattern))


def hull(pattern):
    return hull_of(fold(pattern), pattern.sheet.thickness_um)


def prismatoid(height, bottom, middle, top):
    """Volume between two level polygons joined by planes: h/6 (A0 + 4 Am + A1). Exact for frusta (textbook)."""
    return height / 6.0 * (bottom + 4.0 * middle + top)


def ring(floor_points, wall, turn_deg):
    """Volume over a convex floor with walls of one width and turn: the areas are the floor moved out (shapely, mitred)."""
    floor = shapely.Polygon(floor_points)
    out, high = wall * math.cos(math.radians(turn_deg)), wall * math.sin(math.radians(turn_deg))
    if out < 1e-9:  # shapely's buffer loses a polygon that is moved out by a rounding residue
        return high * floor.area
    areas = [floor.buffer(out * share, join_style="mitre", mitre_limit=100.0).area for share in (0.0, 0.5, 1.0)]
    return prismatoid(high, *areas)


def solid_below(sheet_folded, level):
    """Volume of the convex hull (trimesh) of every folded corner up to a level: the hull's, when its walls bulge nowhere in."""
    points = sheet_folded.corners.reshape(-1, 3)
    return trimesh.convex.convex_hull(points[points[:, 2] < level + 1e-6]).volume


@st.composite
def requests(draw, families=tuple(FAMILIES)):
    """A family with some of its parameters anywhere in their ranges, on any sheet; lengths mostly such that a floor is left."""
    family = FAMILIES[draw(st.sampled_from(families))]
    side = st.sampled_from([150.0, 150.0, 20.0, 1000.0]) | st.floats(20.0, 1000.0)
    width = draw(side)
    sheet = Sheet(width, draw(st.just(width) | side))
    most = min(sheet.width_mm, sheet.height_mm) * draw(st.sampled_from([0.1, 0.3, 0.5]))
    values = {}
    for p in family.parameters:
        if isinstance(p.default, str):
            values[p.name] = draw(st.sampled_from(p.choices or ("auto", "sides", "ends", "round", "sees")))
        elif p.whole:
            values[p.name] = draw(st.integers(int(p.low), int(p.high)))
        else:
            high = max(p.low, min(p.high, most)) if p.unit == "mm" else p.high
            values[p.name] = draw(st.floats(p.low, high))
    if family.name == "long-barge":  # four widths that reach one height are found by chance only seldom
        for name in ("left", "right", "bow", "stern"):
            values[name] = values["height"] * draw(st.floats(1.0, 2.0))
    if family.name == "bent-tray":  # so are turns in order
        turns = sorted(draw(st.lists(st.floats(10.0, 90.0), min_size=values["bends"], max_size=values["bends"])))
        strips = {f"strip{k}": most / len(turns) * draw(st.floats(0.1, 1.0)) for k in range(1, len(turns) + 1)}
        values = {"bends": len(turns), "tuck": values["tuck"], **strips, **{f"turn{k}": t for k, t in enumerate(turns, start=1)}}
    kept = draw(st.sets(st.sampled_from(sorted(values)))) if draw(st.booleans()) else set(values)
    return family.name, sheet, {name: value for name, value in values.items() if name in kept or family.name == "long-barge"}


@pytest.mark.parametrize("family", FAMILIES)
@settings(max_examples=40, suppress_health_check=[HealthCheck.filter_too_much], deadline=None)
@given(data=st.data())
def test_every_family_folds_exactly_or_says_why_not(family, data):
    """Closure gap at most 1e-9 mm and lengths kept, over all parameters and sheets; a refusal names place and remedy."""
    name, sheet, values = data.draw(requests((family,)))
    try:
        pattern = make(name, values, sheet=sheet)
    except BadRequest as refusal:
        if not all((refusal.what, refusal.where, refusal.found, refusal.remedy)):
            raise
        return
    faces = faces_of(pattern)
    fans = fans_of(faces)
    placed = folded(faces)
    assert 0 == len(faces.dangling) + len(faces.overlaps)
    assert 1e-11 > misfits(fans.turns(faces.turn), fans.sector).max()
    assert EXACT_MM > placed.closure_gap_mm
    assert placed.placed.all()
    # Each flap is pinched where there is foil, and no wall is lower than another.
    assert FAMILIES[name].corners == len(pattern.crimps)
    assert (faces.faces_at(np.array(pattern.crimps)) >= 0).all()
    vessel = hull_of(placed, sheet.thickness_um)
    if FAMILIES[name].has_level_rim:
        assert vessel.rim_height_mm == pytest.approx(np.median(vessel.wall_heights), abs=1e-6)
    # Nothing hangs below the floor.
    assert -EXACT_MM < placed.corners[..., 2].min()
    # Distances on the sheet between neighbours in space, each vertex taken from any face that has it.
    at = np.empty((len(faces.vertices), 3))
    at[faces.triangles] = placed.corners
    flat, space = (v[faces.edges[:, 1]] - v[faces.edges[:, 0]] for v in (faces.vertices, at))
    assert np.hypot(*flat.T) == pytest.approx(np.linalg.norm(space, axis=1), abs=EXACT_MM)


@pytest.mark.parametrize("family", FAMILIES)
@settings(max_examples=8, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow], deadline=None)
@given(data=st.data())
def test_no_flap_hem_or_layer_passes_through_another(family, data):
    """By the fold's own search for crossing faces and for an order of layers, which knows nothing of families."""
    name, sheet, values = data.draw(requests((family,)))
    try:
        pattern = make(name, values, sheet=sheet)
    except BadRequest:
        assume(False)
    assume(len(pattern.creases) < 120)  # the search is slow for sixteen layers, and four tell as much
    clashes = clashes_of(fold(pattern))
    assert 0 == len(clashes.pairs)


@pytest.mark.parametrize("family", FAMILIES)
def test_the_defaults_of_every_family_fold_without_a_word_of_complaint(family):
    report = study(make(family)).report
    assert () == report.stops
    assert () == report.having("edge-dips", "needs-tape", "floor-breaks", "stops-short", "lone-line")


@pytest.mark.parametrize("family", FAMILIES.values(), ids=FAMILIES.keys())
def test_every_family_says_in_a_sentence_when_to_use_it_and_every_parameter_what_it_is(family):
    assert family.text.endswith(".")
    assert 30 < len(family.text) < 160
    for p in family.parameters:
        assert len(p.text) > 10
        assert family.values({p.name: p.default})[p.name] == p.default


trays = st.tuples(st.floats(3.0, 70.0), st.floats(30.0, 90.0))


@settings(deadline=None)
@given(trays)
def test_a_leaning_tray_holds_what_the_frustum_formula_says(tray):
    """V = H/3 (b^2 + b B + B^2), the square frustum (textbook), against the signed integral over the skin."""
    wall, turn = tray
    b = 150.0 - 2.0 * wall
    top = b + 2.0 * wall * math.cos(math.radians(turn))
    height = wall * math.sin(math.radians(turn))
    made = hull(make("leaning-tray", {"wall": wall, "turn": turn}))
    assert height == pytest.approx(made.rim_height_mm, abs=1e-9)
    assert height / 3.0 * (b * b + b * top + top * top) == pytest.approx(made.volume_mm3, rel=1e-9)


@settings(deadline=None)
@given(st.floats(60.0, 400.0), st.floats(60.0, 400.0), st.floats(0.05, 0.45))
def test_a_square_tray_on_any_rectangle_is_a_box(width, height, share):
    wall = share * min(width, height)
    made = hull(make("square-tray", {"wall": wall}, sheet=Sheet(width, height)))
    assert (width - 2.0 * wall) * (height - 2.0 * wall) * wall == pytest.approx(made.volume_mm3, rel=1e-9)


def test_the_best_leaning_tray_holds_its_published_volume():
    """a = 15 cm, turn 57.91 deg: 291.67 cm3; the best wall by the frustum formula is 34.83 mm (computed here)."""
    made = hull(read_pattern(ready_patterns()["leaning-tray"]))
    assert 291.67 == pytest.approx(made.volume_mm3 / 1000.0, abs=0.005)


def test_a_hem_lowers_the_wall_by_its_depth_and_doubles_the_rim():
    plain, hemmed = (make(f, {"wall": 25.0}) for f in ("square-tray", "hemmed-tray"))
    assert 25.0 == pytest.approx(hull(plain).rim_height_mm)
    assert 25.0 - 5.0 == pytest.approx(hull(hemmed).rim_height_mm)
    assert 100.0 * 100.0 * 20.0 == pytest.approx(hull(hemmed).volume_mm3)
    # Layers of the lower wall at its middle: one below the hem, two in it; a plain wall has one up to the rim.
    assert [1, 2, 2, 0] == [layers_at(fold(hemmed), (75.0, 25.0, z)) for z in (14.0, 16.0, 19.0, 21.0)]
    assert [1, 1] == [layers_at(fold(plain), (75.0, 25.0, z)) for z in (14.0, 24.0)]


@pytest.mark.parametrize("edges", ["all", "sides", "ends", "lower", "right", "upper", "left"])
@pytest.mark.parametrize("turn", [60.0, 90.0])
def test_a_hem_on_any_edges_leaves_a_level_rim(edges, turn):
    made = hull(make("hemmed-tray", {"wall": 30.0, "hem": 6.0, "edges": edges, "turn": turn}))
    assert 24.0 * math.sin(math.radians(turn)) == pytest.approx(made.rim_height_mm)
    assert made.rim_height_mm == pytest.approx(made.wall_heights.min()) == pytest.approx(made.wall_heights.max())


def layers_at(placed, point):
    """How many triangles of the folded sheet hold a point of space: independent barycentric sums."""
    a, b, c = (placed.corners[:, k] for k in range(3))
    normal = np.cross(b - a, c - a)
    area = np.linalg.norm(normal, axis=1)
    inside = np.abs(((point - a) * normal).sum(axis=1)) < 1e-6 * area
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= (np.cross(q - p, point - p) * normal).sum(axis=1) > 0
    return int(inside.sum())


def floor_layers(pattern):
    """Least and most layers at places all over the floor."""
    placed, made = fold(pattern), hull(pattern)
    outline = np.array(made.cover.outline) + made.offset
    polygon = shapely.Polygon(outline).buffer(-0.5)
    (x0, y0, x1, y1) = polygon.bounds
    # An odd step keeps the places off the creases.
    places = [(x, y) for x in np.arange(x0, x1, 2.317) for y in np.arange(y0, y1, 2.731) if shapely.contains_xy(polygon, x, y)]
    counts = [layers_at(placed, (x, y, 0.0)) for x, y in places]
    assert len(counts) > 50
    return min(counts), max(counts)


@pytest.mark.parametrize(
    ("family", "values", "expected"),
    [
        ("square-tray", {}, (1, 1)),
        ("hemmed-tray", {}, (1, 1)),
        ("pleated-floor-tray", {"pleat": 9.0}, (1, 3)),
        ("double-sheet-tray", {}, (2, 2)),
        ("tall-box", {"across": 2, "along": 2}, (4, 4)),
        ("tall-box", {"across": 3, "along": 1, "wall": 12}, (3, 3)),
        ("eight-sided-bowl", {"wall": 26.0}, (1, 2)),
    ],
)
def test_the_layers_on_the_floor_are_counted_right(family, values, expected):
    """Counted once by the hull's cover, once by holding points of the floor against every folded triangle."""
    pattern = make(family, values)
    cover = hull(pattern).cover
    assert expected == floor_layers(pattern) == (cover.layers_least, cover.layers_most)


@settings(deadline=None)
@given(st.floats(2.0, 20.0), st.floats(5.0, 35.0), st.floats(40.0, 90.0))
def test_a_pleated_tray_is_a_tray_from_a_sheet_that_is_shorter_by_two_pleats(pleat, wall, turn):
    made = hull(make("pleated-floor-tray", {"pleat": pleat, "wall": wall, "turn": turn}))
    wide, long = 150.0 - 2.0 * (pleat + wall), 150.0 - 2.0 * wall
    floor = ((0.0, 0.0), (wide, 0.0), (wide, long), (0.0, long))
    assert ring(floor, wall, turn) == pytest.approx(made.volume_mm3, rel=1e-9)


@settings(deadline=None)
@given(st.floats(3.0, 34.0), st.floats(40.0, 90.0))
def test_a_double_sheet_tray_is_a_tray_from_half_a_sheet(wall, turn):
    made = hull(make("double-sheet-tray", {"wall": wall, "turn": turn}))
    floor = ((0.0, 0.0), (150.0 - 2.0 * wall, 0.0), (150.0 - 2.0 * wall, 75.0 - 2.0 * wall), (0.0, 75.0 - 2.0 * wall))
    assert ring(floor, wall, turn) == pytest.approx(made.volume_mm3, rel=1e-9)


@pytest.mark.parametrize(("across", "along"), [(1, 1), (2, 1), (1, 3), (2, 2), (3, 2), (4, 4)])
def test_a_tall_box_is_a_box_from_a_part_of_the_sheet(across, along):
    made = hull(make("tall-box", {"across": across, "along": along, "wall": 9.0}))
    assert (150.0 / across - 18.0) * (150.0 / along - 18.0) * 9.0 == pytest.approx(made.volume_mm3, rel=1e-9)


@given(st.floats(5.0, 40.0), *[st.floats(1.0, 1.9)] * 4)
@settings(max_examples=50, deadline=None)
def test_the_rim_of_a_long_barge_is_level_and_its_volume_that_of_a_prismatoid(height, left, right, bow, stern):
    """Areas at floor, half height and rim: rectangles that grow by each wall's run sqrt(w^2 - h^2)."""
    walls = {"left": height * left, "right": height * right, "bow": height * bow, "stern": height * stern}
    assume(max(walls["left"] + walls["right"], walls["bow"] + walls["stern"]) < 140.0)
    try:
        pattern = make("long-barge", {"height": height, **walls})
    except BadRequest as refusal:  # high walls round a short floor
        assume("flaps" not in refusal.what and "near" not in refusal.what)
        raise
    run = {name: math.sqrt(w * w - height * height) for name, w in walls.items()}
    long, wide = 150.0 - walls["bow"] - walls["stern"], 150.0 - walls["left"] - walls["right"]
    areas = [(wide + s * (run["left"] + run["right"])) * (long + s * (run["bow"] + run["stern"])) for s in (0.0, 0.5, 1.0)]
    made = hull(pattern)
    assert height == pytest.approx(made.rim_height_mm)
    assert prismatoid(height, *areas) == pytest.approx(made.volume_mm3, rel=1e-9)
    assert prismatoid(height, *areas) == pytest.approx(solid_below(made.folded, height), rel=1e-6)


def regular(n, apothem):
    radius = apothem / math.cos(math.pi / n)
    return [(radius * math.cos(math.tau * k / n), radius * math.sin(math.tau * k / n)) for k in range(n)]


@pytest.mark.parametrize(
    ("family", "n", "apothem"), [("six-sided-bowl", 6, 75.0 * math.sqrt(0.75)), ("eight-sided-bowl", 8, 75.0)]
)
@settings(max_examples=30, deadline=None)
@given(wall=st.floats(8.0, 40.0), turn=st.floats(45.0, 90.0))
def test_a_bowl_is_a_frustum_over_a_regular_polygon(family, n, apothem, wall, turn):
    """Area of a regular n-gon n tan(pi/n) a^2 (textbook), through the mitred outline of shapely; solid by trimesh."""
    try:
        pattern = make(family, {"wall": wall, "turn": turn})
    except BadRequest as refusal:
        assume("near" not in refusal.what)
        raise
    floor = regular(n, apothem - wall)
    made = hull(pattern)
    assert n * math.tan(math.pi / n) * (apothem - wall) ** 2 == pytest.approx(made.cover.area_mm2)
    assert wall * math.sin(math.radians(turn)) == pytest.approx(made.rim_height_mm)
    assert ring(floor, wall, turn) == pytest.approx(made.volume_mm3, rel=1e-9)
    assert ring(floor, wall, turn) == pytest.approx(solid_below(made.folded, made.rim_height_mm), rel=1e-6)


@settings(max_examples=30, deadline=None)
@given(st.floats(8.0, 35.0), st.floats(5.0, 30.0), st.floats(45.0, 90.0))
def test_a_bevelled_tray_has_the_floor_that_was_asked_for(wall, bevel, turn):
    try:
        pattern = make("bevelled-tray", {"wall": wall, "bevel": bevel, "turn": turn})
    except BadRequest as refusal:
        assume("near" not in refusal.what and "meet" not in refusal.what)
        raise
    side = 150.0 - 2.0 * wall
    most = side - bevel
    floor = [(bevel, 0), (most, 0), (side, bevel), (side, most), (most, side), (bevel, side), (0, most), (0, bevel)]
    made = hull(pattern)
    assert side * side - 2.0 * bevel * bevel == pytest.approx(made.cover.area_mm2)
    assert ring(floor, wall, turn) == pytest.approx(made.volume_mm3, rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.floats(8.0, 25.0), st.floats(30.0, 70.0), st.just(0.0) | st.floats(2.0, 30.0), st.floats(50.0, 90.0))
def test_a_pinched_barge_is_pointed_at_both_ends(wall, point, strip, turn):
    """Floor: the outline's hexagon moved in by the wall (shapely); both ends are single corners."""
    try:
        pattern = make("pinched-barge", {"wall": wall, "point": point, "strip": strip, "turn": turn})
    except BadRequest as refusal:
        assume(not any(reason in refusal.what for reason in ("near", "no floor", "stands out over the rim")))
        raise
    hexagon = [(0, 75), (point, strip), (150 - point, strip), (150, 75), (150 - point, 150 - strip), (point, 150 - strip)]
    floor = shapely.Polygon(hexagon).buffer(-wall, join_style="mitre", mitre_limit=100.0)
    assume(len(floor.exterior.coords) == 7)
    made = hull(pattern)
    assert floor.area == pytest.approx(made.cover.area_mm2)
    assert wall * math.sin(math.radians(turn)) == pytest.approx(made.rim_height_mm)
    assert ring(floor.exterior.coords, wall, turn) == pytest.approx(made.volume_mm3, rel=1e-9)


@settings(max_examples=50, deadline=None)
@given(st.floats(20.0, 50.0), st.floats(0.3, 0.7), st.floats(30.0, 60.0), st.floats(5.0, 30.0))
def test_a_two_bend_tray_is_one_frustum_on_another(wall, share, turn, more):
    """Two square frusta H/3 (b^2 + b B + B^2), one on top of the other: the ears stand outside of them."""
    low, upright = share * wall, turn + more
    try:
        made = hull(make("two-bend-tray", {"wall": wall, "bend": low, "turn": turn, "upright": upright}))
    except BadRequest as refusal:
        assume("near" not in refusal.what)
        raise
    level, side, volume = 0.0, 150.0 - 2.0 * wall, 0.0
    for width, angle in ((low, math.radians(turn)), (wall - low, math.radians(upright))):
        high, top = width * math.sin(angle), side + 2.0 * width * math.cos(angle)
        volume += high / 3.0 * (side * side + side * top + top * top)
        level, side = level + high, top
    assert level == pytest.approx(made.rim_height_mm)
    assert volume == pytest.approx(made.volume_mm3, rel=1e-9)


def test_the_ready_two_bend_tray_holds_more_than_any_leaning_tray_and_less_than_the_bound():
    """Bounds for a = 15 cm: 291.67 cm3 for one bend, 327.3 cm3 for walls that bend freely (Paulsen 1994)."""
    volume = hull(read_pattern(ready_patterns()["two-bend-tray"])).volume_mm3 / 1000.0
    assert 291.67 + 20.0 < volume < 327.3


def wall_planes(pattern):
    """Normal and distance of the floor and of each wall's plane, from the floor's outline and the turns asked for."""
    values, made = pattern.family.parameters, hull(pattern)
    points = np.array(shapely.Polygon(made.cover.outline).convex_hull.simplify(1e-6).exterior.coords)[-2::-1] + made.offset
    planes = [(0.0, 0.0, 1.0, 0.0)]
    for start, end in zip(points, np.roll(points, -1, axis=0), strict=True):
        (x, y) = (end - start) / np.hypot(*(end - start))
        out = np.array([y, -x])
        turn = math.radians(values.get("turn", 90.0))
        if "bow" in values:
            wall = {(-1, 0): "left", (1, 0): "right", (0, -1): "bow", (0, 1): "stern"}[tuple(out.round().astype(int).tolist())]
            turn = math.asin(values["height"] / values[wall])
        normal = np.array([*(-math.sin(turn) * out), math.cos(turn)])
        planes.append((*normal, float(normal @ np.array([*start, 0.0]))))
    return np.array(planes)


@pytest.mark.parametrize("family", [name for name, family in FAMILIES.items() if family.has_flat_flaps])
def test_every_wall_and_flap_lies_in_the_plane_of_the_floor_or_of_a_wall(family):
    """Flaps, hems and darts lie flat: no face has a plane of its own."""
    pattern = make(family)
    placed, walls = fold(pattern), wall_planes(pattern)
    first = np.unique(placed.faces.triangle_face, return_index=True)[1]
    planes = np.column_stack([placed.normals, (placed.normals * placed.corners[first, 0]).sum(axis=1)])
    apart = np.minimum(*(np.abs(planes[:, None] - sign * walls[None]).max(axis=2) for sign in (1.0, -1.0)))
    assert 1e-9 > apart.min(axis=1).max()
    # And there is a face in each of these planes.
    assert 1e-9 > apart.min(axis=0).max()


@pytest.mark.parametrize("family", FAMILIES)
def test_flat_folds_come_first_and_each_leaves_a_sheet_that_closes(family):
    """Steps: hems, pleats and halves fold flat before the walls rise; the sheet closes after each of them."""
    pattern = make(family)
    steps = sorted({c.step for c in pattern.creases})
    assert list(range(1, len(steps) + 1)) == steps
    rising = min(c.step for c in pattern.creases if c.turn_rad < math.pi)
    for last in range(1, rising):
        done = [c if c.step <= last else replace(c, turn_rad=0.0) for c in pattern.creases]
        assert EXACT_MM > fold(replace(pattern, creases=tuple(done))).closure_gap_mm


@pytest.mark.parametrize("family", FAMILIES)
def test_each_flap_has_a_crimp_where_it_lies_on_its_wall(family):
    """At a crimp the folded sheet has a wall and the two layers of a flap, all in one place; of an ear that stands, its two layers."""
    pattern = make(family)
    placed = fold(pattern)
    assert FAMILIES[family].corners == len(pattern.crimps)
    for crimp in pattern.crimps:
        x, y = crimp
        motion = placed.motions[placed.faces.face_at(crimp)]
        assert (3 if FAMILIES[family].has_flat_flaps else 2) <= layers_near(
            placed, motion[:3, 0] * x + motion[:3, 1] * y + motion[:3, 3]
        )


def layers_near(placed, point):
    """How many faces hold a point of space, a hair of rounding in the crimp's place allowed."""
    a, b, c = (placed.corners[:, k] for k in range(3))
    normal = np.cross(b - a, c - a)
    area = np.linalg.norm(normal, axis=1)
    inside = np.abs(((point - a) * normal).sum(axis=1)) < 1e-6 * area
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= (np.cross(q - p, point - p) * normal).sum(axis=1) > -1e-6 * area * area
    return len(np.unique(placed.faces.triangle_face[inside]))


def test_high_walls_get_flaps_tucked_round_by_themselves():
    assert make("square-tray", {"wall": 60.0}).creases == make("square-tray", {"wall": 60.0, "tuck": "round"}).creases
    assert make("square-tray", {"wall": 40.0}).creases == make("square-tray", {"wall": 40.0, "tuck": "sides"}).creases
    with pytest.raises(BadRequest, match="both longer than the wall"):
        make("square-tray", {"wall": 60.0, "tuck": "sides"})


@pytest.mark.parametrize(
    ("family", "values", "words"),
    [
        ("square-tray", {"wall": 74.0}, "leave no floor.*at most 72.5 mm"),
        ("hemmed-tray", {"wall": 74.0}, "leave no floor.*found 74 mm.*at most 72.5 mm"),
        ("square-tray", {"wall": float("nan")}, "out of range"),
        ("square-tray", {"wall": "high"}, "number is wanted"),
        ("square-tray", {"wall": None}, "number is wanted"),
        ("square-tray", {"hight": 5}, "no such parameter"),
        ("square-tray", {"tuck": "left"}, "choice is not known"),
        ("hemmed-tray", {"edges": "north"}, "choice is not known"),
        ("hemmed-tray", {"wall": 10, "hem": 6}, "deeper than the wall.*at most 5 mm"),
        ("pleated-floor-tray", {"pleat": 40}, "leaves no floor"),
        ("pleated-floor-tray", {"shift": 60}, "runs into a wall"),
        ("double-sheet-tray", {"wall": 36}, "leave no floor.*at most 35 mm"),
        ("tall-box", {"across": 2.5}, "whole number"),
        ("long-barge", {"height": 30}, "cannot reach"),
        ("long-barge", {"left": 80}, "lies down too far"),
        ("bevelled-tray", {"bevel": 70}, "bevels of two corners meet"),
        ("pinched-barge", {"point": 75}, "two points meet"),
        ("pinched-barge", {"strip": 72}, "strips leave no sheet"),
        ("pinched-barge", {"strip": 1e-7}, "strip this narrow.*0 for no strip"),
        ("six-sided-bowl", {"wall": 64}, "leave no floor"),
        ("two-bend-tray", {"turn": 70, "upright": 60}, "stand up more"),
        ("two-bend-tray", {"bend": 35}, "too near the rim"),
    ],
)
def test_parameters_that_make_no_hull_are_refused_with_the_reason(family, values, words):
    with pytest.raises(BadRequest, match=words):
        make(family, values)


SIZES = st.floats(60.0, 400.0)


@pytest.mark.parametrize(
    ("family", "parameter", "bound"),
    [
        *((family, "wall", "most") for family in ("square-tray", "leaning-tray", "double-sheet-tray", "six-sided-bowl")),
        ("hemmed-tray", "hem", "most"), ("pleated-floor-tray", "pleat", "most"), ("two-bend-tray", "bend", "most"),
        ("pinched-barge", "point", "most"), ("bent-tray", "turn2", "least"), ("fan-bowl", "floor", "most"),
    ],
)  # fmt: skip
@settings(max_examples=8, deadline=None)
@given(width=SIZES, height=SIZES)
def test_what_a_refusal_offers_is_taken_when_it_is_given(family, parameter, bound, width, height):
    """On any sheet: the number told is not itself refused for the same reason."""
    sheet = Sheet(width, width if family in ("six-sided-bowl", "fan-bowl") else height)
    far = 400.0 if parameter == "wall" else 0.7 * width
    values = {parameter: 5.0 if bound == "least" else far}
    if parameter == "hem":
        values = {"hem": min(width / 3.0, 100.0), "wall": width / 7.0}
    with pytest.raises(BadRequest) as refusal:
        make(family, values, sheet=sheet)
    offered = re.search(rf"Give at {bound} ([0-9.]+)", refusal.value.remedy)
    assume(offered)  # some sheets are too small for any number
    named = re.search(r"parameter (\w+)", refusal.value.where)
    assert refusal.value.what != _refusal(family, {**values, (named[1] if named else parameter): float(offered[1])}, sheet)


def _refusal(family, values, sheet):
    try:
        make(family, values, sheet=sheet)
    except BadRequest as refusal:
        return refusal.what
    return ""


def test_a_family_that_does_not_exist_is_named_together_with_those_that_do():
    with pytest.raises(BadRequest, match=r"no such family.*square-tray"):
        find_family("round-tray")


def test_a_number_may_come_as_text_from_a_command_line():
    assert 25.0 == Parameter("wall", "", 20.0, "mm", 3.0, 400.0).accepted("25", "square-tray")


def test_an_outline_moved_in_too_far_is_none():
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert [(4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0)] == [pytest.approx(p) for p in inset(square, 4.0)]
    assert inset(square, 5.0) is None


def test_the_shelf_holds_at_least_fourteen_ready_patterns_from_every_family():
    patterns = [read_pattern(path) for path in ready_patterns().values()]
    assert 14 <= len(patterns) == len({p.name for p in patterns})
    assert set(FAMILIES) <= {p.family.name for p in patterns}


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_names_a_ready_pattern_that_it_made(family):
    assert family == read_pattern(ready_patterns()[FAMILIES[family].ready]).family.name


@pytest.mark.parametrize("short", ready_patterns())
def test_every_ready_pattern_folds_and_has_a_note_for_a_pupil(short):
    pattern = read_pattern(ready_patterns()[short])
    trip = study(pattern)
    assert () == trip.report.stops
    assert () == trip.report.having("floor-breaks", *(() if short == "usual-fan-bowl" else ("edge-dips",)))
    assert EXACT_MM > trip.folded.closure_gap_mm
    assert (150.0, 150.0) == (pattern.sheet.width_mm, pattern.sheet.height_mm)
    assert 1 <= pattern.note.count(". ") + pattern.note.endswith(".") <= 2
    assert max(len(word) for word in pattern.note.split()) < 13
