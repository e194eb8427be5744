"""The rules of openings that should match: their colours, their batches, their types of LED."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from lamphouse.catalogue.led_types import LedType
from lamphouse.colour.wanted_colour import white_span_K
from lamphouse.design.place import Room, SubAssembly
from lamphouse.design.whole import Match, OwnParts
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.light.box_glow import BoxGlow, OpeningGlow
from lamphouse.light.colour_mends import on_shelf
from lamphouse.light.colour_rules import NONE_OWN, light_in_words
from lamphouse.light.glow_words import counted, either, together
from lamphouse.light.luminance_rules import mismatched
from lamphouse.light.mate_mends import (
    difference_beside,
    do_match,
    limits_of,
    steps_apart,
    ways_to_match,
)


def _mates(glows: Sequence[BoxGlow]) -> Iterator[tuple[str, list[tuple[BoxGlow, OpeningGlow]]]]:
    """Give the openings of each match word that have a colour, where there are two or more."""
    words: dict[str, list[tuple[BoxGlow, OpeningGlow]]] = {}
    for box in glows:
        for opening in box.openings:
            if opening.match and opening.colour is not None:
                words.setdefault(opening.match, []).append((box, opening))
    yield from ((word, mates) for word, mates in words.items() if len(mates) > 1)


@rule("COL003", Severity.WARN, "Openings that should match differ in colour")
def unlike_colours(
    glows: Sequence[BoxGlow],
    *,
    sub_assemblies: Sequence[SubAssembly],
    matches: Sequence[Match] = (),
    room: Room | None = None,
    own: OwnParts = NONE_OWN,
) -> Iterable[Told]:
    """Look for openings of one match word whose light has two colours.

    What it checks
        The light of all openings with the same word under ``match`` lies within five steps of one
        another, 0.0055 in u', v', or within what ``matches`` says for that word: its steps, and a
        CIEDE2000 difference as seen in the room at equal lightness.

    Why it matters
        Three steps are just seen side by side, and a warm beside a cool white looks like a mistake
        however well their brightness agrees.

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
                        layers: [opal film 60]
                        match: screens
                    boxes:
                      second box:
                        inside: rectangle 28 x 28 mm
                        at: [98 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          V: {type: warm white 0603, at: [98 mm, 25 mm], current: 0.5 mA}

    Mend
        The LED, gel or tint of the message, with the currents that then give the same luminance:
        every LED of the package and every gel and tint of the catalogue, and of the maker's own
        tables, is tried at either opening, and what is named was solved in its box. Else the same
        LED and layers behind both.

    Source
        Steps by [CIE-TN-001]; five of them are common practice, no source.
    """
    trials = on_shelf(own)
    for word, mates in _mates(glows):
        limits = limits_of(word, matches=matches)
        pairs = [
            (first, second)
            for number, first in enumerate(mates)
            for second in mates[number + 1 :]
            if not _within(first[1], second[1], limits=limits, room=room)
        ]
        if not pairs:
            continue
        (home, one), (away, other) = max(pairs, key=lambda pair: _steps(pair[0][1], pair[1][1]))
        ways = [
            *ways_to_match(
                home,
                opening=one,
                mate=other,
                limits=limits,
                subs=sub_assemblies,
                room=room,
                trials=trials,
            ),
            *ways_to_match(
                away,
                opening=other,
                mate=one,
                limits=limits,
                subs=sub_assemblies,
                room=room,
                trials=trials,
            ),
        ]
        most = f"within {limits.steps:g} steps"
        if limits.difference is not None:
            most += f" and a difference of {limits.difference}"
        yield Told(
            where=one.where,
            message=f"{_apart_in_words(one, other, room=room)}; both should match as '{word}', "
            f"{most}",
            remedy=either(ways) if ways else _alike(one, other=other),
        )


def _within(one: OpeningGlow, other: OpeningGlow, *, limits: Match, room: Room | None) -> bool:
    if one.colour is None or other.colour is None:
        return True
    return do_match(one.colour, other.colour, limits=limits, room=room)


def _steps(one: OpeningGlow, other: OpeningGlow) -> float:
    if one.colour is None or other.colour is None:
        return 0.0
    return steps_apart(one.colour, other.colour)


def _apart_in_words(one: OpeningGlow, other: OpeningGlow, *, room: Room | None) -> str:
    """Say how far two lights lie apart: in steps, CIEDE2000, and of whites mired and Duv."""
    ours, theirs = one.colour, other.colour
    if ours is None or theirs is None:
        return ""
    beside = difference_beside(ours, theirs, room=room)
    said = f"{steps_apart(ours, theirs):.0f} steps apart, CIEDE2000 {beside:.1f}"
    are_white = ours.name.endswith("white") and theirs.name.endswith("white")
    if are_white and ours.cct_K and theirs.cct_K:
        said += f", {abs(1e6 / ours.cct_K - 1e6 / theirs.cct_K):.0f} mired"
        said += f", Duv {ours.duv:+.4f} and {theirs.duv:+.4f}"
    return (
        f"'{one.opening}' glows {light_in_words(ours)} and '{other.opening}' "
        f"{light_in_words(theirs)}: {said}"
    )


def _alike(one: OpeningGlow, *, other: OpeningGlow) -> str:
    """Say in what two openings differ, and what makes them alike."""
    ours, theirs = one.colour, other.colour
    if ours is None or theirs is None:
        return "light both alike"
    ways = []
    if {name for name, _ in ours.lamps} != {name for name, _ in theirs.lamps}:
        lamps = together([f"'{name}'" for name, _ in theirs.lamps])
        ways.append(f"light '{one.opening}' with {lamps}")
    if ours.films != theirs.films:
        films = together([f"'{name}'" for name in theirs.films]) if theirs.films else "no film"
        ways.append(f"give it the layers of '{other.opening}': {films}")
    return " and ".join(ways) or "paint both boxes alike"


@rule("COL004", Severity.NOTE, "Whites that should match are bought together")
def buy_together(
    glows: Sequence[BoxGlow], *, sub_assemblies: Sequence[SubAssembly]
) -> Iterable[Told]:
    """Say which white LEDs must come from one batch.

    What it checks
        Behind openings with the same word under ``match`` in two or more light boxes are white
        LEDs.

    Why it matters
        A second batch of white LEDs is another white: a row of a catalogue covers some hundred
        kelvin, seven steps either way, and side by side the eye sees a few dozen.

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
                        layers: [opal film 60]
                        match: screens
                    boxes:
                      second box:
                        inside: rectangle 28 x 28 mm
                        at: [98 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          V: {type: white 0603, at: [98 mm, 25 mm], current: 0.5 mA}

    Mend
        Buy them at once, with the spares, from one reel or bag.

    Source
        Seven steps as the class of whites for sale: [CIE-TN-001]; that LEDs of models are sorted no
        closer is common practice, no source.
    """
    kinds: dict[tuple[str, str, str], list[LedType]] = {}
    for sub in sub_assemblies:
        for panel, box in sub.boxes:
            kinds[sub.name, panel, box.name] = [led.led_type for led in box.leds]
    for word, mates in _mates(glows):
        boxes = {(box.sub_assembly, box.panel, box.box): opening for box, opening in mates}
        whites: dict[str, int] = {}
        ccts: set[float] = set()
        for place in boxes:
            for led in kinds.get(place, ()):
                if led.cct_K is not None:
                    whites[led.name] = whites.get(led.name, 0) + 1
                    ccts.add(led.cct_K)
        if len(boxes) < 2 or not whites:
            continue
        list_of = together([f"{number} '{name}'" for name, number in whites.items()])
        spans = together(
            ["{:.0f} to {:.0f} K".format(*white_span_K(cct_K)) for cct_K in sorted(ccts)]
        )
        yield Told(
            where=mates[0][1].where,
            message=f"{counted(len(mates), 'opening')} should match as '{word}', lit by {list_of} "
            f"in different boxes; from batch to batch such whites may be {spans}",
            remedy="buy them together with their spares, and sort them lit side by side",
        )


@rule("COL007", Severity.WARN, "Openings that should match have two types of LED of one colour")
def unlike_types(
    glows: Sequence[BoxGlow], *, sub_assemblies: Sequence[SubAssembly]
) -> Iterable[Told]:
    """Look for openings of one match word lit by different types of LED of the same colour.

    What it checks
        Behind openings with the same word under ``match``, LEDs of one colour word are of one type.

    Why it matters
        ``white`` of one size and ``white`` of another come from two makings with two phosphors or
        peaks; the tables give both one figure, the eye sees two, and no batch holds both.

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
                        layers: [opal film 60]
                        match: screens
                    boxes:
                      second box:
                        inside: rectangle 28 x 28 mm
                        at: [98 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          V: {type: white 0805, at: [98 mm, 25 mm], current: 0.5 mA}

    Mend
        One type behind all of them, the one that is there most.

    Source
        Common practice, no source.
    """
    kinds = {
        (sub.name, panel, box.name): [led.led_type for led in box.leds]
        for sub in sub_assemblies
        for panel, box in sub.boxes
    }
    for word, mates in _mates(glows):
        boxes = dict.fromkeys((box.sub_assembly, box.panel, box.box) for box, _ in mates)
        used = Counter(led for place in boxes for led in kinds.get(place, ()))
        for colour in dict.fromkeys(led.colour for led in used):
            alike = [led for led in used if led.colour == colour]
            if len(alike) < 2:
                continue
            most = max(alike, key=lambda led: used[led])
            others = [f"'{led.name}'" for led in alike if led != most]
            listed = together([f"{used[led]} '{led.name}'" for led in alike])
            yield Told(
                where=mates[0][1].where,
                message=f"openings that should match as '{word}' are lit by {listed}: two makings "
                f"of {colour}",
                remedy=f"use '{most.name}' in place of {together(others)}",
            )


def look_at_mates(
    glows: Sequence[BoxGlow],
    *,
    sub_assemblies: Sequence[SubAssembly],
    matches: Sequence[Match],
    room: Room | None,
    own: OwnParts = NONE_OWN,
) -> tuple[Finding, ...]:
    """Run the rules of openings that should match over a whole model."""
    return (
        *mismatched(glows, matches=matches),
        *unlike_colours(glows, sub_assemblies=sub_assemblies, matches=matches, room=room, own=own),
        *buy_together(glows, sub_assemblies=sub_assemblies),
        *unlike_types(glows, sub_assemblies=sub_assemblies),
    )
