"""The rules of how bright openings are: their class, the room's light, their mates, waste."""

from collections.abc import Iterable, Sequence
from math import sqrt

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.place import Room
from lamphouse.design.whole import Match
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.light import sound_suite
from lamphouse.light.box_glow import BoxGlow, OpeningGlow
from lamphouse.light.box_scene import draw_box
from lamphouse.light.dimming import Kind, dimmable, new_currents, ways_to_class
from lamphouse.light.glow_mends import WHITE, brightened, is_darker, painted_words
from lamphouse.light.glow_words import either, in_cd_m2, in_share, rounded_down
from lamphouse.light.mate_mends import limits_of
from lamphouse.light.solved_box import Sight, SolvedBox
from lamphouse.units import Quantity, show

STANDS_OUT = 3.0
"""A lit panel shows at least this many times what the room's light adds to it [MEMORY]."""

LEAST_ESCAPING = 0.03


def sure_cd_m2(sight: Sight) -> tuple[float, float]:
    """Bound an opening's luminance at the nominal currents by the solver's bar and the colours."""
    seen, stack = sight.glow, sight.window.stack
    low, high = seen.mean_cd_m2 - seen.bar_cd_m2, seen.mean_cd_m2 + seen.bar_cd_m2
    if stack is not None:
        low, high = low * stack.least_colour_share, high * stack.most_colour_share
    return low, high


@rule("LIT013", Severity.WARN, "A lit opening is too bright or too dark for its look")
def outside_class(solved: SolvedBox) -> Iterable[Told]:
    """Look for openings outside the luminance their look wants.

    What it checks
        The mean luminance of an opening, without the room's light and at the nominal currents,
        lies between the least and the most of its look. A difference within the solver's own bar
        is not told.

    Why it matters
        LEDs at the current of their data sheet are five to twenty times too bright for a model;
        a panel too dark cannot be read.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        leds:
                          W: {current: 15 mA}

    Mend
        The currents of the message: the luminance goes with the current. Where the LED is not known
        at that current, a neutral gel or another number of LEDs.

    Source
        Wanted values: the look's own. For scale, [ISO12646] gives a display 80 cd/m2 in a room of
        64 lx; night interiors of 1 to 10 and lit panels of 20 to 100 cd/m2 are from memory.
    """
    tried: dict[Kind, float] = {}
    for sight in solved.sights:
        look, seen = sight.glow.look, sight.glow
        if look is None:
            continue
        low, high = sure_cd_m2(sight)
        if look.least_cd_m2 <= high and low <= look.most_cd_m2:
            continue
        wanted = f"{look.least_cd_m2:g} to {in_cd_m2(look.most_cd_m2)}"
        yield Told(
            where=seen.where,
            message=f"opening '{seen.opening}' shows {in_cd_m2(seen.mean_cd_m2)} "
            f"({in_cd_m2(seen.low_cd_m2)} to {in_cd_m2(seen.high_cd_m2)} with the spread of LEDs "
            f"and circuit), and '{look.name}' wants {wanted}",
            remedy=ways_to_class(solved, sight=sight, tried=tried),
        )


@rule("LIT014", Severity.WARN, "The room's light washes an opening out")
def washed_out(solved: SolvedBox, *, room: Room | None) -> Iterable[Told]:
    """Look for lit openings that hardly stand out in the room they are shown in.

    What it checks
        The lit luminance of an opening with a wanted look is at least 3 times what the room's light
        adds to its face: reflectance times illuminance over pi, what comes back from inside the box
        included.

    Why it matters
        Below that, black turns grey, colours turn pale, and the panel looks switched off.

    Example
        ::

            room: {size: 300 x 200 x 150 mm, room_light: 500 lx, viewing_distance: 60 cm}

    Mend
        The currents of the message, or a darker room.

    Source
        The reflected luminance of a matt face; the factor 3 is from memory.
    """
    if room is None:
        return
    for sight in solved.sights:
        seen = sight.glow
        high = sure_cd_m2(sight)[1]
        if seen.look is None or seen.mean_cd_m2 <= 0.0 or high >= STANDS_OUT * seen.room_cd_m2:
            continue
        factor = STANDS_OUT * seen.room_cd_m2 / seen.mean_cd_m2
        dim = show(rounded_down(room.room_light_lx / factor), Quantity.ILLUMINANCE, digits=2)
        ways = [f"show it in at most {dim}"]
        in_class = factor * seen.mean_cd_m2 <= seen.look.most_cd_m2
        if in_class and dimmable(solved)[0] <= factor <= dimmable(solved)[1]:
            ways.insert(0, f"set {new_currents(factor, solved=solved, least=True)}")
        yield Told(
            where=seen.where,
            message=f"opening '{seen.opening}' shows {in_cd_m2(seen.mean_cd_m2)}, and a room of "
            f"{show(room.room_light_lx, Quantity.ILLUMINANCE, digits=3)} adds "
            f"{in_cd_m2(seen.room_cd_m2)} to it; it stands out from "
            f"{in_cd_m2(STANDS_OUT * seen.room_cd_m2)}",
            remedy=either(ways),
        )


@rule("LIT015", Severity.WARN, "Openings that should match differ in luminance")
def mismatched(glows: Sequence[BoxGlow], *, matches: Sequence[Match] = ()) -> Iterable[Told]:
    """Look for openings of one match word that differ in brightness.

    What it checks
        Of the openings with the same word under ``match``, the brightest shows at most 1.5 times
        the mean luminance of the darkest, or as much more as ``matches`` says for that word. A
        difference within the solver's own bars is not told.

    Why it matters
        Side by side the eye sees even a small step; half as much again looks like another lamp.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    outline: rectangle 120 x 50 mm
                    openings:
                      screen: {match: screens}
                      second:
                        shape: rectangle 20 x 20 mm
                        at: [98 mm, 25 mm]
                        layers: [opal film 40]
                        match: screens
                    boxes:
                      second box:
                        inside: rectangle 28 x 28 mm
                        at: [98 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          V: {type: white 0603, at: [98 mm, 25 mm], current: 5 mA}

    Mend
        The change of current of the message: the luminance goes with the current.

    Source
        Common practice, no source. For scale, [ISO12646] holds one display's white within 10 %.
    """
    mates: dict[str, list[OpeningGlow]] = {}
    for box in glows:
        for opening in box.openings:
            if opening.match:
                mates.setdefault(opening.match, []).append(opening)
    for word, openings in mates.items():
        dark = min(openings, key=lambda seen: seen.mean_cd_m2)
        bright = max(openings, key=lambda seen: seen.mean_cd_m2)
        most = limits_of(word, matches=matches).luminance_ratio
        if bright.mean_cd_m2 - bright.bar_cd_m2 <= most * (dark.mean_cd_m2 + dark.bar_cd_m2):
            continue
        ratio = bright.mean_cd_m2 / dark.mean_cd_m2 if dark.mean_cd_m2 > 0.0 else float("inf")
        yield Told(
            where=dark.where,
            message=f"'{dark.opening}' shows {in_cd_m2(dark.mean_cd_m2)} and '{bright.opening}' "
            f"{in_cd_m2(bright.mean_cd_m2)}; both should match as '{word}', within a factor of "
            f"{most:g}",
            remedy=_evened(dark, bright=bright, ratio=ratio),
        )


def _evened(dark: OpeningGlow, *, bright: OpeningGlow, ratio: float) -> str:
    if ratio == float("inf"):
        return f"light '{dark.opening}'"
    share = sqrt(ratio)
    return (
        f"multiply the currents behind '{dark.opening}' by {ratio:.2f}, or those behind "
        f"'{bright.opening}' by {1.0 / ratio:.2f}, or meet in the middle with {share:.2f} and "
        f"{1.0 / share:.2f}"
    )


@rule("LIT017", Severity.NOTE, "Hardly any of a light box's light comes out")
def light_left_over(solved: SolvedBox) -> Iterable[Told]:
    """Look for light boxes that keep nearly all of their light.

    What it checks
        At least 3 % of the light of a box's LEDs leaves through its openings.

    Why it matters
        The rest warms the paint. Fewer LEDs, a smaller box or a whiter finish give the same glow
        for less current.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {shape: round 1 mm}

    Mend
        A whiter finish where there is one, with its gain computed; else a smaller box.

    Source
        Design rule of this project.
    """
    energy, drawn = solved.energy, solved.drawn
    share = energy.escaped_lm / energy.emitted_lm
    if share >= LEAST_ESCAPING:
        return
    remedy = "make the box smaller, or use fewer LEDs: the openings are small for its walls"
    white = built_in().finishes[WHITE]
    if energy.escaped_lm > 0.0 and is_darker(drawn.box, than=white):
        currents = {current.led: current for current in solved.currents}
        changed = draw_box(
            drawn.panel,
            box=brightened(drawn.box, finish=white),
            currents=currents,
            beside=drawn.beside,
        )
        if not sound_suite.faults(changed):
            gained = sound_suite.solve(changed).energy.escaped_lm / energy.escaped_lm
            what = painted_words(drawn.box, finish=white)
            remedy = f"{what}: {gained:.1f} times the light comes out"
    yield Told(
        where=drawn.box.where,
        message=f"{in_share(share)} of the light of box "
        f"'{drawn.box.name}' leaves through its openings",
        remedy=remedy,
    )


def look_at_luminance(solved: SolvedBox, *, room: Room | None) -> tuple[Finding, ...]:
    """Run every rule of how bright the openings of a box are."""
    return (*outside_class(solved), *washed_out(solved, room=room), *light_left_over(solved))
