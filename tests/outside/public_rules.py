"""What public inspection rules say, as rows: clause, deficiency, class, how well known, record.

Marks: [S] seen, [S2] secondary copy, [M] from memory. Where a second look at a rule changed what
the first had, only the second stands here. record: NAME of fixtures/records/authorities/NAME.json.
"""

from typing import NamedTuple


class Rule(NamedTuple):
    """One clause applied to one deficiency."""

    clause: str
    deficiency: str
    severity: str
    mark: str
    record: str


RULES = [
    Rule("49 CFR 570.61(a)", "spring broken", "fail", "S", "spring_broken"),
    Rule("49 CFR 570.61(a)", "coil extended by a spacer", "fail", "S", "spring_spacer"),
    Rule("49 CFR 570.61(a)", "shock mount insecure", "fail", "S", "damper_mount_loose"),
    Rule("49 CFR 570.61(a)", "bush cracked or missing", "fail", "S", "bush_worn"),
    Rule("49 CFR 570.61(a)", "bush extruded", "fail", "S", "bush_walks_out"),
    Rule("49 CFR 570.61(b)", "oil from seal leakage", "fail", "S", "damper_leaks"),
    Rule("49 CFR 570.8", "shock loose from its mount", "fail", "M", "damper_mount_loose"),
    Rule("49 CFR 570.8", "shock leaks at its seal", "fail", "M", "damper_leaks"),
    Rule("49 CFR 393.207(d)", "coil cracked", "fail", "S2", "spring_cracked"),
    Rule("49 CFR 393.207(d)", "coil broken", "fail", "S2", "spring_broken"),
    Rule("49 CFR 396 App. A 8(b)", "coil spring broken", "fail", "M", "spring_broken"),
    Rule("US commercial driver manual 2", "shock leaks", "fail", "S", "damper_leaks"),
    Rule("RCW 46.37.375", "spring broken", "fail", "S", "spring_broken"),
    Rule("RCW 46.37.375", "shock loose", "fail", "S", "damper_mount_loose"),
    Rule("RCW 46.37.375", "shock leaks", "fail", "S", "damper_leaks"),
    Rule("RCW 46.37.375", "shock inoperative", "fail", "S", "damper_does_nothing"),
    Rule("COMAR 11.22.03.03", "coil broken", "fail", "S", "spring_broken"),
    Rule("COMAR 11.22.03.03", "a corner sags over 2 in", "fail", "S", "corner_sags_60_mm"),
    Rule("Utah R714-160-10", "spring missing", "fail", "S", "spring_missing"),
    Rule("Utah R714-160-10", "spring cracked", "fail", "S", "spring_cracked"),
    Rule("Utah R714-160-10", "spring broken", "fail", "S", "spring_broken"),
    Rule("Utah R714-160-10", "spring cut", "fail", "S", "spring_welded_or_cut"),
    Rule("Quebec C-24.2 r.32 s.168", "coil displaced", "major", "S", "spring_displaced"),
    Rule("Quebec C-24.2 r.32 s.168", "coil cracked, settled", "major", "S", "spring_cracked"),
    Rule("Quebec C-24.2 r.32 s.168", "coil broken, settled", "major", "S", "spring_broken"),
    Rule("NZ VIRM 6-1", "excessive leak of damping fluid", "fail", "S", "damper_drips"),
    Rule("NZ VIRM 6-1", "play beyond the maker's limit", "fail", "S", "bush_worn"),
    Rule("UK MOT 5.3.1(b)(i)", "spring fractured", "major", "S2", "spring_broken"),
    Rule("UK MOT 5.3.1(b)(i)", "spring weakened", "major", "M", "spring_section_weakened"),
    Rule("UK MOT 5.3.1(b)(ii)", "fracture impairs control", "dangerous", "M", "spring_broken"),
    Rule("UK MOT 5.3.1(c)(ii)", "spring missing", "dangerous", "S2", "spring_missing"),
    Rule("UK MOT 5.3.1, tester guidance 2018", "runs on bump stops", "fail", "S", "spring_missing"),
    Rule("UK MOT 5.3.1, advisories", "corroded coil", "advisory", "S2", "spring_surface_rust"),
    Rule("UK MOT 5.3.2(a)(i)", "damper insecure", "minor", "M", "damper_mount_loose"),
    Rule("UK MOT 5.3.2(a)(ii)", "likely to detach", "major", "M", "damper_mount_bolt_missing"),
    Rule("UK MOT 5.3.2(a)(ii)", "likely to detach", "major", "M", "damper_mount_cracked"),
    Rule("UK MOT 5.3.2(b)", "damper not functioning", "major", "S2", "damper_does_nothing"),
    Rule("UK MOT 5.3.2(b)", "damper not functioning: stuck", "major", "S2", "damper_stuck"),
    Rule("UK MOT 5.3.2(b)", "severe leakage", "major", "S2", "damper_drips"),
    Rule("UK MOT 5.3.2, advisories", "light misting", "not_failed", "S2", "damper_light_mist"),
    Rule("UK MOT 5.3.2, advisories", "casing corroded", "advisory", "S2", "damper_body_corroded"),
    Rule("UK MOT 5.3.2(c)", "bush excessively worn", "major", "M", "bush_worn"),
    Rule("UK MOT 5.3.2(d)", "negligible damping", "major", "S2", "damper_does_nothing"),
    Rule("UK MOT 5.3.2(d)", "negligible damping, by eye", "major", "S2", "damper_hardly_damps"),
    Rule("UK MOT 5.3.4(a)(i)", "joint excessively worn", "major", "S2", "bush_worn"),
    Rule("UK MOT 5.3.4(a)(ii)", "likely to detach", "dangerous", "M", "bush_likely_to_detach"),
    Rule("UK MOT 5.3.4, advisories", "slight play", "advisory", "S2", "bush_slight_play"),
    Rule("UK MOT 5.3.4(b)(i)", "cover deteriorated", "minor", "S2", "guard_torn"),
    Rule("UK MOT 5.3.4(b)(ii)", "cover missing", "major", "S2", "guard_missing"),
    Rule("UK quad manual 9.2 (2012)", "light misting", "not_failed", "S", "damper_light_mist"),
    Rule("UK quad manual 9.2 (2012)", "damper insecure", "fail", "S", "damper_mount_loose"),
    Rule("UK quad manual 9.2 (2012)", "damper leaks", "fail", "S", "damper_leaks"),
    Rule("UK quad manual 9.2 (2012)", "damper fouls", "fail", "S", "damper_body_grooved"),
    Rule("UK quad manual 9.2 (2012)", "poor damping", "fail", "S", "damper_hardly_damps"),
    Rule("UK quad manual 9.2 (2012)", "spring cracked", "fail", "S2", "spring_cracked"),
    Rule("UK quad manual 9.2 (2012)", "spring fractured", "fail", "S2", "spring_broken"),
    Rule("UK quad manual 9.2 (2012)", "section weakened", "fail", "S2", "spring_section_weakened"),
    Rule("UK quad manual 9.2 (2012)", "spring welded", "fail", "S", "spring_welded_or_cut"),
    Rule("EU 2014/45 5.3.1(a)", "spring insecure", "major", "S2", "spring_displaced"),
    Rule("EU 2014/45 5.3.1(a)", "very loose", "dangerous", "S2", "spring_displaced"),
    Rule("EU 2014/45 5.3.1(a)", "visible play", "dangerous", "S2", "spring_loose_at_full_droop"),
    Rule("EU 2014/45 5.3.1(b)", "spring damaged", "major", "S2", "spring_cracked"),
    Rule("EU 2014/45 5.3.1(b)", "very seriously affected", "dangerous", "S2", "spring_broken"),
    Rule("EU 2014/45 5.3.1(c)", "spring missing", "dangerous", "S2", "spring_missing"),
    Rule("EU 2014/45 5.3.1(d)", "unsafe modification", "major", "S2", "spring_welded_or_cut"),
    Rule("EU 2014/45 5.3.1(d)", "unsafe modification", "major", "S2", "spring_spacer"),
    Rule("EU 2014/45 5.3.2(a)", "damper insecure", "minor", "S2", "damper_mount_loose"),
    Rule("EU 2014/45 5.3.2(a)", "damper loose", "major", "S2", "damper_mount_loose"),
    Rule("EU 2014/45 5.3.2(b)", "leak", "major", "S2", "damper_leaks"),
    Rule("EU 2014/45 5.3.2(b)", "malfunction", "major", "S2", "damper_does_nothing"),
    Rule("EU 2014/45 5.3.3", "risk of detachment", "dangerous", "S2", "damper_mount_cracked"),
    Rule("EU 2014/45 5.3.3", "worn bush, slight play", "minor", "S2", "bush_slight_play"),
    Rule("EU 2014/45 5.3.4", "joint worn", "major", "S2", "bush_worn"),
    Rule("EU 2014/45 5.3.4", "risk of detachment", "dangerous", "S2", "bush_likely_to_detach"),
    Rule("EU 2014/45 5.3.4", "cover missing or cracked", "major", "S2", "guard_missing"),
    Rule("EU 2014/45 5.3.5", "air suspension damaged", "major", "S2", "air_spring_flat"),
    Rule("EU 2014/45 5.3.5", "air suspension unusable", "dangerous", "S2", "air_spring_flat"),
    Rule("France 5.3.2.c.1", "shock guard defective", "minor", "S2", "guard_torn"),
    Rule("France 5.3.2.c.1", "shock guard defective", "minor", "S2", "guard_missing"),
    Rule("49 CFR 570.61(b)", "oil from the seal, even a film", "fail", "S", "damper_light_mist"),
]

# Where the engine differs on purpose, (clause, class, record) -> why. Nothing is skipped: the test
# asks that it still differs, so that a row leaves this list as soon as it agrees.
DISAGREEMENTS = {
    ("49 CFR 570.61(b)", "fail", "damper_light_mist"): (
        "The rule for heavy vehicles allows no film. Makers, the UK rule and the quad manual let a "
        "film stay: the milder rule governs, and the film is watched (zone B)."
    ),
    ("UK MOT 5.3.2(a)(i)", "minor", "damper_mount_loose"): (
        "One rule, two words: 'insecure' minor, 'likely to detach' major. Three US rules and the "
        "quad manual fail any loose damper; off road a loose bolt hammers its eye oval."
    ),
    ("EU 2014/45 5.3.2(a)", "minor", "damper_mount_loose"): (
        "The same clause calls a loose one major, which the engine follows; a wrench cannot tell "
        "insecure from loose."
    ),
    ("UK MOT 5.3.4(b)(ii)", "major", "guard_missing"): (
        "That cover keeps a ball joint's grease in. The guard of a damper's shaft only keeps "
        "stones off; France's clause for that part says minor."
    ),
    ("EU 2014/45 5.3.4", "major", "guard_missing"): (
        "As above: the clause is about a joint's cover; for the damper's guard France says minor."
    ),
    ("UK quad manual 9.2 (2012)", "fail", "damper_body_grooved"): (
        "The rule fails a damper that fouls. The engine grades the wall lost: a groove by eye "
        "(10 to 40 %) is repair planned, and a measured one beyond 30 % fails."
    ),
    ("EU 2014/45 5.3.1(a)", "dangerous", "spring_loose_at_full_droop"): (
        "The rule looks at a car standing on its wheels. Long-travel springs come loose with the "
        "wheel hanging and seat again under load; one out of its seat is high risk here too."
    ),
}

# Rows that no test stands on, and why.
NOT_USED = {
    "49 CFR 393.207(f), 3 psi in 5 minutes": "not confirmed",
    "left and right damping differ (EU 5.3.2.1, EUSAMA, NCT)": "contradicted: France says minor",
    "EUSAMA adhesion, phase shift": "bench figures of cars; light axles and stiff tyres mislead",
    "leaf springs, torsion bars, axle positioning parts": "not dampers or coil springs",
    "ball joints (Quebec s.167, Queensland 6)": "of steering and arms, not the damper's own joint",
    "sag that gives body contact (Utah)": "no step asks for it; the height lost stands for it",
    "damper missing altogether (UK 5.3.2(a)(ii))": "a place without a damper is not recorded",
    "CVSA criteria": "book not accessible",
    "49 CFR 396 App. A 8(a), (c)": "positioning parts, and headings only",
}
