"""An astable as a SPICE deck that measures its own period and share, with a timer chip of our own.

The chip is what its data sheet says of it: it sets at a third of its supply, resets at two thirds,
and pulls its discharge pin down while it is reset. Its two comparators and its memory are one
source of voltage behind a short delay.
"""

from lamphouse.blink.astable import DIODE_SATURATION_A, DIODE_SLOPE_V, Astable
from lamphouse.blink.program_text import plain_words
from lamphouse.circuit.spice import THERMAL_V

STEPS = 4000
"""Steps of time in one period."""
PERIODS = 4
"""The first is longer, as the capacitor begins empty; what is measured comes after it."""


def astable_deck(astable: Astable, *, title: str) -> str:
    """Write the deck: plain ASCII, lines ended by a line feed.

    It prints ``period`` and ``lit``, how long the output is high, both in seconds.
    """
    period = astable.period_s.nominal
    step = period / STEPS
    delay = step / 5.0
    ends = "dis cap" if astable.has_diode else ""
    factor = DIODE_SLOPE_V / THERMAL_V
    half = f"V(out) VAL={astable.supply_V.nominal / 2!r}"
    state = "V(cap) > 2*V(plus)/3 ? 0 : (V(cap) < V(plus)/3 ? 1 : (V(state) > 0.5 ? 1 : 0))"
    lines = [
        plain_words(title),
        "* pins of the chip: trigger and threshold at cap, discharge at dis, output at out",
        f"Vsupply plus 0 DC {astable.supply_V.nominal!r}",
        f"RA plus dis {astable.first_ohm!r}",
        f"RB dis cap {astable.second_ohm!r}",
        f"C1 cap 0 {astable.capacitor_F!r} IC=0",
        *([f"D1 {ends} signal"] if ends else []),
        "* the chip: reset above two thirds, set below a third, as it was between",
        f"Bwish wish 0 V = {state}",
        "Rdelay wish state 1k",
        f"Cdelay state 0 {delay / 1e3!r} IC=1",
        "Bout out 0 V = V(state) > 0.5 ? V(plus) : 0",
        "Bnot not 0 V = 1 - V(state)",
        "Sdis dis 0 not 0 pull",
        f".model pull SW(VT=0.5 VH=0 RON={max(astable.chip.discharge_ohm, 1e-3)!r} ROFF=1e12)",
        *(
            [f".model signal D(IS={DIODE_SATURATION_A!r} N={factor!r})"]
            if astable.has_diode
            else []
        ),
        ".options temp=27 tnom=27 method=gear",
        f".tran {step!r} {PERIODS * period!r} 0 {step!r} uic",
        f".meas tran period TRIG {half} RISE=1 TARG {half} RISE=2",
        f".meas tran lit TRIG {half} RISE=1 TARG {half} FALL=2",
        ".end",
    ]
    return "\n".join(lines) + "\n"
