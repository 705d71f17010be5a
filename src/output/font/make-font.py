"""Builds PlicaSans-Regular.ttf, the font bundled with Plica, from the Noto Sans family (SIL Open Font License 1.1).

Needs fontTools (https://github.com/fonttools/fonttools) and three fonts: NotoSans-Regular.ttf,
NotoSansMath-Regular.ttf and NotoSansSymbols2-Regular.ttf.

    python3 make-font.py FOLDER-WITH-THE-FONTS PlicaSans-Regular.ttf

Layout tables are dropped, so that every back end advances by the same widths: no kerning, no ligatures.
"""

import sys
import tempfile
from pathlib import Path

from fontTools import merge, subset
from fontTools.ttLib import TTFont

LETTERS = (
    "U+0020-007E,U+00A0-024F,U+02B0-02DD,U+0300-0304,U+0306-030C,U+0327,U+0328,U+0370-03FF,U+0400-045F,"
    "U+0490-0491,U+1E80-1E85,U+1E9E,U+1EF2-1EF3,U+2010-2015,U+2018-201E,U+2020-2022,U+2026,U+202F,U+2030,"
    "U+2032-2034,U+2039,U+203A,U+2044,U+2070-2079,U+2080-2089,U+20AC,U+2116,U+2122,U+2150-215E,U+FFFD"
)
SIGNS = "U+2190-2199,U+21A9,U+21AA,U+21BA,U+21BB,U+2205,U+2212,U+221A,U+2220,U+2248,U+2260,U+2264,U+2265,U+25B3"
SYMBOLS = "U+2605,U+2606,U+2665,U+2702,U+270E,U+2713,U+2717"
SOURCES = [
    ("NotoSans-Regular.ttf", LETTERS),
    ("NotoSansMath-Regular.ttf", SIGNS),
    ("NotoSansSymbols2-Regular.ttf", SYMBOLS),
]
NAMES = {
    1: "Plica Sans",
    2: "Regular",
    3: "Plica Sans Regular 1.0, a subset of Noto Sans 2.004",
    4: "Plica Sans Regular",
    5: "Version 1.000",
    6: "PlicaSans-Regular",
}


def main(folder: Path, target: Path) -> None:
    with tempfile.TemporaryDirectory() as work:
        parts = []
        for name, characters in SOURCES:
            part = Path(work) / name
            subset.main([
                str(folder / name), f"--unicodes={characters}", "--layout-features=", "--no-hinting", "--notdef-outline",
                "--name-IDs=*", "--drop-tables+=GPOS,GSUB,GDEF,MATH,gasp,DSIG", f"--output-file={part}",
            ])
            parts.append(str(part))
        font = merge.Merger().merge(parts)
    first = TTFont(folder / SOURCES[0][0])
    for table, fields in (("hhea", ("ascent", "descent", "lineGap")), ("OS/2", ("sCapHeight", "sxHeight"))):
        for field in fields:
            setattr(font[table], field, getattr(first[table], field))
    for number, text in NAMES.items():
        font["name"].setName(text, number, 3, 1, 0x409)
    font["post"].formatType = 3.0
    # The dates in `head` come from the sources, so that building twice gives the same bytes.
    font["head"].created = font["head"].modified = first["head"].modified
    font.recalcTimestamp = False
    font.save(target)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
