"""Sub-assemblies made from checked fields: rows spread out, parts taken from the shelf."""

from collections.abc import Iterator

from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.design.artwork import Print
from lamphouse.design.lightbox import Led
from lamphouse.design.panel import (
    Curve,
    CurveLayer,
    Layer,
    LayerKind,
    Opening,
    Outline,
    Panel,
    Traced,
)
from lamphouse.design.place import Stand, SubAssembly
from lamphouse.design.strand import Strand
from lamphouse.design.supply import Board, Pigtail, StringWish
from lamphouse.project import artwork_rules, box_making, reference_rules
from lamphouse.project.desk import Desk
from lamphouse.project.fields.curve_fields import CurveFields
from lamphouse.project.fields.panel_fields import (
    HoleFields,
    LayerFields,
    OverlayFields,
    PanelFields,
)
from lamphouse.project.fields.project_fields import SubAssemblyFields
from lamphouse.project.naming import item_and_key
from lamphouse.project.outlines import from_datum, turned
from lamphouse.project.painting import painted
from lamphouse.project.panel_face import FLAT, Face, curve_of, inner_face
from lamphouse.project.panel_shapes import PanelShapes
from lamphouse.project.print_charts import print_chart
from lamphouse.project.tree import Path
from lamphouse.record import replace


def build(desk: Desk, name: str, *, sources: tuple[Led, ...]) -> SubAssembly:
    """Build one sub-assembly; the sources of the groups it carries stand last among its lamps."""
    fields = desk.fields.sub_assemblies[name]
    path: Path = ("sub_assemblies", name)
    made = {
        key: _panel(desk, panel, (*path, "panels", key)) for key, panel in fields.panels.items()
    }
    panels = tuple(panel for panel, _, _ in made.values())
    faces = {key: face for key, (_, face, _) in made.items()}
    shapes = {key: shapes for key, (_, _, shapes) in made.items()}
    boxes = tuple(
        (
            key,
            box_making.box(
                desk, box, (*path, "panels", key, "boxes", box_name), name, shapes=shapes[key]
            ),
        )
        for key, panel in fields.panels.items()
        for box_name, box in panel.boxes.items()
    )
    strands = tuple(
        (key, strand)
        for key, panel in fields.panels.items()
        for strand in _strands(
            desk,
            panel,
            (*path, "panels", key, "strands"),
            face=faces[key],
            shapes=shapes[key],
        )
    )
    bare = PanelShapes(desk=desk, openings={}, path=path)
    masks = tuple(
        (
            panel.name,
            painted(
                desk,
                wish,
                (*path, "panels", panel.name, "masks"),
                shapes=shapes[panel.name],
                face=faces[panel.name],
                edge=panel.outline,
            ),
        )
        for panel in panels
        if (wish := fields.panels[panel.name].masks) is not None
    )
    lamps = [
        led
        for key, lamp in fields.lamps.items()
        for led in box_making.leds(desk, key, lamp, (*path, "lamps", key), name, shapes=bare)
    ]
    return SubAssembly(
        name=name,
        where=desk.where(path),
        stand=_stand(desk, fields, path),
        panels=panels,
        boxes=boxes,
        strands=strands,
        masks=masks,
        lamps=(*lamps, *sources),
        strings=tuple(
            StringWish(
                name=key,
                where=desk.where((*path, "strings", key)),
                leds=tuple(string.leds),
                resistor_ohm=string.resistor,
                trim=string.trim == "yes",
            )
            for key, string in fields.strings.items()
        ),
        board=_board(desk, fields, path),
        pigtail=_pigtail(desk, fields, path),
        grouping=fields.grouping or desk.fields.circuit.grouping,
        trim=fields.trim == "yes",
    )


def _stand(desk: Desk, fields: SubAssemblyFields, path: Path) -> Stand | None:
    stands, room = fields.stands, desk.fields.room
    if stands is None:
        return None
    x_mm, y_mm = stands.at
    if room and desk.complete and not (0.0 <= x_mm <= room.size[0] and 0.0 <= y_mm <= room.size[1]):
        desk.found += reference_rules.outside_room(
            desk.where((*path, "stands")),
            x_mm=x_mm,
            y_mm=y_mm,
            width_mm=room.size[0],
            depth_mm=room.size[1],
        )
    return Stand(
        x_mm=x_mm,
        y_mm=y_mm,
        turn_deg=stands.turn,
        up_mm=stands.up,
        lies=stands.lies,
        looks=stands.looks,
        out=stands.out,
    )


def _board(desk: Desk, fields: SubAssemblyFields, path: Path) -> Board | None:
    board = fields.board
    if board is None:
        return None
    package = (
        desk.row(desk.shelf.resistor_packages, board.resistors, (*path, "board", "resistors"))
        if board.resistors
        else desk.resistor_package()
    )
    return Board(
        where=desk.where((*path, "board")),
        kind=board.kind,
        space_mm=board.space,
        at_mm=board.at,
        behind_mm=board.behind,
        resistor_package=package,
    )


def _pigtail(desk: Desk, fields: SubAssemblyFields, path: Path) -> Pigtail | None:
    pigtail = fields.pigtail
    if pigtail is None:
        return None
    return Pigtail(
        where=desk.where((*path, "pigtail")),
        plug=desk.row(desk.shelf.plugs, pigtail.plug, (*path, "pigtail", "plug")),
        wire=desk.row(desk.shelf.wires, pigtail.wire, (*path, "pigtail", "wire")),
        length_mm=pigtail.length,
    )


def _strands(
    desk: Desk, fields: PanelFields, path: Path, *, face: Face, shapes: PanelShapes
) -> Iterator[Strand]:
    for key, row in fields.strands.items():
        here = (*path, key)
        fibre = desk.row(desk.shelf.fibre_types, row.fibre, (*here, "fibre"))
        if row.group:
            desk.refer("groups", row.group, (*here, "group"), names=desk.fields.groups)
        for number, name in enumerate(row.any_of):
            desk.refer("groups", name, (*here, "any_of", number), names=desk.fields.groups)
        for each, x_mm, y_mm in shapes.spread(key, row, here):
            where = desk.member(here, name=each, kind="strand", within="the project")
            x_mm, y_mm = face.spot(x_mm, y_mm=y_mm)
            yield Strand(
                name=each,
                where=where,
                fibre=fibre,
                x_mm=x_mm,
                y_mm=y_mm,
                hole_mm=row.hole,
                group=row.group or "",
                head=row.head,
                any_of=tuple(dict.fromkeys(row.any_of)),
            )


def _panel(desk: Desk, fields: PanelFields, path: Path) -> tuple[Panel, Face, PanelShapes]:
    shapes = PanelShapes(desk=desk, openings=fields.openings, path=path)
    outline_, sheet, curve, face = _face(desk, fields, path, shapes=shapes)
    if face.cone is None:
        shapes.edge = outline_.corners
    traced = fields.traced
    panel = Panel(
        name=str(path[-1]),
        where=desk.where(path),
        outline=outline_,
        sheet=sheet,
        openings=tuple(_openings(desk, fields, (*path, "openings"), face=face, shapes=shapes)),
        curve=curve,
        grain=fields.grain or "",
        traced=Traced(
            picture=traced.picture, within_mm=traced.within, nudged_mm=traced.nudged or 0.0
        )
        if traced
        else None,
        at_mm=fields.at,
        overlays=tuple(
            _overlay(desk, overlay, (*path, "overlays", key), face=face, shapes=shapes)
            for key, overlay in fields.overlays.items()
        ),
    )
    return panel, face, shapes


def _overlay(
    desk: Desk, fields: OverlayFields, path: Path, *, face: Face, shapes: PanelShapes
) -> Panel:
    """Build a piece on a panel's face; its places are those of the panel."""
    corners, own = shapes.made(fields.outline, (*path, "outline"))
    x_mm, y_mm = fields.at or own or (0.0, 0.0)
    return Panel(
        name=str(path[-1]),
        where=desk.where(path),
        outline=face.put(corners, words=fields.outline.words, x_mm=x_mm, y_mm=y_mm),
        sheet=desk.row(desk.shelf.sheet_stock, fields.sheet, (*path, "sheet")),
        openings=tuple(
            Opening(name=each, where=desk.where((*path, "openings", key), name=each), outline=hole)
            for key, row in fields.openings.items()
            for each, hole in _holes(key, row, (*path, "openings", key), face=face, shapes=shapes)
        ),
    )


def _holes(
    key: str, row: HoleFields, path: Path, *, face: Face, shapes: PanelShapes
) -> Iterator[tuple[str, Outline]]:
    """Give the members of a row of openings or cut-outs in their places."""
    corners, own = shapes.made(row.shape, (*path, "shape"))
    corners = turned(corners, angle_deg=row.turn)
    for each, x_mm, y_mm in shapes.spread(key, row, path, own=own):
        yield each, face.put(corners, words=row.shape.words, x_mm=x_mm, y_mm=y_mm)


def _face(
    desk: Desk, fields: PanelFields, path: Path, *, shapes: PanelShapes
) -> tuple[Outline, SheetStock, Curve | None, Face]:
    """Give a panel's outline, its sheet, how it is bent, and what places are put on."""
    if fields.curve is None:
        if fields.outline is None or fields.sheet is None:
            flat = "a flat panel passed its fields without outline and sheet"
            raise ValueError(flat)
        sheet = desk.row(desk.shelf.sheet_stock, fields.sheet, (*path, "sheet"))
        corners, _ = shapes.made(fields.outline, (*path, "outline"))
        outline = from_datum(fields.outline, corners=corners, datum=fields.datum)
        return outline, sheet, None, FLAT
    curve = _curve(desk, fields.curve, (*path, "curve"), height_mm=fields.height or 0.0)
    developed, face = inner_face(curve)
    return developed, curve.layers[0].sheet, curve, face


def _curve(desk: Desk, fields: CurveFields, path: Path, *, height_mm: float) -> Curve:
    layers = []
    for number, layer in enumerate(fields.layers):
        here = (*path, "layers", number)
        where = desk.where(here)
        own = number + 1
        holes_from = layer.holes_from or own
        if holes_from > len(fields.layers):
            desk.found += reference_rules.no_such_layer(
                where, given=holes_from, layers=len(fields.layers), own=own
            )
        sheet = desk.row(desk.shelf.sheet_stock, layer.sheet, (*here, "sheet"))
        layers.append(CurveLayer(sheet=sheet, holes_from=holes_from, where=where))
    curve = curve_of(fields, height_mm=height_mm, layers=tuple(layers))
    if fields.former is None:
        return curve
    former = desk.row(desk.shelf.sheet_stock, fields.former, (*path, "former"))
    return replace(curve, former=former)


def _openings(
    desk: Desk, fields: PanelFields, path: Path, *, face: Face, shapes: PanelShapes
) -> Iterator[Opening]:
    for key, row in fields.openings.items():
        here = (*path, key)
        layers = tuple(
            _layer(desk, layer, (*here, "layers", number))
            for number, layer in enumerate(row.layers)
        )
        if row.look:
            desk.refer("looks", row.look, (*here, "look"), names=desk.fields.looks)
        for each, hole in _holes(key, row, here, face=face, shapes=shapes):
            yield Opening(
                name=each,
                where=desk.where(here, name=each),
                outline=hole,
                layers=layers,
                look=row.look,
                match=row.match,
            )


def _layer(desk: Desk, fields: LayerFields, path: Path) -> Layer:
    film = desk.row(desk.shelf.film_types, fields.film, (*path, "film"))
    return Layer(
        kind=LayerKind(film.use),
        film=film,
        count=fields.films or fields.coats or 1,
        printed=_print(desk, fields, path, use=film.use),
    )


def _print(desk: Desk, fields: LayerFields, path: Path, *, use: str) -> Print | None:
    """Give what is printed on a layer; a picture that cannot be had is told and left out."""
    if fields.artwork is None:
        return None
    here = (*path, "artwork")
    if use not in (LayerKind.PRINT, LayerKind.DECAL):
        where = desk.tree.where(here, item=item_and_key(here)[0])
        desk.found += artwork_rules.carries_no_ink(where, film=fields.film, use=use)
    artwork = desk.artwork(fields.artwork, here)
    if artwork is None:
        return None
    chart = print_chart(desk, fields.chart, (*path, "chart"))
    return Print(
        artwork=artwork,
        printer=desk.fields.charts[chart.name].printer if chart else fields.printer,
        black_passes=fields.black_passes,
        chart=chart,
    )
