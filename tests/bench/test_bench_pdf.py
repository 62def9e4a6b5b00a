"""The report beside a bare canvas that writes the same words with the same faces and photos.

Both are timed in turn in one run, so the machine's own speed falls out; no seconds are asserted.
The bare canvas breaks no lines, measures nothing and knows no layout: it is the floor.
"""

import sys
from io import BytesIO
from pathlib import Path

from PIL import Image
from pypdf import PdfReader
from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

sys.path.insert(0, str(Path(__file__).parents[1] / "reports"))
import report_sample as sample
from report_reading import make

from inspect_app.reports.pdf import typefaces
from inspect_app.reports.pdf.document import (
    PhotoForReport,
    ReportData,
    build_report,
)
from tests.bench.conftest import Beside

FINDINGS = 24
MOST = 2.6  # the goal is 2.0; 1.9 was measured on a busy machine
GAUGE_RECTANGLES, GAUGE_LINES = 5, 60  # four hatched zones and a wash; hatch, ticks, span


def report_with_photos(folder: Path) -> ReportData:
    photos = {}
    made = sample.terrible_assessment(FINDINGS)
    for order, finding in enumerate(made["findings"][:FINDINGS]):
        path = folder / f"photo-{order}.jpg"
        Image.effect_noise((970, 728), 14).convert("RGB").save(path, quality=60)
        photos[f"sha256:{order}"] = PhotoForReport(path=path, caption=f"Photo {order}")
        finding["photos"] = [f"sha256:{order}"]
    return make(made, photos=photos)


def bare_canvas(data: ReportData, pages: list[list[str]]) -> bytes:
    """The same lines of text, photos and gauges, each drawn where it happens to fall."""
    rl_config.useA85 = 0
    target = BytesIO()
    canvas = Canvas(target, invariant=1, pageCompression=1)
    photos = iter(data.photos.values())
    for lines in pages:
        for order, line in enumerate(lines):
            face = typefaces.BOLD if order % 4 == 0 else typefaces.MEDIUM
            canvas.setFont(face, 10)
            canvas.drawString(40, 800 - 9 * order, line)
        for photo, _ in zip(photos, range(4), strict=False):
            canvas.drawImage(str(photo.path), 40, 40, 160, 120)
            for step in range(GAUGE_RECTANGLES):
                canvas.rect(40 + step * 30, 300, 30, 15, fill=1)
            for step in range(GAUGE_LINES):
                canvas.line(40 + step, 300, 55 + step, 315)
        canvas.showPage()
    canvas.save()
    return target.getvalue()


def test_the_report_takes_little_more_than_a_bare_canvas(tmp_path: Path, beside: Beside) -> None:
    data = report_with_photos(tmp_path)
    pdf = build_report(data)  # reads the faces once
    pages = [page.extract_text().splitlines() for page in PdfReader(BytesIO(pdf)).pages]
    beside(lambda: build_report(data), lambda: bare_canvas(data, pages), goal=MOST, rounds=9)
