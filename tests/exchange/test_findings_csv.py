"""Findings for spreadsheets: read back by programs that are not ours."""

import csv
import io
import json
from decimal import Decimal

import pandas as pd
import pytest

from inspect_app.engine import api
from inspect_app.exchange.finding_rows import COLUMNS
from inspect_app.exchange.spreadsheet import MOST_CHARACTERS, csv_lines, safe_text
from tests.engine.mutation import GOOD
from tests.phone import Caller, inspection_change, send_record


def body_of(answer) -> bytes:
    assert answer.status_code == 200
    return b"".join(answer.streaming_content)


def rows_of(body: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(body.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "＝1+1", "=HYPERLINK(\"x\")",
     "1E5", "00123", "3-4", "3/8", "12345678901234567", "1,250", "5 %", "12:30"],
)  # fmt: skip
def test_a_text_never_becomes_a_formula_a_number_or_a_date(text: str) -> None:
    cleaned = text.replace("\r", "\n")
    assert safe_text(text) == f"'{cleaned}"


@pytest.mark.parametrize("text", ["loose", "Unit 7", "3 mm", "7B", "a=b", "2 – 3 mm", "50 Nm-ish"])
def test_a_plain_text_stays_as_it_is(text: str) -> None:
    assert safe_text(text) == text


def test_a_cell_longer_than_spreadsheets_hold_says_that_it_was_cut() -> None:
    text = safe_text("ä" * 100_000)
    assert len(text) < 32_767
    assert text.startswith("ä" * MOST_CHARACTERS + " … (cut")


def test_lines_are_marked_utf_8_ended_as_rfc_4180_says_and_numbers_bare() -> None:
    rows = [['Größe, "x"\r\nzwei', Decimal("-1720.50"), 0.25, 3, True, None]]
    text = "".join(csv_lines(["a", "b", "c", "d", "e", "f"], rows))
    assert text.encode("utf-8") == (
        b'\xef\xbb\xbf"a","b","c","d","e","f"\r\n'
        + '"Größe, ""x""\nzwei",-1720.50,0.25,3,"yes",""\r\n'.encode()
    )


@pytest.mark.django_db
def test_one_inspection_is_its_findings_and_what_nobody_looked_at(
    owner: Caller, reader: Caller, stranger: Caller
) -> None:
    record = GOOD["tired_all_round"]
    inspection = send_record(owner, record)
    path = f"/api/inspections/{inspection}/findings.csv"
    answer = reader.get(path)
    body = body_of(answer)
    assert answer["Content-Type"].startswith("text/csv; charset=utf-8")
    assert "attachment" in answer["Content-Disposition"]
    assert body.startswith(b"\xef\xbb\xbf")
    assert body.count(b"\r\n") == len(rows_of(body)) + 1
    made = json.loads(api.assess(json.dumps(record)))
    rows = rows_of(body)
    assert tuple(rows[0]) == COLUMNS
    assert [row["finding"] for row in rows] == [
        one["id"] for one in (*made["findings"], *made["unchecked"])
    ]
    assert {row["outcome"] for row in rows} == {"looked at", "not looked at"}
    assert all(row["zone"] == "?" for row in rows if row["outcome"] == "not looked at")
    for row, finding in zip(rows, made["findings"], strict=False):
        assert (row["zone"], row["risk"]) == (finding["zone"], finding["risk"])
        assert row["unit"] not in ("1", "'1")
        assert Decimal(row["cost_now"]) == Decimal(finding["money"]["cost_now"])
    bill = Decimal(made["money"]["restore_now"])  # less than the findings' own sums: shared work
    assert {Decimal(row["inspection_restore_now"]) for row in rows} == {bill}
    assert bill < sum(Decimal(row["cost_now"]) for row in rows if row["cost_now"])
    assert stranger.get(path).status_code == 404


@pytest.mark.django_db
def test_another_program_reads_numbers_as_numbers_and_dates_as_dates(owner: Caller) -> None:
    send_record(owner, GOOD["tired_all_round"])
    frame = pd.read_csv(io.BytesIO(body_of(owner.get("/api/findings.csv"))), encoding="utf-8-sig",
                        parse_dates=["inspected_on"])  # fmt: skip
    for column in ("value", "U_k2", "limit_A", "limit_B", "limit_C", "cost_now"):
        assert pd.api.types.is_numeric_dtype(frame[column]), column
        assert frame[column].notna().any()
    assert frame["inspected_on"].dt.strftime("%Y-%m-%d").unique().tolist() == [
        GOOD["tired_all_round"]["inspected_on"]
    ]


@pytest.mark.django_db
def test_the_organisations_table_holds_every_inspection_with_four_queries(
    owner: Caller, stranger: Caller, django_assert_num_queries
) -> None:
    names = ["words_only", "nearly_new", "short_walk"]
    ids = {send_record(owner, GOOD[name]) for name in names}
    send_record(stranger, GOOD["words_only"])
    refused = inspection_change()
    refused["body"]["header"]["machine"] = {"kind": "=cmd", "label": "=cmd|' /C calc'!A0"}
    owner.sync(refused)
    with django_assert_num_queries(4):  # session, member, inspections, their logs
        rows = rows_of(body_of(owner.get("/api/findings.csv")))
    assert {row["inspection"] for row in rows} == {*ids, refused["body"]["id"]}
    told = next(row for row in rows if row["outcome"] == "refused")
    assert told["machine"] == "'=cmd|' /C calc'!A0"
    assert "machine.kind" in told["because"]


@pytest.mark.django_db
def test_the_command_prints_the_same_bytes(
    owner: Caller, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    from django.core.management import CommandError, call_command

    send_record(owner, GOOD["words_only"])
    call_command("findings", "Kiln yard")
    assert capfdbinary.readouterr().out == body_of(owner.get("/api/findings.csv"))
    with pytest.raises(CommandError, match="no organisation is called 'Nobody'"):
        call_command("findings", "Nobody")
