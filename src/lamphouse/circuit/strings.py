"""From wishes to designed strings: their LEDs, their resistors, and the worst case of each."""

from collections.abc import Sequence

import numpy as np

from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.circuit.branch import Band, StringDesign, SubAssemblyCircuit, TrimKnob
from lamphouse.circuit.corners import LOW, MIDDLE, level_arrays, types_of
from lamphouse.circuit.from_drawer import with_drawer
from lamphouse.circuit.grouping import Bunch, loose_bunches, names_for, wished_bunches
from lamphouse.circuit.knobs import Trimmed, knobs_of, trim
from lamphouse.circuit.phrases import percent, reason_for, volts
from lamphouse.circuit.resistors import (
    dissipation_limit_W,
    marks,
    preferred_ohm,
)
from lamphouse.circuit.solve import branch_current
from lamphouse.circuit.topology import topology_in_words
from lamphouse.circuit.trial import Feed, Row, Stock, Trial, tried
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Pigtail, Supply
from lamphouse.record import replace


def lead_resistance_ohm(pigtail: Pigtail | None, *, run_ohm: float = 0.0) -> float:
    """Give the resistance from the supply to a sub-assembly's board, out and back, in ohm.

    That of the pigtail with its plug's two contacts, of copper at 20 degC, and of the loom's runs;
    none without a pigtail.
    """
    if pigtail is None:
        return 0.0
    one_way = pigtail.length_mm / 1000.0 * pigtail.wire.ohm_per_m + pigtail.plug.contact_ohm
    return 2.0 * one_way + run_ohm


def design_circuit(
    sub: SubAssembly,
    *,
    supply: Supply,
    habits: CircuitHabits,
    package: ResistorPackage,
    run_ohm: float = 0.0,
    drawer: Stock = (),
) -> SubAssemblyCircuit:
    """Design every string of a sub-assembly and bound its worst case.

    The maker's strings stay as wished. The other LEDs go, by type, current and source group, into
    the fewest strings whose worst case keeps ``habits.least_share`` of the wanted current.

    Parameters
    ----------
    sub
        Wishes that cannot be designed are left out; the rules on strings tell which and why.
    supply, habits
        Supply and ambient.
    package
        What the resistors come in.
    run_ohm
        Of the loom between the supply and the pigtail, as this sub-assembly's current alone would
        feel it.
    drawer
        Resistors that are still free for it, used as the habits say.

    Notes
    -----
    A string that blinks counts as lit in all totals. The supply is steady within its tolerance;
    cells that run down are not in the model.

    References
    ----------
    [SHOCKLEY], [IEC60063], [IEC60115-8]
    """
    lead_ohm = lead_resistance_ohm(sub.pigtail, run_ohm=run_ohm)
    feed = Feed(
        supply=supply,
        habits=habits,
        package=package,
        lead_ohm=lead_ohm,
        drawer=drawer if habits.prefer_drawer else (),
    )
    designed, total = design_bunches(bunches_of(sub, supply=supply), sub=sub, feed=feed)
    strings = tuple(string for of_bunch in designed for string in of_bunch)
    return SubAssemblyCircuit(
        sub_assembly=sub.name,
        where=sub.where,
        strings=strings,
        total_A=total,
        lead_ohm=feed.lead_ohm,
        lead_drop_V=feed.lead_ohm * total.nominal,
        topology=topology_in_words(strings, sub=sub, habits=habits),
    )


def bunches_of(sub: SubAssembly, *, supply: Supply) -> tuple[Bunch, ...]:
    """List the maker's bunches, then those of the LEDs in no wish."""
    return wished_bunches(sub) + loose_bunches(sub, supply_V=supply.voltage_V)


def design_bunches(
    bunches: Sequence[Bunch], *, sub: SubAssembly, feed: Feed
) -> tuple[tuple[tuple[StringDesign, ...], ...], Band]:
    """Design the strings of bunches, shortening the tool's own until they hold or stand alone.

    Returns
    -------
    tuple
        The strings of each bunch, and the total current in the lead. [A]
    """
    settled = list(bunches)
    trial, trimmed = _try(settled, feed=feed)
    while _shorten(settled, trial=trial, least_share=feed.habits.least_share):
        trial, trimmed = _try(settled, feed=feed)
    trial, from_drawer = with_drawer(trial, feed=feed) if feed.drawer else (trial, frozenset())
    trial, knobs = knobs_of(trial, trimmed=trimmed, feed=feed)
    names = names_for(wish.name for wish in sub.strings)
    strings: tuple[list[StringDesign], ...] = tuple([] for _ in settled)
    for index, row in enumerate(trial.rows):
        knob, fixed = knobs[index], trimmed[index]
        strings[row.place].append(
            _string(
                trial,
                index=index,
                name=row.bunch.name or next(names),
                ohm=fixed.fixed_ohm if fixed else row.bunch.fixed_ohm or trial.ohms[index],
                knob=knob,
                in_drawer=index in from_drawer,
                sub=sub,
                feed=feed,
            )
        )
    return tuple(tuple(of_bunch) for of_bunch in strings), trial.total_A


def _try(bunches: Sequence[Bunch], *, feed: Feed) -> tuple[Trial, tuple[Trimmed | None, ...]]:
    rows = tuple(
        Row(place=place, bunch=bunch, leds=leds)
        for place, bunch in enumerate(bunches)
        for leds in bunch.rows()
    )
    if not rows:
        return tried((), ohms=(), wanted_V=(), feed=feed), ()
    ohms, wanted_V, trimmed = _choose_resistors(rows, feed=feed)
    return tried(rows, ohms=ohms, wanted_V=wanted_V, feed=feed), trimmed


def _choose_resistors(
    rows: Sequence[Row], *, feed: Feed
) -> tuple[tuple[float, ...], tuple[float, ...], tuple[Trimmed | None, ...]]:
    """Choose the value whose nominal current is nearest in ratio to the wanted one.

    Only values count that keep every LED within its rated current in the worst case. The lead's
    drop is that of all strings at their wanted currents. A value the maker has fixed stays; where a
    knob sets a row, the resistor counts with the knob.
    """
    supply, habits = feed.supply, feed.habits
    levels = level_arrays([types_of(row.leds) for row in rows], habits=habits)
    wanted = np.array([row.bunch.wanted_A for row in rows])
    rated = np.array([row.rated_A for row in rows])
    node_V = max(supply.voltage_V - feed.lead_ohm * float(wanted.sum()), 0.0)
    wanted_V = levels.voltage(wanted, level=MIDDLE)
    most_V = supply.voltage_V * (1.0 + supply.tolerance)
    safe_ohm = (most_V - levels.voltage(rated, level=LOW)) / (
        rated * (1.0 - habits.resistor_tolerance)
    )
    values = preferred_ohm(habits.series)
    last = len(values) - 1
    above = np.clip(np.searchsorted(values, (node_V - wanted_V) / wanted), 1, last)
    beside = np.array([above - 1, above])
    current = branch_current(
        node_V,
        ohm=values[beside] + levels.leds_ohm,
        slope_V=levels.slope_V,
        log_saturation=levels.log_saturation[MIDDLE],
    )
    off = np.abs(np.log(np.maximum(current, np.finfo(float).tiny) / wanted))
    nearest = np.where(off[0] < off[1], beside[0], beside[1])
    least = np.minimum(np.searchsorted(values, safe_ohm), last)
    chosen = values[np.maximum(nearest, least)]
    trimmed = tuple(
        trim(
            row,
            levels=level_arrays([types_of(row.leds)], habits=habits),
            node_V=node_V,
            safe_ohm=float(safe),
            values=values.tolist(),
            least_share=habits.trim_to,
        )
        if row.bunch.trim
        else None
        for row, safe in zip(rows, safe_ohm, strict=True)
    )
    ohms = tuple(
        one.fixed_ohm + one.set_ohm if one else _given(row.bunch, chosen_ohm=float(ohm))
        for row, ohm, one in zip(rows, chosen, trimmed, strict=True)
    )
    return ohms, tuple(wanted_V.tolist()), trimmed


def _shorten(bunches: list[Bunch], *, trial: Trial, least_share: float) -> bool:
    """Take one LED off the longest strings of each of the tool's bunches that does not hold."""
    shares: dict[int, list[tuple[int, float]]] = {}
    for row, case in zip(trial.rows, trial.cases, strict=True):
        share = case.current_A.low / row.bunch.wanted_A
        shares.setdefault(row.place, []).append((len(row.leds), share))
    shortened = False
    for place, of_bunch in shares.items():
        length, lowest = max(of_bunch)[0], min(share for _, share in of_bunch)
        if not bunches[place].by_maker and lowest < least_share and length > 1:
            bunches[place] = replace(bunches[place], longest=length - 1, refused=(length, lowest))
            shortened = True
    return shortened


def _string(
    trial: Trial,
    *,
    index: int,
    name: str,
    ohm: float,
    knob: TrimKnob | None,
    in_drawer: bool,
    sub: SubAssembly,
    feed: Feed,
) -> StringDesign:
    row, case = trial.rows[index], trial.cases[index]
    bunch, habits = row.bunch, feed.habits
    bands, code = marks(ohm, package=feed.package, tolerance=habits.resistor_tolerance)
    where = replace(row.leds[0].where, item=f"{sub.name} / {name}")
    return StringDesign(
        name=name,
        where=bunch.where if bunch.by_maker else where,
        leds=row.leds,
        chosen_by="maker" if bunch.by_maker else "tool",
        resistor_ohm=ohm,
        resistor_colour_bands=bands,
        resistor_code=code,
        resistor_package=feed.package,
        wanted_A=bunch.wanted_A,
        current_A=case.current_A,
        leds_V=case.leds_V,
        resistor_W=case.resistor_W,
        resistor_limit_W=dissipation_limit_W(feed.package, ambient_degC=habits.warmest_degC),
        headroom=trial.ohms[index] * case.current_A.nominal / feed.supply.voltage_V,
        reason=reason_for(
            leds=len(row.leds),
            wanted_V=trial.wanted_V[index],
            supply_V=feed.supply.voltage_V,
            wanted_A=bunch.wanted_A,
            current_A=case.current_A,
            ohm=ohm if bunch.measured_ohm is None else bunch.measured_ohm,
            origin=_origin(bunch, series=habits.series, in_drawer=in_drawer),
            knob=knob,
            count=_why_this_many(bunch, led_V=trial.wanted_V[index] / len(row.leds)),
        ),
        knob=knob,
        measured_ohm=bunch.measured_ohm,
    )


def _given(bunch: Bunch, *, chosen_ohm: float) -> float:
    """Give the resistance of a bunch: as measured, as the maker chose it, or as chosen here."""
    if bunch.measured_ohm is not None:
        return bunch.measured_ohm
    return chosen_ohm if bunch.fixed_ohm is None else bunch.fixed_ohm


def _origin(bunch: Bunch, *, series: str, in_drawer: bool) -> str:
    if bunch.measured_ohm is not None:
        return "measured"
    if bunch.fixed_ohm is not None:
        return "given"
    return "from your drawer" if in_drawer else f"of {series}"


def _why_this_many(bunch: Bunch, *, led_V: float) -> str:
    if bunch.by_maker:
        return "wired as wished"
    if bunch.alone:
        return "on its own, so that no other goes dark with it"
    if bunch.refused is not None:
        length, share = bunch.refused
        return f"{length} in series would fall to {percent(share)}"
    if len(bunch.leds) > bunch.longest:
        more = bunch.longest + 1
        return f"{more} in series would take {volts(more * led_V)}"
    return ""
