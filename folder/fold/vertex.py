"""Does one vertex close, and how far off is it.

sector    the angle on the sheet between two neighbouring creases of a vertex
closes    going once round, turning by r at each crease and by s in each sector, one arrives where one began:
          the product of Rx(r_i) Rz(s_i) is the identity (belcastro & Hull 2002; Tachi 2009)
misfit    the angle of the rotation that the product is instead
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats, Ints, frozen, turn_angle
from folder.pattern.faces.faces import Faces


class Fans(Struct, frozen=True, eq=False):
    """The inner vertices, each with its edges in order. Rows are padded; padding does not turn."""

    vertex: Ints
    """(n,) vertex index."""
    edge: Ints
    """(n, d) edge index, counter-clockwise; -1 is padding."""
    sector: Floats
    """(n, d) rad, from each edge to the next; 0 in the padding."""

    @property
    def real(self) -> Bools:
        """(n, d) which entries are not padding."""
        return self.edge >= 0

    def turns(self, turn: Floats) -> Floats:
        """The turns (e,) of all edges laid out as (n, d), 0 in the padding."""
        return np.where(self.edge >= 0, turn[self.edge], 0.0)


def fans_of(faces: Faces, which: Bools | None = None) -> Fans:
    """The fans of the inner vertices of the sheet, or of those marked in `which` (v,)."""
    start, edge, angle = faces.fans
    vertex = np.nonzero((faces.inner if which is None else which) & (start[1:] > start[:-1]))[0]
    first, degree = start[vertex], start[vertex + 1] - start[vertex]
    slot = np.arange(degree.max(initial=0))
    real = slot < degree[:, None]
    index = np.where(real, first[:, None] + slot, 0)
    following = np.where(slot + 1 < degree[:, None], index + 1, first[:, None])
    around = 2.0 * np.pi
    sector = np.where(real, (angle[following] - angle[index]) % around, 0.0)
    return Fans(frozen(vertex), frozen(np.where(real, edge[index], -1)), frozen(sector))


def closure(turns: Floats, sectors: Floats) -> Floats:
    """The product of Rx(r_i) Rz(s_i) once round each vertex: (n, d) rad, (n, d) rad -> (n, 3, 3)."""
    cr, sr, cs, ss = np.cos(turns), np.sin(turns), np.cos(sectors), np.sin(sectors)
    step = np.zeros((*turns.shape, 3, 3))
    step[..., 0, 0] = cs
    step[..., 0, 1] = -ss
    step[..., 1, 0] = cr * ss
    step[..., 1, 1] = cr * cs
    step[..., 1, 2] = -sr
    step[..., 2, 0] = sr * ss
    step[..., 2, 1] = sr * cs
    step[..., 2, 2] = cr
    product: Floats = np.broadcast_to(np.eye(3), (len(turns), 3, 3))
    for slot in range(turns.shape[1]):
        product = product @ step[:, slot]
    return product


def misfits(turns: Floats, sectors: Floats) -> Floats:
    """How far each vertex is from closing: (n, d) rad, (n, d) rad -> (n,) rad in 0..pi."""
    return turn_angle(closure(turns, sectors))


def residual_and_jacobian(turns: Floats, sectors: Floats) -> tuple[Floats, Floats]:
    """Misfit as a vector, and how each turn changes it: (n, d) rad, (n, d) rad -> (n, 3), (n, 3, d).

    The vector points along the axis of the rotation that remains and is 2 sin(misfit / 2) long: zero only when the
    vertex closes. Its change with a turn is the direction of that crease, as seen from where one set out (Tachi 2009).
    With quaternions: q' = a q / 2 for a crease along a.
    """
    count, degree = turns.shape
    # Unit quaternions w + xi + yj + zk as the matrices [[w + iz, -y + ix], [y + ix, w - iz]].
    c, s, z = np.cos(turns.T / 2.0), 1j * np.sin(turns.T / 2.0), np.exp(0.5j * sectors.T)
    step = np.empty((degree, count, 2, 2), dtype=np.complex128)
    step[..., 0, 0], step[..., 1, 0] = c * z, s * z
    step[..., 0, 1], step[..., 1, 1] = s * z.conj(), step[..., 0, 0].conj()
    product = np.empty((degree + 1, count, 2, 2), dtype=np.complex128)
    product[0] = np.eye(2)
    for slot in range(degree):
        np.matmul(product[slot], step[slot], out=product[slot + 1])
    p, r = product[:-1, :, 0, 0], product[:-1, :, 1, 0]
    level = p * p - (r * r).conj()
    x, y, z = level.real, level.imag, -2.0 * (p * r).real
    p, r = product[-1, :, 0, 0], product[-1, :, 1, 0]
    sign = np.where(p.real < 0.0, -1.0, 1.0)
    w, i, j, k = sign * p.real, sign * r.imag, sign * r.real, sign * p.imag
    jacobian = np.empty((3, degree, count))
    jacobian[0] = w * x + y * k - z * j
    jacobian[1] = w * y + z * i - x * k
    jacobian[2] = w * z + x * j - y * i
    return 2.0 * np.stack([i, j, k], axis=1), jacobian.transpose(2, 0, 1)
