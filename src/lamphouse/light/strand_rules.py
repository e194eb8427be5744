"""The rules of strands that run through a light box: shadows, strands in openings and over LEDs."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from math import cos, dist, pi, sin

import numpy as np

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.led_body import body_of, is_dome
from lamphouse.design.lightbox import InnerDiffuser, Led, LightBox, Seat
from lamphouse.design.panel import Opening
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.findings import Severity, Told, rule
from lamphouse.light import sound_suite
from lamphouse.light.box_scene import Drawn, draw_box
from lamphouse.light.clearance import room_for_sheet_mm, too_near
from lamphouse.light.glow import Glow
from lamphouse.light.glow_mends import SEARCH_STEP
from lamphouse.light.glow_words import either, in_mm, in_share
from lamphouse.light.leaks import NEAR_MM
from lamphouse.light.shown_openings import Shown, lit_sheet
from lamphouse.light.solved_box import SolvedBox
from lamphouse.light.step_size import step_mm
from lamphouse.light.strand_posts import Post, post_of, posts_in
from lamphouse.light.strand_shadow import Shadow, shadow_of
from lamphouse.light.uprights import inside
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle, rectangle
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.spacing import gap_mm
from lamphouse.shapes.transform import move, turn

PLAY_MM = 0.5
"""Sheet left between a strand's hole and an opening, an LED or the outside of a wall [PRACTICE]."""

ROUND_MM = 0.1
"""Places are rounded to this."""

DEEPER = (1.25, 1.5, 2.0)
"""Depths tried, times the depth there is."""

INNER_FILMS = ("opal film 70", "opal film 40")
"""Inner diffusers tried at half depth."""

SHIFTS_MM = (1.0, 2.0, 4.0, 8.0)
WAYS = 8
"""A strand is moved within its box by these lengths in so many directions, or out of it."""


class Shaded(Record):
    """An opening with the plainest shadow that a strand throws on it."""

    shown: Shown
    opening: Opening
    strand: Strand
    shadow: Shadow
    """That of a bare, clear fibre."""
    others: int
    """Further strands whose shadow on it is seen."""


def bare(strand: Strand) -> Post:
    """Give a strand as a clear post."""
    return replace(post_of(strand), clear=True)


def hole_of(strand: Strand) -> Corners:
    """Give the outline of a strand where it comes out of the panel."""
    return circle(strand.fibre.diameter_mm, x_mm=strand.x_mm, y_mm=strand.y_mm)


def stands_in(strand: Strand, *, opening: Opening) -> bool:
    """Tell whether a strand comes out in an opening, wholly or in part."""
    return gap_mm(hole_of(strand), other=opening.outline.corners) < 0.0


def shaded_openings(
    drawn: Drawn,
    *,
    shown: Sequence[tuple[Opening, Shown]],
    strands: Sequence[Strand],
    distance_mm: float,
) -> Iterator[Shaded]:
    """Find the openings on which the eye sees the shadow even of a bare strand."""
    posts = posts_in(drawn, strands=strands)
    for opening, each in shown:
        seen = []
        for strand in posts:
            if stands_in(strand, opening=opening):
                continue
            shadow = shadow_of(each, post=bare(strand), distance_mm=distance_mm)
            if shadow is not None and shadow.excess >= 1.0:
                seen.append((shadow, strand))
        if seen:
            shadow, strand = max(seen, key=lambda pair: pair[0].excess)
            yield Shaded(
                shown=each,
                opening=opening,
                strand=strand,
                shadow=shadow,
                others=len(seen) - 1,
            )


def openings_of(solved: SolvedBox) -> list[tuple[Opening, Shown]]:
    """List the openings of a solved box that have a figure."""
    below = lit_sheet(solved.drawn)
    return [
        (
            sight.window.opening,
            Shown(
                drawn=solved.drawn,
                index=sight.index,
                cells_cd_m2=tuple(cell for row in sight.glow.cells_cd_m2 for cell in row),
                room_cd_m2=sight.glow.room_cd_m2,
                below=below,
            ),
        )
        for sight in solved.sights
        if sight.window.stack is not None
    ]


Change = Callable[[LightBox, bool], tuple[Drawn, Glow, Shown | None] | None]
"""Gives a changed box drawn, solved on a mesh for search or for answers, and its inner diffuser;
None when it cannot be computed."""


def changes_of(solved: SolvedBox) -> Change:
    """Solve changed boxes, each once for all openings they are tried for."""
    currents = {current.led: current for current in solved.currents}
    old = solved.drawn

    @cache
    def change(box: LightBox, is_search: bool) -> tuple[Drawn, Glow, Shown | None] | None:  # noqa: FBT001
        drawn = draw_box(old.panel, box=box, currents=currents, beside=old.beside)
        if sound_suite.faults(drawn) or any(too_near(drawn)):
            return None
        step = SEARCH_STEP * step_mm(drawn.scene) if is_search else None
        return drawn, sound_suite.solve(drawn, step=step), lit_sheet(drawn, step=step)

    return change


def _is_unseen(
    shown: Shown, *, opening: Opening, strands: Iterable[Strand], distance_mm: float
) -> bool:
    """Whether no strand but those in the opening throws a shadow that is seen."""
    shadows = (
        shadow_of(shown, post=bare(strand), distance_mm=distance_mm)
        for strand in strands
        if not stands_in(strand, opening=opening)
    )
    return all(shadow is None or shadow.excess < 1.0 for shadow in shadows)


def _is_free(place: Spot, *, strand: Strand, drawn: Drawn, among: Sequence[Strand]) -> bool:
    """Whether a strand can come out at a place: on the panel, clear of all that is there."""
    x, y = place
    radius = strand.fibre.diameter_mm / 2.0
    here = circle(strand.fibre.diameter_mm, x_mm=x, y_mm=y)
    left, bottom, right, top = bounds_mm(drawn.panel.outline.corners)
    room = radius + PLAY_MM
    if not (left + room <= x <= right - room and bottom + room <= y <= top - room):
        return False
    openings = (gap_mm(here, other=one.outline.corners) for one in drawn.panel.openings)
    leds = (gap_mm(here, other=seat_of(led)) for led in drawn.box.leds)
    holes = (gap_mm(here, other=hole_of(other)) for other in among if other is not strand)
    wall = nearest_side(place, ring=drawn.scene.outline).gap_mm
    is_inside = bool(inside(np.array([place]), rings=(drawn.scene.outline,))[0])
    clear = room if is_inside else room + drawn.box.sheet.thickness_mm - ROUND_MM
    return wall >= clear and min([*openings, *leds, *holes], default=PLAY_MM) >= PLAY_MM


def _places(strand: Strand, *, drawn: Drawn) -> Iterator[tuple[float, Spot, bool]]:
    """Give moves of a strand, shortest first: length, place, and whether it leaves the box."""
    spot, radius = (strand.x_mm, strand.y_mm), strand.fibre.diameter_mm / 2.0
    side = nearest_side(spot, ring=drawn.scene.outline)
    past = radius + drawn.box.sheet.thickness_mm + PLAY_MM
    out = (side.foot[0] - past * side.normal[0], side.foot[1] - past * side.normal[1])
    moves = [(dist(spot, out), out, True)]
    for shift in SHIFTS_MM:
        for way in range(WAYS):
            angle = 2.0 * pi * way / WAYS
            place = (strand.x_mm + shift * cos(angle), strand.y_mm + shift * sin(angle))
            if inside(np.array([place]), rings=(drawn.scene.outline,))[0]:
                moves.append((shift, place, False))
    for shift, (x, y), outside in sorted(moves):
        yield shift, (round(x, 1), round(y, 1)), outside


def _moved(shaded: Shaded, *, strands: Sequence[Strand], distance_mm: float) -> str | None:
    """Find the shortest move of a strand after which its shadow is not seen."""
    strand, drawn = shaded.strand, shaded.shown.drawn
    for shift, place, outside in _places(strand, drawn=drawn):
        if not _is_free(place, strand=strand, drawn=drawn, among=strands):
            continue
        post = replace(bare(strand), x_mm=place[0], y_mm=place[1])
        shadow = None if outside else shadow_of(shaded.shown, post=post, distance_mm=distance_mm)
        if shadow is None or shadow.excess < 1.0:
            where = ", outside the box" if outside else ""
            return f"move it {in_mm(shift)} to [{in_mm(place[0])}, {in_mm(place[1])}]{where}"
    return None


def ways_to_light(
    shaded: Shaded,
    *,
    drawn: Drawn,
    strands: Sequence[Strand],
    distance_mm: float,
    change: Change,
) -> list[str]:
    """List changes after which no shadow is seen on an opening, each computed."""
    posts = posts_in(drawn, strands=strands)
    ways = []
    if not shaded.others:
        move = _moved(shaded, strands=strands, distance_mm=distance_mm)
        ways += [move] if move else []

    def is_mended(box: LightBox) -> bool:
        # What fails on the mesh of a search is not solved on that of an answer.
        for is_search in (True, False):
            changed = change(box, is_search)
            if changed is None:
                return False
            redrawn, solved, below = changed
            cells = tuple(solved.looks[shaded.shown.index].luminance_cd_m2.tolist())
            shown = replace(shaded.shown, drawn=redrawn, cells_cd_m2=cells, below=below)
            if not _is_unseen(
                shown, opening=shaded.opening, strands=posts, distance_mm=distance_mm
            ):
                return False
        return True

    if drawn.box.inner_diffuser is None:
        half = round(drawn.box.depth_mm / 2.0, 1)
        for name in INNER_FILMS:
            film = built_in().film_types[name]
            height = room_for_sheet_mm(drawn.box, thickness_mm=film.thickness_mm, half_mm=half)
            if height is None:
                break
            inner = InnerDiffuser(film=film, height_mm=height)
            if is_mended(replace(drawn.box, inner_diffuser=inner)):
                ways.append(f"lay '{name}' across the box {in_mm(height)} above its back")
                break
    for times in DEEPER:
        depth = round(times * drawn.box.depth_mm * 2.0) / 2.0
        if is_mended(replace(drawn.box, depth_mm=depth)):
            ways.append(f"deepen the box to {in_mm(depth)}")
            break
    return ways


@rule("LIT030", Severity.WARN, "A strand throws a shadow on a lit opening")
def strand_in_the_light(
    solved: SolvedBox, *, strands: Sequence[Strand], room: Room | None
) -> Iterable[Told]:
    """Look for strands that run through a light box and show as a line on its openings.

    What it checks
        A strand whose hole lies over the inside of a light box stands in it as a post from panel to
        back. The shadow it throws, its edges softened by the size of the LEDs, is less deep than
        an eye sees on the lit opening at the viewing distance (250 mm where the project names no
        room). The fibre is taken as bare: clear, it turns the light of an LED aside and lets pass
        what comes from all sides. The message also says what a sleeved or painted one takes.

    Why it matters
        The eye finds a thin straight line on an even screen from a few percent of its brightness.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        leds:
                          W: {at: [20 mm, 12.5 mm]}
                    strands:
                      K: {at: [22.5 mm, 13.8 mm], count: 1, step: [1 mm, 0 mm]}

    Mend
        One of the changes of the message, each computed: another place for the hole, an inner
        diffuser or a deeper box. Else lead the strand out in front of the box's wall.

    Source
        Geometry, the solved light of the box, and the eye of [ADRIAN1989]; Snell's law and
        [FRESNEL] for the fibre, its index of 1.49 from memory.
    """
    distance_mm = room.viewing_distance_mm if room else NEAR_MM
    if not posts_in(solved.drawn, strands=strands):
        return
    change = changes_of(solved)
    for shaded in shaded_openings(
        solved.drawn, shown=openings_of(solved), strands=strands, distance_mm=distance_mm
    ):
        shadow, strand = shaded.shadow, shaded.strand
        others = f" (and {shaded.others} more strands)" if shaded.others > 1 else ""
        others = " (and one more strand)" if shaded.others == 1 else others
        ways = ways_to_light(
            shaded,
            drawn=solved.drawn,
            strands=strands,
            distance_mm=distance_mm,
            change=change,
        )
        dark = shadow_of(shaded.shown, post=post_of(strand), distance_mm=distance_mm) or shadow
        yield Told(
            where=strand.where,
            message=f"strand '{strand.name}', {in_mm(strand.fibre.diameter_mm)} thick, runs "
            f"through box '{solved.drawn.box.name}' and shades opening "
            f"'{shaded.opening.name}'{others}: up to {in_share(shadow.contrast)} darker over "
            f"{in_mm(shadow.width_mm)} x {in_mm(shadow.length_mm)} if the fibre is bare, "
            f"{in_share(dark.contrast)} if sleeved; at {in_mm(distance_mm)} the eye sees "
            f"{in_share(shadow.least_seen)}",
            remedy=either(ways)
            if ways
            else "neither a short move, nor an inner diffuser, nor twice the depth mends it: move "
            f"such holes past the wall of box '{solved.drawn.box.name}'",
        )


@rule("LIT031", Severity.WARN, "A strand comes out in a lit opening")
def strand_in_opening(drawn: Drawn, *, strands: Sequence[Strand]) -> Iterable[Told]:
    """Look for strands that end in the glow of an opening.

    What it checks
        No strand comes out in an opening over a light box.

    Why it matters
        The strand stands as a dark spot in the glow, with a shadow behind it, and its own point of
        light drowns in the light around it.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    strands:
                      K: {fibre: fibre 0.5 mm, at: [28 mm, 25 mm], count: 1, group: steady}

    Mend
        Move the hole to the place of the message.

    Source
        Geometry; common practice, no source.
    """
    for window in drawn.windows:
        for strand in strands:
            if not stands_in(strand, opening=window.opening):
                continue
            spot = (strand.x_mm, strand.y_mm)
            corners = window.opening.outline.corners
            ring = tuple((x, y) for x, y, _ in corners)
            rim = nearest_side(spot, ring=ring)
            reach = rim.gap_mm + strand.fibre.diameter_mm / 2.0 + PLAY_MM
            yield Told(
                where=strand.where,
                message=f"strand '{strand.name}' comes out in the lit opening "
                f"'{window.opening.name}': it stands there as a dark spot "
                f"{in_mm(strand.fibre.diameter_mm)} across, {in_mm(rim.gap_mm)} from the edge; "
                "nothing should stand in the glow",
                remedy=f"move the hole at least {in_mm(reach)}, past the edge of the opening, and "
                "better past the wall of the box",
            )


def seat_of(led: Led) -> Corners:
    """Give an LED's package in plan; of one on a wall what it may reach."""
    length, width, _ = led.led_type.package_mm
    if led.seat is Seat.WALL:
        return circle(2.0 * body_of(led).top_mm, x_mm=led.x_mm, y_mm=led.y_mm)
    if led.tilt_deg:
        return move(body_of(led).covers(), x_mm=led.x_mm, y_mm=led.y_mm)
    if is_dome(led.led_type):
        return circle(max(length, width), x_mm=led.x_mm, y_mm=led.y_mm)
    upright = rectangle(length, height_mm=width, x_mm=led.x_mm, y_mm=led.y_mm)
    return turn(upright, angle_deg=led.turn_deg, about=(led.x_mm, led.y_mm))


@rule("LIT032", Severity.WARN, "A strand runs into an LED")
def strand_over_led(drawn: Drawn, *, strands: Sequence[Strand]) -> Iterable[Told]:
    """Look for strands that stand on an LED.

    What it checks
        The way of a strand straight back from its hole is clear of every LED of the box.

    Why it matters
        The strand cannot leave by the back there, and what it covers of the LED shines into the
        strand and not into the box.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {shape: rectangle 8 x 20 mm}
                    strands:
                      K: {fibre: fibre 0.5 mm, at: [20 mm, 25 mm], count: 1, group: steady}

    Mend
        Move one of them as far as the message says.

    Source
        Geometry.
    """
    for strand in posts_in(drawn, strands=strands):
        gaps = [(gap_mm(hole_of(strand), other=seat_of(led)), led) for led in drawn.box.leds]
        if not gaps:
            return
        gap, led = min(gaps, key=lambda pair: pair[0])
        if gap <= 0.0:
            reach = strand.fibre.diameter_mm / 2.0 + PLAY_MM
            length, width, _ = led.led_type.package_mm
            yield Told(
                where=strand.where,
                message=f"strand '{strand.name}' runs straight into LED '{led.name}' of box "
                f"'{drawn.box.name}', whose package of {in_mm(length)} x {in_mm(width)} lies "
                "right behind its hole",
                remedy=f"bring the middle of the strand at least {in_mm(reach)} past the edge of "
                "the package: move the LED or the hole",
            )
