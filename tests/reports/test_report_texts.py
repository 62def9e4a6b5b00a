"""What people type comes out as typed: cases R01, R02, R04 and R06 of the failure list."""

import json
import socket
import subprocess
from io import BytesIO
from pathlib import Path
from shutil import which
from typing import Any

import pytest
import report_sample as sample
from PIL import Image
from pypdf import PdfReader
from report_reading import CASES, build_report, make, no_blanks, text_of

MARKUP: list[str] = json.loads((CASES / "paragraph_markup_D.json").read_text("utf-8"))
SAMPLES: dict[str, str] = json.loads((CASES / "text_samples_D.json").read_text("utf-8"))
EVERYTHING = [*MARKUP, *SAMPLES.values()]


def everywhere(text: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The text in the label, a note, a statement, a reason and a name."""
    made, record = sample.assessment(), sample.record()
    made["machine"]["label"] = text
    made["findings"][1]["as_seen"] = text
    made["unchecked"][0]["reason_text"] = text
    record["statements"] = [{"by": "seller", "text": text}]
    record["inspector"]["name"] = text
    return made, record


@pytest.mark.parametrize("text", EVERYTHING, ids=lambda t: ascii(t[:12]))
def test_text_comes_out_as_typed_in_every_field(text: str) -> None:
    made, record = everywhere(text)

    pdf = build_report(make(made, record, organisation=text))

    # Label, note, reason, statement, inspector and organisation: each whole somewhere.
    if len(text) <= 1000:
        assert no_blanks(text_of(pdf)).count(no_blanks(text)) >= 6
    else:  # it runs over pages, whose heads and feet stand between its lines
        assert text_of(pdf).count(text[0]) >= 6 * text.count(text[0])


def test_sixty_thousand_letters_lose_none() -> None:
    text = SAMPLES["long_words_60000"]
    made = sample.assessment()
    made["findings"][1]["as_seen"] = text

    out = text_of(build_report(make(made)))

    assert out.count("lorem") == text.count("lorem")


def test_a_picture_tag_is_text_and_nothing_is_fetched() -> None:
    listener = socket.create_server(("127.0.0.1", 0))
    listener.settimeout(0.05)
    tag = f'<img src="http://127.0.0.1:{listener.getsockname()[1]}/x.png"/>'
    local = f'<img src="{CASES / "panorama_12000x2000.jpg"}" width="20" height="20"/>'
    made, record = everywhere(tag + local)

    pdf = build_report(make(made, record))

    assert no_blanks(tag + local) in no_blanks(text_of(pdf))
    assert sum(len(page.images) for page in PdfReader(BytesIO(pdf)).pages) == 0
    with pytest.raises(TimeoutError):
        listener.accept()
    listener.close()


def test_no_link_or_action_comes_from_what_was_typed() -> None:
    made, record = everywhere('<a href="http://example.invalid">x</a>')

    pdf = build_report(make(made, record))

    assert b"/URI" not in pdf
    assert all("/Annots" not in page for page in PdfReader(BytesIO(pdf)).pages)


def ink_of_note(note: str, folder: Path) -> int:
    """Dark points on a page that holds one finding with a note, too short to break any line."""
    made = sample.assessment()
    made["findings"] = [sample.finding("guard", "front_left", "Boot torn", "C", as_seen=note)]
    return _ink(build_report(make(made)), folder, page=2)


@pytest.mark.parametrize("kind", ["emoji", "zwj", "cjk", "thai"])
def test_a_character_no_face_has_can_be_copied(kind: str) -> None:
    made = sample.assessment()
    made["findings"][1]["as_seen"] = SAMPLES[kind]

    assert SAMPLES[kind] in text_of(build_report(make(made)))


@pytest.mark.parametrize(
    "strange", [*"\U0001f6d1\u200d\u524d\u0e15", "\x00", "\x1b", "\ufeff", "\u202e"], ids=ascii
)
def test_a_character_no_face_has_is_seen(strange: str, tmp_path: Path) -> None:
    # Frame and digits of one box at 300 dots an inch: well over 60 dark points; a blank has none.
    without, within = (ink_of_note(f"a{c}b", tmp_path) for c in ("", strange))

    assert within > without + 60


def _ink(pdf: bytes, folder: Path, *, page: int) -> int:
    """Dark points of one page at 300 dots an inch."""
    if not which("pdftoppm"):
        pytest.skip("pdftoppm is not installed (Debian: poppler-utils)")
    (folder / "out.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-r", "300", "-gray", "-f", str(page), "-l", str(page)]
    subprocess.run([*command, folder / "out.pdf", folder / "out"], check=True)
    (made,) = folder.glob("out-*.pgm")
    with Image.open(made) as image:
        dark = sum(image.convert("L").histogram()[:128])
    made.unlink()
    return dark


def test_shipped_faces_have_what_people_type_in_latin_greek_and_cyrillic() -> None:
    from inspect_app.reports.pdf import stand_in, typefaces

    typed = "Größe Ångström señor Łódź žluťoučký Kiểm tra Ελληνικά Жигули ≤ Ω ± ∅ ₂ ✓ ✗ µ × – … → ½"

    for face in (typefaces.MEDIUM, typefaces.BOLD):
        used = {name for name, _, _ in typefaces.runs_in_faces(typed, face)}
        assert stand_in.NAME not in used


def test_no_drawn_code_is_a_missing_glyph(photo: object) -> None:
    """Code 0 of a subset face is its missing glyph: no page may write it."""
    made, record = everywhere("".join(SAMPLES[k] for k in ("math", "vietnamese", "tofu_old")))

    for page in PdfReader(BytesIO(build_report(make(made, record)))).pages:
        for operands, operator in _operations(page):
            if operator == b"Tj":
                raw = operands[0]
                written = raw.original_bytes if hasattr(raw, "original_bytes") else bytes(raw)
                assert b"\x00" not in written


def _operations(page: Any) -> list[Any]:
    contents = page.get_contents()
    assert contents is not None
    return list(contents.operations)


def test_fonts_are_embedded_with_their_unicode() -> None:
    made, record = everywhere("Ж 🛑 ≤")
    fonts: dict[str, Any] = {}

    for page in PdfReader(BytesIO(build_report(make(made, record)))).pages:
        fonts |= {k: v.get_object() for k, v in page["/Resources"]["/Font"].items()}  # type: ignore[index]

    used = [f for f in fonts.values() if f.get("/BaseFont") != "/Helvetica"]
    assert used
    for font in used:
        assert "/ToUnicode" in font
        if font["/Subtype"] == "/TrueType":
            assert "/FontFile2" in font["/FontDescriptor"].get_object()
