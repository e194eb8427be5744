"""The rules of strands that run through a light box: shadows, strands in openings and over LEDs."""

from collections.abc import Iterable, Sequence

from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.findings import Severity, Told, rule
from lamphouse.light.box_scene import Drawn
from lamphouse.light.eye import NEAR_MM
from lamphouse.light.glow_words import either, in_mm, in_share
from lamphouse.light.shaded_openings import hole_of, openings_of, shaded_openings, stands_in
from lamphouse.light.solved_box import SolvedBox
from lamphouse.light.strand_mends import PLAY_MM, changes_of, seat_of, ways_to_light
from lamphouse.light.strand_posts import post_of, posts_in
from lamphouse.light.strand_shadow import shadow_of
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.spacing import gap_mm


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
