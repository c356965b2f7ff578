"""Skins made by hand, so that the water can be tried without a fold."""

from __future__ import annotations

import numpy as np

from folder.hull.skin import Skin


def box(length: float, breadth: float, depth: float) -> Skin:
    """An open box: `length` along x, `breadth` along y."""
    return frustum(length, breadth, length, breadth, depth)


def frustum(x0: float, y0: float, x1: float, y1: float, depth: float) -> Skin:
    """An open box whose floor is x0 by y0 and whose mouth is x1 by y1."""
    return ring_hull([(x0, y0, 0.0), (x1, y1, depth)])


def ring_hull(sizes: list[tuple[float, float, float]]) -> Skin:
    """Rectangles of size (x, y) at heights z, one joined to the next by four faces; the first is the floor.

    A ring may lie below the one before it: that makes a hem, or a gutter.
    """
    vertices = [(sx * x / 2, sy * y / 2, z) for x, y, z in sizes for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    triangles = [(0, 1, 2), (0, 2, 3)]
    for ring in range(len(sizes) - 1):
        low, high = 4 * ring, 4 * ring + 4
        for i in range(4):
            j = (i + 1) % 4
            triangles += [(low + i, high + j, low + j), (low + i, high + i, high + j)]
    return Skin.of(np.array(vertices), np.array(triangles), np.array([0, 1]))


def keel(length: float, breadth: float, depth: float) -> Skin:
    """A V-shaped trough with upright ends, keel along x, in the frame of its upright pose (keel at z = 0)."""
    x, y = length / 2, breadth / 2
    vertices = [(-x, 0, 0), (x, 0, 0), (-x, -y, depth), (x, -y, depth), (-x, y, depth), (x, y, depth)]
    triangles = [(0, 1, 5), (0, 5, 4), (0, 3, 1), (0, 2, 3), (0, 4, 2), (1, 3, 5)]
    return Skin.of(np.array(vertices, dtype=float), np.array(triangles), np.array([0, 1]))


def subdivided(skin: Skin, times: int) -> Skin:
    """The same shape in four times as many triangles, `times` over."""
    for _ in range(times):
        middle: dict[tuple[int, int], int] = {}
        vertices = skin.vertices.tolist()
        triangles, floor = [], []
        on_floor = set(skin.floor.tolist())
        for t, corners in enumerate(skin.triangles.tolist()):
            mids = []
            for i in range(3):
                a, b = corners[i], corners[(i + 1) % 3]
                key = (min(a, b), max(a, b))
                if key not in middle:
                    middle[key] = len(vertices)
                    vertices.append([(p + q) / 2 for p, q in zip(vertices[a], vertices[b], strict=True)])
                mids.append(middle[key])
            a, b, c = corners
            d, e, f = mids
            if t in on_floor:
                floor += range(len(triangles), len(triangles) + 4)
            triangles += [(a, d, f), (d, b, e), (f, e, c), (d, e, f)]
        skin = Skin.of(np.array(vertices), np.array(triangles), np.array(floor))
    return skin


def lopsided(chance: np.random.Generator) -> Skin:
    """A hull with a four-cornered floor and mouth, no two sides alike, its walls leaning out."""
    signs = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    floor = signs * chance.uniform(25, 50, (4, 2))
    mouth = floor + signs * chance.uniform(0, 15, (4, 2))
    vertices = np.concatenate([np.column_stack([floor, np.zeros(4)]), np.column_stack([mouth, chance.uniform(15, 30, 4)])])
    return Skin.of(vertices, ring_hull([(1, 1, 0), (1, 1, 1)]).triangles, np.array([0, 1]))


def below_water(skin: Skin, up: np.ndarray, draft: float) -> tuple[float, np.ndarray]:
    """Volume and centre (hull frame) of what lies below the water, by trimesh.

    The skin is turned so that the water is the plane z = 0 and sliced there by trimesh. It needs no lid: a lid in z = 0
    adds nothing to trimesh's integrals of x, x^2, y^2 and z^2 over the surface along their own axes.
    """
    import trimesh
    from scipy.spatial.transform import Rotation

    turn = Rotation.align_vectors([[0, 0, 1]], [up])[0]
    turned = trimesh.Trimesh(turn.apply(np.array(skin.vertices)) - [0, 0, draft], skin.triangles, process=False)
    under = turned.slice_plane(plane_origin=[0, 0, 0], plane_normal=[0, 0, -1], cap=False)
    # The inside faces up, so the body without its lid is inside out.
    whole = trimesh.triangles.mass_properties(under.triangles[:, ::-1], density=1.0, skip_inertia=True)
    return float(whole.volume), turn.inv().apply(whole.center_mass + np.array([0, 0, draft]))


def bowl(sides: int, rings: int, radius: float, depth: float) -> Skin:
    """A many-sided bowl, its walls leaning out and a little uneven: 2 x sides x rings + sides - 2 triangles."""
    turns = 2.0 * np.pi * np.arange(sides) / sides
    wave = 1.0 + 0.05 * np.sin(2.0 * turns) + 0.03 * np.cos(3.0 * turns)
    vertices = [
        (r * wave[i] * np.cos(turns[i]), 0.8 * r * wave[i] * np.sin(turns[i]), z * (1.0 + 0.05 * np.cos(turns[i])))
        for r, z in ((radius * (1.0 + 0.4 * k / rings), depth * k / rings) for k in range(rings + 1))
        for i in range(sides)
    ]
    triangles = [(0, i, i + 1) for i in range(1, sides - 1)]
    for k in range(rings):
        for i in range(sides):
            a, b = k * sides + i, k * sides + (i + 1) % sides
            triangles += [(a, b + sides, b), (a, a + sides, b + sides)]
    return Skin.of(np.array(vertices), np.array(triangles), np.arange(sides - 2))
