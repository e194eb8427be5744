"""A section through a light box: its sheets, LEDs with their half-maximum rays, and its sizes.

Cut sheets are hatched, thin ones filled [ISO128]; LEDs that do not lie in the cut are dashed. From
each LED in the cut run the two rays along which it shines half as brightly as along its axis, up
to the first thing they meet; a ray that misses the opening's edges says where the light goes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, inf, radians, sin

from lamphouse.design.lightbox import Led, Lid, LightBox, Seat
from lamphouse.design.panel import Opening, Panel
from lamphouse.drawings.drawing import Anchor, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.hatching import hatched
from lamphouse.drawings.lettering import LEAST_MM, lines_of, shortened, width_mm
from lamphouse.drawings.moves import Box, drawing_of
from lamphouse.drawings.section_plane import (
    Crossing,
    Plane,
    Span,
    baffle_crossing,
    clear_spans,
    plane_of,
    spans_in,
)
from lamphouse.drawings.sizes import AWAY_MM, level, size_text, upright
from lamphouse.light import scene
from lamphouse.shapes.flatten import flatten

SCALES = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1)
"""Drawn over true size: the steps of [ISO5455]."""
_CHORD_ERROR_MM = 0.02
_MARGIN_MM = 5.0
"""What the panel goes on beyond the box before it is broken off, on the drawing."""
_SIDE_MM = _MARGIN_MM + AWAY_MM + 4.0
"""From the box to the left end of the words, beyond the size on the left."""
_LEAST_FILM_MM = 0.4
"""A thinner film is drawn as thick as this, to be seen."""
_ABOVE_MM = 3.4
"""From the panel's face to the names of its openings."""
_LEAST_SIZE_MM = 7.0
"""Where LEDs stand closer on the drawing, the whole width is given instead of their places."""
_OVER_MM, _UNDER_MM = 6.0, 24.0
"""For the sizes and words over the panel and under the back."""
_WORDS_MM, _NAME_MM = 2.0, 2.5
_STEP_MM = 3.4
_ACROSS = 0.1
"""A beam that leaves the cut by more than this share of its axis has no rays in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """A box with the plane it is cut by, and how large it is drawn."""

    box: LightBox
    panel: Panel
    scene: scene.Box
    plane: Plane
    spans: Sequence[tuple[Crossing, Crossing]]
    drawn: float

    @property
    def wall_mm(self) -> float:
        """Thickness of walls, back and lid."""
        return self.box.sheet.thickness_mm

    @property
    def outer(self) -> Span:
        """The box over its walls."""
        first, last = self.spans[0][0], self.spans[-1][1]
        return first.u_mm - first.slant * self.wall_mm, last.u_mm + last.slant * self.wall_mm

    @property
    def foot_mm(self) -> float:
        """Height of the outermost face at the rear, below the inner face of the back."""
        return -self.wall_mm * (2.0 if self.box.lid is Lid.OVER else 1.0)

    @property
    def head_mm(self) -> float:
        """Height of the panel's front."""
        return self.box.depth_mm + self.panel.sheet.thickness_mm

    def fits(self, room_mm: tuple[float, float]) -> bool:
        """Tell whether the drawing fits a room with its sizes and words."""
        wide = (self.outer[1] - self.outer[0]) * self.drawn + 2.0 * _SIDE_MM
        high = (self.head_mm - self.foot_mm) * self.drawn + _OVER_MM + _UNDER_MM
        return wide <= room_mm[0] and high <= room_mm[1]

    def place(self, u_mm: float, z_mm: float) -> tuple[float, float]:
        """Give the place on the drawing of a place in the cut."""
        return u_mm * self.drawn, z_mm * self.drawn

    def sheet(self, u: Span, z: Span) -> Box:
        """Give a rectangle of the cut on the drawing."""
        (left, bottom), (right, top) = self.place(u[0], z[0]), self.place(u[1], z[1])
        return left, bottom, right, top


def section(
    box: LightBox, *, panel: Panel, solved: scene.Box, room_mm: tuple[float, float]
) -> Drawing:
    """Draw the section along the row most LEDs stand in.

    Parameters
    ----------
    box
        The light box.
    panel
        The flat panel before it.
    solved
        The same box as it was solved, in the panel plane, with its lamps.
    room_mm
        Width and height for the drawing; its scale is the largest step that fits.

    Returns
    -------
    Drawing
        The panel above, the back below.
    """
    plane = plane_of(solved)
    spans = clear_spans(plane, solved)
    cuts = (
        _Cut(box=box, panel=panel, scene=solved, plane=plane, spans=spans, drawn=drawn)
        for drawn in SCALES
    )
    cut = next(cut for cut in cuts if cut.fits(room_mm) or cut.drawn == SCALES[-1])
    return drawing_of(
        (*_sheets(cut), *_lamps(cut), *_sizes(cut), *_words(cut, room_mm[0])),
        name=f"{box.name} section",
    )


def _sheets(cut: _Cut) -> Iterator[Item]:
    depth, wall = cut.box.depth_mm, cut.wall_mm
    over = cut.box.lid is Lid.OVER
    for left, right in cut.spans:
        inner = (left.u_mm, right.u_mm)
        wide = (left.u_mm - left.slant * wall, right.u_mm + right.slant * wall)
        foot = -wall if over else 0.0
        yield from hatched(cut.sheet((wide[0], inner[0]), (foot, depth)))
        yield from hatched(cut.sheet((inner[1], wide[1]), (foot, depth)))
        yield from hatched(cut.sheet(inner if over else wide, (-wall, 0.0)), falls=True)
        if over:
            yield from hatched(cut.sheet(wide, (-2.0 * wall, -wall)))
        if cut.box.inner_diffuser:
            low = cut.box.inner_diffuser.height_mm
            film = cut.sheet(inner, (low, low + cut.box.inner_diffuser.film.thickness_mm))
            yield from hatched(film, pen=Pen.MARK)
    for baffle, solved in zip(cut.box.baffles, cut.scene.baffles, strict=True):
        cross = baffle_crossing(cut.plane, solved)
        if cross:
            half = cross.slant * baffle.sheet.thickness_mm / 2.0
            span = (cross.u_mm - half, cross.u_mm + half)
            yield from hatched(cut.sheet(span, (0.0, baffle.height_mm)))
    yield from _panel(cut)


def _panel(cut: _Cut) -> Iterator[Item]:
    """Draw the panel with its openings, broken off a little beyond the box, and their layers."""
    beyond = _MARGIN_MM / cut.drawn
    first, last = cut.outer[0] - beyond, cut.outer[1] + beyond
    heights = (cut.box.depth_mm, cut.head_mm)
    open_spans = sorted(
        span for opening in cut.panel.openings for span in _spans_of(opening, cut.plane)
    )
    for low, high in spans_in(cut.plane, _ring(cut.panel)):
        ends = [max(low, first)]
        for start, end in open_spans:
            if ends[0] < start and end < min(high, last):
                ends += [start, end]
        ends.append(min(high, last))
        for left, right in zip(ends[::2], ends[1::2], strict=True):
            yield from hatched(cut.sheet((left, right), heights), falls=True)
    for opening in cut.panel.openings:
        for left, right in _spans_of(opening, cut.plane):
            if first < left and right < last:
                yield from _layers(cut, opening, (left, right))


def _ring(panel: Panel) -> tuple[tuple[float, float], ...]:
    return flatten(panel.outline.corners, error_mm=_CHORD_ERROR_MM)


def _spans_of(opening: Opening, plane: Plane) -> list[Span]:
    return spans_in(plane, flatten(opening.outline.corners, error_mm=_CHORD_ERROR_MM))


def _layers(cut: _Cut, opening: Opening, span: Span) -> Iterator[Item]:
    low = cut.box.depth_mm
    for layer in opening.layers:
        high = low + max(layer.film.thickness_mm * layer.count, _LEAST_FILM_MM / cut.drawn)
        yield from hatched(cut.sheet(span, (low, high)), pen=Pen.MARK)
        low = high


def _lamps(cut: _Cut) -> Iterator[Item]:
    for led, lamp in zip(cut.box.leds, cut.scene.lamps, strict=True):
        cut_through = cut.plane.meets((lamp.x_mm, lamp.y_mm))
        pen = Pen.CUT if cut_through else Pen.HIDDEN
        left, bottom, right, top = cut.sheet(*_body(cut, led, lamp))
        yield rectangle(pen, left=left, bottom=bottom, right=right, top=top)
        if cut_through:
            yield from _rays(cut, led, lamp)
            yield _name(cut, led, lamp)


def _name(cut: _Cut, led: Led, lamp: scene.Lamp) -> Text:
    """Write an LED's name on the far side of the sheet it is glued to."""
    u, _ = cut.plane.turned((lamp.x_mm, lamp.y_mm))
    anchor = Anchor.MIDDLE
    if led.seat is Seat.BACK:
        x, y = cut.place(u, cut.foot_mm)
        y -= 1.0 + LEAST_MM
    elif led.seat is Seat.PANEL:
        x, y = cut.place(u, cut.head_mm)
        y += 1.0
    else:
        is_left = u < sum(cut.outer) / 2.0
        x, y = cut.place(cut.outer[0] if is_left else cut.outer[1], lamp.z_mm)
        x, y = x + (-1.0 if is_left else 1.0), y - LEAST_MM / 2.0
        anchor = Anchor.END if is_left else Anchor.START
    return Text(x_mm=x, y_mm=y, words=led.name, height_mm=LEAST_MM, anchor=anchor, bold=True)


def _body(cut: _Cut, led: Led, lamp: scene.Lamp) -> tuple[Span, Span]:
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


def _rays(cut: _Cut, led: Led, lamp: scene.Lamp) -> Iterator[Path]:
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


def _reach(cut: _Cut, start: tuple[float, float], way: tuple[float, float]) -> float:
    """Give how far a ray runs before it meets a wall, a sheet across the box, or a baffle."""
    u, z = start
    left, right = next(
        ((low.u_mm, high.u_mm) for low, high in cut.spans if low.u_mm <= u <= high.u_mm),
        (-inf, inf),
    )
    levels = [0.0, cut.box.depth_mm]
    if cut.scene.sheet:
        levels.append(cut.scene.sheet.height_mm)
    stops = [(at - z) / way[1] for at in levels if abs(way[1]) > 1e-9]
    stops += [(at - u) / way[0] for at in (left, right) if abs(way[0]) > 1e-9]
    for baffle in cut.scene.baffles:
        cross = baffle_crossing(cut.plane, baffle)
        if cross and abs(way[0]) > 1e-9:
            far = (cross.u_mm - u) / way[0]
            if baffle.low_mm <= z + far * way[1] <= baffle.high_mm:
                stops.append(far)
    return min((far for far in stops if far > 1e-6), default=0.0)


def _sizes(cut: _Cut) -> Iterator[Item]:
    """Give the depth, and along the cut the places of its LEDs from wall to wall, or the width."""
    drawn = cut.drawn
    side = cut.outer[0] * drawn - _MARGIN_MM
    yield from upright((side, 0.0), length_mm=cut.box.depth_mm, drawn=drawn, left=True)
    if cut.scene.sheet:
        far = cut.outer[1] * drawn + _MARGIN_MM
        yield from upright((far, 0.0), length_mm=cut.scene.sheet.height_mm, drawn=drawn)
    foot = cut.foot_mm * drawn - LEAST_MM - 1.0
    for left, right in cut.spans:
        start, end = left.u_mm, right.u_mm
        stops = (start, *(u for u in _rows(cut) if start < u < end), end)
        if min(two - one for one, two in pairwise(stops)) * drawn < _LEAST_SIZE_MM:
            stops = (start, end)
        for one, two in pairwise(stops):
            yield from level((one * drawn, foot), length_mm=two - one, drawn=drawn, below=True)


def _rows(cut: _Cut) -> list[float]:
    """Give the places along the cut of the LEDs in it that do not sit on a wall."""
    places = {
        round(cut.plane.turned((lamp.x_mm, lamp.y_mm))[0], 6)
        for led, lamp in zip(cut.box.leds, cut.scene.lamps, strict=True)
        if led.seat is not Seat.WALL and cut.plane.meets((lamp.x_mm, lamp.y_mm))
    }
    return sorted(places)


def _words(cut: _Cut, room_mm: float) -> Iterator[Text]:
    """Name the openings over the panel; say below what is cut and of what it is made."""
    for opening in cut.panel.openings:
        for left, right in _spans_of(opening, cut.plane):
            if cut.outer[0] < left and right < cut.outer[1]:
                yield _over(cut, opening, (left, right))
    x = cut.outer[0] * cut.drawn - _SIDE_MM
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


def _over(cut: _Cut, opening: Opening, span: Span) -> Text:
    (left, top), (right, _) = cut.place(span[0], cut.head_mm), cut.place(span[1], cut.head_mm)
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


def _title(cut: _Cut) -> str:
    across = "y" if cut.plane.along == "x" else "x"
    scale = f"{cut.drawn:g} : 1" if cut.drawn >= 1.0 else f"1 : {1.0 / cut.drawn:g}"
    at = size_text(cut.plane.level_mm)
    return f"{cut.box.name}, cut along {cut.plane.along} at {across} {at} mm, drawn {scale}"


def _made_of(cut: _Cut) -> str:
    beams = sorted({led.led_type.beam_deg for led in cut.box.leds})
    angles = ", ".join(f"{beam:g}" for beam in beams)
    parts = [
        f"panel {cut.panel.sheet.name}",
        f"walls and back {cut.box.sheet.name}, {cut.box.finish.name}",
    ]
    if cut.box.inner_diffuser:
        parts.append(f"inner diffuser {cut.box.inner_diffuser.film.name}")
    parts.append(f"chain lines: half of the peak, {angles} degrees apart")
    return "; ".join(parts)
