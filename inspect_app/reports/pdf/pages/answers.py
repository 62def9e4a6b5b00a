"""Buy it, repair it, park it: the three answers under the verdict, in the engine's own figures."""

from decimal import Decimal

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.contents import Numbered, ReportData, currency
from inspect_app.reports.pdf.prose import short
from inspect_app.reports.pdf.title_block import Block


def answers(data: ReportData, found: list[Numbered]) -> Flowable:
    """Three cells; a purchase asks whether to buy, anything else whether to ride."""
    buying = data.record.get("purpose") == "purchase"
    use = _buy(data) if buying else _ride(data)
    cells = [("Buy it?" if buying else "Ride it?", use), ("Repair it?", _repair(data, found))]
    return Block([*cells, ("Park it?", _park(data, found))], across=3)


def _buy(data: ReportData) -> tuple[str, str]:
    sums = data.assessment["money"]
    code = data.assessment["verdict"]["code"]
    if code == "not_enough_seen":
        return "Not on this look alone", "what matters most was not seen: see below"
    if sums["price_adjustment"] == "not_determined":
        return "Not decided by this report", "the sum could not be worked out"
    off = Decimal(words.whole(sums["price_adjustment"]["p50"]).replace(",", ""))
    asking = sums["asking_price"]
    unit = currency(data)
    if asking is None or asking["currency"] != unit:
        answer = f"Take {words.money(off)}{words.NBSP}{unit} off" if off else "Nothing to take off"
        return answer, "the price, for dampers and springs"
    worth = max(Decimal(asking["amount"]) - off, Decimal(0))
    limit = f"at {words.money(worth)}{words.NBSP}{unit} or less"
    detail = f"{words.money(asking['amount'])} asked, {words.money(off)} off"
    if code == "park_it":
        return f"Not to ride home; {limit}", detail
    if data.assessment["verdict"]["not_seen"]:
        return f"Not before the rest is seen; then {limit}", detail
    return f"Yes, {limit}", detail


def _ride(data: ReportData) -> tuple[str, str]:
    verdict = data.assessment["verdict"]
    code = verdict["code"]
    if code == "park_it":
        return "No, do not ride it", "not before it is put right"
    if unseen := _dangers_unseen(data):
        # What was found only ever makes it worse: it never answers for what was not seen.
        gently = "; gently at best" if code == "repair_before_hard_use" else ""
        return f"Cannot be said yet{gently}", unseen
    return {
        "ride": ("Yes", "nothing found speaks against it"),
        "ride_repair_planned": ("Yes", "with the repairs below planned"),
        "repair_before_hard_use": ("Gently only", "no hard use before the repairs below"),
        "not_enough_seen": ("Cannot be said yet", "what matters most was not seen"),
    }[code]


def _dangers_unseen(data: ReportData) -> str:
    """How many checks that can find serious harm (category I, II) were not made; empty if none."""
    count = len(data.assessment["verdict"]["not_seen"])
    were = "was" if count == 1 else "were"
    things = words.counted(count, "thing")
    return f"{things} that could do serious harm {were} not seen" if count else ""


def _repair(data: ReportData, found: list[Numbered]) -> tuple[str, str]:
    sums = data.assessment["money"]
    if not found and data.assessment["verdict"]["code"] == "not_enough_seen":
        return "Cannot be said yet", "nothing worn in what was seen"
    if not found:
        return "Nothing now", "no zone C or D was found"
    first = found[0].finding
    hours = sum(Decimal(str(work["hours"])) for work in sums["works"])
    priced = f"{words.money(sums['restore_now'])}{words.NBSP}{currency(data)}"
    works = words.counted(len(sums["works"]), "work")
    return (
        short(f"{words.name_of(first)}, first"),
        f"{priced} in all: {works}, about {words.number(float(hours), 2)}{words.NBSP}h",
    )


def _park(data: ReportData, found: list[Numbered]) -> tuple[str, str]:
    verdict = data.assessment["verdict"]
    if verdict["code"] == "park_it":
        stops = [item.number for item in found if item.finding["stop_riding"]]
        if len(stops) == 1:
            return "Yes", f"until finding {stops[0]} is put right"
        which = f"findings {words.run_of(stops)} are" if stops else "it is"
        return "Yes", f"until {which} put right"
    unseen = _dangers_unseen(data)
    if unseen or verdict["code"] == "not_enough_seen":
        return "Cannot be said yet", unseen or "a dangerous thing may not have been seen"
    return "No", "nothing dangerous was found"
