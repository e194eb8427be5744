"""The source groups, the scenes and the controllers of the time line made from checked fields."""

from collections.abc import Iterator

from lamphouse.design.controller import Controller, ControllerKind
from lamphouse.design.day_scenes import Scene
from lamphouse.design.lightbox import Led
from lamphouse.design.pattern import Pattern
from lamphouse.design.strand import SourceGroup, SourceSeat
from lamphouse.project.desk import Desk
from lamphouse.project.fields.blink_fields import GroupFields, PatternFields, SourceFields


def groups_of(desk: Desk) -> Iterator[SourceGroup]:
    """Make the source groups, each with the LED that lights its strands."""
    changed = {
        name for scene in desk.fields.scenes.values() for name in (*scene.levels, *scene.patterns)
    }
    for name, group in desk.fields.groups.items():
        path = ("groups", name)
        desk.refer("sub_assemblies", group.in_, (*path, "in"), names=desk.fields.sub_assemblies)
        yield SourceGroup(
            name=name,
            where=desk.where(path),
            pattern=_pattern(group.pattern),
            sub_assembly=group.in_,
            source=_source(desk, name, group, group.source) if group.source else None,
            seat=_seat(desk, name, group.source) if group.source else SourceSeat(),
            in_scenes=name in changed,
        )


def scenes_of(desk: Desk) -> Iterator[Scene]:
    """Make the scenes, in the order of the file."""
    groups = desk.fields.groups
    for name, scene in desk.fields.scenes.items():
        path = ("scenes", name)
        for key, named in (("levels", scene.levels), ("patterns", scene.patterns)):
            for group in named:
                desk.refer("groups", group, (*path, key, group), names=groups)
        yield Scene(
            name=name,
            where=desk.where(path),
            lasts_s=scene.lasts,
            trigger=scene.trigger,
            every_s=scene.every,
            fade_s=scene.fade,
            levels=tuple(scene.levels.items()),
            patterns=tuple((group, _pattern(fields)) for group, fields in scene.patterns.items()),
        )


def controllers_of(desk: Desk) -> Iterator[Controller]:
    """Make the controllers, in the order of the file."""
    fields, shelf = desk.fields, desk.shelf
    for name, given in fields.controllers.items():
        path = ("controllers", name)
        if given.in_:
            desk.refer("sub_assemblies", given.in_, (*path, "in"), names=fields.sub_assemblies)
        for at, group in enumerate(given.groups):
            desk.refer("groups", group, (*path, "groups", at), names=fields.groups)
        for group in given.pins:
            desk.refer("groups", group, (*path, "pins", group), names=fields.groups)
        for scene in given.buttons:
            desk.refer("scenes", scene, (*path, "buttons", scene), names=fields.scenes)
        is_timed = given.kind is not ControllerKind.PROGRAM
        chip = given.type_ or next(iter(shelf.timer_chips))
        yield Controller(
            name=name,
            where=desk.where(path),
            kind=given.kind,
            controller_type=None
            if is_timed
            else desk.row(shelf.controllers, given.type_ or "", (*path, "type")),
            chip=desk.row(shelf.timer_chips, chip, (*path, "type")) if is_timed else None,
            sub_assembly=given.in_,
            groups=tuple(given.groups),
            pins=tuple(given.pins.items()),
            buttons=tuple(given.buttons.items()),
            regulated=given.regulator == "yes",
        )


def _pattern(fields: PatternFields) -> Pattern:
    return Pattern(
        kind=fields.kind,
        period_s=fields.period,
        fade_s=fields.fade,
        duty=fields.duty,
        seed=fields.seed,
        level=fields.level,
        phase=fields.phase,
        set_name=fields.set_,
        lag_s=fields.lag,
        repeat_s=fields.repeat,
    )


def _source(desk: Desk, name: str, group: GroupFields, source: SourceFields) -> Led:
    """Make the LED that lights a group's strands, called after the group."""
    path = ("groups", name, "source")
    led = f"{name} source"
    where = desk.tree.where(path, item=f"{group.in_} / {led}")
    desk.claim(where, name=led, kind="LED", within=f"'{group.in_}'")
    return Led(
        name=led,
        where=where,
        led_type=desk.row(desk.shelf.led_types, source.led, (*path, "led")),
        x_mm=source.at[0] if source.at else 0.0,
        y_mm=source.at[1] if source.at else 0.0,
        current_A=source.current,
        group=name,
    )


def _seat(desk: Desk, name: str, source: SourceFields) -> SourceSeat:
    path = ("groups", name, "source", "diffuser")
    film = desk.row(desk.shelf.film_types, source.diffuser, path) if source.diffuser else None
    return SourceSeat(at_mm=source.at, behind_mm=source.behind, gap_mm=source.gap, diffuser=film)
