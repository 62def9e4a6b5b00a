"""What a sign-off on the glass must look like to be kept; only shape is judged.

`strokes` are lines of points [x, y] on a glass 1000 wide and 333 tall, origin at the upper left.
`shown` is what the screen said when it was signed, so that a later change shows.
"""

from typing import Any

FIELDS = (
    "id",
    "inspection",
    "signed_at",
    "signs",
    "how",
    "name",
    "strokes",
    "shown",
    "disagrees",
    "declined",
    "explained_by",
)
GLASS = (1000, 333)
SIGNS = ("customer", "shop")
HOW = ("drawn", "typed", "refused")
MOST_POINTS = 6000
MOST_DECLINED = 300
_LONGEST = {"name": 120, "explained_by": 120, "disagrees": 4000, "signed_at": 40}
_SHOWN = {"verdict": 120, "sum": 60, "rulebook": 60}
_DECLINED = {"what": 300, "risk": 600}


def wrong_in(body: dict[str, Any]) -> str | None:
    """The first thing wrong with a sign-off in one sentence; None where it can be kept."""
    for field, known in (("signs", SIGNS), ("how", HOW)):
        if body.get(field) not in known:
            return f"body.{field}: write one of {', '.join(known)}."
    needed = {"signed_at"} if body["how"] == "refused" else {"signed_at", "name"}
    return (
        _wrong_texts(body, _LONGEST, needed=needed, where="body")
        or _wrong_shown(body.get("shown"))
        or _wrong_declined(body.get("declined", []))
        or _wrong_strokes(body.get("strokes", []), drawn=body["how"] == "drawn")
    )


def _wrong_texts(
    given: dict[str, Any], longest: dict[str, int], *, needed: set[str], where: str
) -> str | None:
    for field, most in longest.items():
        value = given.get(field, "")
        if not isinstance(value, str) or len(value) > most or (field in needed and not value):
            return f"{where}.{field}: write a text of at most {most} characters."
    return None


def _wrong_shown(shown: object) -> str | None:
    if not isinstance(shown, dict):
        return "body.shown: say what the screen showed: verdict, sum and rulebook."
    return _wrong_texts(shown, _SHOWN, needed={"verdict"}, where="body.shown")


def _wrong_declined(declined: object) -> str | None:
    if not isinstance(declined, list) or len(declined) > MOST_DECLINED:
        return f"body.declined: it must be a list of at most {MOST_DECLINED}."
    for one in declined:
        if not isinstance(one, dict):
            return "body.declined: each must say what and which risk."
        if wrong := _wrong_texts(one, _DECLINED, needed={"what"}, where="body.declined"):
            return wrong
    return None


def _wrong_strokes(strokes: object, *, drawn: bool) -> str | None:
    if not isinstance(strokes, list) or not all(isinstance(one, list) for one in strokes):
        return "body.strokes: it must be a list of lines."
    points = [point for stroke in strokes for point in stroke]
    if bool(points) != drawn:
        return "body.strokes: drawn if, and only if, there are points."
    if len(points) > MOST_POINTS or len(strokes) > MOST_POINTS:
        return f"body.strokes: at most {MOST_POINTS} points."
    if not all(_is_on_glass(point) for point in points):
        return f"body.strokes: a point is [x, y], whole numbers up to {GLASS[0]} and {GLASS[1]}."
    return None


def _is_on_glass(point: object) -> bool:
    return (
        isinstance(point, list)
        and len(point) == 2
        and all(type(at) is int and 0 <= at <= most for at, most in zip(point, GLASS, strict=True))
    )
