"""Check 1.2: stress in a coil, with and without a flat, by elasticity solved with scikit-fem.

A coil is a ring sector sheared by a force along its axis (Göhner's solution; Timoshenko and
Goodier, Theory of Elasticity, close-coiled helical springs [M], solved here [D]): with a stress
function φ on the wire's section, div(∇φ/r³) = −2/r³ and φ = 0 on the edge,
τ_rθ = (R/r)² ∂φ/∂z, τ_θz = −(R/r)² ∂φ/∂r, and the force is ∫τ_θz. Wahl's factor is a short formula
for its peak; the engine's stress ratio of a flat takes the wire as straight.
"""

import math
from functools import cache

import numpy as np
import pytest
from skfem import (
    Basis,
    BilinearForm,
    ElementTriP2,
    FacetBasis,
    Functional,
    LinearForm,
    MeshTri,
    condense,
    solve,
)
from skfem.helpers import dot, grad

from inspect_app.engine import springs
from tests.outside.test_flat_on_round_bar import bar_mesh

INWARDS, BETWEEN_COILS, OUTWARDS = math.pi, math.pi / 2, 0.0


@BilinearForm
def stiffness(u, v, w):
    return dot(grad(u), grad(v)) / w.x[0] ** 3


@LinearForm
def twist(v, w):
    return 2.0 * v / w.x[0] ** 3


def coil_section(index, flat_depth, flat_towards):
    """The wire's section (radius 1) at the coil's radius, its flat towards that angle."""
    mesh = bar_mesh(flat_depth, rings=20)
    turned = flat_towards - math.pi / 2
    x, z = mesh.p
    r = index + x * math.cos(turned) - z * math.sin(turned)
    return MeshTri(np.stack([r, x * math.sin(turned) + z * math.cos(turned)]), mesh.t)


@cache
def peak_over_plain(index, flat_depth=1e-4, flat_towards=OUTWARDS):
    """Peak shear ÷ 8FD/(πd³), D/d = index; d of the wire as made."""
    mesh = coil_section(index, flat_depth, flat_towards)
    inside, edge = Basis(mesh, ElementTriP2()), FacetBasis(mesh, ElementTriP2())
    found = solve(
        *condense(stiffness.assemble(inside), twist.assemble(inside), D=inside.get_dofs())
    )
    force = Functional(lambda w: -((index / w.x[0]) ** 2) * w["phi"].grad[0]).assemble(
        inside, phi=inside.interpolate(found)
    )
    bent = (index / edge.default_parameters()["x"][0]) ** 2
    shear = bent * np.hypot(*edge.interpolate(found).grad)
    return float(shear.max()) / (8 * abs(force) * 2 * index / (math.pi * 2.0**3))


@pytest.mark.parametrize("index", [4, 8, 12])
def test_wahls_factor_is_that_of_elasticity(index):
    # [M] Göhner's equation, [D] solved here: they differ by 0.5 % at most
    assert springs.wahl_factor(index) == pytest.approx(peak_over_plain(index), rel=6e-3)


@pytest.mark.parametrize("depth", [0.03, 0.2])
def test_a_flats_stress_ratio_is_on_the_safe_side_wherever_the_flat_is(depth):
    # [D] the same, with a flat: on the inner side, where a coil peaks, it adds up to 5 % less than
    # to a straight wire; towards the next coil or outwards far less
    ours = springs.peak_shear_ratio(depth)
    sound = peak_over_plain(8)
    inwards = peak_over_plain(8, depth, INWARDS) / sound
    assert inwards == pytest.approx(ours, rel=0.05)
    assert inwards <= ours
    for towards in (BETWEEN_COILS, OUTWARDS):
        assert peak_over_plain(8, depth, towards) / sound < inwards
