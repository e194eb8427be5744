"""What would mend a weak string: its LEDs in shorter strings, or on a supply of more volts."""

from collections.abc import Callable, Mapping, Sequence

from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.phrases import ohms, share_band, strings_in_words, volts
from lamphouse.circuit.strings import bunches_of, design_bunches
from lamphouse.circuit.trial import Feed
from lamphouse.design.place import SubAssembly
from lamphouse.record import Record, replace

USUAL_SUPPLIES_V = (5.0, 9.0, 12.0, 24.0)

Strings = tuple[StringDesign, ...]


class WeakMend(Record):
    """What would make a weak string hold."""

    words: str
    left_to_the_tool: bool = False
    """Whether it is enough to leave out what the maker wrote about the string."""


def is_weak(string: StringDesign, *, least_share: float) -> bool:
    """Tell whether the worst case leaves less than this share of the wanted current."""
    return string.current_A.low < least_share * string.wanted_A


def rated_A(string: StringDesign) -> float:
    """Give the current that every LED of a string bears."""
    return min(led.led_type.max_current_A for led in string.leds)


def is_overdriven(string: StringDesign) -> bool:
    """Tell whether the worst case sends more through an LED than it bears."""
    return string.current_A.high > rated_A(string) * (1.0 + 1e-9)


def mends_of_weak(
    sub: SubAssembly, *, circuit: SubAssemblyCircuit, feed: Feed
) -> Mapping[str, WeakMend]:
    """Say for each weak string, by name, what would make it hold.

    All weak strings are mended at once and the whole sub-assembly is designed and proved again,
    so that the shares named are those of the mended circuit.
    """
    least = feed.habits.least_share
    weak = {s.name: s for s in circuit.strings if is_weak(s, least_share=least)}
    if not weak:
        return {}
    bunches = bunches_of(sub, supply=feed.supply)
    home_of = {led.name: index for index, bunch in enumerate(bunches) for led in bunch.leds}
    homes = {name: home_of[string.leds[0].name] for name, string in weak.items()}
    freed_homes = set(homes.values())
    tries: list[tuple[Feed, Callable[[Sequence[StringDesign]], str]]] = [(feed, _shorter)]
    for voltage_V in USUAL_SUPPLIES_V:
        if voltage_V > feed.supply.voltage_V:
            supply = replace(feed.supply, voltage_V=voltage_V)
            tries.append((replace(feed, supply=supply), _more_volts(voltage_V)))
    told: dict[str, WeakMend] = {}
    for tried, words in tries:
        freed = [
            bunch.freed(supply_V=tried.supply.voltage_V) if index in freed_homes else bunch
            for index, bunch in enumerate(bunches)
        ]
        strings, _ = design_bunches(freed, sub=sub, feed=tried)
        for name, home in homes.items():
            if name not in told and not any(
                is_weak(string, least_share=least) for string in strings[home]
            ):
                told[name] = WeakMend(words=words(strings[home]), left_to_the_tool=tried is feed)
        if len(told) == len(weak):
            break
    return {
        name: told.get(name, WeakMend(words=_nothing(string, feed)))
        for name, string in weak.items()
    }


def _shorter(strings: Sequence[StringDesign]) -> str:
    if len(strings) == 1:
        only = strings[0]
        band = share_band(only.current_A, wanted_A=only.wanted_A)
        return f"take {ohms(only.resistor_ohm)} for its resistor: {band} of the wanted"
    return f"make {strings_in_words(strings)}"


def _more_volts(voltage_V: float) -> Callable[[Sequence[StringDesign]], str]:
    return lambda strings: f"feed it from {volts(voltage_V)}, as {strings_in_words(strings)}"


def _nothing(string: StringDesign, feed: Feed) -> str:
    return (
        f"no supply up to {volts(USUAL_SUPPLIES_V[-1])} mends it: take a supply that keeps "
        f"closer than {100 * feed.supply.tolerance:g} % to its voltage, or a shorter pigtail "
        f"than one of {feed.lead_ohm:.2g} ohm, or ask for less than its "
        f"{share_band(string.current_A, wanted_A=string.wanted_A)}"
    )
