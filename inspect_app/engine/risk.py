"""Severity and likelihood become risk, and risks become the verdict.

Source: MIL-STD-882E, Tables I to III (category 1 worst … 4; probable, occasional as used here).
"""

from __future__ import annotations

RISKS = ("low", "medium", "serious", "high")

# MIL-STD-882E, Table III: likelihood -> risk by severity category 1 to 4.
MATRIX: dict[str, tuple[str, str, str, str]] = {
    "frequent": ("high", "high", "serious", "medium"),
    "probable": ("high", "high", "serious", "medium"),
    "occasional": ("high", "serious", "medium", "low"),
    "remote": ("serious", "medium", "medium", "low"),
    "improbable": ("medium", "medium", "medium", "low"),
    "eliminated": ("eliminated", "eliminated", "eliminated", "eliminated"),
}

# Zones A and B name no present failure. C is a failure that may come, D one that is expected.
LIKELIHOOD_OF_ZONE = {"C": "occasional", "D": "probable"}


def risk_of(likelihood: str, severity_category: int) -> str:
    """Cell of the matrix. Errors: KeyError, IndexError outside it."""
    if not 1 <= severity_category <= 4:
        raise IndexError(f"severity category {severity_category} is not 1 to 4")
    return MATRIX[likelihood][severity_category - 1]


def risk_of_zone(zone: str, severity_category: int) -> str:
    """Risk of a finding: low in zones A, B and '?', else the matrix."""
    likelihood = LIKELIHOOD_OF_ZONE.get(zone)
    return "low" if likelihood is None else risk_of(likelihood, severity_category)


def worst(risks: list[str]) -> str:
    """The heaviest of some risks; low where there are none."""
    return max(risks, key=RISKS.index, default="low")


VERDICT_OF_RISK = {
    "high": "park_it",
    "serious": "repair_before_hard_use",
    "medium": "ride_repair_planned",
    "low": "ride",
}
MILD = ("ride", "ride_repair_planned")


def verdict_code(*, worst_risk: str, service_due: bool, enough_seen: bool) -> tuple[str, bool]:
    """Verdict code, and whether it is provisional (something dangerous was not looked at).

    A mild verdict cannot stand where not enough was seen; a grave one does, provisionally.
    """
    code = VERDICT_OF_RISK[worst_risk]
    if code == "ride" and service_due:
        code = "ride_repair_planned"
    if enough_seen:
        return code, False
    return ("not_enough_seen", True) if code in MILD else (code, True)
