"""Sub-assemblies made from checked fields: rows spread out, parts taken from the shelf."""

from collections.abc import Iterator
from math import radians

from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.design.lightbox import (
    Baffle,
    InnerDiffuser,
    Led,
    LightBox,
    Passage,
    WallCoating,
)
from lamphouse.design.panel import Curve, CurveLayer, Layer, LayerKind, Opening, Outline, Panel
from lamphouse.design.place import Stand, SubAssembly
from lamphouse.design.strand import Strand
from lamphouse.design.supply import Board, Pigtail, StringWish
from lamphouse.project import reference_rules
from lamphouse.project.desk import Desk
from lamphouse.project.fields.light_fields import LedFields, RowSection
from lamphouse.project.fields.panel_fields import (
    BoxFields,
    CurveFields,
    LayerFields,
    OverlayFields,
    PanelFields,
)
from lamphouse.project.fields.project_fields import SubAssemblyFields
from lamphouse.project.naming import row_names
from lamphouse.project.outlines import corners_of, from_datum, placed, turned
from lamphouse.project.tree import Path
from lamphouse.shapes import outline


def spread(name: str, fields: RowSection) -> Iterator[tuple[str, float, float]]:
    """Go through the members of a row: name and place in mm."""
    across, up = fields.step or (0.0, 0.0)
    for number, each in enumerate(row_names(name, count=fields.count)):
        yield each, fields.at[0] + number * across, fields.at[1] + number * up


def build(desk: Desk, name: str, *, sources: tuple[Led, ...]) -> SubAssembly:
    """Build one sub-assembly; the sources of the groups it carries stand last among its lamps."""
    fields = desk.fields.sub_assemblies[name]
    path: Path = ("sub_assemblies", name)
    panels = tuple(
        _panel(desk, panel, (*path, "panels", key)) for key, panel in fields.panels.items()
    )
    boxes = tuple(
        (key, _box(desk, box, (*path, "panels", key, "boxes", box_name), name))
        for key, panel in fields.panels.items()
        for box_name, box in panel.boxes.items()
    )
    strands = tuple(
        (key, strand)
        for key, panel in fields.panels.items()
        for strand in _strands(desk, panel, (*path, "panels", key, "strands"))
    )
    lamps = [
        led
        for key, lamp in fields.lamps.items()
        for led in _leds(desk, key, lamp, (*path, "lamps", key), name)
    ]
    return SubAssembly(
        name=name,
        where=desk.where(path),
        stand=_stand(desk, fields, path),
        panels=panels,
        boxes=boxes,
        strands=strands,
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
    return Stand(x_mm=x_mm, y_mm=y_mm, turn_deg=stands.turn, up_mm=stands.up, lies=stands.lies)


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


def _leds(desk: Desk, name: str, fields: LedFields, path: Path, sub_assembly: str) -> Iterator[Led]:
    led_type = desk.row(desk.shelf.led_types, fields.led_type, (*path, "type"))
    if fields.group:
        desk.refer("groups", fields.group, (*path, "group"), names=desk.fields.groups)
    for each, x_mm, y_mm in spread(name, fields):
        where = desk.member(path, name=each, kind="LED", within=f"'{sub_assembly}'")
        yield Led(
            name=each,
            where=where,
            led_type=led_type,
            x_mm=x_mm,
            y_mm=y_mm,
            current_A=fields.current,
            seat=fields.seat,
            height_mm=fields.height or 0.0,
            turn_deg=fields.turn or 0.0,
            group=fields.group,
        )


def _box(desk: Desk, fields: BoxFields, path: Path, sub_assembly: str) -> LightBox:
    diffuser = fields.inner_diffuser
    return LightBox(
        name=str(path[-1]),
        where=desk.where(path),
        inside=placed(
            corners_of(fields.inside),
            words=fields.inside.words,
            x_mm=fields.at[0],
            y_mm=fields.at[1],
        ),
        depth_mm=fields.depth,
        sheet=desk.row(desk.shelf.sheet_stock, fields.sheet, (*path, "sheet")),
        finish=desk.row(desk.shelf.finishes, fields.finish, (*path, "finish")),
        leds=tuple(
            led
            for key, row in fields.leds.items()
            for led in _leds(desk, key, row, (*path, "leds", key), sub_assembly)
        ),
        baffles=tuple(
            Baffle(
                name=key,
                where=desk.where((*path, "baffles", key)),
                start_mm=baffle.from_,
                end_mm=baffle.to,
                height_mm=baffle.height,
                sheet=desk.row(
                    desk.shelf.sheet_stock, baffle.sheet, (*path, "baffles", key, "sheet")
                ),
            )
            for key, baffle in fields.baffles.items()
        ),
        passages=tuple(_passages(desk, fields, path)),
        inner_diffuser=InnerDiffuser(
            film=desk.row(desk.shelf.film_types, diffuser.film, (*path, "inner_diffuser", "film")),
            height_mm=diffuser.height,
        )
        if diffuser
        else None,
        lid=fields.lid,
        wire_exit_mm=fields.wire_exit,
        coats=_coats(desk, fields, (*path, "coats")),
        seams=fields.seams,
    )


def _passages(desk: Desk, fields: BoxFields, path: Path) -> Iterator[Passage]:
    _, sub_assembly, _, panel, _, box = path
    subs = desk.fields.sub_assemblies
    beside = subs[str(sub_assembly)].panels[str(panel)].boxes
    homes = {
        name: f"stands behind panel '{other_panel}' of '{other}'"
        for other, each in subs.items()
        for other_panel, one in each.panels.items()
        for name in one.boxes
    }
    for key, row in fields.passages.items():
        here = (*path, "passages", key)
        if row.into not in beside or row.into == box:
            desk.found += reference_rules.leads_to_no_neighbour(
                desk.where(here),
                into=row.into,
                place="is the box it begins in"
                if row.into == box
                else homes.get(row.into, "is no box of this file"),
                beside=[name for name in beside if name != box],
            )
        yield Passage(
            name=key,
            where=desk.where(here),
            into=row.into,
            start_mm=row.from_,
            end_mm=row.to,
            low_mm=row.low,
            high_mm=row.high,
            film=desk.row(desk.shelf.film_types, row.film, (*here, "film")) if row.film else None,
        )


def _coats(desk: Desk, fields: BoxFields, path: Path) -> tuple[WallCoating, ...] | None:
    """Give the coats of a box; None when the maker has not said, which is not the same as none."""
    if "coats" not in fields.model_fields_set:
        return None
    return tuple(
        WallCoating(
            coat=desk.row(desk.shelf.wall_coats, coat.coat, (*path, number, "coat")),
            count=coat.count,
        )
        for number, coat in enumerate(fields.coats)
    )


def _strands(desk: Desk, fields: PanelFields, path: Path) -> Iterator[Strand]:
    for key, row in fields.strands.items():
        here = (*path, key)
        fibre = desk.row(desk.shelf.fibre_types, row.fibre, (*here, "fibre"))
        if row.group:
            desk.refer("groups", row.group, (*here, "group"), names=desk.fields.groups)
        for number, name in enumerate(row.any_of):
            desk.refer("groups", name, (*here, "any_of", number), names=desk.fields.groups)
        for each, x_mm, y_mm in spread(key, row):
            where = desk.member(here, name=each, kind="strand", within="the project")
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


def _panel(desk: Desk, fields: PanelFields, path: Path) -> Panel:
    outline_, sheet, curve = _face(desk, fields, path)
    return Panel(
        name=str(path[-1]),
        where=desk.where(path),
        outline=outline_,
        sheet=sheet,
        openings=tuple(_openings(desk, fields, (*path, "openings"))),
        curve=curve,
        grain=fields.grain or "",
        at_mm=fields.at,
        overlays=tuple(
            _overlay(desk, overlay, (*path, "overlays", key))
            for key, overlay in fields.overlays.items()
        ),
    )


def _overlay(desk: Desk, fields: OverlayFields, path: Path) -> Panel:
    """Build a piece on a panel's face; its places are those of the panel."""
    x_mm, y_mm = fields.at
    return Panel(
        name=str(path[-1]),
        where=desk.where(path),
        outline=placed(
            corners_of(fields.outline), words=fields.outline.words, x_mm=x_mm, y_mm=y_mm
        ),
        sheet=desk.row(desk.shelf.sheet_stock, fields.sheet, (*path, "sheet")),
        openings=tuple(
            Opening(
                name=each,
                where=desk.where((*path, "openings", key), name=each),
                outline=placed(
                    turned(corners_of(row.shape), angle_deg=row.turn),
                    words=row.shape.words,
                    x_mm=x,
                    y_mm=y,
                ),
            )
            for key, row in fields.openings.items()
            for each, x, y in spread(key, row)
        ),
    )


def _face(desk: Desk, fields: PanelFields, path: Path) -> tuple[Outline, SheetStock, Curve | None]:
    """Give a panel's outline, its sheet, and how it is bent."""
    if fields.curve is None:
        if fields.outline is None or fields.sheet is None:
            flat = "a flat panel passed its fields without outline and sheet"
            raise ValueError(flat)
        sheet = desk.row(desk.shelf.sheet_stock, fields.sheet, (*path, "sheet"))
        return from_datum(fields.outline), sheet, None
    curve = _curve(desk, fields.curve, (*path, "curve", "layers"))
    width_mm = curve.inner_radius_mm * radians(curve.angle_deg)
    height_mm = fields.height or 0.0
    corners = outline.rectangle(width_mm, height_mm=height_mm)
    words = f"developed rectangle {width_mm:.1f} x {height_mm:g} mm"
    developed = placed(corners, words=words, x_mm=width_mm / 2.0, y_mm=height_mm / 2.0)
    return developed, curve.layers[0].sheet, curve


def _curve(desk: Desk, fields: CurveFields, path: Path) -> Curve:
    layers = []
    for number, layer in enumerate(fields.layers):
        here = (*path, number)
        where = desk.where(here)
        own = number + 1
        holes_from = layer.holes_from or own
        if holes_from > len(fields.layers):
            desk.found += reference_rules.no_such_layer(
                where, given=holes_from, layers=len(fields.layers), own=own
            )
        sheet = desk.row(desk.shelf.sheet_stock, layer.sheet, (*here, "sheet"))
        layers.append(CurveLayer(sheet=sheet, holes_from=holes_from, where=where))
    return Curve(inner_radius_mm=fields.inner_radius, angle_deg=fields.angle, layers=tuple(layers))


def _openings(desk: Desk, fields: PanelFields, path: Path) -> Iterator[Opening]:
    for key, row in fields.openings.items():
        here = (*path, key)
        corners = turned(corners_of(row.shape), angle_deg=row.turn)
        layers = tuple(
            _layer(desk, layer, (*here, "layers", number))
            for number, layer in enumerate(row.layers)
        )
        if row.look:
            desk.refer("looks", row.look, (*here, "look"), names=desk.fields.looks)
        for each, x_mm, y_mm in spread(key, row):
            yield Opening(
                name=each,
                where=desk.where(here, name=each),
                outline=placed(corners, words=row.shape.words, x_mm=x_mm, y_mm=y_mm),
                layers=layers,
                look=row.look,
                match=row.match,
            )


def _layer(desk: Desk, fields: LayerFields, path: Path) -> Layer:
    film = desk.row(desk.shelf.film_types, fields.film, (*path, "film"))
    return Layer(kind=LayerKind(film.use), film=film, count=fields.films or fields.coats or 1)
