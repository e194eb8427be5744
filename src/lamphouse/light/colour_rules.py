"""The rules of colour: what a look wants, LEDs the layers hold back, mates, and unknown films."""

from collections.abc import Iterable, Sequence

from lamphouse.colour.film_spectra import is_known
from lamphouse.colour.wanted_colour import wanted_colour
from lamphouse.design.place import Room
from lamphouse.design.whole import Look, OwnParts
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.light.box_glow import OpeningColour
from lamphouse.light.box_scene import Drawn
from lamphouse.light.colour_mends import (
    best_ways,
    in_words,
    on_shelf,
    same_colour_brighter,
    ways_to_colour,
)
from lamphouse.light.glow_words import either, together
from lamphouse.light.layer_stack import is_coloured
from lamphouse.light.opening_colour import is_as_wanted
from lamphouse.light.solved_box import SolvedBox
from lamphouse.units import UnitError

NONE_OWN = OwnParts()
MUCH_BRIGHTER = 2.0
"""Another LED must give so many times the light before it is told [PRACTICE]."""


def light_in_words(colour: OpeningColour) -> str:
    """Say a colour: ``cool white, 6500 K`` or ``amber, x 0.578, y 0.421``."""
    if colour.cct_K is not None and colour.name.endswith("white"):
        return f"{colour.name}, {colour.cct_K:.0f} K"
    x, y = colour.xy
    return f"{colour.name}, x {x:.3f}, y {y:.3f}"


@rule("COL001", Severity.WARN, "A lit opening has another colour than its look wants")
def other_colour(
    solved: SolvedBox, *, room: Room | None, own: OwnParts = NONE_OWN
) -> Iterable[Told]:
    """Look for openings whose light is not the colour that was wanted.

    What it checks
        The colour of an opening's own light, by the spectra of its LEDs, paint and layers, is what
        its look wants: a name covers a range, a colour temperature seven steps around it (0.0077 in
        u', v'), L* a* b* a CIEDE2000 difference of 5. A difference within what guessed dyes leave
        open is not told for L* a* b*.

    Why it matters
        A cool LED behind a warm tint goes grey or green, and it shows only when the lamp burns
        behind the glued panel.

    Example
        ::

            looks:
              lit panel: {luminance: 20 to 100 cd/m2, evenness: 70 %, colour: amber}

    Mend
        The LED or the gel of the message: every LED of the package with every gel and tint of the
        catalogue and of the maker's own tables, up to three of it, is tried at each wavelength.

    Source
        Chromaticity by [CIE-15], steps by [CIE-TN-001], difference by [ISO11664-6]; the ranges of
        names are common practice, no source.
    """
    for sight in solved.sights:
        colour, look = sight.glow.colour, sight.glow.look
        if colour is None or look is None or not look.colour:
            continue
        try:
            wish = wanted_colour(look.colour)
        except UnitError:
            continue
        if is_as_wanted(colour, wish=wish):
            continue
        ways = ways_to_colour(
            solved.drawn,
            window=sight.window,
            look=solved.looks[sight.index],
            wish=wish,
            room=room,
            trials=on_shelf(own),
        )
        best = best_ways(ways)
        words = [in_words(way) for way in best]
        if best and not best[0].is_met:
            words = [f"nothing of the catalogue gives it; nearest: {words[0]}"]
        guess = "; its layers' dyes are guesses" if colour.film_is_guessed else ""
        yield Told(
            where=sight.glow.where,
            message=f"opening '{sight.glow.opening}' glows {light_in_words(colour)}, and "
            f"'{look.name}' wants {look.colour}{guess}",
            remedy=either(words) if words else "use an LED of that colour",
        )


@rule("COL002", Severity.NOTE, "Another LED gives twice the light in the same colour")
def held_back(solved: SolvedBox, *, own: OwnParts = NONE_OWN) -> Iterable[Told]:
    """Look for LEDs whose light the coloured layers of an opening take in.

    What it checks
        No other LED of the same package gives twice the light, in the same colour by name,
        through the same layers at the same currents.

    Why it matters
        A gel takes what it does not pass. White light behind a deep blue gel is lost but for a
        twentieth, where a blue LED passes nearly whole.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {layers: [opal film 60, blue gel]}
                    boxes:
                      screen box:
                        leds:
                          W: {type: warm white 0603}

    Mend
        The LED of the message.

    Source
        Spectra of the catalogue; the factor two is common practice, no source.
    """
    for sight in solved.sights:
        colour = sight.glow.colour
        films = [layer.film for layer in sight.window.opening.layers if is_coloured(layer.film)]
        if colour is None or not films:
            continue
        better = same_colour_brighter(
            solved.drawn,
            window=sight.window,
            look=solved.looks[sight.index],
            name=colour.name,
            leds=on_shelf(own).leds,
        )
        if better is None or better.light < MUCH_BRIGHTER:
            continue
        names = together([f"'{name}'" for name, _ in colour.lamps])
        yield Told(
            where=sight.glow.where,
            message=f"opening '{sight.glow.opening}' glows {colour.name}, and '{films[0].name}' "
            f"takes in most of the light of {names}",
            remedy=f"light it with '{better.led}': about {better.light:.1f} times the light at "
            "the same currents",
        )


@rule("COL005", Severity.WARN, "A look's colour cannot be judged")
def unreadable_colour(looks: Sequence[Look]) -> Iterable[Told]:
    """Look for wanted colours that are no colour.

    What it checks
        The colour of a look is a name such as ``warm white`` or ``amber``, a white such as
        ``2900 K``, or ``Lab 60 40 20``.

    Why it matters
        A wish that is not understood is not judged, and nobody learns that it is not met.

    Example
        ::

            looks:
              lit panel: {luminance: 20 to 100 cd/m2, evenness: 70 %, colour: burgundy}

    Mend
        Write one of the names of the message.

    Source
        Design rule of this project.
    """
    for look in looks:
        if not look.colour:
            continue
        try:
            wanted_colour(look.colour)
        except UnitError as fault:
            yield Told(
                where=look.where,
                message=f"look '{look.name}': {fault.problem}",
                remedy=fault.remedy,
            )


@rule("COL006", Severity.NOTE, "The colour of a layer is not known")
def unknown_film(drawn: Drawn) -> Iterable[Told]:
    """Look for gels and tints that may have any colour.

    What it checks
        The parts table says of every clear gel and tint coat which colours it passes: by a dye, a
        photograph or a measured spectrum; ``neutral`` is a dye too.

    Why it matters
        Without it no colour can be foretold for what lies behind, and two such layers together may
        pass anything between nothing and the lesser of both.

    Example
        ::

            parts/film_types.csv: |
              name,use,thickness,transmittance,reflectance,source,kind,date
              drawer gel,gel,0.08 mm,20 %,7 %,own sample,measured,2026-11-25
            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {layers: [opal film 60, drawer gel]}

    Mend
        Photograph a lamp bare, through one coat and through two, with the exposure set by hand, and
        write red, green and blue into the row's ``photo``; or give it a dye in words.

    Source
        Limit of the model.
    """
    for window in drawn.windows:
        films = [
            layer.film.name
            for layer in window.opening.layers
            if is_coloured(layer.film) and not is_known(layer.film)
        ]
        if films:
            yield Told(
                where=window.opening.where,
                message=f"nothing says which colours '{films[0]}' before opening "
                f"'{window.opening.name}' passes, so its colour is not foretold",
                remedy=f"add a column 'dye' or 'photo' to parts/film_types.csv for '{films[0]}', "
                "or 'neutral' if it is grey",
            )


def look_at_colour(
    solved: SolvedBox, *, room: Room | None, own: OwnParts = NONE_OWN
) -> tuple[Finding, ...]:
    """Run the rules of colour over the openings of a box."""
    return (
        *other_colour(solved, room=room, own=own),
        *held_back(solved, own=own),
        *unknown_film(solved.drawn),
    )
