"""The types of the three documents in the front end are those of the documents the engine makes."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from inspect_app.engine import api

ROOT = Path(__file__).resolve().parents[1]
TYPES = ROOT / "frontend" / "src" / "lib" / "documents.ts"
COMPILER = ROOT / "frontend" / "node_modules" / ".bin" / "tsc"
RECORDS = sorted((ROOT / "fixtures" / "records").glob("*.json"))
SETTINGS: dict[str, Any] = {
    "compilerOptions": {
        "target": "ES2023",
        "module": "ESNext",
        "moduleResolution": "bundler",
        "strict": True,
        "exactOptionalPropertyTypes": True,
        "allowImportingTsExtensions": True,
        "types": [],
        "noEmit": True,
    },
    "include": ["*.ts"],
}


def complaints(documents: list[tuple[str, str]], folder: Path) -> str:
    """What TypeScript says of documents as literals of a type: of too much, too."""
    lines = [f'import type {{ Guide, Assessment, Trend, Comparison }} from "{TYPES}";']
    lines += [f"({text}) satisfies {kind};" for kind, text in documents]
    (folder / "documents_made.ts").write_text("\n".join(lines), "utf-8")
    (folder / "tsconfig.json").write_text(json.dumps(SETTINGS), "utf-8")
    done = subprocess.run(
        [str(COMPILER), "-p", str(folder)], capture_output=True, text=True, check=False, timeout=300
    )
    return done.stdout + done.stderr


@pytest.fixture(scope="module", autouse=True)
def compiler() -> None:
    if shutil.which("node") is None or not COMPILER.exists():
        how = "no TypeScript found: install Node 20 or later, then npm --prefix frontend ci"
        if os.environ.get("CI"):
            pytest.fail(how)
        pytest.skip(how)


def test_every_document_of_the_fixtures_has_the_types_written_down(tmp_path: Path) -> None:
    texts = [path.read_text(encoding="utf-8") for path in RECORDS]
    assert len(texts) > 15
    documents = [("Assessment", api.assess(text)) for text in texts]
    # A guide is long and the same for a layout: one of each kind of machine.
    kinds = {json.loads(text)["machine"]["kind"]: text for text in texts}
    documents += [("Guide", api.guide(text)) for text in kinds.values()]
    read = {path.stem: text for path, text in zip(RECORDS, texts, strict=True)}
    documents.append(("Trend", api.trend([read[f"series_{n}"] for n in (1, 2, 3)])))
    pairs = (("unit_7_going_out", "unit_7_coming_back"), ("series_1", "series_3"))
    documents += [("Comparison", api.compare(read[one], read[other])) for one, other in pairs]
    assert complaints(documents, tmp_path) == ""


def test_a_field_nobody_wrote_down_and_one_that_is_missing_are_found(tmp_path: Path) -> None:
    made = json.loads(api.assess(RECORDS[0].read_text(encoding="utf-8")))
    made["verdict"]["mood"] = "good"
    said = complaints([("Assessment", json.dumps(made))], tmp_path)
    assert "mood" in said
    assert "does not exist in type" in said
    del made["verdict"]["mood"], made["machine"]["zone"]
    said = complaints([("Assessment", json.dumps(made))], tmp_path)
    assert "'zone' is missing" in said
