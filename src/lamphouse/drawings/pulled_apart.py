"""The pieces of a light box in the order in which they go together, moved apart along its depth."""

from collections.abc import Iterator

from lamphouse.cutting.behind_rules import outside_of
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.cutting.pillar_feet import marks_of
from lamphouse.cutting.seats import LEAST_FOOT_MM
from lamphouse.cutting.standing import Standing
from lamphouse.design.led_body import body_of, package_corners, wedge_under
from lamphouse.design.lightbox import Build, Led, Lid, LightBox, Seat
from lamphouse.design.panel import Panel
from lamphouse.drawings.solids import Plate, shifted
from lamphouse.light.seated_leds import SeatFrame, frame_of
from lamphouse.record import Record, replace
from lamphouse.shapes.carving import carved
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, bounds_mm, size_mm
from lamphouse.shapes.outline import Corners, Spot, backwards, rectangle

_ARC_ERROR_MM = 0.02
_BEYOND_MM = 6.0
"""A panel is drawn this far beyond its box."""
_SPREAD = 0.18
"""Walls stand this share of the box's size apart from their places."""
_PULL = 0.55
"""Layers stand this share of the box's size apart."""
_RIGHT, _UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)


class _Layer(Record):
    """Plates that stay together along the depth."""

    plates: tuple[Plate, ...]
    low_mm: float
    high_mm: float


def pulled_apart(made: BoxPieces, *, box: LightBox, panel: Panel) -> list[Plate]:
    """Give the pieces of a box from the rear to the eye, their layers apart along the depth.

    Parameters
    ----------
    made
        Its pieces with their places.
    box
        The same box as it is built.
    panel
        The panel before it; a bent one is left out.
    """
    found: list[Plate] = []
    at = 0.0
    for layer in _layers(made, box=box, panel=panel):
        if not layer.plates:
            continue
        found += [shifted(plate, by_mm=(0.0, 0.0, at - layer.low_mm)) for plate in layer.plates]
        at += layer.high_mm - layer.low_mm + _PULL * _size(box)
    return found


def _size(box: LightBox) -> float:
    return max(*size_mm(box.inside.corners), box.depth_mm / 2.0)


def _rings(*outlines: Corners) -> tuple[tuple[Spot, ...], ...]:
    """Give an outline anticlockwise and its holes the other way round, without arcs."""
    first, *holes = outlines
    return (
        flatten(anticlockwise(first), error_mm=_ARC_ERROR_MM),
        *(flatten(backwards(anticlockwise(hole)), error_mm=_ARC_ERROR_MM) for hole in holes),
    )


def _level(part: str, *outlines: Corners, top_mm: float, thickness_mm: float) -> Plate:
    """Lay a plate parallel to the panel."""
    return Plate(
        part=part,
        rings=_rings(*outlines),
        corner_mm=(0.0, 0.0, top_mm),
        right=_RIGHT,
        up=_UP,
        thickness_mm=thickness_mm,
    )


def _layers(made: BoxPieces, *, box: LightBox, panel: Panel) -> Iterator[_Layer]:
    """Give the layers of a box from the rear to the eye, each where it belongs."""
    thick = box.sheet.thickness_mm
    under = thick if box.lid is Lid.OVER else 0.0
    standing = {kind: _standing(made, kind=kind, spread=_size(box)) for kind in _KINDS}
    bodies = list(_bodies(made, box=box))
    if standing["lid"]:
        yield _Layer(plates=standing["lid"], low_mm=-under - thick, high_mm=-under)
    yield from (layer for layer in bodies if layer.high_mm <= 0.0 and box.lid is Lid.OVER)
    lit = tuple(one for led in box.leds if led.seat is Seat.BACK for one in _led(led, box=box))
    tall = max((body_of(led).top_mm for led in box.leds), default=0.0)
    back = [
        *standing["back"],
        *(
            one
            for layer in bodies
            if layer.low_mm < 0.0
            for one in layer.plates
            if box.lid is Lid.BACK
        ),
    ]
    yield _Layer(plates=(*back, *lit), low_mm=-thick, high_mm=tall)
    if standing["block"]:
        corners = [plate.corner_mm[2] for plate in standing["block"]]
        yield _Layer(plates=standing["block"], low_mm=min(corners) - thick, high_mm=max(corners))
    hung = {f"baffle {baffle.name}" for baffle in box.baffles if baffle.hangs}
    on_back = tuple(plate for plate in standing["baffle"] if plate.part not in hung)
    if on_back:
        high = max(baffle.height_mm for baffle in box.baffles if not baffle.hangs)
        yield _Layer(plates=on_back, low_mm=-thick, high_mm=high)
    pillars = tuple(
        _level(mark.words, mark.corners, top_mm=box.depth_mm, thickness_mm=box.depth_mm)
        for mark in marks_of(box)
    )
    if pillars:
        yield _Layer(plates=pillars, low_mm=0.0, high_mm=box.depth_mm)
    on_walls = tuple(one for led in box.leds if led.seat is Seat.WALL for one in _led(led, box=box))
    upright_ones = (
        *standing["wall"],
        *standing["ledge"],
        *(one for layer in bodies if layer.low_mm >= 0.0 for one in layer.plates),
    )
    if upright_ones:
        yield _Layer(plates=(*upright_ones, *on_walls), low_mm=-under, high_mm=box.depth_mm)
    if standing["inner"] and box.inner_diffuser:
        low = box.inner_diffuser.height_mm
        high = low + box.inner_diffuser.film.thickness_mm
        yield _Layer(plates=standing["inner"], low_mm=low, high_mm=high)
    hanging = tuple(plate for plate in standing["baffle"] if plate.part in hung)
    if hanging:
        low = box.depth_mm - max(baffle.height_mm for baffle in box.baffles if baffle.hangs)
        yield _Layer(plates=hanging, low_mm=low, high_mm=box.depth_mm)
    if not panel.curve:
        yield from _faces(box, panel=panel)


_KINDS = ("lid", "back", "block", "baffle", "wall", "ledge", "inner")


def _standing(made: BoxPieces, *, kind: str, spread: float) -> tuple[Plate, ...]:
    """Stand the flat pieces of one kind, walls and what hangs on them moved outwards."""
    by_name = {piece.name: piece for piece in made.pieces}
    found = []
    for one in made.standing:
        if one.part.split(" ")[0] == kind:
            plate = _plate(one, piece=by_name[one.piece])
            if kind in {"wall", "ledge"}:
                across, up, _ = one.normal
                far = -_SPREAD * spread
                plate = shifted(plate, by_mm=(far * across, far * up, 0.0))
            found.append(plate)
    return tuple(found)


def _plate(one: Standing, *, piece: Piece) -> Plate:
    """Give a piece in its place, its ends bevelled."""
    rings = _rings(piece.outline.corners, *(cut.corners for cut in piece.cutouts))
    left, _, right, _ = bounds_mm(piece.outline.corners)

    def cut(inset: Spot) -> tuple[tuple[Spot, ...], ...]:
        return tuple(
            tuple(
                (
                    x + inset[0]
                    if abs(x - left) < _ARC_ERROR_MM
                    else x - inset[1]
                    if abs(x - right) < _ARC_ERROR_MM
                    else x,
                    y,
                )
                for x, y in ring
            )
            for ring in rings
        )

    bevelled = any((*one.near_mm, *one.far_mm)) and not one.part.startswith("baffle")
    return Plate(
        part=one.part,
        rings=cut(one.near_mm) if bevelled else rings,
        corner_mm=one.corner_mm,
        right=one.right,
        up=one.up,
        thickness_mm=piece.sheet.thickness_mm,
        far_rings=cut(one.far_mm) if bevelled else (),
    )


def _bodies(made: BoxPieces, *, box: LightBox) -> Iterator[_Layer]:
    """Give walls and back of a box that is wrapped, folded or printed, as it is when made."""
    thick, inside = box.sheet.thickness_mm, box.inside.corners
    wrapped = any(bulge for _, _, bulge in inside) and box.build is Build.PIECES
    if box.build is Build.PIECES and not wrapped:
        return
    word = {Build.PIECES: "wall", Build.FOLDED: "folded box", Build.PRINTED: "shell"}[box.build]
    under = thick if box.lid is Lid.OVER and box.build is not Build.PRINTED else 0.0
    walls = _level(
        word,
        outside_of(box),
        inside,
        top_mm=box.depth_mm,
        thickness_mm=box.depth_mm + under,
    )
    if box.build is not Build.PIECES and not any(one.part == "back" for one in made.standing):
        part = "lid" if box.lid is Lid.OVER else word
        base = _level(part, outside_of(box), top_mm=0.0, thickness_mm=thick)
        yield _Layer(plates=(base,), low_mm=-thick, high_mm=0.0)
    flanges = (
        _level("flange", plan, top_mm=box.depth_mm, thickness_mm=thick) for plan in made.flanges
    )
    yield _Layer(plates=(walls, *flanges), low_mm=0.0, high_mm=box.depth_mm)


def _led(led: Led, *, box: LightBox) -> tuple[Plate, ...]:
    """Give an LED's package on its seat, a tilted chip's with its wedge."""
    ring = flatten(anticlockwise(box.inside.corners), error_mm=_ARC_ERROR_MM)
    frame, body = frame_of(led, box=box, ring=ring), body_of(led)
    spread = -_SPREAD * _size(box) if led.seat is Seat.WALL else 0.0
    flat = replace(led, turn_deg=0.0, tilt_deg=0.0)
    package = Plate(
        part=f"LED {led.name}",
        rings=_rings(package_corners(flat, x_mm=0.0, y_mm=0.0)),
        corner_mm=frame.placed(body.spot(off_mm=led.led_type.package_mm[2])),
        right=frame.turned(body.along),
        up=frame.turned(body.across),
        thickness_mm=led.led_type.package_mm[2],
    )
    plates = [package]
    if led.tilt_deg and not body.is_round and wedge_under(led).foot_mm >= LEAST_FOOT_MM:
        plates.append(_wedge(led, frame=frame))
    x, y, z = frame.off
    return tuple(shifted(one, by_mm=(spread * x, spread * y, spread * z)) for one in plates)


def _wedge(led: Led, *, frame: SeatFrame) -> Plate:
    """Give the wedge under a tilted chip, standing on its foot."""
    wedge = wedge_under(led)
    corners = wedge.corners()
    low, thin, _ = corners[:3]
    foot = wedge.foot_mm
    return Plate(
        part=f"LED {led.name}",
        rings=(((0.0, 0.0), (foot, 0.0), (0.0, wedge.high_mm)),),
        corner_mm=frame.placed(low),
        right=frame.turned(((thin[0] - low[0]) / foot, (thin[1] - low[1]) / foot, 0.0)),
        up=frame.off,
        thickness_mm=wedge.wide_mm,
    )


def _faces(box: LightBox, *, panel: Panel) -> Iterator[_Layer]:
    """Give the panel and its overlays, broken off a little beyond the box."""
    left, bottom, right, top = bounds_mm(outside_of(box))
    reach = 40_000.0
    beyond = [
        rectangle(reach, height_mm=2.0 * reach, x_mm=left - _BEYOND_MM - reach / 2.0),
        rectangle(reach, height_mm=2.0 * reach, x_mm=right + _BEYOND_MM + reach / 2.0),
        rectangle(2.0 * reach, height_mm=reach, y_mm=bottom - _BEYOND_MM - reach / 2.0),
        rectangle(2.0 * reach, height_mm=reach, y_mm=top + _BEYOND_MM + reach / 2.0),
    ]
    low = box.depth_mm
    for word, face in (("panel", panel), *(("overlay", one) for one in panel.overlays)):
        high = low + face.sheet.thickness_mm
        regions = carved(
            [
                (True, face.outline.corners),
                *((False, opening.outline.corners) for opening in face.openings),
                *((False, one) for one in beyond),
            ]
        )
        plates = tuple(
            _level(
                f"{word} {face.name}",
                region.outside,
                *region.holes,
                top_mm=high,
                thickness_mm=face.sheet.thickness_mm,
            )
            for region in regions
        )
        if plates:
            yield _Layer(plates=plates, low_mm=low, high_mm=high)
        low = high
