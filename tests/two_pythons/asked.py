"""What each Python is asked: runs on the phone's too, with the standard library and the engine.

A question is [which document, text, …]; the answer is a list of texts. As a program: reads a file
with a JSON list of questions, writes {"python", "answers"}.
"""

import json
import sys
from decimal import Decimal
from pathlib import Path

from inspect_app.engine import api

BUDGETS = ((Decimal(0), Decimal(0)), (Decimal(2000), Decimal(20)), (Decimal(40_000), Decimal(400)))


def answer(question: list[str]) -> list[str]:
    """The documents asked for, or why they are refused."""
    document, *texts = question
    try:
        if document == "record":
            return [api.guide(texts[0]), api.assess(texts[0])]
        if document == "comparison":
            return [api.compare(*texts), api.compare(*texts, nobody_else_had_it=True)]
        if document == "trend":
            return [api.trend(texts)]
        return [api.plan(texts, money=money, hours=hours) for money, hours in BUDGETS]
    except api.RecordError as refused:
        return ["refused", str(refused)]


def answers(questions: str) -> str:
    """All answers, as JSON text."""
    told = [answer(one) for one in json.loads(questions)]
    return json.dumps({"python": sys.version, "answers": told})


if __name__ == "__main__":
    sys.stdout.write(answers(Path(sys.argv[1]).read_text(encoding="utf-8")))
