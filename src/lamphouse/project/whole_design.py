"""The whole design made from checked fields, and what is wrong between its parts."""

from collections.abc import Iterator

from lamphouse.catalogue.film_types import as_sheet
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.shelf import Shelf, built_in
from lamphouse.design.controller import Workshop
from lamphouse.design.cutting_habits import CuttingHabits, LockedPiece, Turns
from lamphouse.design.supply import CellPack, CircuitHabits, Supply
from lamphouse.design.whole import Design, Look, Match, OwnParts, PartInHand, SheetInHand
from lamphouse.findings import Acceptance, Finding
from lamphouse.project import reference_rules, text_rules
from lamphouse.project.built_figures import built_of
from lamphouse.project.desk import Desk
from lamphouse.project.fields.supply_fields import CellsFields
from lamphouse.project.loom_wishes import loom_wishes
from lamphouse.project.naming import row_names
from lamphouse.project.part_names import as_listed
from lamphouse.project.room_record import room_of, surroundings_of
from lamphouse.project.sub_assembly import build
from lamphouse.project.time_line import controllers_of, groups_of, scenes_of
from lamphouse.project.tree import Path
from lamphouse.project.upkeep import care_of, prices_of
from lamphouse.project.work_wishes import evenings_of, too_much_work, work_wishes

MOST_THINGS = 10_000
"""LEDs, strands and openings in one project, counting every one of a row."""


def too_many(desk: Desk) -> tuple[Finding, ...]:
    """Refuse more things than a model holds, before rows are spread out."""
    subs = desk.fields.sub_assemblies.values()
    panels = [panel for sub in subs for panel in sub.panels.values()]
    rows = (
        *(lamp for sub in subs for lamp in sub.lamps.values()),
        *(led for panel in panels for box in panel.boxes.values() for led in box.leds.values()),
        *(strand for panel in panels for strand in panel.strands.values()),
        *(opening for panel in panels for opening in panel.openings.values()),
    )
    painted = [panel.masks.areas.values() for panel in panels if panel.masks]
    total = sum(row.total for row in rows) + sum(area.count for one in painted for area in one)
    if total <= MOST_THINGS:
        return too_much_work(desk)
    return text_rules.beyond_limit(
        desk.tree.where(("sub_assemblies",), item="project"),
        what=f"{total} LEDs, strands and openings",
        most=MOST_THINGS,
        why="fit into one project",
    )


def whole(desk: Desk) -> Design:
    """Make the design; with a finding that stands in the way it must not be used.

    Parameters
    ----------
    desk
        Collects what is found on the way.
    """
    fields, tree = desk.fields, desk.tree
    package = desk.resistor_package()
    groups = tuple(groups_of(desk))
    sub_assemblies = tuple(
        build(
            desk,
            name,
            sources=tuple(
                group.source for group in groups if group.source and group.sub_assembly == name
            ),
        )
        for name in fields.sub_assemblies
    )
    looks = tuple(
        Look(
            name=name,
            where=desk.where(("looks", name)),
            least_cd_m2=look.luminance[0],
            most_cd_m2=look.luminance[1],
            evenness=look.evenness,
            colour=look.colour,
        )
        for name, look in fields.looks.items()
    )
    matches = tuple(
        Match(
            name=name,
            where=desk.where(("matches", name)),
            luminance_ratio=1.0 + match.luminance,
            steps=match.steps,
            difference=match.difference,
        )
        for name, match in fields.matches.items()
    )
    desk.found += _unused(desk)
    return Design(
        name=fields.name,
        revision=fields.revision,
        where=tree.where((), item="project"),
        day=fields.date_,
        scale=fields.scale,
        seed=fields.seed,
        paper=fields.paper,
        room=room_of(desk),
        surroundings=surroundings_of(desk),
        supply=_supply(desk),
        habits=_habits(desk),
        drills=tuple(desk.shelf.drills.values()),
        materials=tuple(desk.shelf.sheet_light.values()),
        own_parts=_own_parts(desk.shelf),
        sheet_heat=tuple(desk.shelf.sheet_heat.values()),
        resistor_package=package,
        loom=loom_wishes(desk),
        looks=looks,
        matches=matches,
        groups=groups,
        scenes=tuple(scenes_of(desk)),
        controllers=tuple(controllers_of(desk)),
        workshop=Workshop(
            controllers=tuple(desk.shelf.controllers.values()),
            switches=tuple(desk.shelf.switches.values()),
            timer_chips=tuple(desk.shelf.timer_chips.values()),
        ),
        tubes=tuple(desk.shelf.tube_types.values()),
        sub_assemblies=sub_assemblies,
        sheets=tuple(_sheets(desk)),
        cutting=_cutting(desk),
        drawer=tuple(_drawer(desk)),
        prices=tuple(prices_of(desk)),
        care=care_of(desk),
        evenings=evenings_of(desk),
        work=work_wishes(desk),
        as_built=tuple(built_of(desk)),
        acceptances=tuple(
            Acceptance(
                code=entry.code,
                item=entry.item,
                reason=entry.reason,
                where=tree.where(("accepted", number), item=f"accepted / {number + 1}"),
            )
            for number, entry in enumerate(fields.accepted)
        ),
    )


def _supply(desk: Desk) -> Supply:
    supply, shelf = desk.fields.supply, desk.shelf
    fuse = supply.fuse_type and desk.row(shelf.fuses, supply.fuse_type, ("supply", "fuse_type"))
    path: Path = ("supply", "reverse_protection")
    named = supply.reverse_protection not in (None, "none")
    return Supply(
        where=desk.where(("supply",)),
        kind=supply.kind,
        voltage_V=supply.voltage,
        tolerance=supply.tolerance,
        max_current_A=supply.max_current,
        min_load_A=supply.min_load,
        fuse_A=fuse.hold_A if fuse and supply.fuse is None else supply.fuse,
        capacity_Ah=supply.capacity,
        ripple=supply.ripple,
        cells=_cells(desk, supply.cells) if supply.cells else None,
        fuse_type=fuse or None,
        protector=desk.row(shelf.protectors, supply.reverse_protection or "", path)
        if named
        else None,
        way=supply.plug,
        buffer_F=supply.buffer,
        hours_a_day=supply.hours_a_day and supply.hours_a_day / 3600.0,
    )


def _cells(desk: Desk, fields: CellsFields) -> CellPack:
    cell = desk.row(desk.shelf.cell_types, fields.cell_type, ("supply", "cells", "type"))
    return CellPack(
        cell=cell,
        series=fields.count,
        parallel=fields.parallel,
        cut_off_V=cell.cut_off_V if fields.cut_off is None else fields.cut_off,
        holder=fields.holder,
    )


def _habits(desk: Desk) -> CircuitHabits:
    circuit = desk.fields.circuit
    coldest, warmest = circuit.ambient
    return CircuitHabits(
        where=desk.where(("circuit",)),
        series=circuit.resistors,
        resistor_tolerance=circuit.resistor_tolerance,
        coldest_degC=coldest,
        warmest_degC=warmest,
        least_share=circuit.least_share,
        common=circuit.common,
        prefer_drawer=circuit.prefer_drawer == "yes",
        trim_to=circuit.trim_to,
    )


def _unused(desk: Desk) -> Iterator[Finding]:
    """Tell what is named and never used, and which strands nothing lights."""
    strands: dict[str, list[str]] = {}
    for sub in desk.fields.sub_assemblies.values():
        for panel in sub.panels.values():
            for name, strand in panel.strands.items():
                for group_name in strand.any_of or [strand.group or ""]:
                    names = row_names(name, count=strand.total)
                    strands.setdefault(group_name, []).extend(names)
    for name, group in desk.fields.groups.items():
        where = desk.where(("groups", name))
        if group.source is None and name in strands:
            yield from reference_rules.dark_strands(where, group=name, strands=strands[name])
        if ("groups", name) not in desk.used and desk.complete:
            yield from reference_rules.never_used(where, kind="group", name=name)
    for name in desk.fields.looks:
        if ("looks", name) not in desk.used and desk.complete:
            where = desk.where(("looks", name))
            yield from reference_rules.never_used(where, kind="look", name=name)
    words = {
        opening.match
        for sub in desk.fields.sub_assemblies.values()
        for panel in sub.panels.values()
        for opening in panel.openings.values()
    }
    for name in desk.fields.matches:
        if name not in words and desk.complete:
            where = desk.where(("matches", name))
            yield from reference_rules.never_used(where, kind="match", name=name)


def _own_parts(shelf: Shelf) -> OwnParts:
    """Pick the LEDs and films that are not those of the built-in tables."""
    known = built_in()
    return OwnParts(
        leds=tuple(led for led in shelf.led_types.values() if led != known.led_types.get(led.name)),
        films=tuple(
            film for film in shelf.film_types.values() if film != known.film_types.get(film.name)
        ),
    )


def _sheets(desk: Desk) -> Iterator[SheetInHand]:
    for number, entry in enumerate(desk.fields.stock):
        path = ("stock", number)
        yield SheetInHand(
            where=desk.where(path),
            sheet=_sheet(desk, entry.sheet, (*path, "sheet")),
            width_mm=entry.size[0],
            height_mm=entry.size[1],
            count=entry.count,
        )


def _sheet(desk: Desk, name: str, path: Path) -> SheetStock:
    """Find a sheet of the stock list; it may be a film."""
    film = desk.shelf.film_types.get(name)
    if film is not None and name not in desk.shelf.sheet_stock:
        return as_sheet(film)
    return desk.row(desk.shelf.sheet_stock, name, path)


def _cutting(desk: Desk) -> CuttingHabits:
    cutting = desk.fields.cutting
    return CuttingHabits(
        where=desk.where(("cutting",)),
        gap_mm=cutting.gap,
        edge_mm=cutting.edge,
        kerf_mm=cutting.kerf,
        compensate=cutting.compensate == "yes",
        turns=Turns(cutting.turns),
        locked=tuple(
            LockedPiece(
                where=desk.tree.where(
                    ("cutting", "locked", number), item=f"cutting / locked / {number + 1}"
                ),
                piece=entry.piece,
                stock=entry.stock,
                x_mm=entry.at[0],
                y_mm=entry.at[1],
                turn_deg=entry.turn,
            )
            for number, entry in enumerate(cutting.locked)
        ),
    )


def _drawer(desk: Desk) -> Iterator[PartInHand]:
    shelf = desk.shelf
    tables = (
        *(shelf.led_types, shelf.plugs, shelf.wires, shelf.fibre_types, shelf.film_types),
        *(shelf.cell_types, shelf.fuses, shelf.protectors),
        *(shelf.controllers, shelf.switches, shelf.timer_chips, shelf.tube_types),
    )
    names = [name for table in tables for name in table]
    for number, entry in enumerate(desk.fields.drawer):
        where = desk.where(("drawer", number))
        part = as_listed(entry.part, scale=desk.fields.scale)
        if part not in names and not part.startswith(("resistor ", "trim knob ", "drill ")):
            desk.found += reference_rules.unknown_drawer_part(where, part=part, names=names)
        yield PartInHand(where=where, part=part, count=entry.count)
