"""Prisms of a sub-assembly where it stands: panels, overlays, light boxes and sources."""

from collections.abc import Iterator, Sequence

from lamphouse.design.panel import Panel
from lamphouse.design.place import Lie, Looks, Stand, SubAssembly
from lamphouse.record import Record
from lamphouse.room.bent_prisms import box_behind, high_of, sectors_of
from lamphouse.room.prisms import BoxSpace, Prism, PrismKind, SourceSpace
from lamphouse.shapes.bands import banded
from lamphouse.shapes.measure import Bounds, bounds_mm
from lamphouse.shapes.outline import Corners, rectangle
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.transform import move, turn

BANDS = 8
"""Level bands that an upright panel or box that is no rectangle is held by."""


class _Ground(Record):
    """Where a sub-assembly stands, and which way its face looks."""

    sub: SubAssembly
    stand: Stand
    looks: Looks | None
    """None for one that stands upright."""

    def prism(
        self,
        kind: PrismKind,
        name: str,
        *,
        foot: Corners,
        heights: tuple[float, float],
        carrier: str = "",
        owner: object = None,
    ) -> Prism:
        """Put a footprint from the datum corner into its place; heights from the datum corner."""
        stand = self.stand
        turned = turn(foot, angle_deg=stand.turn_deg) if stand.turn_deg else foot
        item = owner if owner is not None else self.sub
        return Prism(
            owner=self.sub.name,
            kind=kind,
            name=name,
            where=item.where,  # type: ignore[attr-defined]
            foot=move(turned, x_mm=stand.x_mm, y_mm=stand.y_mm),
            low_mm=stand.up_mm + heights[0],
            high_mm=stand.up_mm + heights[1],
            carrier=carrier,
        )

    def behind(self, near_mm: float, far_mm: float) -> tuple[float, float]:
        """Give the heights of what lies so far behind the face of one that lies flat."""
        return (near_mm, far_mm) if self.looks is Looks.DOWN else (-far_mm, -near_mm)


def looks_of(stand: Stand, *, height_mm: float | None) -> Looks | None:
    """Give which way the face of one that lies flat looks; None for one that stands upright.

    Parameters
    ----------
    height_mm
        Of the room; None where there is no room, and all look up.
    """
    if stand.lies is Lie.UPRIGHT:
        return None
    if stand.looks is not None:
        return stand.looks
    is_high = height_mm is not None and stand.up_mm > height_mm / 2.0
    return Looks.DOWN if is_high else Looks.UP


def prisms_of(
    sub: SubAssembly,
    *,
    boxes: Sequence[BoxSpace],
    sources: Sequence[SourceSpace],
    height_mm: float | None,
) -> tuple[Prism, ...]:
    """Give everything of a sub-assembly in its place; nothing where it has none.

    Parameters
    ----------
    boxes
        The space of its light boxes.
    sources
        And of the sources of its groups.
    height_mm
        Of the room.

    Notes
    -----
    Strands, wires and the board are soft or small, and are left out. Outlines that are unsound
    have findings of their own, and are left out too.
    """
    if sub.stand is None:
        return ()
    ground = _Ground(sub=sub, stand=sub.stand, looks=looks_of(sub.stand, height_mm=height_mm))
    panels = {panel.name: panel for panel in sub.panels}
    found = [prism for panel in sub.panels for prism in _panel(ground, panel)]
    for box in boxes:
        if box.panel in panels and not flaw_of(box.foot):
            found += _box(ground, box, panel=panels[box.panel])
    rear = max((panel.sheet.thickness_mm for panel in sub.panels if not panel.curve), default=0.0)
    for source in sources:
        found += _source(ground, source, rear_mm=rear)
    return tuple(found)


def _panel(ground: _Ground, panel: Panel) -> Iterator[Prism]:
    right, up = panel.at_mm
    if panel.curve:
        for sector in sectors_of(panel.curve):
            flat = ground.looks is not None
            yield ground.prism(
                PrismKind.PANEL,
                panel.name,
                foot=move(sector.foot, x_mm=right, y_mm=up if flat else 0.0),
                heights=_raised(sector.low_mm, sector.high_mm, 0.0 if flat else up),
                owner=panel,
            )
        return
    for sheet, front in (
        (panel, 0.0),
        *((over, -over.sheet.thickness_mm) for over in panel.overlays),
    ):
        if flaw_of(sheet.outline.corners):
            continue
        corners = move(sheet.outline.corners, x_mm=right, y_mm=up)
        yield from _slab(
            ground,
            corners,
            kind=PrismKind.PANEL,
            name=panel.name,
            near_mm=front,
            far_mm=front + sheet.sheet.thickness_mm,
            owner=panel,
        )


def _raised(low_mm: float, high_mm: float, by_mm: float) -> tuple[float, float]:
    return low_mm + by_mm, high_mm + by_mm


def _slab(
    ground: _Ground,
    corners: Corners,
    *,
    kind: PrismKind,
    name: str,
    near_mm: float,
    far_mm: float,
    owner: object,
    carrier: str = "",
) -> Iterator[Prism]:
    """Give what lies between two distances behind the face, over an outline in its plane."""
    if ground.looks is not None:
        yield ground.prism(
            kind,
            name,
            foot=corners,
            heights=ground.behind(near_mm, far_mm),
            owner=owner,
            carrier=carrier,
        )
        return
    for left, low, right, high in banded(corners, count=BANDS).boxes:
        yield ground.prism(
            kind,
            name,
            foot=_upright((left, near_mm, right, far_mm)),
            heights=(low, high),
            owner=owner,
            carrier=carrier,
        )


def _upright(bounds: Bounds) -> Corners:
    left, near, right, far = bounds
    return rectangle(
        right - left, height_mm=far - near, x_mm=(left + right) / 2.0, y_mm=(near + far) / 2.0
    )


def _box(ground: _Ground, box: BoxSpace, *, panel: Panel) -> Iterator[Prism]:
    right, up = panel.at_mm
    if panel.curve is None:
        near = panel.sheet.thickness_mm
        yield from _slab(
            ground,
            move(box.foot, x_mm=right, y_mm=up),
            kind=PrismKind.BOX,
            name=box.box,
            near_mm=near,
            far_mm=near + box.deep_mm,
            owner=box,
            carrier=panel.name,
        )
        return
    left, low, far, high = bounds_mm(box.foot)
    flat = ground.looks is not None
    foot = box_behind(panel.curve, left_mm=left, right_mm=far, deep_mm=box.deep_mm)
    top = high_of(panel.curve)
    yield ground.prism(
        PrismKind.BOX,
        box.box,
        foot=move(foot, x_mm=right, y_mm=up if flat else 0.0),
        heights=_raised(low, min(high, top) if low < top else high, 0.0 if flat else up),
        owner=box,
        carrier=panel.name,
    )


def _source(ground: _Ground, source: SourceSpace, *, rear_mm: float) -> Iterator[Prism]:
    near = rear_mm + source.behind_mm
    yield from _slab(
        ground,
        rectangle(
            source.diameter_mm,
            height_mm=source.diameter_mm,
            x_mm=source.at_mm[0],
            y_mm=source.at_mm[1],
        ),
        kind=PrismKind.SOURCE,
        name=source.group,
        near_mm=near,
        far_mm=near + source.long_mm,
        owner=source,
    )
