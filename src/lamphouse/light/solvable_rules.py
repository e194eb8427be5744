"""The rules of light boxes whose glow cannot be computed: shiny, impossible, or without light."""

from collections.abc import Iterable, Sequence
from math import dist

from lamphouse.catalogue.finishes import Finish
from lamphouse.colour.film_spectra import scatters
from lamphouse.design.box_faces import finished_faces, finishes_in
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.light.box_scene import Drawn, baffles_of
from lamphouse.light.box_suite import THIN_MM
from lamphouse.light.clearance import LEAST_MM, Near, gap_from_mm, too_near
from lamphouse.light.glow_words import counted, in_mm, in_percent, in_share, together
from lamphouse.light.seated_leds import source_of
from lamphouse.light.sound_box import (
    LEAST_BAFFLE_MM,
    LEAST_BEAM_DEG,
    LEAST_CLEARANCE_MM,
    Fault,
    Kind,
)
from lamphouse.light.uprights import distance_mm
from lamphouse.shapes.spacing import overlap_mm2


@rule("LIT001", Severity.WARN, "A shiny light box has no computable glow")
def shiny_finish(drawn: Drawn) -> Iterable[Told]:
    """Look for light boxes painted or lined with a shiny finish.

    What it checks
        The finish of a light box is matt, that of each of its faces, baffles and pillars too.

    Why it matters
        Shiny walls throw images of the LEDs about, which show as spots from one side and not from
        another. The glow is computed for matt walls only, so there is no figure for this box.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {finish: aluminium foil}

    Mend
        Paint the inside matt white, or judge a sample by eye.

    Source
        Limit of the model: diffuse faces.
    """
    box = drawn.box
    shiny = [(face, one) for face, one in finished_faces(box) if one.shine == "shiny"]
    if not shiny:
        return
    names = dict.fromkeys(finish.name for _, finish in shiny)
    finishes = " and ".join(f"'{name}'" for name in names)
    wholly = len({finish for _, finish in finished_faces(box)}) == 1
    which = "it" if wholly else together([face for face, _ in shiny])
    yield Told(
        where=box.where,
        message=f"box '{box.name}' is finished with {finishes}"
        f"{'' if wholly else f' at {which}'}, which mirrors its LEDs; the glow is computed for "
        "matt walls only, so it has no figure",
        remedy=f"paint {which} 'matt white paint' (80 %), or judge a sample by eye and accept this",
    )


def _unpainted(_: Finish) -> float:
    """Stand in for the paint of baffles where only their places matter."""
    return 0.0


@rule("LIT002", Severity.WARN, "The glow of a light box cannot be computed")
def beyond_the_solver(drawn: Drawn, *, faults: Sequence[Fault]) -> Iterable[Told]:
    """Tell why a light box has no figures.

    What it checks
        The light box stands behind a flat panel, nothing in it reaches through something else, and
        its sizes and finishes lie within the range of the solver.

    Why it matters
        No luminance is given for a box that cannot be, or that nobody has proved the sums for.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {inside: rectangle 30 x 28 mm, at: [36 mm, 25 mm]}

    Mend
        As the message says.

    Source
        Limits of the model.
    """
    name = drawn.box.name
    if drawn.panel.curve is not None:
        yield Told(
            where=drawn.box.where,
            message=f"box '{name}' stands behind a bent panel; the glow is computed behind flat "
            "panels only, so it has no figure",
            remedy="judge a sample by eye, and accept this",
        )
        return
    for reason, remedy in dict.fromkeys(_in_words(fault, drawn=drawn) for fault in faults):
        yield Told(
            where=drawn.box.where,
            message=f"the glow of box '{name}' cannot be computed: {reason}",
            remedy=remedy,
        )


def _span_words(fault: Fault) -> str:
    """Give the range of a length: ``0.5 mm to 400 mm``."""
    return f"{in_mm(fault.least)} to {in_mm(fault.most)}"


def _lamp_words(name: str, *, drawn: Drawn) -> tuple[str, str]:
    """Say what the light of an LED stands in."""
    lamp = next(lamp for lamp in drawn.scene.lamps if lamp.name == name)
    deep = drawn.scene.depth_mm
    if lamp.z_mm > deep - LEAST_CLEARANCE_MM:
        high = f"the light of LED '{name}' lies {in_mm(lamp.z_mm)} above its back"
        return (
            f"{high}, and it is {in_mm(deep)} deep",
            f"deepen it to {in_mm(lamp.z_mm + LEAST_MM)} or more, or lower the LED",
        )
    for number, screen in baffles_of(drawn.box, paint=_unpainted):
        baffle = drawn.box.baffles[number]
        foot = (screen.start_mm, screen.end_mm)
        beside = screen.low_mm <= lamp.z_mm <= screen.high_mm
        if beside and distance_mm((lamp.x_mm, lamp.y_mm), foot=foot) < LEAST_CLEARANCE_MM:
            return (
                f"LED '{name}' stands in baffle '{baffle.name}'",
                f"move it away by at least {in_mm(LEAST_MM)}",
            )
    for pillar, ring in zip(drawn.box.pillars, drawn.scene.holes, strict=True):
        if gap_from_mm((lamp.x_mm, lamp.y_mm), ring=ring) < LEAST_CLEARANCE_MM:
            return (
                f"LED '{name}' stands in pillar '{pillar.name}'",
                f"move it away by at least {in_mm(LEAST_MM)}",
            )
    return (
        f"LED '{name}' does not shine into the clear space of the box",
        "move it inside, off the walls and below the diffuser",
    )


def _pillar_of(item: str, *, drawn: Drawn) -> str:
    """Name a pillar by the number the solver knows it by."""
    return f"pillar '{drawn.box.pillars[int(item.removeprefix('pillar ')) - 1].name}'"


def _over_pillar(name: str, *, drawn: Drawn) -> str:
    """Name the pillars an opening lies over."""
    opening = next(one.opening for one in drawn.windows if one.opening.name == name)
    over = [
        f"pillar '{pillar.name}'"
        for pillar in drawn.box.pillars
        if overlap_mm2(pillar.outline.corners, other=opening.outline.corners) > 0.0
    ]
    return " and ".join(over) or "a pillar"


def _baffle_words(number: int, *, drawn: Drawn) -> tuple[str, str]:
    """Say what is wrong with a baffle, by the number the solver knows it by."""
    owner, screen = baffles_of(drawn.box, paint=_unpainted)[number - 1]
    baffle, deep = drawn.box.baffles[owner], drawn.box.depth_mm
    name = f"baffle '{baffle.name}'"
    if baffle.start_mm == baffle.end_mm:
        return f"{name} begins and ends in one place", "draw it from one place to another"
    if baffle.height_mm > deep:
        return (
            f"{name} is {in_mm(baffle.height_mm)} high, and the box {in_mm(deep)} deep",
            f"make it {in_mm(deep)} high or lower",
        )
    long = dist(screen.start_mm, screen.end_mm)
    if long < LEAST_BAFFLE_MM:
        return (
            f"{name} is {in_mm(long)} long, and {in_mm(LEAST_BAFFLE_MM)} is the least",
            "draw it longer, or take it out",
        )
    return (
        f"{name} does not stand clear inside it",
        "end the baffle on the wall, and keep it off the walls beside it",
    )


def _in_words(fault: Fault, *, drawn: Drawn) -> tuple[str, str]:
    """Give a fault's reason and mend in the maker's words."""
    item, given = fault.item, fault.given
    match fault.kind:
        case Kind.DEPTH:
            tallest = max((source_of(led)[2] for led in drawn.box.leds), default=0.0)
            least = max(fault.least, tallest + LEAST_MM)
            return (
                f"it is {in_mm(given)} deep, and {_span_words(fault)} is allowed",
                f"make it {in_mm(least if given < fault.least else fault.most)} deep",
            )
        case Kind.WIDTH:
            return (
                f"it is {in_mm(given)} wide, and {_span_words(fault)} is allowed",
                "divide it into several boxes" if given > fault.most else "make it wider",
            )
        case Kind.TOO_FLAT:
            return (
                "it is too wide for its depth",
                "deepen it, or divide it into several boxes",
            )
        case Kind.DETAIL:
            pillars = ", pillars" if drawn.box.pillars else ""
            fewer = "pillars, corners" if drawn.box.pillars else "corners"
            parts = f"{given:.0f} parts of {fault.most:.0f}"
            return (
                f"corners{pillars}, baffles and openings cut it into {parts}",
                f"give it fewer {fewer} and baffles, in line and of one height, or divide it",
            )
        case Kind.REFLECTANCE:
            alike = len(finishes_in(drawn.box)) == 1
            which = "its finish" if alike else f"the finish of its {item.partition(' ')[0]}"
            return (
                f"{which} throws back {in_share(given)}, above {in_share(fault.most)}",
                "check the finish: the best white paint throws back about 97 %",
            )
        case Kind.DIFFUSER:
            return (
                f"the layers of '{item}' pass and throw back {in_share(given)} of the light",
                "check the rows of its films: both shares together are at most 100 %",
            )
        case Kind.LAMP_PLACE:
            return _lamp_words(item, drawn=drawn)
        case Kind.LAMP_BEAM:
            return (
                f"the beam of LED '{item}' is narrower than {LEAST_BEAM_DEG:.1f} deg",
                "light it with a wider one, or judge a sample by eye",
            )
        case Kind.OPENING_PLACE:
            return (
                f"opening '{item}' reaches over a wall of it",
                "widen the box, or move it under the opening",
            )
        case Kind.OPENING_PILLAR:
            return (
                f"opening '{item}' lies over {_over_pillar(item, drawn=drawn)}",
                "move the pillar out from under it",
            )
        case Kind.PILLAR:
            return (
                f"{_pillar_of(item, drawn=drawn)} does not stand clear of its walls",
                "move it inside, or draw the inside of the box round it",
            )
        case Kind.PILLARS_MEET:
            one, other = (_pillar_of(number, drawn=drawn) for number in item.split(", "))
            return f"{one} and {other} run into one another", "move them apart, or draw one"
        case Kind.BAFFLE_PILLAR:
            number = int(item.removeprefix("baffle "))
            owner, _ = baffles_of(drawn.box, paint=_unpainted)[number - 1]
            return (
                f"baffle '{drawn.box.baffles[owner].name}' runs through a pillar",
                "end it on the pillar, and draw a second one on its other side",
            )
        case Kind.OPENING_SIZE:
            return f"opening '{item}' is too small to see", "make it at least 0.1 mm wide"
        case Kind.OPENINGS_OVERLAP:
            return f"openings {item} run into one another", "draw them as one outline"
        case Kind.BAFFLE:
            return _baffle_words(int(item.removeprefix("baffle ")), drawn=drawn)
        case Kind.SHEET:
            return (
                f"its inner diffuser lies within {in_mm(fault.least)} of the back or the panel",
                "put it nearer to the middle of the depth",
            )
        case Kind.RING:
            return (
                f"it stands in a ring with '{item}', and their walls do not quite meet",
                f"draw the walls that touch exactly 0 mm apart, or more than {in_mm(THIN_MM)}",
            )
        case Kind.NEIGHBOUR:
            return (
                f"it shares an opening with '{item}', which has no computable glow",
                f"mend '{item}' first",
            )
        case Kind.COUNT:
            pillared = item == "corners" and bool(drawn.box.pillars)
            what = f"{item}, those of its pillars too" if pillared else item
            return (
                f"it has {given:.0f} {what}, and at most {fault.most:.0f} are allowed",
                "give it fewer pillars, or divide it"
                if pillared
                else "divide it into several boxes",
            )
        case _:
            return f"{fault.kind} ({item})", "draw its outline and its parts anew"


@rule("LIT003", Severity.WARN, "An LED is too near to a diffuser or a wall for a figure")
def led_near(drawn: Drawn, *, near: Sequence[Near]) -> Iterable[Told]:
    """Look for LEDs within a millimetre of what they light.

    What it checks
        The light of each LED lies at least 1 mm from the panel or inner diffuser, and from every
        wall and baffle but the one it is glued to. A tilted LED under the panel lies as far from
        the openings beside it.

    Why it matters
        So near, the chip shows as a spot of its own shape, and its body and solder throw shadows;
        sums for a point of light do not hold, so the box has no figures.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {depth: 1.4 mm, finish: matt white paint}

    Mend
        Move the LED, or deepen the box, as the message says.

    Source
        Common practice, no source; a limit of the model.
    """
    nearest = min(near, key=lambda each: each.gap_mm, default=None)
    if nearest is None:
        return
    others = f", the nearest of {len(near)}," if len(near) > 1 else ""
    deeper = "deepen the box" if nearest.what == "the panel" else "move it away"
    yield Told(
        where=nearest.led.where,
        message=f"the light of LED '{nearest.led.name}'{others} lies {in_mm(nearest.gap_mm)} from "
        f"{nearest.what}; sums hold from {in_mm(LEAST_MM)}, so box '{drawn.box.name}' has no "
        "figures",
        remedy=f"{deeper} by at least {in_mm(LEAST_MM - nearest.gap_mm)}",
    )


@rule("LIT004", Severity.WARN, "A light box lights nothing")
def nothing_to_light(drawn: Drawn) -> Iterable[Told]:
    """Look for light boxes without an LED, or without an opening over them.

    What it checks
        A light box holds an LED, and an opening of its panel lies over it.

    Why it matters
        An LED forgotten in the file, or a box drawn at the wrong place, shows up when the model is
        lit.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Add LEDs to the box, or move it under its opening.

    Source
        Design rule of this project.
    """
    name = drawn.box.name
    if not drawn.windows:
        yield Told(
            where=drawn.box.where,
            message=f"no opening of '{drawn.panel.name}' lies over box '{name}'",
            remedy="move the box under its opening, or take it out",
        )
    elif not any(lamp.flux_lm > 0.0 for lamp in drawn.lamps()):
        yield Told(
            where=drawn.box.where,
            message=f"box '{name}' has no LED that gives light, so "
            f"{counted(len(drawn.windows), 'opening')} over it cannot glow",
            remedy="add LEDs to it",
        )


@rule("LIT005", Severity.WARN, "A clear inner diffuser has no computable glow")
def clear_inner_diffuser(drawn: Drawn) -> Iterable[Told]:
    """Look for inner diffusers that scatter nothing.

    What it checks
        The film of an inner diffuser is a diffuser, or throws back more light than two smooth
        faces do.

    Why it matters
        Through a clear film the LEDs are seen as they are. The glow is computed for scattering
        films, so the box has no figures.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        inner_diffuser: {film: clear decal film, height: 7 mm}

    Mend
        Take a diffuser, or leave the film out.

    Source
        Limit of the model; two smooth faces after [FRESNEL].
    """
    inner = drawn.box.inner_diffuser
    if inner is not None and not scatters(inner.film):
        yield Told(
            where=drawn.box.where,
            message=f"the inner diffuser of box '{drawn.box.name}', '{inner.film.name}', throws "
            f"back {in_percent(inner.film.reflectance)} as any clear film does, and does not "
            "scatter; the box has no figures",
            remedy="take 'opal film 70', or leave the film out",
        )


def refusals(drawn: Drawn, *, faults: Sequence[Fault]) -> tuple[Finding, ...]:
    """Run every rule that leaves a whole box without figures."""
    if dark := nothing_to_light(drawn):
        return dark
    told = (*shiny_finish(drawn), *clear_inner_diffuser(drawn))
    near = tuple(too_near(drawn))
    return (*told, *led_near(drawn, near=near), *beyond_the_solver(drawn, faults=faults))
