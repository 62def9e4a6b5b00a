"""Write README.md of this folder: every check, its source and marks, our value beside theirs.

Run: uv run python -m tests.outside.list_checks [FILE].  The checks are run; each comparison that
passed within a tolerance is taken from pytest itself, so no number is copied by hand.
"""

from __future__ import annotations

import ast
import re
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.outside.public_rules import DISAGREEMENTS, NOT_USED, RULES

HERE = Path(__file__).parent
NUMBER = r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?"
SCALAR = rf"(?:\(|np\.float64\()*({NUMBER})\)*"
COMPARED = re.compile(rf"{SCALAR} == {SCALAR} ± {NUMBER}")
MARK = re.compile(r"\[(S2|S|M|D)\b")
MARKS = re.compile(r"\[(?:S2|S|M|D)\b[^\]]*\]")
COMMENT = re.compile(r"^\s+#\s?(.*)$")
LONGEST_SOURCE = 160
HEAD = "| claim | source | marks | cases | ours | theirs | difference |"
INTRODUCTION = """# Checks from outside

Written by `uv run python -m tests.outside.list_checks`; do not edit.

Each number of the engine is held against something that is not ours. Marks: **S** seen in the
source, **S2** seen in a secondary copy, **M** from memory, **D** derived and solved twice,
independently. *Ours, theirs*: of all cases of a claim the one that is furthest apart. A claim
without numbers compares words, zones, whole choices, or says above or below. A claim without a
source of its own has that of its check.
"""


@dataclass
class Claim:
    """One test function: marks and source in its text, cases run, the comparison furthest apart."""

    words: str
    source: str
    marks: list[str]
    cases: int = 0
    compared: list[tuple[float, float]] = field(default_factory=list)

    @property
    def row(self) -> str:
        """A line of the table."""
        told = f"| {self.words} | {self.source} | {', '.join(self.marks)} | {self.cases} |"
        if not self.compared:
            return f"{told} | | |"
        ours, theirs = max(self.compared, key=lambda pair: _apart(*pair))
        return f"{told} {ours:.6g} | {theirs:.6g} | {_difference(ours, theirs)} |"


def _apart(ours: float, theirs: float) -> float:
    """Relative difference; the plain one where theirs is 0."""
    return abs(ours - theirs) / abs(theirs) if theirs else abs(ours)


def _difference(ours: float, theirs: float) -> str:
    apart = _apart(ours, theirs)
    if apart < 1e-9:
        return "none"
    return f"{100 * apart:.2g} %" if theirs else f"{apart:.2g}"


class Listener:
    """Takes in what pytest ran and what it compared."""

    def __init__(self) -> None:
        self.claims: dict[str, Claim] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Count the case."""
        claim = self.claims.get(report.nodeid.split("[")[0])
        if report.when == "call" and claim is not None:
            claim.cases += 1

    def pytest_assertion_pass(self, item: pytest.Item, lineno: int, orig: str, expl: str) -> None:
        """Keep what was equal within a tolerance: ours == theirs ± …"""
        told = COMPARED.match(expl)
        claim = self.claims.get(item.nodeid.split("[")[0])
        if told and claim is not None:
            claim.compared.append((float(told[1]), float(told[2])))


def check_files() -> list[Path]:
    """The checks, in order of their numbers."""

    def number(path: Path) -> float:
        told = re.match(r"Check (\d+(?:\.\d+)?)", title_of(path))
        return float(told[1]) if told else 99

    checks = [path for path in HERE.glob("test_*.py") if title_of(path).startswith("Check ")]
    return sorted(checks, key=lambda path: (number(path), path.name))


def title_of(path: Path) -> str:
    """What the file says of itself."""
    return ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or path.stem


def claims_of(path: Path) -> Iterator[tuple[str, Claim]]:
    """The test functions of a file: id and claim."""
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines()
    for node in ast.parse(text).body:
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            first = min([node.lineno, *(one.lineno for one in node.decorator_list)])
            own = lines[first - 1 : node.end_lineno]
            words = node.name.removeprefix("test_").replace("_", " ")
            place = path.relative_to(HERE.parents[1]).as_posix()
            marks = MARK.findall("\n".join(own)) or MARK.findall(title_of(path))
            claim = Claim(words=words, source=source_in(own), marks=sorted(set(marks)))
            yield f"{place}::{node.name}", claim


def source_in(lines: list[str]) -> str:
    """The first remark that carries a mark, without it; nothing where none does."""
    told: list[str] = []
    for line in lines:
        comment = COMMENT.match(line)
        if comment is None:
            if told:
                break
        elif told or MARKS.search(comment[1]):
            told.append(comment[1])
    text = re.sub(r"\s+", " ", MARKS.sub("", " ".join(told))).strip(" :,;.").replace("|", "/")
    if len(text) > LONGEST_SOURCE:
        text = text[: text.rindex(" ", 0, LONGEST_SOURCE)].rstrip(" :,;.") + " …"
    return text


def page(listener: Listener) -> str:
    """The page's text."""
    parts = [INTRODUCTION]
    for path in check_files():
        head, _, more = title_of(path).partition("\n")
        parts.append(f"\n## {head.rstrip('.')}\n")
        if more.strip():
            parts.append("\n" + more.strip() + "\n")
        parts.append(f"\n[{path.name}]({path.name})\n\n")
        parts.append(f"{HEAD}\n|---|---|---|---|---|---|---|\n")
        parts += [listener.claims[name].row + "\n" for name, _ in claims_of(path)]
        if path.name == "test_public_rules.py":
            parts.append(rules_differed_from())
    return "".join(parts)


def rules_differed_from() -> str:
    """Where the engine differs from a public rule, and the rows no test stands on."""
    agreed = len(RULES) - len(DISAGREEMENTS)
    parts = [f"\n{agreed} of {len(RULES)} rows agree. The others, each with its reason:\n\n"]
    parts += ["| rule | class | record | why the engine differs |\n", "|---|---|---|---|\n"]
    parts += [
        f"| {clause} | {severity} | {name.replace('_', ' ')} | {why} |\n"
        for (clause, severity, name), why in DISAGREEMENTS.items()
    ]
    parts.append("\nNot tested on:\n\n")
    parts += [f"- {what}: {why}\n" for what, why in NOT_USED.items()]
    return "".join(parts)


def all_claims() -> Listener:
    """Every claim, none run yet."""
    listener = Listener()
    for path in check_files():
        listener.claims |= dict(claims_of(path))
    return listener


def main() -> int:
    """Run the checks and write the page; not where one fails."""
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE / "README.md"
    listener = all_claims()
    with tempfile.TemporaryDirectory() as fresh:
        sys.pycache_prefix = fresh  # kept byte code does not report what passed
        code = pytest.main(
            [
                *("-q", "-p", "no:cacheprovider", "-o", "enable_assertion_pass_hook=true"),
                *map(str, check_files()),
            ],
            plugins=[listener],
        )
    if code == 0:
        target.write_text(page(listener), encoding="utf-8")
    return int(code)


if __name__ == "__main__":
    raise SystemExit(main())
