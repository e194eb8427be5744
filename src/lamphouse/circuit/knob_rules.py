"""Rules on trim knobs: whether they reach what they are for, and bear what they carry."""

from collections.abc import Iterable
from math import sqrt

from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit, TrimKnob
from lamphouse.circuit.knobs import KNOBS_OHM, TRACK_TOLERANCE
from lamphouse.circuit.phrases import amps, ohms, percent, watts
from lamphouse.circuit.trial import Feed
from lamphouse.findings import Finding, Severity, Told, rule

_SAME = 0.01
"""Share of the wanted current that no eye tells from it."""


@rule("CIR042", Severity.WARN, "A trim knob that cannot reach what it is for")
def short_knob(circuit: SubAssemblyCircuit, *, feed: Feed) -> Iterable[Told]:
    """Find strings whose knob cannot bring about the wanted current, or dim it far enough.

    What it checks
        With the knob at zero, at least the wanted current flows, and at its end no more than
        ``circuit: trim_to`` of it (20 % unless set otherwise), with every part as its name says
        but the track 20 % short.

    Why it matters
        The fixed resistor under the knob keeps the LEDs within their rating. When the wanted
        current is near the rating, nothing is left to turn; when it is very small, no track is
        long enough.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  L: {type: white 0603, at: [60 mm, 10 mm], current: 19 mA}
                strings:
                  S1: {leds: [L], trim: yes}

    Mend
        Ask for the current that the finding names, or for another share to dim to.

    Source
        Ohm's law; the range of tracks is common practice, no source; their tolerance is from
        memory.
    """
    for string, knob in _with_knob(circuit):
        wanted, least_share = string.wanted_A, feed.habits.trim_to
        if knob.open_A < wanted * (1.0 - _SAME):
            yield Told(
                where=string.where,
                message=f"with the knob at zero {amps(knob.open_A)} flows of the "
                f"{amps(wanted)} wanted: {ohms(string.resistor_ohm)} must stay in series so that "
                "no LED passes its rated current in the worst case",
                remedy=f"ask for {amps(knob.open_A)} or less, or leave the knob out",
            )
        if knob.least_A > wanted * (least_share + _SAME):
            yield Told(
                where=string.where,
                message=f"with the knob at its end {amps(knob.least_A)} still flows, "
                f"{percent(knob.least_A / wanted)} of the wanted; down to {percent(least_share)} "
                f"is asked for, and no knob has more than {ohms(KNOBS_OHM[-1])}",
                remedy=f"set trim_to: {percent(knob.least_A / wanted + _SAME)}, or put fewer LEDs "
                "in series",
            )


@rule("CIR043", Severity.WARN, "A trim knob that its current would burn")
def hot_knob(circuit: SubAssemblyCircuit, *, feed: Feed) -> Iterable[Told]:
    """Find knobs whose track carries more than it bears.

    What it checks
        At the largest current, which flows with the knob near zero, the whole track would turn
        no more into heat than it may at the warmest ambient. The current passes through the
        part of the track in use alone, so that a small part must bear it as well.

    Why it matters
        The beginning of the track burns through when the knob is turned up, and the light goes
        out or flickers.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  L: {type: white 0603, at: [60 mm, 10 mm], current: 8 mA}
                strings:
                  S1: {leds: [L], trim: yes}

    Mend
        Ask for less dimming, as the finding names it: the track gets shorter. Or put more LEDs in
        series, so that less voltage is left for the knob.

    Source
        The rating of a track counts for its whole length, hence for a current: common practice,
        no source. 0.5 W at 70 degC for a knob of the 6 mm class is from memory.
    """
    for string, knob in _with_knob(circuit):
        if knob.track_W <= knob.limit_W:
            continue
        bears = [ohm for ohm in KNOBS_OHM if ohm * knob.most_A**2 <= knob.limit_W]
        remedy = "take a fixed resistor, or put more LEDs in series"
        if bears:
            reach = _reached(string, knob, track_ohm=bears[-1])
            remedy = (
                f"set trim_to: {percent(reach + _SAME)}, for which a knob of {ohms(bears[-1])} "
                "will do, or put more LEDs in series"
            )
        most_A = sqrt(knob.limit_W / knob.track_ohm)
        yield Told(
            where=string.where,
            message=f"up to {amps(knob.most_A)} flows through the knob of "
            f"{ohms(knob.track_ohm)}; its track bears {amps(most_A)} at "
            f"{feed.habits.warmest_degC:g} degC ({watts(knob.limit_W)} over its whole length)",
            remedy=remedy,
        )


def knob_findings(circuit: SubAssemblyCircuit, *, feed: Feed) -> tuple[Finding, ...]:
    """Run every rule on the trim knobs of a designed circuit."""
    return (*short_knob(circuit, feed=feed), *hot_knob(circuit, feed=feed))


def _with_knob(circuit: SubAssemblyCircuit) -> Iterable[tuple[StringDesign, TrimKnob]]:
    return ((string, string.knob) for string in circuit.strings if string.knob)


def _reached(string: StringDesign, knob: TrimKnob, *, track_ohm: float) -> float:
    """Give the share that a shorter track dims to, by the voltage that is left at the end."""
    end_ohm = string.resistor_ohm + (1.0 - TRACK_TOLERANCE) * knob.track_ohm
    left_V = knob.least_A * end_ohm
    return left_V / (string.resistor_ohm + (1.0 - TRACK_TOLERANCE) * track_ohm) / string.wanted_A
