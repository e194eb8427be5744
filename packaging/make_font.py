"""Make the shipped font from Inter 3.19 or later: a subset with the signs apart that look alike.

Usage: ``python packaging/make_font.py FOLDER_WITH_INTER OUT_FOLDER``. Needs fonttools.

Three of Inter's own alternates become the plain form, so that they show wherever the font does,
also in programs that know no font features: figures of equal width, the slashed zero, and the
capital I and small l that cannot be taken for one another or for 1. The family gets its own
name, because Inter is a trade mark of its maker. No ligatures: text prints as it was typed.
"""

import sys
from pathlib import Path

from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FAMILY = "Lamphouse Sans"
VERSION = "Version 1.000; subset of Inter"
RANGES = (
    (0x0020, 0x007E),  # Latin
    (0x00A0, 0x017F),
    (0x0218, 0x021B),
    (0x1E80, 0x1E85),
    (0x1EF2, 0x1EF3),
    (0x0386, 0x03CE),  # Greek
    (0x0400, 0x045F),  # Cyrillic
    (0x0490, 0x0491),
    (0x2010, 0x2015),
    (0x2018, 0x201E),
    (0x2070, 0x2079),
    (0x2080, 0x2089),
)
SIGNS = "…†‡•‰′″€№™Ω←↑→↓↔−√∞≈≠≤≥∅Δ½¼¾⅓⅔⅛⅜⅝⅞◯□■✓✗"  # noqa: RUF001 - the very signs wanted
FIGURES = range(0x30, 0x3A)


def swaps(font: TTFont, feature: str) -> dict[str, str]:
    """Read which glyph a feature puts in the place of which."""
    table = font["GSUB"].table
    found: dict[str, str] = {}
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag == feature:
            for index in record.Feature.LookupListIndex:
                for sub in table.LookupList.Lookup[index].SubTable:
                    found.update(getattr(sub, "ExtSubTable", sub).mapping)
    return found


def settle(font: TTFont) -> None:
    """Make the chosen alternates the plain form."""
    equal, slashed = swaps(font, "tnum"), swaps(font, "zero")
    letters = {**swaps(font, "cv05"), **swaps(font, "cv08")}
    for table in font["cmap"].tables:
        if not table.isUnicode():
            continue
        for code, glyph in list(table.cmap.items()):
            if code in FIGURES:
                figure = equal.get(glyph, glyph)
                table.cmap[code] = slashed.get(figure, figure)
            else:
                table.cmap[code] = letters.get(glyph, glyph)


def level(font: TTFont) -> None:
    """Give all figures the width of the eight: in the source some are a hair wider."""
    cmap, shapes, measures = font.getBestCmap(), font.getGlyphSet(), font["hmtx"]
    width = measures[cmap[ord("8")]][0]
    top = font["CFF "].cff[0]
    for glyph in (cmap[figure] for figure in FIGURES):
        pen = T2CharStringPen(width, shapes)
        shapes[glyph].draw(pen)
        top.CharStrings[glyph] = pen.getCharString(top.Private, top.GlobalSubrs)
        measures[glyph] = (width, measures[glyph][1])


def rename(font: TTFont, *, style: str) -> None:
    """Give the family its own name and keep the copyright and the licence."""
    table = font["name"]
    keep = {0, 13, 14}
    table.names = [entry for entry in table.names if entry.nameID in keep]
    joined = FAMILY.replace(" ", "")
    names = {
        1: FAMILY,
        2: style,
        3: f"{joined}-{style};1.000",
        4: f"{FAMILY} {style}".removesuffix(" Regular"),
        5: VERSION,
        6: f"{joined}-{style}",
    }
    for number, text in names.items():
        table.setName(text, number, 3, 1, 0x409)
    top = font["CFF "].cff
    top.fontNames = [names[6]]
    top[0].FullName, top[0].FamilyName = names[4], FAMILY


def make(source: Path, *, style: str, out: Path) -> None:
    """Write one weight."""
    font = TTFont(source / f"Inter-{style}.otf", recalcTimestamp=False)
    settle(font)
    level(font)
    options = Options()
    options.layout_features = ["kern", "mark", "mkmk", "ccmp"]
    options.hinting = False
    options.name_IDs = ["*"]
    options.notdef_outline = True
    options.drop_tables += ["DSIG"]
    codes = {code for first, last in RANGES for code in range(first, last + 1)}
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=codes | {ord(sign) for sign in SIGNS})
    subsetter.subset(font)
    rename(font, style=style)
    font.save(out / f"LamphouseSans-{style}.otf")


if __name__ == "__main__":
    for weight in ("Regular", "Bold"):
        make(Path(sys.argv[1]), style=weight, out=Path(sys.argv[2]))
