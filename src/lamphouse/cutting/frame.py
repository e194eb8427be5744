"""What all pieces of a light box share, and how one of them is started."""

from collections.abc import Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.drill import Aim, nearest_drill, number_holes
from lamphouse.cutting.mends import sides_mm
from lamphouse.cutting.piece import DrilledHole, Piece
from lamphouse.cutting.ring import Wall
from lamphouse.cutting.seats import wire_hole_mm, wire_spots
from lamphouse.cutting.wall_holes import WallHole
from lamphouse.design.lightbox import Led, Lid, LightBox
from lamphouse.design.panel import Outline
from lamphouse.design.strand import Strand
from lamphouse.record import Record
from lamphouse.shapes.measure import size_mm
from lamphouse.shapes.outline import Corners, Spot, rectangle

DIGITS = 9
"""Decimals of a millimetre kept in the corners of pieces."""


class Frame(Record):
    """A light box with what all its pieces share."""

    box: LightBox
    sub_assembly: str
    name: str
    """Start of every piece's name."""
    spots: tuple[Spot, ...]
    """Corners of the inside, anticlockwise, none of them straight."""
    walls: tuple[Wall, ...]
    """None of a round box whose wall is one strip."""
    inside: Corners
    """Anticlockwise."""
    outside: Corners
    drills: tuple[Drill, ...]
    lead_mm: float
    """Outside diameter of the wires soldered to chips."""
    passages: tuple[WallHole, ...] = ()
    """Holes in the box's walls."""
    strands: tuple[Strand, ...] = ()
    """Those that run free through the box to the panel."""
    piped: tuple[Strand, ...] = ()
    """Those that run to the panel in its pillars."""
    panel_edge: Corners = ()
    """Outline of the panel; empty where anything may reach anywhere."""
    panel_things: tuple[Corners, ...] = ()
    """Openings of the panel, holes of its strands, and what else stands behind it."""

    @property
    def under_mm(self) -> float:
        """How far the walls reach behind the inner face of the back."""
        return self.box.sheet.thickness_mm if self.box.lid is Lid.OVER else 0.0

    @property
    def wall_mm(self) -> float:
        """Height of the walls."""
        return self.box.depth_mm + self.under_mm

    def piece(self, part: str, *, outline: Corners, words: str) -> Piece:
        """Start a piece of the box's sheet."""
        return Piece(
            name=f"{self.name} / {part}",
            where=self.box.where,
            sub_assembly=self.sub_assembly,
            sheet=self.box.sheet,
            outline=Outline(corners=tidy(outline), words=words),
            face="inside",
        )


def tidy(corners: Corners) -> Corners:
    """Round away the noise of turned sides, so that equal pieces are equal."""
    return tuple((round(x, DIGITS), round(y, DIGITS), bulge) for x, y, bulge in corners)


def rectangle_words(width_mm: float, *, height_mm: float) -> str:
    """Name a rectangle as the project file does."""
    return f"rectangle {sides_mm(width_mm, height_mm=height_mm)}"


def words_of(corners: Corners) -> str:
    """Name the rectangle around an outline."""
    width, height = size_mm(corners)
    return rectangle_words(width, height_mm=height)


def strip(width_mm: float, *, height_mm: float) -> Corners:
    """Make a rectangle whose lower left corner is the origin."""
    return rectangle(width_mm, height_mm=height_mm, x_mm=width_mm / 2.0, y_mm=height_mm / 2.0)


def wire_aims(frame: Frame, *, led: Led, x_mm: float, y_mm: float) -> list[Aim]:
    """Aim the two wire holes of an LED at its place on a piece."""
    wanted = wire_hole_mm(led.led_type, lead_mm=frame.lead_mm)
    spots = wire_spots(led, x_mm=x_mm, y_mm=y_mm, hole_mm=wanted)
    return [
        Aim(
            purpose=f"wire {led.name} {pole}",
            where=led.where,
            x_mm=x,
            y_mm=y,
            wanted_mm=wanted,
            drill=nearest_drill(wanted, drills=frame.drills),
        )
        for (x, y), pole in zip(spots, "+-", strict=True)
    ]


def numbered(frame: Frame, *, aims: Sequence[Aim]) -> tuple[DrilledHole, ...]:
    """Give the holes of one piece their numbers."""
    return number_holes(aims, drills=frame.drills)
