"""A light box pulled apart: its pieces in the order in which they go together, with their names.

The eye looks at the panel's face from the right and from above, so one sees into the box. All
pieces are drawn at one scale, moved along the box's depth, walls also outwards.
"""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.cutting.behind_rules import outside_of
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.cutting.pillar_feet import marks_of
from lamphouse.cutting.seats import LEAST_FOOT_MM, package_corners
from lamphouse.cutting.standing import Standing
from lamphouse.design.led_body import body_of, wedge_under
from lamphouse.design.lightbox import Build, Led, Lid, LightBox, Seat
from lamphouse.design.panel import Panel
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Pen, Text
from lamphouse.drawings.figures import segment
from lamphouse.drawings.lettering import lines_of, shortened, width_mm
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import upright
from lamphouse.drawings.solids import Plate, faces_of, shifted
from lamphouse.light.seated_leds import SeatFrame, frame_of
from lamphouse.record import Record, replace
from lamphouse.shapes.carving import carved
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, bounds_mm, size_mm
from lamphouse.shapes.outline import Corners, Spot, backwards, rectangle
from lamphouse.shapes.sightlines import Sight, seen_of

SCALES = (5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""Drawn over true size: the steps of [ISO5455]."""
_ARC_ERROR_MM = 0.02
_NAME_MM = 2.0
_STEP_MM = 3.6
"""From one name to the next."""
_AWAY_MM = 6.0
"""From the picture to the names beside it."""
_LONGEST_MM = 42.0
"""Room for a name."""
_BEYOND_MM = 6.0
"""A panel is drawn this far beyond its box."""
_SPREAD = 0.18
"""Walls stand this share of the box's size apart from their places."""
_PULL = 0.55
"""Layers stand this share of the box's size apart."""
_FEW_LEDS = 4
_RIGHT, _UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
_DOT_MM = 0.8


class _Layer(Record):
    """Plates that stay together along the depth."""

    plates: tuple[Plate, ...]
    low_mm: float
    high_mm: float


def exploded(made: BoxPieces, *, box: LightBox, panel: Panel, paper: str) -> Labelled:
    """Draw a light box pulled apart, at the largest scale of [ISO5455] that fits its page.

    Parameters
    ----------
    made
        Its pieces with their places.
    box
        The same box as it is built.
    panel
        The panel before it; a bent one is left out.
    paper
        A key of ``paper.SIZES_MM``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    plates = _pulled(list(_layers(made, box=box, panel=panel)), size=_size(box))
    faces = [(plate.part, face) for plate in plates for face in faces_of(plate)]
    sights = seen_of([face for _, face in faces])
    seen = [(part, sight) for (part, _), sight in zip(faces, sights, strict=True)]
    wide, high = upright(paper).room_mm
    left, bottom, right, top = _around(seen)
    names = [width_mm(part, height_mm=_NAME_MM) for part in _named(_spots(seen))]
    column = min(max(names), _LONGEST_MM) + _AWAY_MM + 2.0
    notes = tuple(_notes(made, room_mm=wide))
    room = (wide - 2.0 * column, high - 12.0 - len(notes) * _STEP_MM)
    scale = next(
        (
            step
            for step in SCALES
            if (right - left) * step <= room[0] and (top - bottom) * step <= room[1]
        ),
        SCALES[-1],
    )
    name = f"{made.sub_assembly} / {made.panel} / {made.box} assembly"
    return Labelled(
        drawing=_drawn(seen, scale=scale, name=name, notes=notes),
        part=f"{made.sub_assembly} / {made.panel} / {made.box}",
        piece="assembly",
        face="isometric, pulled apart",
        drawn=f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}",
    )


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


def _pulled(layers: Sequence[_Layer], *, size: float) -> list[Plate]:
    """Pull the layers apart along the depth."""
    found: list[Plate] = []
    at = 0.0
    for layer in layers:
        if not layer.plates:
            continue
        found += [shifted(plate, by_mm=(0.0, 0.0, at - layer.low_mm)) for plate in layer.plates]
        at += layer.high_mm - layer.low_mm + _PULL * size
    return found


def _around(seen: Sequence[tuple[str, Sight]]) -> tuple[float, float, float, float]:
    spots = [spot for _, sight in seen for line in sight.lines for spot in line]
    across, up = zip(*spots, strict=True)
    return min(across), min(up), max(across), max(up)


def _notes(made: BoxPieces, *, room_mm: float) -> Iterator[str]:
    """Give the notes of printed bodies, which have no other drawing, in lines."""
    for body in made.bodies:
        start = f"{body.name.rpartition(' / ')[2]}: " if len(made.bodies) > 1 else ""
        words = start + "; ".join(body.notes)
        yield from lines_of(words, height_mm=_NAME_MM, room_mm=room_mm)


def _drawn(
    seen: Sequence[tuple[str, Sight]], *, scale: float, name: str, notes: Sequence[str]
) -> Drawing:
    items: list[Item] = []
    for part, sight in seen:
        pen = Pen.MARK if part.startswith("LED") else Pen.CUT
        for (ax, ay), (bx, by) in sight.lines:
            items.append(segment(pen, start=(ax * scale, ay * scale), end=(bx * scale, by * scale)))
    box = tuple(side * scale for side in _around(seen))
    items += _names(seen, scale=scale, box=(box[0], box[1], box[2], box[3]))
    low = min(box[1], *(item.y_mm for item in items if isinstance(item, Text))) - _AWAY_MM
    for number, line in enumerate(notes):
        items.append(
            Text(
                x_mm=(box[0] + box[2]) / 2.0,
                y_mm=low - number * _STEP_MM,
                words=line,
                height_mm=_NAME_MM,
                anchor=Anchor.MIDDLE,
            )
        )
    return drawing_of(items, name=name)


def _spots(seen: Sequence[tuple[str, Sight]]) -> Mapping[str, Spot]:
    """Give a point on the largest part of each piece that is seen."""
    best: dict[str, tuple[float, Spot]] = {}
    for part, sight in seen:
        if sight.spot and sight.seen_mm2 > best.get(part, (0.0, sight.spot))[0]:
            best[part] = (sight.seen_mm2, sight.spot)
    return {part: spot for part, (_, spot) in best.items()}


def _named(spots: Mapping[str, Spot]) -> dict[str, Spot]:
    """Name many LEDs together, and the layers of a block once."""
    leds = [part for part in spots if part.startswith("LED ")]
    if len(leds) <= _FEW_LEDS:
        return dict(spots)
    first, last = leds[0].removeprefix("LED "), leds[-1].removeprefix("LED ")
    named = {part: spot for part, spot in spots.items() if part not in leds}
    named[f"LEDs {first} to {last}"] = spots[leds[0]]
    return named


def _names(
    seen: Sequence[tuple[str, Sight]],
    *,
    scale: float,
    box: tuple[float, float, float, float],
) -> Iterator[Item]:
    """Write the names in two columns, each with a leader that ends in a dot on its piece."""
    left, bottom, right, top = box
    spots = {part: (x * scale, y * scale) for part, (x, y) in _named(_spots(seen)).items()}
    order = sorted(spots, key=lambda part: (spots[part][0], part))
    half = (len(order) + 1) // 2
    for side, parts in ((-1, order[:half]), (1, order[half:])):
        edge = left - _AWAY_MM if side < 0 else right + _AWAY_MM
        wanted = sorted(parts, key=lambda part: (-spots[part][1], part))
        levels = _apart([spots[part][1] for part in wanted], top=top, bottom=bottom)
        for part, y in zip(wanted, levels, strict=True):
            words = shortened(part, height_mm=_NAME_MM, room_mm=_LONGEST_MM)
            spot = spots[part]
            yield Text(
                x_mm=edge + side * 1.0,
                y_mm=y - _NAME_MM / 2.0,
                words=words,
                height_mm=_NAME_MM,
                anchor=Anchor.END if side < 0 else Anchor.START,
            )
            yield segment(Pen.SIZE, start=(edge, y), end=spot)
            yield Circle(pen=Pen.SIZE, x_mm=spot[0], y_mm=spot[1], diameter_mm=_DOT_MM, filled=True)


def _apart(levels: Sequence[float], *, top: float, bottom: float) -> list[float]:
    """Move names apart, from the top down, then back up where they run out below."""
    placed: list[float] = []
    for y in levels:
        placed.append(min(y, placed[-1] - _STEP_MM) if placed else min(y, top))
    low = min(bottom, top - _STEP_MM * (len(levels) - 1))
    for number in range(len(placed) - 1, -1, -1):
        least = low if number == len(placed) - 1 else placed[number + 1] + _STEP_MM
        placed[number] = max(placed[number], least)
    return placed
