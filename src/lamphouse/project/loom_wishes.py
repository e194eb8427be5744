"""The wishes for the loom made from checked fields."""

from collections.abc import Iterator

from lamphouse.design.loom import FeedWish, FloorHole, LoomWishes
from lamphouse.project.desk import Desk
from lamphouse.project.fields.loom_fields import LoomFields
from lamphouse.project.tree import Path


def loom_wishes(desk: Desk) -> LoomWishes:
    """Make the wishes; without the section they are its defaults."""
    fields = desk.fields.loom or LoomFields()
    return LoomWishes(
        where=desk.where(("loom",)),
        trunk=desk.row(desk.shelf.wires, fields.wire, ("loom", "wire")),
        supply_mm=fields.supply_at,
        depth_mm=fields.depth,
        floor_mm=fields.floor,
        slack=fields.slack,
        service_mm=fields.service,
        feeds=tuple(_feeds(desk, fields)),
        holes=tuple(_holes(desk, fields)),
    )


def _feeds(desk: Desk, fields: LoomFields) -> Iterator[FeedWish]:
    shelf = desk.shelf
    for name, feed in fields.feeds.items():
        path: Path = ("loom", "feeds", name)
        _refer(desk, feed.sub_assemblies, (*path, "sub_assemblies"))
        wire = feed.wire and desk.row(shelf.wires, feed.wire, (*path, "wire"))
        fuse = feed.fuse_type and desk.row(shelf.fuses, feed.fuse_type, (*path, "fuse_type"))
        yield FeedWish(
            name=name,
            where=desk.where(path),
            sub_assemblies=tuple(feed.sub_assemblies),
            fuse_A=fuse.hold_A if fuse and feed.fuse is None else feed.fuse,
            fuse_type=fuse or None,
            switched=feed.switch == "yes",
            wire=wire or None,
            splitter_mm=feed.splitter_at,
        )


def _holes(desk: Desk, fields: LoomFields) -> Iterator[FloorHole]:
    for name, hole in fields.holes.items():
        path: Path = ("loom", "holes", name)
        _refer(desk, hole.for_, (*path, "for"))
        yield FloorHole(
            name=name,
            where=desk.where(path),
            x_mm=hole.at[0],
            y_mm=hole.at[1],
            sub_assemblies=tuple(hole.for_),
            diameter_mm=hole.diameter,
        )


def _refer(desk: Desk, names: list[str], path: Path) -> None:
    for number, name in enumerate(names):
        desk.refer("sub_assemblies", name, (*path, number), names=desk.fields.sub_assemblies)
