"""The closing conditions as linear algebra: against plain dense matrices and differences."""

import numpy as np
import pytest
import scipy.linalg
from scipy.optimize import approx_fprime

from folder.fold.closing.linkage import Linkage, linkage
from folder.geometry.space import Floats
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.families.catalogue import make
from tests.folds import miura

RNG = np.random.default_rng(23)


def sheet(size: int) -> tuple[Faces, Linkage, Floats]:
    """A patch of parallelograms with all its turns unknown, at turns near its folded state."""
    faces = faces_of(miura(size, size, 60.0, 60.0))
    return faces, linkage(faces, faces.joined), faces.turn + RNG.normal(0.0, 0.1, len(faces.turn))


def dense(link: Linkage, jacobian: Floats) -> Floats:
    """(3 n, m) the Jacobian laid out in full."""
    full = np.zeros((len(jacobian), 3, len(link.unknown) + 1))
    for row, slots in enumerate(link.slot):
        full[row][:, slots] = jacobian[row]
    return full[:, :, :-1].reshape(3 * len(jacobian), -1)


def test_the_jacobian_is_how_the_residual_changes() -> None:
    _, link, turn = sheet(3)

    def residual(unknown: Floats) -> Floats:
        trial = turn.copy()
        trial[link.unknown] = unknown
        return link.residual_and_jacobian(trial)[0].ravel()

    found = approx_fprime(turn[link.unknown], residual, 1e-7)
    assert found == pytest.approx(dense(link, link.residual_and_jacobian(turn)[1]), abs=1e-5)


@pytest.mark.parametrize("size", [3, 5, 8])
def test_the_damped_normal_equations_in_blocks_are_solved_as_in_one_piece(size: int) -> None:
    """J'(J J' + D)^-1 r with numpy on the whole matrix; 8 x 8 goes over several blocks, 3 x 3 over none."""
    _, link, turn = sheet(size)
    residual, jacobian = link.residual_and_jacobian(turn)
    damping = RNG.uniform(0.001, 0.01, len(residual))
    full = dense(link, jacobian)
    want = full.T @ np.linalg.solve(full @ full.T + np.diag(damping.repeat(3)), residual.ravel())
    assert want == pytest.approx(link.damped_solution(jacobian, damping, residual[:, :, None])[:, 0], abs=1e-9)


@pytest.mark.parametrize("size", [3, 5])
def test_the_null_space_is_that_of_the_whole_matrix(size: int) -> None:
    """At the closed state, where the patch has its one motion and more to first order; scipy's singular values."""
    faces, link, _ = sheet(size)
    found = link.null_space(faces.turn)
    want = scipy.linalg.null_space(dense(link, link.residual_and_jacobian(faces.turn)[1]), rcond=1e-6)
    assert want.shape == found.shape
    assert found @ found.T == pytest.approx(want @ want.T, abs=1e-6)


def test_a_small_weight_makes_a_crease_move_less() -> None:
    """The first step shares a misfit out by the squares of the weights."""
    faces, free, turn = sheet(3)
    held = int(free.unknown[0])
    slow = linkage(faces, faces.joined, weights=np.where(np.arange(len(turn)) == held, 0.1, 1.0))
    moved = [abs(link.closed(turn, 1)[held] - turn[held]) for link in (free, slow)]
    assert moved[1] < 0.2 * moved[0]


def test_parts_that_do_not_hang_together_are_solved_apart() -> None:
    """The four corners of a tray, its floor creases kept: four parts, each with one vertex."""
    faces = faces_of(make("square-tray", {}))
    on_floor = (faces.sides == faces.root).any(axis=1)
    link = linkage(faces, faces.joined & ~on_floor)
    assert (4, [0, 1, 2, 3]) == (link.parts, link.part.tolist())
    assert 12 == len(link.unknown)
    off = np.where(on_floor, faces.turn, faces.turn * 0.9)
    value, _ = link.residual_and_jacobian(link.closed(off))
    assert 0.0 == pytest.approx(np.abs(value).max(), abs=1e-12)
