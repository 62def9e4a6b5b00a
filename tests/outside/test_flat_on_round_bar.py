"""Check 2: torsion of a round bar with one flat.

Table [D]: two independent solvers (rational "lightning" solution, and finite elements on two
meshes) agree in every digit printed here.  One case is solved again in this file, with
scikit-fem.  Semicircle: exact, Saint-Venant.  Handbook polynomial [S]: Roark, 7th ed., Table 10.1.
"""

import math

import numpy as np
import pytest
from skfem import (
    Basis,
    BilinearForm,
    ElementTriP2,
    FacetBasis,
    LinearForm,
    MeshTri,
    condense,
    solve,
)
from skfem.helpers import dot, grad

from inspect_app.engine import springs

# h/r, J/J0, peak shear ratio at the same twist, at the same torque
TABLE = [
    (0.005, 0.99956, 1.059, 1.060),
    (0.01, 0.999, 1.081, 1.082),
    (0.02, 0.996, 1.109, 1.113),
    (0.05, 0.985, 1.155, 1.172),
    (0.10, 0.958, 1.191, 1.243),
    (0.20, 0.882, 1.210, 1.373),
    (0.30, 0.790, 1.200, 1.518),
    (0.50, 0.593, 1.135, 1.915),
    (1.00, 0.189, 0.849, 4.481),
]


@pytest.mark.parametrize(("x", "torsion", "same_twist", "same_torque"), TABLE)
def test_the_solved_table(x, torsion, same_twist, same_torque):
    found = springs.torsion_constant_ratio(x)
    # printed to three places, the fit good to 5.3·10⁻⁵
    assert found == pytest.approx(torsion, abs=5.6e-4)
    peak = springs.peak_shear_ratio(x)
    assert peak * found == pytest.approx(same_twist, abs=6e-4)
    assert peak == pytest.approx(same_torque, abs=6e-4 if x < 1 else 2e-3)


def test_the_exact_semicircle():
    # J = (π/2 − 4/π) r⁴ (Saint-Venant) against π/2 r⁴ of the full round; fit good to 5.3·10⁻⁵
    exact = (math.pi / 2 - 4 / math.pi) / (math.pi / 2)
    assert springs.torsion_constant_ratio(1.0) == pytest.approx(exact, abs=5.4e-5)


def test_the_limit_of_a_hairline_flat():
    # [D] same twist → 1 + (2/π)√(2x) − x; J/J0 → 1 − 1.2004 x^1.5
    x = 1e-5
    torsion = springs.torsion_constant_ratio(x)
    assert 1 - torsion == pytest.approx(1.2004 * x**1.5, rel=0.01)
    same_twist = springs.peak_shear_ratio(x) * torsion
    assert same_twist == pytest.approx(1 + 2 / math.pi * math.sqrt(2 * x) - x, abs=5e-6)


def test_the_handbook_polynomial_is_low_where_it_matters():
    # [S] Roark's B/C polynomials, [D] the error: −5.5 % at h/r 0.02, −2.7 % at 0.10
    def handbook(x):
        c = np.polyval([0.9299, -3.0769, 4.1595, -2.6183, -0.0333, 0.7854], x)
        b = np.polyval([6.434, -14.510, 14.062, -5.4897, 1.7598, 0.6366], x)
        return b * math.pi / 2, 2 * c / (math.pi / 2)

    for x, percent in ((0.02, -5.5), (0.05, -4.5), (0.10, -2.7)):
        stress, torsion = handbook(x)
        assert 100 * (stress / springs.peak_shear_ratio(x) - 1) == pytest.approx(percent, abs=0.1)
        assert torsion == pytest.approx(springs.torsion_constant_ratio(x), rel=0.012)


def bar_mesh(x, rings=32):
    """Triangles of a disc of radius 1 without its top segment of height x, corners on nodes."""
    corner = math.acos(1 - x)  # half the angle the flat takes, seen from the middle
    # Chebyshev spacing on the flat: its corners are where the solution bends most
    flat = math.pi / 2 + np.sort(corner * np.cos(np.linspace(0, math.pi, 41)))[:-1]
    arc = np.linspace(math.pi / 2 + corner, 5 * math.pi / 2 - corner, 241)[:-1]
    angles = np.concatenate([flat, arc])
    reach = np.ones_like(angles)
    on_flat = np.abs(angles - math.pi / 2) <= corner + 1e-12
    reach[on_flat] = (1 - x) / np.sin(angles[on_flat])
    # rings crowd towards the edge, where the stress is read
    radii = 1 - (1 - np.linspace(0, 1, rings + 1)[1:]) ** 1.6
    ring_points = [
        np.stack([radius * reach * np.cos(angles), radius * reach * np.sin(angles)])
        for radius in radii
    ]
    points = np.concatenate([np.zeros((2, 1)), *ring_points], axis=1)
    around = len(angles)
    here, there = np.arange(around), np.roll(np.arange(around), -1)
    triangles = [np.stack([np.zeros_like(here), 1 + here, 1 + there])]
    for ring in range(rings - 1):
        inner, outer = 1 + ring * around, 1 + (ring + 1) * around
        triangles.append(np.stack([inner + here, outer + here, outer + there]))
        triangles.append(np.stack([inner + here, outer + there, inner + there]))
    return MeshTri(points, np.concatenate(triangles, axis=1))


@BilinearForm
def stiffness(u, v, _):
    return dot(grad(u), grad(v))


@LinearForm
def twist(v, _):
    return 2.0 * v


def torsion_of(mesh):
    """Torsion constant and the largest slope of Prandtl's membrane (−Δφ = 2, φ = 0 outside)."""
    basis = Basis(mesh, ElementTriP2())
    load = twist.assemble(basis)
    membrane = solve(*condense(stiffness.assemble(basis), load, D=basis.get_dofs()))
    edge = FacetBasis(mesh, ElementTriP2())
    slope = np.sqrt((edge.interpolate(membrane).grad ** 2).sum(axis=0))
    return load @ membrane, slope.max()


def test_one_flat_solved_here_by_finite_elements():
    x = 0.1
    constant, slope = torsion_of(bar_mesh(x))
    torsion = constant / (math.pi / 2)
    # J goes with the square of the area, and 240 chords, each 0.0224 rad wide, cut (0.0224)²/6 =
    # 8·10⁻⁵ off it: 1.7·10⁻⁴ of J at most, beside the fit's own 5.3·10⁻⁵
    assert springs.torsion_constant_ratio(x) == pytest.approx(torsion, abs=4e-4)
    # shear at the same torque: slope ÷ J against 1 ÷ J0
    assert springs.peak_shear_ratio(x) == pytest.approx(slope / torsion, rel=2e-3)
