"""A ring of timer chips as a SPICE deck that measures when each lights, from all parts empty on.

The chips are what their data sheets say of them, as in :mod:`lamphouse.blink.astable_deck`, with
their reset, and with outputs that swing no farther than their rows say of full load. Their memory
is digital: as one more source of voltage it could take up a state that the solver only tries on its
way to the next instant.
"""

from collections.abc import Iterator

from lamphouse.blink.astable import DIODE_SATURATION_A, DIODE_SLOPE_V
from lamphouse.blink.program_text import plain_words
from lamphouse.blink.timer_ring import (
    COUPLING_F,
    COUPLING_OHM,
    HOLD_F,
    HOLD_OHM,
    RESET_F,
    RESET_OHM,
    REST_OHM,
    TimerRing,
)
from lamphouse.circuit.spice import THERMAL_V

STEPS = 200
"""Steps of time in one lamp's."""
ROUNDS = 2.2
"""So that the first lamp is seen to begin again, and to end."""
RISE_S = 1e-3
"""In which the supply comes up."""
_DELAY_S = 1e-6
_RESET_V = 0.7


def ring_deck(ring: TimerRing, *, title: str) -> str:
    """Write the deck: plain ASCII, lines ended by a line feed.

    It prints ``rise1``, ``fall1`` and so on, when each output goes high first and low again,
    ``again1`` when the first one goes high the second time, all in seconds, and ``most``, how many
    are high at once at the most.
    """
    stages = range(1, ring.stages + 1)
    step = ring.high_s.nominal / STEPS
    half = ring.supply_V.nominal / 2.0
    many = " + ".join(f"u(V(out{stage}) - {half!r})" for stage in stages)
    delays = f"rise_delay={_DELAY_S!r} fall_delay={_DELAY_S!r}"
    lines = [
        plain_words(title),
        f"Vsupply plus 0 PWL(0 0 {RISE_S!r} {ring.supply_V.nominal!r})",
        "* the resets of all chips but the first, and what holds the first until none is high",
        f"Rreset plus reset {RESET_OHM!r}",
        f"Creset reset 0 {RESET_F!r} IC=0",
        f"Rhold trig1 0 {HOLD_OHM!r}",
        f"Chold trig1 0 {HOLD_F!r} IC=0",
        *(line for stage in stages for line in _chip(ring, stage)),
        f"Bmany many 0 V = {many}",
        f".model pull SW(VT=-0.5 VH=0 RON={max(ring.chip.discharge_ohm, 1e-3)!r} ROFF=1e12)",
        f".model see adc_bridge(in_low=0 in_high=0 {delays})",
        f".model both d_and({delays})",
        f".model either d_or({delays})",
        f".model do dac_bridge(out_low=0 out_high=1 t_rise={_DELAY_S!r} t_fall={_DELAY_S!r})",
        f".model signal D(IS={DIODE_SATURATION_A!r} N={DIODE_SLOPE_V / THERMAL_V!r})",
        ".options temp=27 tnom=27 method=gear",
        f".tran {step!r} {ROUNDS * ring.period_s.nominal!r} 0 {step!r} uic",
        *(
            line
            for stage in stages
            for line in (
                f".meas tran rise{stage} WHEN V(out{stage})={half!r} RISE=1",
                f".meas tran fall{stage} WHEN V(out{stage})={half!r} FALL=1",
            )
        ),
        f".meas tran again1 WHEN V(out1)={half!r} RISE=2",
        ".meas tran most MAX V(many)",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def _chip(ring: TimerRing, stage: int) -> Iterator[str]:
    """Write one chip with its parts; all but the first are triggered by the one before."""
    high, low = ring.chip.high_drop_V, ring.chip.low_V
    yield f"* lamp {stage}"
    if stage > 1:
        yield f"Ccouple{stage} out{stage - 1} mid{stage} {COUPLING_F!r} IC=0"
        yield f"Rcouple{stage} mid{stage} trig{stage} {COUPLING_OHM!r}"
        yield f"Rup{stage} plus trig{stage} {REST_OHM!r}"
        yield f"Rdown{stage} trig{stage} 0 {REST_OHM!r}"
    yield f"R{stage} plus cap{stage} {ring.ohm!r}"
    yield f"C{stage} cap{stage} 0 {ring.capacitor_F!r} IC=0"
    yield f"D{stage} out{stage} trig1 signal"
    yield f"Bset{stage} set{stage} 0 V = V(plus)/3 - V(trig{stage})"
    yield f"Bfull{stage} full{stage} 0 V = V(cap{stage}) - 2*V(plus)/3"
    yield f"Bfree{stage} free{stage} 0 V = " + (f"V(reset) - {_RESET_V!r}" if stage > 1 else "1")
    yield f"Asee{stage} [set{stage} full{stage} free{stage}] [s{stage} f{stage} e{stage}] see"
    yield f"Akeep{stage} [q{stage} ~f{stage}] k{stage} both"
    yield f"Alit{stage} [s{stage} k{stage}] w{stage} either"
    yield f"Aset{stage} [w{stage} e{stage}] q{stage} both"
    yield f"Ado{stage} [q{stage}] [lit{stage}] do"
    yield (
        f"Bout{stage} out{stage} 0 V = min(V(plus), {low!r}) * (1 - V(lit{stage})) "
        f"+ max(V(plus) - {high!r}, 0) * V(lit{stage})"
    )
    yield f"Sdis{stage} cap{stage} 0 0 lit{stage} pull"
