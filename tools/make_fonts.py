"""Make the renderer's fonts and the width table from the woff2 files in `publish/fonts`.

    python -m venv /tmp/fonts && /tmp/fonts/bin/pip install fonttools brotli
    /tmp/fonts/bin/python tools/make_fonts.py

The PNG renderer reads TrueType only, so each woff2 is unpacked once into `publish/fonts/ttf`
(hinting dropped, family names set to those the pictures ask for). `widths.json` holds the advance
width of every character, in thousandths of the type size: what text is measured with.
"""

from __future__ import annotations

import json
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

HERE = Path(__file__).resolve().parent.parent / "src" / "evenhand" / "publish" / "fonts"
FACES = {
    "asap-latin-400-normal": ("Asap", "Regular"),
    "asap-latin-600-normal": ("Asap", "SemiBold"),
    "faustina-latin-600-normal": ("Faustina", "SemiBold"),
    "evenhand-signs": ("Evenhand Signs", "Regular"),
}


def unpack(name: str, family: str, style: str) -> dict[str, int]:
    """Write one font as TrueType and return the advance width of each of its characters."""
    font = TTFont(HERE / f"{name}.woff2", recalcTimestamp=False)
    font.flavor = None
    options = subset.Options(hinting=False, name_IDs=[1, 2, 4, 6, 16, 17], notdef_outline=True)
    options.layout_features = ["kern", "liga", "ccmp", "mark", "mkmk", "locl"]
    characters = font.getBestCmap()
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=list(characters))
    cutter.subset(font)
    for number, words in {
        16: family,
        17: style,
        1: f"{family} {style}",
        2: "Regular",
        4: f"{family} {style}",
    }.items():
        font["name"].setName(words, number, 3, 1, 0x409)
    font.save(HERE / "ttf" / f"{name}.ttf")
    scale = 1000 / font["head"].unitsPerEm
    return {chr(c): round(font["hmtx"][glyph][0] * scale) for c, glyph in sorted(font.getBestCmap().items())}


def main() -> None:
    """Unpack every face and write the width table."""
    (HERE / "ttf").mkdir(exist_ok=True)
    table = {name: unpack(name, *names) for name, names in FACES.items()}
    words = json.dumps(table, ensure_ascii=True, separators=(",", ":"))
    (HERE / "widths.json").write_text(words + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
