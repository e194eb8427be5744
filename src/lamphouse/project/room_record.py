"""The room and what stands round the sub-assemblies, from checked fields."""

from collections.abc import Iterator

from lamphouse.design.panel import Outline
from lamphouse.design.place import Room
from lamphouse.design.surroundings import (
    CutLine,
    FixedWall,
    FloorThing,
    Hatch,
    HullPart,
    Surroundings,
)
from lamphouse.project.desk import Desk
from lamphouse.project.fields.room_fields import RoomFields
from lamphouse.project.fields.shape_words import ShapeWish
from lamphouse.project.outlines import placed
from lamphouse.project.panel_shapes import PanelShapes
from lamphouse.project.tree import Path
from lamphouse.shapes.outline import Spot


def room_of(desk: Desk) -> Room | None:
    """Make the room; None where the file names none."""
    room = desk.fields.room
    if room is None:
        return None
    width, depth, height = room.size
    return Room(
        width_mm=width,
        depth_mm=depth,
        height_mm=height,
        room_light_lx=room.room_light,
        light_colour=room.light_colour,
        viewing_distance_mm=room.viewing_distance,
    )


def surroundings_of(desk: Desk) -> Surroundings:
    """Make what stands round the sub-assemblies; nothing where the file names no room."""
    room = desk.fields.room
    if room is None:
        return Surroundings()
    bare = Surroundings(where=desk.where(("room",)))
    return Surroundings(
        where=bare.where,
        clear_mm=room.clear,
        open_sides=bare.open_sides if room.open_ is None else tuple(room.open_),
        walls=tuple(_walls(desk, room)),
        hull=tuple(
            HullPart(
                name=name,
                where=desk.where(("room", "hull", name)),
                inside=_outline(desk, part.inside, part.at, ("room", "hull", name, "inside")),
                low_mm=part.heights[0],
                high_mm=part.heights[1],
            )
            for name, part in room.hull.items()
        ),
        under_floor=tuple(
            FloorThing(
                name=name,
                where=desk.where(("room", "under_floor", name)),
                outline=_outline(
                    desk, thing.shape, thing.at, ("room", "under_floor", name, "shape")
                ),
            )
            for name, thing in room.under_floor.items()
        ),
        hatches=tuple(
            Hatch(
                name=name,
                where=desk.where(("room", "hatches", name)),
                outline=_outline(desk, hatch.shape, hatch.at, ("room", "hatches", name, "shape")),
            )
            for name, hatch in room.hatches.items()
        ),
        cuts=tuple(
            CutLine(
                name=name,
                where=desk.where(("room", "cuts", name)),
                start_mm=cut.from_,
                end_mm=cut.to,
            )
            for name, cut in room.cuts.items()
        ),
    )


def _walls(desk: Desk, room: RoomFields) -> Iterator[FixedWall]:
    for name, wall in room.walls.items():
        low, high = wall.heights or (0.0, room.size[2])
        yield FixedWall(
            name=name,
            where=desk.where(("room", "walls", name)),
            start_mm=wall.from_,
            end_mm=wall.to,
            via_mm=wall.via,
            thickness_mm=wall.thickness,
            low_mm=low,
            high_mm=high,
        )


def _outline(desk: Desk, wish: ShapeWish, at: Spot, path: Path) -> Outline:
    """Make a shape on the floor plan."""
    shapes = PanelShapes(desk=desk, openings={}, path=path)
    corners, _ = shapes.made(wish, path)
    return placed(corners, words=wish.words, x_mm=at[0], y_mm=at[1])
