"""Check 6: every cell of MIL-STD-882E, Table III [S2: two transcriptions agree, and memory].

Three public copies are wrong in up to ten cells, so the matrix stands here in full.
"""

import pytest

from inspect_app.engine.risk import risk_of, risk_of_zone

#            category    1          2          3          4
TABLE_III = {
    "frequent": ("high", "high", "serious", "medium"),
    "probable": ("high", "high", "serious", "medium"),
    "occasional": ("high", "serious", "medium", "low"),
    "remote": ("serious", "medium", "medium", "low"),
    "improbable": ("medium", "medium", "medium", "low"),
    "eliminated": ("eliminated", "eliminated", "eliminated", "eliminated"),
}


@pytest.mark.parametrize("likelihood", TABLE_III)
@pytest.mark.parametrize("category", [1, 2, 3, 4])
def test_every_cell(likelihood, category):
    assert risk_of(likelihood, category) == TABLE_III[likelihood][category - 1]


@pytest.mark.parametrize(
    ("zone", "risks"),
    [
        ("A", ("low", "low", "low", "low")),
        ("B", ("low", "low", "low", "low")),
        ("C", ("high", "serious", "medium", "low")),
        ("D", ("high", "high", "serious", "medium")),
    ],
)
def test_zones_enter_the_matrix_as_occasional_and_probable(zone, risks):
    assert tuple(risk_of_zone(zone, category) for category in (1, 2, 3, 4)) == risks


@pytest.mark.parametrize("category", [0, 5, -1])
def test_there_are_four_categories(category):
    with pytest.raises(IndexError):
        risk_of("probable", category)
