"""A drawing as DXF for cutters and drawing programs: millimetres, true arcs, a layer for each pen.

The same drawing gives the same bytes. The file is of the version R2010, which every program of
the last ten years reads.
"""

import io
import re
import threading
from collections.abc import Collection
from functools import lru_cache
from typing import TYPE_CHECKING

from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Pen, Text
from lamphouse.drawings.pens import ALL, STYLES
from lamphouse.outputs.fonts import FONT
from lamphouse.record import Record

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace

_COLOURS: dict[Pen, int] = {
    Pen.CUT: 1,
    Pen.DRILL: 6,
    Pen.SCORE: 3,
    Pen.MARK: 5,
    Pen.HIDDEN: 8,
    Pen.CENTRE: 4,
    Pen.DATUM: 30,
    Pen.SIZE: 7,
    Pen.TEXT: 7,
    Pen.FRAME: 9,
}
"""The colour number of each layer; the line type and the layer's name say the same."""
_STYLE = "LETTERING"
_FONT_FILE = f"{FONT.replace(' ', '')}-Regular.otf"
_PERCENT_RUN = re.compile("%{2,}")
_LINE_ENDS = re.compile(r"[\r\n\v\f\x1c-\x1e\x85\u2028\u2029]+")
_CONTROL = re.compile("[\x00-\x1f\x7f\ud800-\udfff]")
_ONE_AT_A_TIME = threading.Lock()
"""The library's switch for fixed metadata is one for the whole process, as are the blank files."""


def render(drawing: Drawing, *, pens: Collection[Pen] = ALL, note: str = "") -> bytes:
    """Write a drawing as one DXF file.

    Parameters
    ----------
    drawing
        The drawing, in mm; its places become those of the file.
    pens
        Which pens to write; ``pens.CUTTER`` leaves sizes and words out, so that a cutting machine
        is given the piece and nothing else.
    note
        What the file's properties say of its lines; empty for nothing.

    Returns
    -------
    bytes
        The file.
    """
    from ezdxf.lldxf.tagwriter import TagWriter

    with _ONE_AT_A_TIME:
        blank = _blank(frozenset(pens), note)
        space, known = blank.document.modelspace(), blank.document.entitydb
        written = io.StringIO()
        known.handles.reset(blank.seed)
        try:
            for item in drawing.items:
                if item.pen in pens:
                    _add(space, item)
            space.entity_space.export_dxf(TagWriter(written, dxfversion=blank.document.dxfversion))
            seed = str(known.handles)
        finally:
            space.delete_all_entities()
            known.purge()
        text = f"{blank.head}{seed}{blank.before}{written.getvalue()}{blank.after}"
        return text.encode(blank.document.output_encoding, errors="dxfreplace")


def layer_name(pen: Pen) -> str:
    """Give the name of a pen's layer."""
    return pen.value.upper()


class _Blank(Record):
    """A file without a line: all but the lines is the same in every file."""

    document: "Document"
    """To put lines into, and to take them out of again."""
    seed: str
    """The first free handle."""
    head: str
    """The text up to the first free handle."""
    before: str
    """The text from there to the first line."""
    after: str


@lru_cache(maxsize=8)
def _blank(pens: frozenset[Pen], note: str) -> _Blank:
    from ezdxf._options import options
    from ezdxf.filemanagement import new
    from ezdxf.units import MM

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        document = new("R2010", units=MM)
        _add_layers(document, pens)
        if note:
            document.header.custom_vars.append("LINES", _safe(f"compensated for {note}"))
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)  # left to itself, a set orders them
        written = io.StringIO()
        document.write(written)
    finally:
        options.write_fixed_meta_data_for_testing = before
    seed = str(document.entitydb.handles)
    head, mark, rest = written.getvalue().partition("$HANDSEED\n  5\n")
    upper, begin, lower = rest.removeprefix(seed).partition("SECTION\n  2\nENTITIES\n")
    return _Blank(document=document, seed=seed, head=head + mark, before=upper + begin, after=lower)


def _add_layers(document: "Document", pens: Collection[Pen]) -> None:
    document.styles.add(_STYLE, font=_FONT_FILE)
    for pen in Pen:
        if pen not in pens:
            continue
        style = STYLES[pen]
        name = layer_name(pen)
        linetype = "Continuous"
        if style.dashes_mm:
            linetype = f"{name}_LINE"
            # Positive lengths are drawn, negative ones left out; the first is their sum.
            lengths = [
                length * (-1 if index % 2 else 1) for index, length in enumerate(style.dashes_mm)
            ]
            pattern = [sum(style.dashes_mm), *lengths]
            document.linetypes.add(linetype, pattern, description=f"{pen} line")
        document.layers.add(
            name,
            color=_COLOURS[pen],
            linetype=linetype,
            lineweight=round(style.width_mm * 100),
        )


def _add(space: "Modelspace", item: Item) -> None:
    from ezdxf.colors import BYLAYER

    attributes = {"layer": layer_name(item.pen)}
    if isinstance(item, Text):
        _add_text(space, item, attributes)
    elif isinstance(item, Circle):
        centre = (item.x_mm, item.y_mm)
        space.add_circle(centre, item.diameter_mm / 2, dxfattribs=attributes)
        if item.filled:
            hatch = space.add_hatch(color=BYLAYER, dxfattribs=attributes)
            hatch.paths.add_edge_path().add_arc(centre, item.diameter_mm / 2, 0, 360)
    else:
        points = [(x, y, bulge) for x, y, bulge in item.corners]
        space.add_lwpolyline(points, format="xyb", close=item.closed, dxfattribs=attributes)
        if item.filled:
            hatch = space.add_hatch(color=BYLAYER, dxfattribs=attributes)
            hatch.paths.add_polyline_path(points, is_closed=True)


def _add_text(space: "Modelspace", text: Text, attributes: dict[str, str]) -> None:
    from ezdxf.enums import TextEntityAlignment

    alignment = {
        Anchor.START: TextEntityAlignment.LEFT,
        Anchor.MIDDLE: TextEntityAlignment.CENTER,
        Anchor.END: TextEntityAlignment.RIGHT,
    }[text.anchor]
    entity = space.add_text(
        _safe(text.words),
        height=text.height_mm,
        rotation=text.turn_deg,
        dxfattribs={**attributes, "style": _STYLE},
    )
    entity.set_placement((text.x_mm, text.y_mm), align=alignment)


def _safe(words: str) -> str:
    """Take from a text what DXF reads as a command: line ends, controls, ``%%`` and ``^``."""
    line = _CONTROL.sub("\ufffd", _LINE_ENDS.sub(" ", words))
    spelled = _PERCENT_RUN.sub(lambda run: "%%%" * len(run.group()), line)
    return spelled.replace("^", "^ ")
