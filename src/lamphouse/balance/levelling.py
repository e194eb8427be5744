"""The front door: the resistor values that bring every look about, the fewest of them.

What is chosen holds for the circuit as it stands: its strings, its pigtails, its supply. The light
of a box is taken in proportion to its current, as the solver has it; what boxes give one another
through passages is added up.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from math import floor, log10

from lamphouse.balance.alike import Alike, alike_strings
from lamphouse.balance.balance_rules import Unmatched, balance_findings
from lamphouse.balance.fewest_values import Chosen, Option, Pick, choose, nearest_ratio
from lamphouse.balance.led_currents import led_currents
from lamphouse.balance.mates import groups_of
from lamphouse.balance.neighbour_light import with_neighbours
from lamphouse.balance.settings import Feeding, Setting, settings_of
from lamphouse.balance.stabbing import stab
from lamphouse.balance.ways_out import Stuck
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.from_drawer import resistors_in
from lamphouse.circuit.phrases import listed
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.circuit.terminals import at_terminals
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.record import Record, replace

STAYS = "has no value that brings its looks about"


class StringValue(Record):
    """The resistor of one string, now and after."""

    sub_assembly: str
    string: str
    leds: tuple[str, ...]
    old_ohm: float
    new_ohm: float
    current_A: float
    """Nominal current after, rounded down: what its LEDs are then wanted to carry."""
    kept: str
    """Why it stays as it is; empty where it was free to change."""

    @property
    def changes(self) -> bool:
        """Whether it gets another resistor."""
        return self.new_ohm != self.old_ohm


class Balance(Record):
    """The resistors of a whole model, balanced."""

    strings: tuple[StringValue, ...]
    """Every string, in the order of the file."""
    drawer_ohm: tuple[float, ...]
    """Values in use after that the drawer has, rising."""
    proof: str
    """Why no fewer values do; empty when nothing could change."""

    def values_ohm(self, *, before: bool = False) -> tuple[float, ...]:
        """List the different values in use, rising."""
        return tuple(sorted({one.old_ohm if before else one.new_ohm for one in self.strings}))


def in_drawer(design: Design) -> Counter[float]:
    """Count the resistors in the drawer by value; entries that name no value are passed over."""
    return Counter(dict(resistors_in(design.drawer)))


def balance_model(
    design: Design,
    *,
    circuits: Sequence[SubAssemblyCircuit],
    glows: Sequence[BoxGlow],
    match_ratio: float | None,
) -> tuple[Balance, tuple[Finding, ...]]:
    """Choose the resistors of a model so that its looks are met with the fewest values.

    Parameters
    ----------
    design
        The whole model.
    circuits, glows
        As designed and solved from it.
    match_ratio
        Largest ratio of luminance between openings of one match word, above 1; None: that of the
        word.

    Returns
    -------
    tuple
        The values, and what stands in their way.
    """
    drawer = in_drawer(design)
    plain = alike_strings(design, circuits=circuits, glows=glows)
    regarded = with_neighbours(glows, alike=plain)
    alike = list(alike_strings(design, circuits=circuits, glows=regarded))
    settings: dict[Alike, tuple[Setting, ...]] = {}
    stuck: list[Stuck] = []
    for circuit in circuits:
        feeding = _feeding(design, circuit=circuit, drawer=drawer)
        here = [one for one in alike if one.sub.name == circuit.sub_assembly]
        found = settings_of(here, feeding=feeding)
        settings |= found
        currents = led_currents(circuit.strings)
        stuck += [
            Stuck(alike=one, feeding=feeding, looks=design.looks, currents=currents)
            for one, suited in found.items()
            if not suited
        ]
    lost = {one.alike for one in stuck}
    marked = [replace(one, kept=STAYS) if one in lost else one for one in alike]
    picks = [_pick(one, settings=settings.get(one, ())) for one in marked]
    staying = [one for one in marked if one.kept]
    in_use = frozenset(one.ohm for one in staying)
    for one in staying:
        drawer[one.ohm] -= min(len(one.strings), drawer[one.ohm])
    groups = groups_of(marked, match_ratio=match_ratio, matches=design.matches)
    chosen = choose(picks, mates=[group.mates for group in groups], in_use=in_use, in_hand=drawer)
    unmatched = [
        Unmatched(group=groups[n], nearest=nearest_ratio(picks, mates=groups[n].mates))
        for n in chosen.given_up
    ]
    values = dict(zip(marked, chosen.ohms, strict=True))
    used = set(chosen.ohms)
    balance = Balance(
        strings=_in_order(values, settings=settings, circuits=circuits),
        drawer_ohm=tuple(sorted(used & in_drawer(design).keys())),
        proof=_proof(marked, settings=settings, in_use=in_use, chosen=chosen),
    )
    return balance, balance_findings(stuck, unmatched=unmatched)


def _feeding(
    design: Design, *, circuit: SubAssemblyCircuit, drawer: Mapping[float, int]
) -> Feeding:
    sold = preferred_ohm(design.habits.series).tolist()
    return Feeding(
        supply=at_terminals(design.supply, subs=design.sub_assemblies),
        habits=design.habits,
        lead_ohm=circuit.lead_ohm,
        values_ohm=tuple(sorted({*sold, *drawer})),
    )


def _pick(alike: Alike, *, settings: Sequence[Setting]) -> Pick:
    if alike.kept:
        stays = Option(ohm=alike.ohm, least_factor=1.0, most_factor=1.0)
        return Pick(options=(stays,), count=len(alike.strings), middle=1.0)
    return Pick(
        options=tuple(
            Option(
                ohm=one.ohm,
                least_factor=one.least_A / alike.current_A,
                most_factor=one.most_A / alike.current_A,
            )
            for one in settings
        ),
        count=len(alike.strings),
        middle=alike.middle(),
    )


def rounded_down(value: float, *, digits: int = 3) -> float:
    """Cut a positive value to a number of digits, never up.

    Examples
    --------
    >>> rounded_down(0.00123999)
    0.00123
    """
    step = floor(log10(value)) - digits + 1
    return float(f"{floor(value / 10.0**step)}e{step}")


def _in_order(
    values: Mapping[Alike, float],
    *,
    settings: Mapping[Alike, Sequence[Setting]],
    circuits: Sequence[SubAssemblyCircuit],
) -> tuple[StringValue, ...]:
    found = {}
    for alike, ohm in values.items():
        least_A = next((one.least_A for one in settings.get(alike, ()) if one.ohm == ohm), None)
        for string in alike.strings:
            found[alike.sub.name, string.name] = StringValue(
                sub_assembly=alike.sub.name,
                string=string.name,
                leds=tuple(led.name for led in string.leds),
                old_ohm=string.ohm,
                new_ohm=ohm,
                current_A=rounded_down(least_A or string.current_A.nominal),
                kept=alike.kept,
            )
    return tuple(
        found[circuit.sub_assembly, string.name]
        for circuit in circuits
        for string in circuit.strings
    )


def _proof(
    alike: Sequence[Alike],
    *,
    settings: Mapping[Alike, Sequence[Setting]],
    in_use: frozenset[float],
    chosen: Chosen,
) -> str:
    free = [one for one in alike if not one.kept]
    if not free:
        return ""
    new = len(set(chosen.ohms) - in_use)
    if new == 0:
        return "every string that could change takes a value that is in use anyway"
    spans = [(settings[one][0].ohm, settings[one][-1].ohm) for one in free]
    witnesses = [free[n].names() for n in stab(spans, free=in_use).witnesses]
    if not chosen.proved:
        return (
            f"{new} new values are the fewest that were found, and {len(witnesses)} are needed at "
            "least; the search was stopped"
        )
    if len(witnesses) < new:
        return (
            f"{new} new values are the fewest by an integer programme; the classes alone would "
            f"need {len(witnesses)}, and lights that must stay near one another ask for more"
        )
    if new == 1:
        return f"no value in use elsewhere suits {witnesses[0]}, so one new value is the fewest"
    return (
        f"no value in use elsewhere suits {listed(witnesses)}, and none suits two of them, so "
        f"{new} new values are the fewest"
    )
