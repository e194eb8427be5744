"""Shapes and rows of one panel made from the maker's words: like others, changed, in patterns."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from math import ceil

from lamphouse.findings import Finding
from lamphouse.project import shape_rules
from lamphouse.project.desk import Desk
from lamphouse.project.fields.light_fields import RowSection
from lamphouse.project.fields.panel_fields import OpeningFields
from lamphouse.project.fields.shape_changes import Change, ChangeKind
from lamphouse.project.fields.shape_words import ShapeWish
from lamphouse.project.naming import item_and_key, row_names
from lamphouse.project.outlines import corners_of, turned
from lamphouse.project.tree import Path
from lamphouse.record import Record
from lamphouse.shapes import patterns
from lamphouse.shapes.measure import anticlockwise, bounds_mm
from lamphouse.shapes.offset import Join, Region, offset
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.rounding import largest_radius_mm, rounded, sharp_corners
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.transform import mirror, move, turn
from lamphouse.units import Quantity, show

PANEL = "panel"
"""The name of the panel's own outline."""

STEP_MM = 0.01
"""The largest distance that does is given in whole steps."""


class Refused(Record):
    """Why a change cannot be made, and what would do."""

    problem: str
    remedy: str


@dataclass(slots=True, kw_only=True)
class PanelShapes:
    """What makes the shapes of one panel; it remembers what it has told."""

    desk: Desk
    openings: Mapping[str, OpeningFields]
    path: Path
    """Of the panel."""
    edge: Corners | None = None
    """The panel's own outline; None where there is none to follow."""
    _making: set[str] = field(default_factory=set)
    """Names of outlines that are being made, to find loops."""

    def made(self, wish: ShapeWish, path: Path) -> tuple[Corners, Spot | None]:
        """Make a shape around 0, 0, and give the place it brings along from the one it is like.

        Parameters
        ----------
        wish
            As the maker wrote it.
        path
            Where it stands, for findings.
        """
        own: Spot | None = None
        if wish.like:
            pattern = self._named(wish.like, path)
            if pattern is None:
                return corners_of(_STAND_IN), (0.0, 0.0)
            left, bottom, right, top = bounds_mm(pattern)
            own = ((left + right) / 2.0, (bottom + top) / 2.0)
            corners = move(pattern, x_mm=-own[0], y_mm=-own[1])
        else:
            corners = corners_of(wish)
        for change in wish.changes:
            if flaw_of(corners):
                break
            after = changed(corners, change)
            if isinstance(after, Refused):
                self._tell(
                    path,
                    lambda where, change=change, after=after: shape_rules.cannot_change(
                        where,
                        change=change.words,
                        problem=after.problem,
                        remedy=after.remedy,
                    ),
                )
                break
            corners = after
        return anticlockwise(corners), own

    def spread(
        self, name: str, row: RowSection, path: Path, *, own: Spot | None = None
    ) -> Iterator[tuple[str, float, float]]:
        """Go through the members of a row: name and place in mm."""
        for each, (x, y) in zip(
            row_names(name, count=row.total), self._places(row, path, own), strict=False
        ):
            yield each, x, y

    def _places(self, row: RowSection, path: Path, own: Spot | None) -> Iterable[Spot]:
        x, y = row.at or own or (0.0, 0.0)
        if row.along:
            edge = self._named(row.along, (*path, "along"))
            return self._along(edge, row, path) if edge else [(x, y)] * row.total
        if row.ring is not None:
            places = patterns.ring(row.count, diameter_mm=row.ring, start_deg=row.start)
        else:
            step = row.step or (0.0, 0.0)
            if row.to is not None and row.count > 1:
                gaps = row.count - 1
                step = ((row.to[0] - x) / gaps, (row.to[1] - y) / gaps)
            places = patterns.grid(
                row.count,
                rows=row.rows,
                step=step,
                row_step=row.row_step or (0.0, 0.0),
                staggered=row.staggered == "yes",
            )
        return [(x + across, y + up) for across, up in places]

    def _along(self, edge: Corners, row: RowSection, path: Path) -> Iterable[Spot]:
        if row.inset and not flaw_of(edge):
            after = _offset(edge, by_mm=-row.inset, join=Join.MITRE)
            if isinstance(after, Refused):
                self._tell(
                    (*path, "inset"),
                    lambda where: shape_rules.cannot_change(
                        where,
                        change=f"inset {_mm(row.inset)}",
                        problem=after.problem,
                        remedy="write that distance",
                    ),
                )
            else:
                edge = after
        return patterns.along(edge, count=row.count)

    def _named(self, name: str, path: Path) -> Corners | None:
        """Give the outline of a name, in its place on the panel; None when it was told."""
        if name in self._making:
            self._tell(
                path,
                lambda where: shape_rules.no_such_outline(where, name=name, names=(), loop=True),
            )
            return None
        if name == PANEL and self.edge is not None:
            return self.edge
        for key, row in self.openings.items():
            if name in (key, *row_names(key, count=min(row.total, MOST_NAMES))):
                self._making.add(name)
                try:
                    return self._opening(key, row, name)
                finally:
                    self._making.discard(name)
        names = [*([PANEL] if self.edge is not None else []), *self.openings]
        self._tell(path, lambda where: shape_rules.no_such_outline(where, name=name, names=names))
        return None

    def members(self, name: str, path: Path) -> tuple[str, ...]:
        """Give the openings a name means: one, or all of a row; none when it was told."""
        if name in self.openings:
            return tuple(row_names(name, count=min(self.openings[name].total, MOST_NAMES)))
        for key, row in self.openings.items():
            if name in row_names(key, count=min(row.total, MOST_NAMES)):
                return (name,)
        names = list(self.openings)
        self._tell(path, lambda where: shape_rules.no_such_outline(where, name=name, names=names))
        return ()

    def _opening(self, key: str, row: OpeningFields, name: str) -> Corners | None:
        path = (*self.path, "openings", key)
        corners, own = self.made(row.shape, (*path, "shape"))
        at = {each: (x, y) for each, x, y in self.spread(key, row, path, own=own)}
        x, y = at.get(name) or next(iter(at.values()))
        return move(turned(corners, angle_deg=row.turn), x_mm=x, y_mm=y)

    def _tell(self, path: Path, rule: Callable[..., tuple[Finding, ...]]) -> None:
        item, _ = item_and_key(path)
        for finding in rule(self.desk.tree.where(path, item=item)):
            if finding not in self.desk.found:
                self.desk.found.append(finding)


MOST_NAMES = 10_000
"""Members of a row that are looked at by name."""
_STAND_IN = ShapeWish(kind="round", words="round 1 mm", sizes_mm=(1.0,))
"""For a shape like one that is not there; with such a finding there is no design."""


def changed(corners: Corners, change: Change) -> Corners | Refused:
    """Change a sound outline around 0, 0; its middle stays there when it is mirrored."""
    match change.kind:
        case ChangeKind.MIRRORED:
            return _mirrored(corners, upside_down=change.upside_down)
        case ChangeKind.ROUNDED:
            return _rounded(corners, change)
        case ChangeKind.GROWN:
            join = Join.ROUND if change.round_corners else Join.MITRE
            return _offset(corners, by_mm=change.by_mm, join=join)
        case ChangeKind.SHRUNK:
            return _offset(corners, by_mm=-change.by_mm, join=Join.MITRE)


def _mirrored(corners: Corners, *, upside_down: bool) -> Corners:
    left, bottom, right, top = bounds_mm(corners)
    x, y = (left + right) / 2.0, (bottom + top) / 2.0
    over = mirror(corners, about_x_mm=x)
    return turn(over, angle_deg=180.0, about=(x, y)) if upside_down else over


def _rounded(corners: Corners, change: Change) -> Corners | Refused:
    sharp = sharp_corners(corners)
    at = [number - 1 for number in change.at] or list(sharp)
    turning = ", ".join(str(index + 1) for index in sharp[:20]) or "none"
    if not sharp or not set(at) <= set(sharp):
        wrong = next((index + 1 for index in at if index not in sharp), 0)
        problem = f"there is no corner {wrong} that turns" if wrong else "no corner of it turns"
        remedy = f"name some of these: {turning}" if sharp else f"leave '{change.words}' out"
        return Refused(problem=problem, remedy=remedy)
    made = rounded(corners, radius_mm=change.by_mm, at=at)
    if made is not None:
        return made
    most = largest_radius_mm(corners, at=at, most_mm=change.by_mm)
    if most <= 0.0:
        return Refused(
            problem="there is no room for an arc at these corners",
            remedy="round fewer of them",
        )
    return Refused(
        problem=f"a radius of {_mm(change.by_mm)} does not fit; the largest that does is "
        f"{_mm(most)}",
        remedy=f"write rounded {_mm(most)}",
    )


def _whole(corners: Corners, *, by_mm: float, join: Join) -> Region | None:
    """Offset an outline; None unless one piece without a gap comes out."""
    regions = offset(corners, by_mm=by_mm, join=join)
    return regions[0] if len(regions) == 1 and not regions[0].holes else None


def _offset(corners: Corners, *, by_mm: float, join: Join) -> Corners | Refused:
    region = _whole(corners, by_mm=by_mm, join=join)
    if region is not None:
        return region.outside
    sign = 1.0 if by_mm > 0.0 else -1.0
    low, high = 0, ceil(abs(by_mm) / STEP_MM)
    while low < high - 1:
        middle = (low + high) // 2
        fits = _whole(corners, by_mm=sign * middle * STEP_MM, join=join) is not None
        low, high = (middle, high) if fits else (low, middle)
    left = offset(corners, by_mm=by_mm, join=join)
    what = "nothing is left of it" if not left else f"it falls into {len(left)} pieces"
    if by_mm > 0.0:
        what = "it closes up round a gap"
    if not low:
        return Refused(problem=what, remedy="draw it in another shape")
    word = "grown" if by_mm > 0.0 else "shrunk"
    most = low * STEP_MM
    return Refused(
        problem=f"{what}; the largest distance that leaves one whole piece is {_mm(most)}",
        remedy=f"write {word} {_mm(most)}",
    )


def _mm(length_mm: float) -> str:
    return show(length_mm, Quantity.LENGTH)
