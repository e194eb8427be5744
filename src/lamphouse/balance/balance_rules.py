"""The rules of balance: looks that no resistor brings about, and openings that cannot match."""

from collections.abc import Iterable, Sequence

from lamphouse.balance.mates import Group
from lamphouse.balance.settings import curve_span_A, wanted_span_A
from lamphouse.balance.ways_out import Stuck, apart, beyond_curve, extremes, rewired
from lamphouse.circuit.phrases import amps, counted, ohms, volts
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.light.box_glow import OpeningGlow
from lamphouse.light.glow_words import in_cd_m2
from lamphouse.record import Record


class Unmatched(Record):
    """Mates that could not be held together."""

    group: Group
    nearest: float
    """The smallest ratio that their own values allow."""


def _wish(opening: OpeningGlow) -> str:
    look = opening.look
    wanted = f"{look.least_cd_m2:g} to {in_cd_m2(look.most_cd_m2)}" if look else "nothing"
    return f"'{opening.opening}' shows {in_cd_m2(opening.mean_cd_m2)} and wants {wanted}"


def _wants_apart(stuck: Stuck) -> bool:
    low, high = stuck.alike.factors()
    return low > high


def _is_off_curve(stuck: Stuck) -> bool:
    low, high = wanted_span_A(stuck.alike)
    least, most = curve_span_A(stuck.alike.leds)
    return not _wants_apart(stuck) and (high < least or low > most)


@rule("BAL001", Severity.WARN, "Openings fed by one string want different currents")
def different_currents(every: Sequence[Stuck]) -> Iterable[Told]:
    """Look for strings whose openings no single current suits.

    What it checks
        One factor on the current of a string brings every opening that it lights into the
        luminance its look wants.

    Why it matters
        LEDs in series share one current: what makes one opening right makes the other wrong.

    Example
        ::

            looks:
              dusk: {luminance: 0.1 to 0.2 cd/m2, evenness: 30 %}
            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      slot:
                        shape: rectangle 2 x 20 mm
                        at: [45 mm, 25 mm]
                        layers: [opal film 60]
                        look: dusk

    Mend
        A film before the brighter opening, a box of its own, or a string for each box.

    Source
        Kirchhoff's current law; wanted values are the looks' own.
    """
    for stuck in every:
        if not _wants_apart(stuck):
            continue
        openings = [extremes(box) for box in stuck.alike.boxes if any(o.look for o in box.openings)]
        dark = max((d for d, _ in openings), key=lambda one: _factor(one, bright=False))
        bright = min((b for _, b in openings), key=lambda one: _factor(one, bright=True))
        yield Told(
            where=stuck.alike.strings[0].where,
            message=f"no current of {stuck.alike.names()} suits all it lights: {_wish(dark)}, "
            f"{_wish(bright)}",
            remedy=apart(stuck),
        )


def _factor(opening: OpeningGlow, *, bright: bool) -> float:
    look = opening.look
    if look is None:
        return float("inf") if bright else 0.0
    return (look.most_cd_m2 if bright else look.least_cd_m2) / opening.mean_cd_m2


@rule("BAL002", Severity.WARN, "No current the LEDs are known at gives the look")
def beyond_the_curve(every: Sequence[Stuck]) -> Iterable[Told]:
    """Look for looks that ask for a current off the forward curve of the LEDs, or over the rating.

    What it checks
        Some current on the forward curve of the string's LEDs, and within their rating, brings
        every opening that it lights into the luminance its look wants.

    Why it matters
        Below the curve neither current nor light is known, and LEDs of one batch differ widely;
        above the rating they fail behind glued walls.

    Example
        ::

            looks:
              lit panel: {luminance: 0.01 to 0.02 cd/m2, evenness: 70 %}

    Mend
        Fewer LEDs or a denser film where they are too bright, more LEDs where they are too dark.

    Source
        The curve and the rating of the LED's row in the catalogue.
    """
    for stuck in every:
        if not _is_off_curve(stuck):
            continue
        low, high = wanted_span_A(stuck.alike)
        least, most = curve_span_A(stuck.alike.leds)
        yield Told(
            where=stuck.alike.strings[0].where,
            message=f"the looks ask {stuck.alike.names()} for {amps(low)} to {amps(high)}, and "
            f"its LEDs are known from {amps(least)} to {amps(most)}",
            remedy=beyond_curve(stuck),
        )


@rule("BAL003", Severity.WARN, "No resistor gives the look and holds in the worst case")
def no_resistor(every: Sequence[Stuck]) -> Iterable[Told]:
    """Look for strings for which no value in the series or the drawer does.

    What it checks
        Some value gives a nominal current that suits the looks, and in the worst case of supply,
        LEDs and resistor keeps every LED within its rating and the least share of that current.

    Why it matters
        A string with hardly a volt left for its resistor cannot be set: it burns bright on one
        evening and dark on another.

    Example
        ::

            supply: {voltage: 6 V}
            sub_assemblies:
              desk:
                strings:
                  S1: {leds: [W1, W2]}

    Mend
        Shorter strings, a finer series or a higher supply; the message has the values that do.

    Source
        Worst cases by [SHOCKLEY]; the least share is the project's own.
    """
    for stuck in every:
        if _wants_apart(stuck) or _is_off_curve(stuck):
            continue
        string, habits = stuck.alike.strings[0], stuck.feeding.habits
        low, high = wanted_span_A(stuck.alike)
        yield Told(
            where=string.where,
            message=f"no value of {habits.series} or the drawer gives {stuck.alike.names()} "
            f"between {amps(low)} and {amps(high)} and keeps "
            f"{100.0 * habits.least_share:g} % of it in the worst case: "
            f"{counted(len(string.leds), 'LED')} in series take "
            f"{volts(string.leds_V.nominal)} of {volts(stuck.feeding.supply.voltage_V)}, and the "
            f"present {ohms(string.resistor_ohm)} gives {amps(string.current_A.low)} to "
            f"{amps(string.current_A.high)}",
            remedy=rewired(stuck),
        )


@rule("BAL004", Severity.WARN, "Lights that should stay near one another cannot")
def cannot_match(every: Sequence[Unmatched]) -> Iterable[Told]:
    """Look for openings of one match word, or strings of one box, that no values hold together.

    What it checks
        Openings with the same word under ``match`` can be held within the asked ratio of
        luminance, and strings of one box change by nearly the same factor, with every opening in
        the class of its look.

    Why it matters
        Side by side the eye sees a step of half as much again; and strings of one box that drift
        apart spoil its evenness.

    Example
        ::

            looks:
              dusk: {luminance: 1 to 2 cd/m2, evenness: 30 %}
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
                        look: dusk
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
        Looks that share a span of luminance, a finer series, or the ratio of the message.

    Source
        Common practice, no source. For scale, [ISO12646] holds one display's white within 10 %.
    """
    for one in every:
        yield Told(
            where=one.group.where,
            message=f"{one.group.words} cannot be held within a factor of "
            f"{one.group.mates.ratio:g}, every opening in the class of its look",
            remedy=_nearer(one),
        )


def _nearer(one: Unmatched) -> str:
    if one.nearest <= one.group.mates.ratio:
        return (
            "other groups and values stand in the way: by itself this one can be held within "
            f"{one.nearest:.3g}"
        )
    return f"the values there are come within {one.nearest:.3g}: allow that, or change the looks"


def balance_findings(
    stuck: Sequence[Stuck], *, unmatched: Sequence[Unmatched]
) -> tuple[Finding, ...]:
    """Run every rule of balance."""
    return (
        *different_currents(stuck),
        *beyond_the_curve(stuck),
        *no_resistor(stuck),
        *cannot_match(unmatched),
    )
