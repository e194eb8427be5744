"""A section through a light box: its sheets, LEDs with their half-maximum rays, and its sizes.

Cut sheets are hatched, thin ones filled [ISO128]; what does not lie in the cut is dashed. From
each LED in the cut run the two rays along which it shines half as brightly as along its axis, up
to the first thing they meet; a ray that misses the opening's edges says where the light goes. Faces
with another finish than the rest have a line along them.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, radians, sin

from lamphouse.cutting.pillar_feet import ring_of, sound_pillars
from lamphouse.cutting.wall_holes import WallHole
from lamphouse.design.led_body import body_of, wedge_under
from lamphouse.design.lightbox import Led, LightBox, Seat
from lamphouse.design.panel import Opening, Panel
from lamphouse.drawings.drawing import Anchor, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, lines_of, shortened, width_mm
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.section_cut import MARGIN_MM, SIDE_MM, Cut, spans_of
from lamphouse.drawings.section_paint import inside_words, paint_of
from lamphouse.drawings.section_plane import (
    Crossing,
    Span,
    baffle_crossing,
    clear_spans,
    plane_of,
)
from lamphouse.drawings.section_sheets import hole_at, sheets_of
from lamphouse.drawings.sizes import AWAY_MM, level, size_text, upright
from lamphouse.light import scene
from lamphouse.light.seated_leds import frame_of
from lamphouse.record import replace
from lamphouse.shapes.tilting import hull_of

SCALES = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1)
"""Drawn over true size: the steps of [ISO5455]."""
_ABOVE_MM = 3.4
"""From the panel's face to the names of its openings."""
_LEAST_SIZE_MM = 7.0
"""Where LEDs stand closer on the drawing, the whole width is given instead of their places."""
_WORDS_MM, _NAME_MM = 2.0, 2.5
_STEP_MM = 3.4
_ACROSS = 0.1
"""A beam that leaves the cut by more than this share of its axis has no rays in it."""


def section(
    box: LightBox,
    *,
    panel: Panel,
    solved: scene.Box,
    room_mm: tuple[float, float],
    holes: Sequence[WallHole] = (),
) -> Drawing:
    """Draw the section along the row most LEDs stand in.

    Parameters
    ----------
    box
        The light box.
    panel
        The flat panel before it, with its overlays.
    solved
        The same box as it was solved, in the panel plane, with its lamps.
    room_mm
        Width and height for the drawing; its scale is the largest step that fits.
    holes
        Passages in the walls of the box.

    Returns
    -------
    Drawing
        The panel above, the back below.
    """
    plane = plane_of(solved)
    pillars = tuple(ring_of(pillar) for pillar in sound_pillars(box))
    spans = clear_spans(plane, replace(solved, holes=pillars))
    cuts = (
        Cut(
            box=box,
            panel=panel,
            scene=solved,
            plane=plane,
            spans=spans,
            drawn=drawn,
            holes=holes,
        )
        for drawn in SCALES
    )
    cut = next(cut for cut in cuts if cut.fits(room_mm) or cut.drawn == SCALES[-1])
    return drawing_of(
        (*sheets_of(cut), *paint_of(cut), *_lamps(cut), *_sizes(cut), *_words(cut, room_mm[0])),
        name=f"{box.name} section",
    )


def _lamps(cut: Cut) -> Iterator[Item]:
    for led, lamp in zip(cut.box.leds, cut.scene.lamps, strict=True):
        cut_through = cut.plane.meets((lamp.x_mm, lamp.y_mm))
        pen = Pen.CUT if cut_through else Pen.HIDDEN
        if led.tilt_deg:
            yield from _leaning(cut, led, pen=pen)
        else:
            left, bottom, right, top = cut.sheet(*_body(cut, led, lamp))
            yield rectangle(pen, left=left, bottom=bottom, right=right, top=top)
        if cut_through:
            yield from _rays(cut, led, lamp)
            yield _name(cut, led, lamp)


def _name(cut: Cut, led: Led, lamp: scene.Lamp) -> Text:
    """Write an LED's name on the far side of the sheet it is glued to."""
    u, _ = cut.plane.turned(_seat_spot(led, lamp))
    anchor = Anchor.MIDDLE
    if led.seat is Seat.BACK:
        x, y = cut.place(u, cut.foot_mm)
        y -= 1.0 + LEAST_MM
    elif led.seat is Seat.PANEL:
        x, y = cut.place(u, cut.crown_mm)
        y += 1.0
    else:
        is_left = u < sum(cut.outer) / 2.0
        x, y = cut.place(cut.outer[0] if is_left else cut.outer[1], lamp.z_mm)
        x, y = x + (-1.0 if is_left else 1.0), y - LEAST_MM / 2.0
        anchor = Anchor.END if is_left else Anchor.START
    return Text(x_mm=x, y_mm=y, words=led.name, height_mm=LEAST_MM, anchor=anchor, bold=True)


def _seat_spot(led: Led, lamp: scene.Lamp) -> tuple[float, float]:
    """Give where an LED is glued, of one on a wall where its light lies."""
    return (lamp.x_mm, lamp.y_mm) if led.seat is Seat.WALL else (led.x_mm, led.y_mm)


def _leaning(cut: Cut, led: Led, *, pen: Pen) -> Iterator[Path]:
    """Draw the outline of a tilted LED and of what holds it: its wedge, or its legs."""
    body, frame = body_of(led), frame_of(led, box=cut.box, ring=cut.scene.outline)

    def seen(spot: tuple[float, float, float]) -> tuple[float, float]:
        x, y, z = frame.placed(spot)
        return cut.plane.turned((x, y))[0], z

    def closed(spots: Iterable[tuple[float, float]]) -> Path:
        corners = tuple((*cut.place(u, z), 0.0) for u, z in spots)
        return Path(pen=pen, corners=corners, closed=True)

    if body.is_round:
        legs = (cut.place(*seen(spot)) for spot in ((0.0, 0.0, 0.0), body.bend_mm, body.foot_mm))
        yield Path(pen=pen, corners=tuple((x, y, 0.0) for x, y in legs))
    else:
        yield closed(hull_of([seen(spot) for spot in wedge_under(led).corners()]))
    corners = [seen(spot) for spot in body.corners()]
    yield closed(body.seen(corners, cap_at=seen(body.cap_mm)))


def _body(cut: Cut, led: Led, lamp: scene.Lamp) -> tuple[Span, Span]:
    """Give the LED's package as it lies in the cut."""
    long, wide, high = led.led_type.package_mm
    u, _ = cut.plane.turned((lamp.x_mm, lamp.y_mm))
    across = (long if cut.plane.along == "x" else wide) / 2.0
    if led.seat is Seat.BACK:
        return (u - across, u + across), (0.0, high)
    if led.seat is Seat.PANEL:
        return (u - across, u + across), (cut.box.depth_mm - high, cut.box.depth_mm)
    ahead = cut.plane.turned_axis(lamp.direction)[0]
    foot = u - ahead * high
    half = max(wide / 2.0, abs(1.0 - abs(ahead)) * across)
    ends = sorted((foot, u)) if abs(ahead) > _ACROSS else [u - across, u + across]
    return (ends[0], ends[1]), (lamp.z_mm - half, lamp.z_mm + half)


def _rays(cut: Cut, led: Led, lamp: scene.Lamp) -> Iterator[Path]:
    """Draw the axis and both rays of half the peak, to what they meet first."""
    ahead, across, up = cut.plane.turned_axis(lamp.direction)
    if abs(across) > _ACROSS:
        return
    u, _ = cut.plane.turned((lamp.x_mm, lamp.y_mm))
    half = radians(led.led_type.beam_deg / 2.0)
    for turn in (-half, half):
        way = (ahead * cos(turn) - up * sin(turn), ahead * sin(turn) + up * cos(turn))
        far = _reach(cut, (u, lamp.z_mm), way)
        end = (u + far * way[0], lamp.z_mm + far * way[1])
        yield segment(Pen.CENTRE, start=cut.place(u, lamp.z_mm), end=cut.place(*end))


def _reach(cut: Cut, start: tuple[float, float], way: tuple[float, float]) -> float:
    """Give how far a ray runs before it meets a wall, a sheet across the box, or a baffle."""
    u, z = start
    walls = next(
        (span for span in cut.spans if span[0].u_mm <= u <= span[1].u_mm),
        (),
    )
    levels = [0.0, cut.box.depth_mm]
    if cut.scene.sheet:
        levels.append(cut.scene.sheet.height_mm)
    stops = [(at - z) / way[1] for at in levels if abs(way[1]) > 1e-9]
    if abs(way[0]) > 1e-9:
        stops += [_to_wall(cut, wall, (u, z), way) for wall in walls]
    for baffle in cut.scene.baffles:
        cross = baffle_crossing(cut.plane, baffle)
        if cross and abs(way[0]) > 1e-9:
            far = (cross.u_mm - u) / way[0]
            if baffle.low_mm <= z + far * way[1] <= baffle.high_mm:
                stops.append(far)
    return min((far for far in stops if far > 1e-6), default=0.0)


def _to_wall(
    cut: Cut, wall: Crossing, start: tuple[float, float], way: tuple[float, float]
) -> float:
    """Give how far a ray runs to a wall, or through a passage to the wall's outer face."""
    far = (wall.u_mm - start[0]) / way[0]
    hole = hole_at(cut, wall)
    if hole and hole.film is None and hole.low_mm <= start[1] + far * way[1] <= hole.high_mm:
        return far + wall.slant * cut.wall_mm / abs(way[0])
    return far


def _sizes(cut: Cut) -> Iterator[Item]:
    """Give the depth, and along the cut the places of its LEDs from wall to wall, or the width."""
    drawn = cut.drawn
    side = cut.outer[0] * drawn - MARGIN_MM
    yield from upright((side, 0.0), length_mm=cut.box.depth_mm, drawn=drawn, left=True)
    if cut.scene.sheet:
        far = cut.outer[1] * drawn + MARGIN_MM
        yield from upright((far, 0.0), length_mm=cut.scene.sheet.height_mm, drawn=drawn)
    foot = cut.foot_mm * drawn - LEAST_MM - 1.0
    for left, right in cut.spans:
        start, end = left.u_mm, right.u_mm
        stops = (start, *(u for u in _rows(cut) if start < u < end), end)
        if min(two - one for one, two in pairwise(stops)) * drawn < _LEAST_SIZE_MM:
            stops = (start, end)
        for one, two in pairwise(stops):
            yield from level((one * drawn, foot), length_mm=two - one, drawn=drawn, below=True)


def _rows(cut: Cut) -> list[float]:
    """Give the places along the cut of the LEDs in it that do not sit on a wall."""
    places = {
        round(cut.plane.turned(_seat_spot(led, lamp))[0], 6)
        for led, lamp in zip(cut.box.leds, cut.scene.lamps, strict=True)
        if led.seat is not Seat.WALL and cut.plane.meets((lamp.x_mm, lamp.y_mm))
    }
    return sorted(places)


def _words(cut: Cut, room_mm: float) -> Iterator[Text]:
    """Name the openings over the panel; say below what is cut and of what it is made."""
    for opening in cut.panel.openings:
        for left, right in spans_of(opening.outline, plane=cut.plane):
            if cut.outer[0] < left and right < cut.outer[1]:
                yield _over(cut, opening, (left, right))
    x = cut.outer[0] * cut.drawn - SIDE_MM
    y = cut.foot_mm * cut.drawn - LEAST_MM - 1.0 - AWAY_MM - 6.0
    yield Text(
        x_mm=x,
        y_mm=y,
        words=shortened(_title(cut), height_mm=_NAME_MM, room_mm=room_mm, bold=True),
        height_mm=_NAME_MM,
        bold=True,
    )
    for line in lines_of(_made_of(cut), height_mm=_WORDS_MM, room_mm=room_mm):
        y -= _STEP_MM
        yield Text(x_mm=x, y_mm=y, words=line, height_mm=_WORDS_MM)


def _over(cut: Cut, opening: Opening, span: Span) -> Text:
    (left, top), (right, _) = cut.place(span[0], cut.crown_mm), cut.place(span[1], cut.crown_mm)
    films = [
        f"{layer.count} x {layer.film.name}" if layer.count > 1 else layer.film.name
        for layer in opening.layers
    ]
    words = f"{opening.name}: {', '.join(films) if films else 'open'}"
    room = max(right - left, width_mm(opening.name, height_mm=_WORDS_MM))
    return Text(
        x_mm=(left + right) / 2.0,
        y_mm=top + _ABOVE_MM - _WORDS_MM,
        words=shortened(words, height_mm=_WORDS_MM, room_mm=room),
        height_mm=_WORDS_MM,
        anchor=Anchor.MIDDLE,
    )


def _title(cut: Cut) -> str:
    across = "y" if cut.plane.along == "x" else "x"
    scale = f"{cut.drawn:g} : 1" if cut.drawn >= 1.0 else f"1 : {1.0 / cut.drawn:g}"
    at = size_text(cut.plane.level_mm)
    return f"{cut.box.name}, cut along {cut.plane.along} at {across} {at} mm, drawn {scale}"


def _made_of(cut: Cut) -> str:
    beams = sorted({led.led_type.beam_deg for led in cut.box.leds})
    angles = ", ".join(f"{beam:g}" for beam in beams)
    parts = [
        f"panel {cut.panel.sheet.name}",
        f"walls and back {cut.box.sheet.name}; {inside_words(cut)}",
    ]
    parts[1:1] = [f"{overlay.name} {overlay.sheet.name}" for overlay, *_ in cut.overlays]
    parts += [_hole_words(hole) for hole in cut.holes]
    parts += _pillar_words(cut)
    if cut.box.inner_diffuser:
        parts.append(f"inner diffuser {cut.box.inner_diffuser.film.name}")
    if beams:
        parts.append(f"chain lines: half of the peak, {angles} degrees apart")
    return "; ".join(parts)


def _pillar_words(cut: Cut) -> list[str]:
    """Say which pillars the cut goes through, and of what they are made."""
    return [
        f"pillar {pillar.name} {pillar.sheet.name if pillar.sheet else pillar.outline.words}"
        for pillar in cut.box.pillars
        if spans_of(pillar.outline, plane=cut.plane)
    ]


def _hole_words(hole: WallHole) -> str:
    film = f", closed with {hole.film.name}" if hole.film else ""
    low, high = size_text(hole.low_mm), size_text(hole.high_mm)
    return f"passage {hole.passage} to {hole.beyond}, {low} to {high} mm above the back{film}"
