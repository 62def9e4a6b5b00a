"""An invented assessment, shaped as the engine's, with every figure set by hand.

Used where a test needs a case the engine's fixture records do not give: thirty findings, names
of sixty thousand letters.  Nothing here is expected of the engine.
"""

import copy
from typing import Any

SCOPE = "Dampers and springs only; brakes, steering, frame, tyres and recalls not looked at."
PLACES = {
    "front_left": "front left",
    "front_right": "front right",
    "rear_left": "rear left",
    "rear_right": "rear right",
}
PLAY_LIMITS = {
    "unit": "mm",
    "A": 0.05,
    "B": 0.15,
    "C": 0.25,
    "source": "wear allowed when lined bearings are qualified, 0.152 mm; first: judgement",
    "small_is_bad": False,
}


def no_money() -> dict[str, Any]:
    return {
        "cost_now": "0.00",
        "chance_of_growth": [],
        "cost_if_left": [],
        "cost_avoided": [],
        "grows_into": None,
    }


def finding(checkpoint: str, at: str | None, title: str, zone: str, **more: Any) -> dict[str, Any]:
    part = more.pop("part", None)
    base = {
        "id": checkpoint + (f"@{at}" if at else "") + (f"/{part}" if part else ""),
        "checkpoint": checkpoint,
        "at": at,
        "part": part,
        "title": title,
        "place": PLACES.get(at or "", (at or "the machine").replace("_", " ")),
        "zone": zone,
        "measurand": None,
        "probability_beyond": None,
        "sureness": "by_word",
        "settle_with": None,
        "failure_mode": None,
        "severity_category": None,
        "likelihood": None,
        "risk": "low",
        "quantities": {},
        "doubt": None,
        "limits": None,
        "also": [],
        "marks": [],
        "not_determined": [],
        "not_resolved": [],
        "not_resolved_in_words": [],
        "explained_by": [],
        "because": "Nothing was found.",
        "action": "Nothing to do.",
        "stop_riding": False,
        "photos": [],
        "as_seen": "",
        "money": no_money(),
    }
    return base | more


def loose_bearing(at: str = "front_left", part: str = "lower", **more: Any) -> dict[str, Any]:
    return finding(
        "bearing_play",
        at,
        f"{part.capitalize()} bearing loose",
        "C",
        **{
            "part": part,
            "measurand": "play_mm",
            "probability_beyond": {"A": 0.999, "B": 0.894, "C": 0.106},
            "sureness": "likely",
            "settle_with": {
                "instrument": "a dial indicator",
                "minutes": 5,
                "U_left": 0.02,
                "leaves": "± 0.02 mm",
            },
            "failure_mode": "the liner is worn and the ball hammers the eyelet",
            "severity_category": 3,
            "likelihood": "occasional",
            "risk": "medium",
            "doubt": {"value": 0.2, "U": 0.08, "unit": "mm", "by_word": False},
            "limits": PLAY_LIMITS,
            "because": "The play of 0.20 mm is past 0.15 mm. A loose liner wears faster, then the "
            "ball hammers the eyelet; the eyelet costs four times the bearing.",
            "action": "Press out the bearing, look at the bore for ovalness, press in a new one. "
            "Recheck after 100 mi.",
            "as_seen": "Felt in the hand, not seen; play 0.20 mm by feeler gauge.",
            "money": {
                "cost_now": "95.00",
                "chance_of_growth": [
                    {"distance": "1000 mi", "chance": 0.27},
                    {"distance": "2000 mi", "chance": 0.51},
                ],
                "cost_if_left": [
                    {"distance": "1000 mi", "cost": "179.00"},
                    {"distance": "2000 mi", "cost": "256.00"},
                ],
                "cost_avoided": [],
                "grows_into": "new eyelet and bearing",
            },
        }
        | more,
    )


def dented_shaft(at: str = "front_left") -> dict[str, Any]:
    return finding(
        "shaft_surface",
        at,
        "Dent in the shaft",
        "D",
        measurand="mark_depth_mm",
        probability_beyond={"A": 1.0, "B": 0.9995, "C": 0.994},
        sureness="clear",
        failure_mode="the seal is cut at every stroke",
        severity_category=3,
        likelihood="probable",
        risk="serious",
        doubt={"value": 0.08, "U": 0.04, "unit": "mm", "by_word": False},
        limits={
            "unit": "mm",
            "A": 0.0025,
            "B": 0.016,
            "C": 0.03,
            "source": "seal makers' surface rule; hard chrome from 30 µm",
            "small_is_bad": False,
        },
        because="The dent is raised and meets the seal 38 times a kilometre.",
        action="Stone it flush, re-chrome or replace the shaft, new seal head.",
        as_seen="Ding 35 mm from the seal, 0.08 mm deep, catches a nail, raised.",
        money=no_money() | {"cost_now": "375.00"},
    )


def low_gas(at: str = "rear_right") -> dict[str, Any]:
    return finding(
        "gas_pressure",
        at,
        "Gas pressure low",
        "C",
        measurand="pressure_ratio",
        probability_beyond={"A": 1.0, "B": 0.97, "C": 0.02},
        sureness="clear",
        failure_mode="the oil foams and damping fades",
        severity_category=3,
        likelihood="occasional",
        risk="medium",
        doubt={"value": 0.78, "U": 0.05, "unit": "1", "by_word": False},
        limits={
            "unit": "1",
            "A": 0.95,
            "B": 0.85,
            "C": 0.6,
            "source": "judgement",
            "small_is_bad": True,
        },
        because="Of the specified gas 78 in 100 is left.",
        action="Have it charged by a shop with nitrogen; look for the leak first.",
        as_seen="155 psi at 20 °C.",
        money=no_money() | {"cost_now": "60.00"},
    )


def sound_findings() -> list[dict[str, Any]]:
    found = []
    for at in PLACES:
        found += [
            finding("shaft_seal", at, "Shaft seal dry", "A", as_seen="Dry"),
            finding("spring_condition", at, "Spring sound", "A", as_seen="Sound"),
            finding("mounting", at, "Mountings tight", "A", as_seen="Tight"),
            finding(
                "bearing_fit",
                at,
                "Upper bearing: no play",
                "A",
                part="upper",
                as_seen="Nothing moves, nothing is felt",
                doubt={"value": 0.02, "U": 0.02, "unit": "mm", "by_word": False},
                limits=PLAY_LIMITS,
                sureness="clear",
                probability_beyond={"A": 0.001, "B": 0.0, "C": 0.0},
            ),
        ]
    found.append(finding("body_wall", "rear_left", "Body rubbed", "B", as_seen="Finish rubbed"))
    return found


def unchecked(at: str, part: str, allowance: str) -> dict[str, Any]:
    return {
        "id": f"bearing_play@{at}/{part}",
        "checkpoint": "bearing_play",
        "at": at,
        "part": part,
        "title": f"Play in the {part} bearing",
        "place": PLACES[at],
        "stop": "lifted",
        "reason": "no_safe_way_to_lift",
        "reason_text": "there was no safe way to lift it",
        "category": 2,
        "minutes": 5,
        "chance_changes_verdict": 0.06,
        "allowance": allowance,
        "worth_per_minute": "16.00",
        "could_lead_to": "park_it",
    }


def work(
    name: str, at: str, labour: str, parts: str, total: str, leads: list[str]
) -> dict[str, Any]:
    return {
        "id": name.replace(" ", "_"),
        "at": at,
        "name": name,
        "hours": 0.6,
        "labour": labour,
        "parts": parts,
        "total": total,
        "for": leads,
    }


CAUTIONS = [
    {
        "id": "lifted",
        "signal": "DANGER",
        "title": "A machine that slips off a jack kills.",
        "lines": ["Stands under the frame at once.", "Nobody reaches under a machine on a jack."],
        "drawing": None,
        "before": ["lifted"],
    },
    {
        "id": "gas",
        "signal": "WARNING",
        "title": "Gas and oil under pressure can throw parts.",
        "lines": ["Never touch the valve in the field. Open, heat, puncture nothing."],
        "drawing": None,
        "before": [],
    },
    {
        "id": "hot",
        "signal": "CAUTION",
        "title": "Dampers burn the hand after a drive.",
        "lines": ["Let them cool, or measure without touching."],
        "drawing": None,
        "before": ["moving"],
    },
    {
        "id": "marks",
        "signal": "NOTICE",
        "title": "A wrench on the shaft ruins it.",
        "lines": ["Hold the shaft at its flats only."],
        "drawing": None,
        "before": [],
    },
]


def assessment() -> dict[str, Any]:
    """A two-seat sport machine with three worn things and two bearings not seen."""
    worn = [dented_shaft(), loose_bearing(photos=["sha256:aa"]), low_gas()]
    return {
        "format": "suspension-assessment/1",
        "record": "0190-7c",
        "engine": "1.0.0",
        "rulebook": {"version": "2026.1", "overrides": []},
        "inspected_on": "2026-05-14",
        "verdict": {
            "code": "repair_before_hard_use",
            "words": "Repair before hard use",
            "risk": "serious",
            "provisional": True,
            "decided_by": ["shaft_surface@front_left"],
            "not_seen": ["bearing_play@rear_left/upper"],
            "sentence": "The dent in the front left shaft cuts its seal at every stroke.",
            "scope": SCOPE,
        },
        "machine": {
            "zone": "D",
            "coverage": 0.91,
            "warp_mm": None,
            "label": "Two-seat sport, 2021",
            "kind": "sport_side_by_side",
            "decided_by": "shaft_surface@front_left",
        },
        "assemblies": [
            {
                "at": at,
                "place": place,
                "zone": zone,
                "coverage": 0.9,
                "decided_by": None,
                "seen": 8,
                "applicable": 9,
            }
            for (at, place), zone in zip(PLACES.items(), "DBAC", strict=True)
        ],
        "findings": [*worn, *sound_findings()],
        "unchecked": [
            unchecked("rear_left", "upper", "80.00"),
            unchecked("rear_right", "upper", "160.00"),
        ],
        "service": {
            "due_fraction": 1.4,
            "limiting": "distance",
            "due_on": "2026-05-14",
            "interval": "1,000 mi or one season",
            "because": "1,400 mi since the last service at hard use.",
            "source": "common practice",
        },
        "money": {
            "currency": "USD",
            "price_book": "sample",
            "invented": True,
            "restore_now": "530.00",
            "allowance_unchecked": "240.00",
            "expected_growth": "130.00",
            "horizon": "1000 mi",
            "price_adjustment": {"p10": "640.00", "p50": "880.00", "p90": "1310.00"},
            "asking_price": {"amount": "14500.00", "currency": "USD"},
            "works": [
                work("new shaft", "front_left", "57.00", "318.00", "375.00", [worn[0]["id"]]),
                work("new bearing", "front_left", "57.00", "38.00", "95.00", [worn[1]["id"]]),
                work("charge with gas", "rear_right", "57.00", "3.00", "60.00", [worn[2]["id"]]),
            ],
            "if_left": [
                {"distance": "1000 mi", "cost_if_left": "690.00"},
                {"distance": "2000 mi", "cost_if_left": "902.00"},
            ],
            "cost_now": "530.00",
        },
        "cautions": copy.deepcopy(CAUTIONS),
        "warnings": [],
    }


def record() -> dict[str, Any]:
    return {
        "format": "suspension-record/1",
        "id": "0190-7c",
        "purpose": "purchase",
        "inspected_on": "2026-05-14",
        "inspector": {"name": "R. Okafor", "role": "buyer"},
        "machine": {
            "label": "Two-seat sport, 2021",
            "kind": "sport_side_by_side",
            "distance": "4250 mi",
            "engine_hours": 310,
        },
        "statements": [{"by": "seller", "on": "2026-05-14", "text": "dampers were done last year"}],
        "assemblies": [{"at": at, "damper": "coilover"} for at in PLACES],
        "observations": [],
    }


def sound_assessment() -> dict[str, Any]:
    made = assessment()
    made["findings"] = sound_findings()
    made["unchecked"] = []
    made["verdict"] |= {
        "code": "ride",
        "words": "Ride",
        "risk": "low",
        "provisional": False,
        "not_seen": [],
        "decided_by": [],
        "sentence": "Nothing worn beyond normal use was found.",
    }
    made["machine"] |= {"zone": "B", "coverage": 1.0}
    for assembly, zone in zip(made["assemblies"], "AABA", strict=True):
        assembly |= {"zone": zone, "coverage": 1.0}
    made["service"] |= {
        "due_fraction": 0.4,
        "limiting": "distance",
        "due_on": "2027-02-01",
        "because": "400 mi since the last service at hard use.",
    }
    made["money"] |= {
        "restore_now": "0.00",
        "allowance_unchecked": "0.00",
        "expected_growth": "40.00",
        "price_adjustment": {"p10": "0.00", "p50": "0.00", "p90": "120.00"},
        "works": [],
        "if_left": [],
        "cost_now": "0.00",
    }
    return made


def terrible_assessment(count: int = 30) -> dict[str, Any]:
    made = assessment()
    makers = (dented_shaft, loose_bearing, low_gas)
    worn = []
    for order in range(count):
        item = makers[order % 3](list(PLACES)[order % 4])
        item["id"] += f"#{order}"
        if order < 2:
            item |= {"risk": "high", "stop_riding": True, "severity_category": 2}
        worn.append(item)
    made["findings"] = [*worn, *sound_findings()]
    made["verdict"] |= {
        "code": "park_it",
        "words": "Park it",
        "risk": "high",
        "sentence": "Two findings can make the machine fail under its rider.",
    }
    for assembly in made["assemblies"]:
        assembly["zone"] = "D"
    works = [work("new shaft", w["at"], "57.00", "318.00", "375.00", [w["id"]]) for w in worn]
    made["money"] |= {
        "works": works,
        "restore_now": f"{375 * count - 1500}.00",
        "cost_now": f"{375 * count - 1500}.00",
        "price_adjustment": {"p10": "9400.00", "p50": "10120.00", "p90": "12260.00"},
    }
    return made


def not_enough_assessment() -> dict[str, Any]:
    made = sound_assessment()
    made["findings"] = made["findings"][:6]
    made["unchecked"] = [
        unchecked(at, part, "80.00") for at in PLACES for part in ("upper", "lower")
    ]
    made["verdict"] |= {
        "code": "not_enough_seen",
        "words": "Not enough seen",
        "risk": "low",
        "provisional": True,
        "sentence": "Eight bearings that can part were not looked at.",
    }
    made["machine"] |= {"coverage": 0.34, "zone": "?"}
    for assembly, zone in zip(made["assemblies"], "A???", strict=True):
        assembly["zone"] = zone
    made["money"] |= {
        "allowance_unchecked": "600.00",
        "price_adjustment": {"p10": "90.00", "p50": "560.00", "p90": "1240.00"},
    }
    return made


def motorcycle() -> tuple[dict[str, Any], dict[str, Any]]:
    made, seen = assessment(), record()
    made["assemblies"] = [
        {
            "at": "front",
            "place": "front",
            "zone": "C",
            "coverage": 1.0,
            "decided_by": None,
            "seen": 8,
            "applicable": 8,
        },
        {
            "at": "rear",
            "place": "rear",
            "zone": "A",
            "coverage": 1.0,
            "decided_by": None,
            "seen": 8,
            "applicable": 8,
        },
    ]
    made["machine"] |= {"label": "Trail motorcycle, 2019", "kind": "motorcycle", "zone": "C"}
    made["findings"] = [
        loose_bearing("front"),
        finding("shaft_seal", "rear", "Shaft seal dry", "A", as_seen="Dry"),
    ]
    made["unchecked"] = []
    made["verdict"] |= {
        "code": "ride_repair_planned",
        "words": "Ride, repair planned",
        "risk": "medium",
        "provisional": False,
        "sentence": "The lower bearing at the front is loose.",
    }
    made["machine"]["coverage"] = 1.0
    made["money"] |= {
        "restore_now": "95.00",
        "allowance_unchecked": "0.00",
        "cost_now": "95.00",
        "works": [
            work("new bearing", "front", "57.00", "38.00", "95.00", ["bearing_play@front/lower"])
        ],
        "price_adjustment": {"p10": "95.00", "p50": "140.00", "p90": "310.00"},
    }
    seen["machine"] = {"label": "Trail motorcycle, 2019", "kind": "motorcycle"}
    seen["assemblies"] = [{"at": "front"}, {"at": "rear"}]
    seen["purpose"] = "periodic"
    return made, seen


def with_numbers(assessment: dict[str, Any]) -> dict[str, Any]:
    """Numbers for hand-made findings, gravest first; the engine's own are left as they are."""
    if all("number" in one for one in assessment["findings"]):
        return assessment
    risks, worn = ("high", "serious", "medium", "low"), ("D", "C")
    graded = [one for one in assessment["findings"] if one["zone"] in worn]
    graded.sort(key=lambda one: (risks.index(one["risk"]), worn.index(one["zone"])))
    order = {one["id"]: number for number, one in enumerate(graded, start=1)}
    findings = [{**one, "number": order.get(one["id"])} for one in assessment["findings"]]
    return {**assessment, "findings": findings}
