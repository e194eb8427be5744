"""Light boxes made from checked fields: rows of LEDs spread out, parts taken from the shelf."""

from collections.abc import Iterator

from lamphouse.design.box_faces import face_names
from lamphouse.design.lightbox import (
    Baffle,
    FaceFinish,
    Fixing,
    InnerDiffuser,
    Led,
    LightBox,
    Passage,
    Seat,
    WallCoating,
)
from lamphouse.findings import Where
from lamphouse.project import reference_rules
from lamphouse.project.desk import Desk
from lamphouse.project.fields.box_fields import BoxFields
from lamphouse.project.fields.light_fields import LedFields
from lamphouse.project.outlines import placed
from lamphouse.project.panel_shapes import PanelShapes
from lamphouse.project.pillar_making import pillars
from lamphouse.project.tree import Path
from lamphouse.shapes.soundness import flaw_of


def leds(
    desk: Desk, name: str, fields: LedFields, path: Path, sub_assembly: str, *, shapes: PanelShapes
) -> Iterator[Led]:
    """Give the LEDs of a row in their places."""
    led_type = desk.row(desk.shelf.led_types, fields.led_type, (*path, "type"))
    if fields.group:
        desk.refer("groups", fields.group, (*path, "group"), names=desk.fields.groups)
    for each, x_mm, y_mm in shapes.spread(name, fields, path):
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
            tilt_deg=fields.tilt or 0.0,
            towards_deg=fields.towards or 0.0,
            group=fields.group,
        )


def box(
    desk: Desk, fields: BoxFields, path: Path, sub_assembly: str, *, shapes: PanelShapes
) -> LightBox:
    """Build a light box; what the shelf does not hold is told and stood in for."""
    diffuser, where = fields.inner_diffuser, desk.where(path)
    inside, own = shapes.made(fields.inside, (*path, "inside"))
    x_mm, y_mm = fields.at or own or (0.0, 0.0)
    made = LightBox(
        name=str(path[-1]),
        where=where,
        inside=placed(inside, words=fields.inside.words, x_mm=x_mm, y_mm=y_mm),
        depth_mm=fields.depth,
        sheet=desk.row(desk.shelf.sheet_stock, fields.sheet, (*path, "sheet")),
        finish=desk.row(desk.shelf.finishes, fields.finish, (*path, "finish")),
        leds=tuple(
            led
            for key, row in fields.leds.items()
            for led in leds(desk, key, row, (*path, "leds", key), sub_assembly, shapes=shapes)
        ),
        baffles=tuple(
            Baffle(
                name=key,
                where=desk.where((*path, "baffles", key)),
                start_mm=baffle.from_,
                end_mm=baffle.to,
                height_mm=baffle.height,
                seat=Seat(baffle.seat),
                sheet=desk.row(
                    desk.shelf.sheet_stock, baffle.sheet, (*path, "baffles", key, "sheet")
                ),
                finish=desk.row(
                    desk.shelf.finishes, baffle.finish, (*path, "baffles", key, "finish")
                )
                if baffle.finish
                else None,
            )
            for key, baffle in fields.baffles.items()
        ),
        passages=tuple(_passages(desk, fields, path)),
        pillars=tuple(
            pillars(
                desk,
                fields.pillars,
                (*path, "pillars"),
                within=f"box '{path[-1]}' of '{sub_assembly}'",
                shapes=shapes,
            )
        ),
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
        build=fields.build,
        flange=fields.flange,
        round_walls=fields.round_walls,
        baffle_joint=fields.baffle_joint,
        strand_exit=fields.strand_exit,
        fixing=_fixing(fields, where=where),
        faces=tuple(
            FaceFinish(
                face=face, finish=desk.row(desk.shelf.finishes, name, (*path, "faces", face))
            )
            for face, name in fields.faces.items()
        ),
    )
    _check_faces(desk, made, path)
    return made


def _check_faces(desk: Desk, box: LightBox, path: Path) -> None:
    """Tell of finishes for faces the box has not; of an unsound inside nothing is said here."""
    if not box.faces or flaw_of(box.inside.corners):
        return
    names = face_names(box)
    for one in box.faces:
        if one.face not in names:
            desk.found += reference_rules.no_such_face(
                desk.tree.where((*path, "faces", one.face), item=box.where.item),
                box=box,
                face=one.face,
                names=names,
            )


def _fixing(fields: BoxFields, *, where: Where) -> Fixing | None:
    if fields.fixing is None:
        return None
    return Fixing(
        where=where,
        screw=fields.fixing.screw or "",
        magnet_mm=fields.fixing.magnet,
        blocks=fields.fixing.blocks,
        count=fields.fixing.count,
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
