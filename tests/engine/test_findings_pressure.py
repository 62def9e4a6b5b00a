"""Hot dampers, lost oil, a flat air spring: numbers by hand."""

from typing import Any

import pytest

from tests.engine.records import found, problems, record, seen

AIR = {"damper": "air", "air": {"pressure": "10 bar"}}
GAS = {"gas": {"pressure": "14 bar", "temperature": "20 degC", "volume": "100 ml"}}


def bar(value: float, u: float = 0.05) -> dict[str, Any]:
    return {"value": value, "unit": "bar", "u": u}


@pytest.mark.parametrize(
    ("pressure", "zone", "category", "risk"),
    [
        (0.0, "D", 2, "high"),  # EU 5.3.5: unusable, dangerous
        (0.95, "D", 2, "high"),
        (1.2, "D", 3, "serious"),  # low, yet some air: 1.2 of 10 bar, above a tenth by 4 u
        (5.0, "D", 3, "serious"),  # absolute ratio 6.01/11.01 = 0.546
        (8.0, "C", 3, "medium"),  # 9.01/11.01 = 0.818
        (10.0, "A", None, "low"),
    ],
)
def test_a_flat_air_spring_is_not_driven(
    pressure: float, zone: str, category: int | None, risk: str
) -> None:
    answer = seen("air_spring_pressure", readings={"pressure": bar(pressure)})
    finding = found(answer, spec=AIR)
    assert (finding["zone"], finding["severity_category"], finding["risk"]) == (
        zone, category, risk,
    )  # fmt: skip
    assert finding["title"].startswith("Air spring flat") is (category == 2)


def test_a_hot_damper_is_told_how_far_its_oil_moves_the_gauge() -> None:
    # 14 bar at 20 °C, 60 °C: gas alone (15.013 · 333.15/293.15) − 1.013 = 16.05 bar; with
    # 3 · 7.5e-4 · 40 = 9 % of its room taken: 17.062/0.91 − 1.013 = 17.74 bar
    answer = seen("gas_pressure", readings={"pressure": bar(17.7), "temperature": "60 degC"})
    finding = found(answer, spec=GAS, conditions={"dampers": "hot"})
    assert finding["zone"] == "?"
    assert "charged to 14 bar would read about 17.7 bar" in finding["because"]
    assert "16.1 bar" in finding["because"] or "16 bar" in finding["because"]


def test_oil_within_the_gauges_doubt_is_not_called_lost() -> None:
    def told(pressure: float) -> dict[str, Any]:
        readings = {"pressure": bar(pressure, 0.2), "temperature": "20 degC"}
        finding: dict[str, Any] = found(
            seen("gas_pressure", readings=readings), spec=GAS, conditions={"dampers": "cold"}
        )
        return finding

    near, low = told(13.9), told(11.0)
    assert "oil_lost_ml" in near["not_resolved"]
    assert "of oil" not in near["because"]
    assert "oil_lost_ml" not in low["not_resolved"]
    # 100 · (15.01325/12.01325 − 1) = 24.97 ml
    assert low["quantities"]["oil_lost_ml"] == pytest.approx(24.97, abs=0.005)
    assert "25 ml of oil" in low["because"]


def test_a_reading_without_doubt_is_refused() -> None:
    play = {"value": 0.2, "unit": "mm", "u": 0}
    named = problems(record(seen("bearing_play", part="lower", readings={"play": play})))
    assert list(named) == ["observations[0].readings.play.u"]
    assert "no reading is perfect" in named["observations[0].readings.play.u"]
    peaks = {"peaks": {"values": [30, 10], "unit": "mm", "u": 0}}
    assert "observations[0].readings.peaks.u" in problems(record(seen("bounce", readings=peaks)))


def test_stress_at_rest_is_wahls_at_the_load_it_carries() -> None:
    # reference, example E: d 14, D 104, n 8, G 77.2 GPa: 41.195 N/mm; 6000 N is 145.65 mm;
    # Wahl 694.6 MPa; a flat of 6 mm adds 23.9 %
    spring = {"wire": "14 mm", "mean_diameter": "104 mm", "active_turns": 8,
              "shear_modulus": "77.2 GPa"}  # fmt: skip
    answer = seen("coil_contact", readings={"flat_width": "6 mm"})
    finding = found(answer, spec={"springs": [spring], "static_compression": "145.648 mm"})
    told = finding["quantities"]
    assert told["shear_stress_mpa"] == pytest.approx(694.6, abs=0.1)
    assert told["shear_stress_at_flat_mpa"] == pytest.approx(694.6 * 1.239, rel=1e-3)
    assert "carries about 695 MPa, at the flat 860 MPa" in finding["because"]


def test_what_the_ideal_gas_errs_by_is_said_where_it_matters() -> None:
    # 13 °C from 33 °C to 20 °C at about 1.3 MPa: 1.3e-4 · 13 · 1.3 = 0.22 %
    def because(celsius: int) -> str:
        readings = {"pressure": bar(13.7), "temperature": f"{celsius} degC"}
        told: str = found(seen("gas_pressure", readings=readings), spec=GAS,
                          conditions={"dampers": "cold"})["because"]  # fmt: skip
        return told

    assert "ideal gas errs by 0.2 % at most" in because(33)
    assert "ideal gas" not in because(20)
