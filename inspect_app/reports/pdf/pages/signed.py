"""Who signed, and what: the name on the glass, what is not agreed with, what is not to be done."""

from collections.abc import Sequence
from typing import Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Columns, Gap, lead_in, note, section
from inspect_app.reports.pdf.contents import ReportData, SignOff, currency
from inspect_app.reports.pdf.palette import BLUE, EDGE, INK
from inspect_app.reports.pdf.prose import Prose, Run, short
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import polyline
from inspect_app.reports.pdf.title_block import Block

_GLASS_UNITS: Final = (1000, 333)
_GLASS: Final = (186.0, 62.0)  # points
_SHOP: Final = {"customer": "customer", "shop": "for the shop"}
_YARD: Final = {"customer": "renter", "shop": "for the yard"}
_ROLES: Final = {
    "purchase": {"customer": "seller", "shop": "buyer"},
    "going_out": _YARD,
    "coming_back": _YARD,
}
_MOST_CHANGES: Final = 8
_HOW: Final = {"drawn": "Signed by", "typed": "Typed by", "refused": "Would not sign"}


class Glass(Drawn):
    """A signature as it was drawn, over a base line with the index."""

    def __init__(self, strokes: Sequence[Sequence[Sequence[int]]]) -> None:
        super().__init__()
        self._strokes = strokes

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Its own size."""
        self.width, self.height = _GLASS
        return _GLASS

    def draw(self) -> None:
        """Base line, index, strokes; one point alone is a dot."""
        canvas, scale = self.canv, self.width / _GLASS_UNITS[0]
        canvas.setStrokeColor(EDGE)
        canvas.setLineWidth(0.5)
        canvas.line(8, 12, self.width - 8, 12)
        canvas.setFillColor(BLUE)
        mark = canvas.beginPath()
        mark.moveTo(8, 16)
        mark.lineTo(8, 8)
        mark.lineTo(13, 12)
        mark.close()
        canvas.drawPath(mark, stroke=0, fill=1)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.2)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        for stroke in self._strokes:
            points = [(x * scale, self.height - y * scale) for x, y in stroke]
            polyline(canvas, points if len(points) > 1 else points * 2)


def signed_part(data: ReportData, *, page: float) -> list[Flowable]:
    """Every sign-off in the order received, each kept together where a page holds it."""
    if not data.sign_offs:
        return []
    story = section("Signed", "signed", room=140)
    for one in data.sign_offs:
        lines = [
            *_signed_before(one),
            *_declined(one),
            *_disagrees(one),
            _block(data, one),
            *_what_came_after(data, one),
        ]
        story.append(Columns([lines], shares=(1.0,), page=page, space=8))
    return story


def _is_of_before(one: SignOff) -> bool:
    """True if it does not stand for what this revision says."""
    return bool(one.before or one.changed)


def _signed_before(one: SignOff) -> list[Flowable]:
    """First of all: which revision it was given for, and what has changed since."""
    if not _is_of_before(one):
        return []
    done = "Refused" if one.how == "refused" else "Signed"
    head = f"{done} before this revision ({one.before})."
    if not one.before:
        head = f"{done} before the last changes to what was recorded."
    more = len(one.changed) - _MOST_CHANGES
    told = "; ".join(one.changed[:_MOST_CHANGES]) + (f"; and {more} more" if more > 0 else "")
    said = f"Changed since: {told}." if told else "Nothing it was given for has changed since."
    return [Prose([Run(head, bold=True), Run(f" {said}")], space=3)]


def _declined(one: SignOff) -> list[Flowable]:
    told = f" Explained by {one.explained_by}, {one.signed_at_text}." if one.explained_by else ""
    head = "Not to be done, as signed then: " if _is_of_before(one) else "Not to be done now: "
    gone = "Not a finding of this revision: "
    return [
        Prose([Run(f"{head if still else gone}{what}. ", bold=True), Run(f"{risk}{told}")], space=3)
        for what, risk, still in one.declined
    ]


def _disagrees(one: SignOff) -> list[Flowable]:
    if not one.disagrees:
        return []
    head = "Did not agree then:" if _is_of_before(one) else "Does not agree:"
    return [
        lead_in(head, f"“{one.disagrees}”", 1),
        note("Kept as said. It changes no zone.", 4),
    ]


def _how(one: SignOff) -> str:
    """Above the name, so that strokes alone never speak for this revision."""
    return f"{_HOW[one.how]}, before this revision" if _is_of_before(one) else _HOW[one.how]


def _block(data: ReportData, one: SignOff) -> Block:
    said = one.shown.get("sum", "")
    role = _ROLES.get(str(data.record.get("purpose")), _SHOP)[one.signs]
    limits = one.shown.get("rulebook", "")
    whole = ", with what is not to be done" if one.declined else ""
    return Block(
        [
            (_how(one), (short(one.name or "no name given", 60), role)),
            ("When, by the phone", (one.signed_at_text, f"received {one.received_at_text}")),
            (
                "It said",
                (
                    one.shown["verdict"],
                    f"Repair now: {words.distance(said)}{whole}" if said else "",
                ),
            ),
            ("Limits", (f"Rulebook {limits}" if limits else "not said", "")),
        ],
        across=2,
        mark=Glass(one.strokes) if one.strokes else None,
    )


def _what_came_after(data: ReportData, one: SignOff) -> list[Flowable]:
    """Whoever signed did so before the last answers: what is printed now is not what was shown."""
    says = data.assessment["verdict"]["words"]
    now = f"{data.assessment['money']['restore_now']} {currency(data)}"
    if one.shown["verdict"] == says and one.shown.get("sum", now) == now:
        return [Gap(2)]
    return [
        Gap(2),
        note(f"Answers given since are not part of this: the report now says {says}, {now}.", 2),
    ]
