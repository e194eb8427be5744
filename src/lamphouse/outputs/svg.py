"""A drawing as SVG: millimetres, true arcs, line types of ISO 128, lettering in the shipped font.

The same drawing gives the same text, byte for byte. Nothing in it points outside; there is no
script and no style sheet, so that a browser, a typesetter and a cutter's program read the same.
"""

import re
from collections.abc import Collection, Iterable, Iterator

from lamphouse.drawings.drawing import Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.lettering import width_mm
from lamphouse.drawings.pens import ALL, COLOURS, STYLES, LineStyle
from lamphouse.outputs.fonts import FONT
from lamphouse.shapes.outline import STRAIGHT, Piece

CAPITALS = 2048 / 2816
"""Height of the font's capitals over its size, from its own tables."""
STAND_INS = "Inter, Helvetica, Arial, sans-serif"
"""Fonts of like shape for where the shipped one is not, the nearest first."""
_DECIMALS = 4
"""Of a millimetre: a tenth of a micrometre."""
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Signs that XML 1.0 does not allow."""


def render(drawing: Drawing, *, pens: Collection[Pen] = ALL, alone: bool = False) -> str:
    """Write a drawing as one SVG document.

    Parameters
    ----------
    drawing
        The drawing; its box becomes the document's size.
    pens
        Which pens to show, each a group named after it; ``pens.CUTTER`` leaves sizes and words
        out.
    alone
        For a file that is opened by itself, where the shipped font is not: names others that stand
        in for it, and holds every line of text to the length it was laid out for.

    Returns
    -------
    str
        The document, ending with a line feed.
    """
    width, height = _number(drawing.width_mm), _number(drawing.height_mm)
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    left, top = drawing.left_mm, drawing.bottom_mm + drawing.height_mm
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        f"<title>{_words(drawing.name)}</title>",
    ]
    for pen in Pen:
        items = [item for item in drawing.items if item.pen is pen] if pen in pens else []
        if items:
            lines += _group(pen, (_element(item, left, top, alone=alone) for item in items))
    return "\n".join([*lines, "</svg>", ""])


def _group(pen: Pen, elements: Iterable[str]) -> Iterator[str]:
    style = STYLES[pen]
    yield (
        f'<g id="{pen}" fill="none" stroke="{_ink(style.ink)}" '
        f'stroke-width="{_number(style.width_mm)}" stroke-linecap="{_cap(style)}" '
        f'stroke-linejoin="round"{_dashes(style)}>'
    )
    yield from elements
    yield "</g>"


def _cap(style: LineStyle) -> str:
    return "butt" if style.dashes_mm else "round"


def _dashes(style: LineStyle) -> str:
    if not style.dashes_mm:
        return ""
    return f' stroke-dasharray="{" ".join(_number(part) for part in style.dashes_mm)}"'


def _ink(ink: tuple[int, int, int]) -> str:
    return "#{:02x}{:02x}{:02x}".format(*ink)


def _element(item: Item, left_mm: float, top_mm: float, *, alone: bool) -> str:
    if isinstance(item, Text):
        return _text(item, left_mm, top_mm, alone=alone)
    fill = f' fill="{_ink(STYLES[item.pen].ink)}" stroke="none"' if item.filled else ""
    if isinstance(item, Circle):
        x, y = _place(item.x_mm, item.y_mm, left_mm, top_mm)
        return f'<circle cx="{x}" cy="{y}" r="{_number(item.diameter_mm / 2)}"{fill}/>'
    if item.colour:
        fill = f' fill="{_ink(COLOURS[item.colour])}"'
    return f'<path d="{path_data(item, left_mm=left_mm, top_mm=top_mm)}"{fill}/>'


def path_data(path: Path, *, left_mm: float, top_mm: float) -> str:
    """Write a line as the ``d`` of a path, measured from an upper left corner, y down."""
    first, *later = path.corners
    (x, y, bulge), steps = first, [f"M{' '.join(_place(*first[:2], left_mm, top_mm))}"]
    for next_x, next_y, next_bulge in (*later, first) if path.closed else later:
        end = " ".join(_place(next_x, next_y, left_mm, top_mm))
        if abs(bulge) < STRAIGHT:
            steps.append(f"L{end}")
        else:
            arc = Piece(start=(x, y), end=(next_x, next_y), bulge=bulge)
            radius = _number(arc.radius_mm)
            large, clockwise = int(abs(bulge) > 1), int(bulge < 0)
            steps.append(f"A{radius} {radius} 0 {large} {clockwise} {end}")
        x, y, bulge = next_x, next_y, next_bulge
    return "".join(steps) + ("Z" if path.closed else "")


def _text(text: Text, left_mm: float, top_mm: float, *, alone: bool) -> str:
    x, y = _place(text.x_mm, text.y_mm, left_mm, top_mm)
    style = STYLES[text.pen]
    turn = f' transform="rotate({_number(-text.turn_deg)} {x} {y})"' if text.turn_deg else ""
    weight = ' font-weight="bold"' if text.bold else ""
    family, length = FONT, ""
    if alone:
        family = f"{FONT}, {STAND_INS}"
        width = width_mm(text.words, height_mm=text.height_mm, bold=text.bold)
        length = f' textLength="{_number(width)}" lengthAdjust="spacingAndGlyphs"'
    return (
        f'<text x="{x}" y="{y}" font-family="{family}"{length} '
        f'font-size="{_number(text.height_mm / CAPITALS)}" text-anchor="{text.anchor}"'
        f'{weight} fill="{_ink(style.ink)}" stroke="none"{turn}>{_words(text.words)}</text>'
    )


def _place(x_mm: float, y_mm: float, left_mm: float, top_mm: float) -> tuple[str, str]:
    """Turn a place to SVG's: from the upper left corner, y down."""
    return _number(x_mm - left_mm), _number(top_mm - y_mm)


def _number(value: float) -> str:
    """Write a number with at most four decimals and no minus zero."""
    written = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def _words(words: str) -> str:
    """Make a text safe between tags; signs that XML forbids become the replacement sign."""
    safe = _NOT_XML.sub("\ufffd", words)
    return safe.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
