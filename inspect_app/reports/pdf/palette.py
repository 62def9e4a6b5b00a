"""Colours and measures of the sheet, from the look's tokens (light theme, on white paper).

Blue is what was measured, bronze is wear and nothing else; the four signal colours stand on
caution panels only.  Lengths are PDF points unless a name says otherwise.
"""

from typing import Final

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.units import mm

INK: Final = HexColor("#0E2135")
INK_2: Final = HexColor("#2F4254")
LINE: Final = HexColor("#A7B3BD")
EDGE: Final = HexColor("#53667A")
PAPER: Final = HexColor("#FFFFFF")
BLUE: Final = HexColor("#0B3B82")
BLUE_WASH: Final = HexColor("#DCE7F5")
BRONZE: Final = HexColor("#743306")
PLACEHOLDER: Final = HexColor("#E6EBED")

#: zone -> (ground, hatch colour, hatch width); one hue, more ink is more wear.
HATCH: Final[dict[str, tuple[Color, Color, float]]] = {
    "A": (HexColor("#EAD0B6"), BRONZE, 0.35),
    "B": (HexColor("#DBA577"), BRONZE, 0.7),
    "C": (HexColor("#DBA577"), BRONZE, 1.9),
    "D": (HexColor("#884413"), HexColor("#4A1E03"), 2.8),
}
HATCH_PITCH: Final = 3.2

#: risk -> line weight.
RISK_WEIGHT: Final[dict[str, float]] = {"low": 0.75, "medium": 2.25, "serious": 5.25, "high": 9.0}

#: ANSI Z535.4 signal word -> (ground, lettering).
SIGNAL: Final[dict[str, tuple[Color, Color]]] = {
    "DANGER": (HexColor("#9B0B1E"), HexColor("#FFFFFF")),
    "WARNING": (HexColor("#FF8A1F"), HexColor("#000000")),
    "CAUTION": (HexColor("#FFE04A"), HexColor("#000000")),
    "NOTICE": (HexColor("#0B3B82"), HexColor("#FFFFFF")),
}

MARGIN: Final = 14 * mm
GUTTER: Final = 7 * mm
HEAD: Final = 16 * mm
FOOT: Final = 13 * mm

NOTE: Final = 8.6
BODY: Final = 10.0
LEAD: Final = 12.5
CARD: Final = 13.0
CARD_TEXT: Final = 9.2
VERDICT: Final = 25.0
LEADING: Final = 1.2
