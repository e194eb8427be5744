"""The supply's sheet as data for the typesetter: its feed, how long cells last, and the heat."""

from collections.abc import Iterator
from typing import Any

from lamphouse import units
from lamphouse.circuit.branch import Band
from lamphouse.circuit.phrases import hours, volts, watts
from lamphouse.circuit.terminals import terminals_of
from lamphouse.drawings.discharge_plot import discharge_plot
from lamphouse.outputs import reading_sheets
from lamphouse.outputs.feed_lines import feed_of, time_band
from lamphouse.outputs.front_sheets import milliamps
from lamphouse.outputs.svg import render
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity

_PLOT_MM = (174.0, 88.0)
_HEAT_WORDS = (
    "An estimate in the warmest air, every LED at its most, the box closed: from free air and "
    "thick wires to a box shut in and thin wires. Feel the wall after an hour; what is too hot to "
    "hold is about 60 °C."
)
"""The last is common practice, no source."""


def supply(plan: Plan) -> dict[str, Any] | None:
    """Say what feeds the model; None where the circuits could not be designed."""
    if plan.load is None or not plan.circuits:
        return None
    run = plan.run
    lasts = run is not None and run.dark_h.nominal > 0.0
    return {
        "facts": list(_facts(plan)),
        "plugs": [(circuit.sub_assembly, *milliamps(circuit.total_A)) for circuit in plan.circuits],
        "own": list(_own(plan)),
        "total": milliamps(plan.load.total_A),
        "whole": reading_sheets.whole(plan),
        "run": list(_run(plan)),
        "plot": _plot(plan) if lasts else None,
        "heat_words": _HEAT_WORDS,
        "heat": [
            (
                f"{heat.sub_assembly} / {heat.box}",
                watts(heat.power_W),
                f"{_span(heat.air_rise_K, places=1)} K",
                f"{heat.led}: {_span(heat.seat_degC, places=0)} °C",
                f"{heat.softens_degC:g} °C" if heat.softens_degC is not None else "not known",
            )
            for heat in plan.heats
        ],
    }


def _own(plan: Plan) -> Iterator[tuple[str, str, str]]:
    """Give what controllers draw themselves, so that the table adds up; nothing without any."""
    if plan.load is None or not plan.load.own_A:
        return
    plugs = [circuit.total_A for circuit in plan.circuits]
    low, nominal, high = (
        getattr(plan.load.total_A, end) - sum(getattr(one, end) for one in plugs)
        for end in ("low", "nominal", "high")
    )
    yield "controllers, themselves", *milliamps(Band(low=low, nominal=nominal, high=high))


def _span(band: Band, *, places: int) -> str:
    """Give both ends of a band, or one where they are the same as shown."""
    low, high = (f"{end:.{places}f}" for end in (band.low, band.high))
    return low if low == high else f"{low} to {high}"


def _facts(plan: Plan) -> Iterator[tuple[str, str]]:
    given, feed = plan.design.supply, feed_of(plan)
    ends = terminals_of(given, subs=plan.design.sub_assemblies)
    yield "supply", str(given.kind)
    off = 100.0 * given.off
    yield "voltage", f"{volts(given.voltage_V)}, off by {off:g} % at most"
    yield "at the plugs", f"{volts(ends.low_V)} to {volts(ends.high_V)}"
    yield "gives at most", units.show(given.max_current_A, Quantity.CURRENT)
    yield "fuse", feed.fuse or "none"
    yield "against reversal", feed.protection or "none"
    if feed.cells:
        yield "cells", feed.cells


def _run(plan: Plan) -> Iterator[tuple[str, str, str]]:
    """Give what ends, when, and why."""
    run = plan.run
    if run is not None:
        yield "bright until", time_band(run.bright_h), run.bright_ends
        yield "dark from", time_band(run.dark_h), run.dark_ends
        daily = plan.design.supply.hours_a_day
        if daily is not None:
            low, high = (int(end / daily) for end in (run.bright_h.low, run.bright_h.high))
            yield f"days of {hours(daily)}", f"{low} to {high}", "bright to the end of each"
    elif plan.load is not None and plan.load.run_time_h is not None:
        yield "lit for", f"{plan.load.run_time_h:.3g} h", "nominal capacity over current"


def _plot(plan: Plan) -> dict[str, Any] | None:
    if plan.run is None:
        return None
    drawing = discharge_plot(plan.run, supply=plan.design.supply, room_mm=_PLOT_MM)
    return {
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "name": "light and voltage over the hours",
    }
