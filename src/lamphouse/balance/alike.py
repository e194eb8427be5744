"""Strings that keep one resistor value between them, with the light boxes they feed.

The luminance of a box goes with the current, so one factor on the present currents moves all its
openings. Where several strings feed one box, each of them held within the factors that its looks
allow holds the sum within them too.
"""

from collections.abc import Sequence
from math import inf, sqrt

from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.corners import types_of
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.light.box_glow import BoxGlow, OpeningGlow
from lamphouse.record import Record

NO_LOOK = "lights no opening with a look"
NO_FIGURE = "lights a box that has no figure"
NOT_NAMED = "holds the source of a group"


class Alike(Record):
    """Strings of one sub-assembly with the same LEDs, boxes, current and resistor."""

    sub: SubAssembly
    package: ResistorPackage
    strings: tuple[StringDesign, ...]
    boxes: tuple[BoxGlow, ...]
    """Those they light, as far as they have a figure."""
    kept: str = ""
    """Why their resistor stays; empty when it may change."""

    @property
    def leds(self) -> tuple[Led, ...]:
        """LEDs of one of them."""
        return self.strings[0].leds

    @property
    def ohm(self) -> float:
        """Present value."""
        return self.strings[0].ohm

    @property
    def current_A(self) -> float:
        """Present nominal current."""
        return self.strings[0].current_A.nominal

    def names(self) -> str:
        """Name them as the maker would: ``desk / S1 and S2``."""
        *first, last = [string.name for string in self.strings]
        joined = f"{', '.join(first)} and {last}" if first else last
        return f"{self.sub.name} / {joined}"

    def openings(self) -> tuple[OpeningGlow, ...]:
        """List the openings they light."""
        return tuple(opening for box in self.boxes for opening in box.openings)

    def factors(self) -> tuple[float, float]:
        """Bound the factor on their current that suits every look; low above high when none."""
        return factors_of(self.openings())

    def middle(self) -> float:
        """Give the factor in the geometric middle of what the looks allow.

        The eye judges ratios of luminance, so a class is halved by its geometric mean.
        """
        low, high = self.factors()
        return sqrt(low * high)


def factors_of(openings: Sequence[OpeningGlow]) -> tuple[float, float]:
    """Bound the factor on the light of openings that suits all their looks.

    Returns
    -------
    tuple
        Nothing and no bound without a look; low lies above high when no factor does.
    """
    spans = [
        (look.least_cd_m2 / opening.mean_cd_m2, look.most_cd_m2 / opening.mean_cd_m2)
        for opening in openings
        if (look := opening.look) is not None and opening.mean_cd_m2 > 0.0
    ]
    return max((low for low, _ in spans), default=0.0), min(
        (high for _, high in spans), default=inf
    )


def alike_strings(
    design: Design, *, circuits: Sequence[SubAssemblyCircuit], glows: Sequence[BoxGlow]
) -> tuple[Alike, ...]:
    """Gather the strings of a model by what decides their resistor, in the order of the file."""
    shining = {(glow.sub_assembly, glow.panel, glow.box): glow for glow in glows}
    subs = {sub.name: sub for sub in design.sub_assemblies}
    sources = {group.source.name for group in design.groups if group.source}
    gathered: dict[tuple[object, ...], Alike] = {}
    for circuit in circuits:
        sub = subs[circuit.sub_assembly]
        package = sub.board.resistor_package if sub.board else design.resistor_package
        home = {led.name: (panel, box.name) for panel, box in sub.boxes for led in box.leds}
        for string in circuit.strings:
            places = tuple(dict.fromkeys(home[led.name] for led in string.leds if led.name in home))
            found = tuple(
                shining[sub.name, *place] for place in places if (sub.name, *place) in shining
            )
            one = Alike(sub=sub, package=package, strings=(string,), boxes=found)
            key = (
                sub.name,
                types_of(string.leds),
                places,
                string.ohm,
                string.wanted_A,
                any(led.group for led in string.leds),
            )
            before = gathered[key].strings if key in gathered else ()
            gathered[key] = Alike(
                sub=sub,
                package=package,
                strings=(*before, string),
                boxes=found,
                kept=_kept(one, lit=len(places), sources=sources),
            )
    return tuple(gathered.values())


def _kept(alike: Alike, *, lit: int, sources: set[str]) -> str:
    if any(led.name in sources for led in alike.leds):
        return NOT_NAMED
    if lit > len(alike.boxes):
        return NO_FIGURE
    looked = any(one.look and one.mean_cd_m2 > 0.0 for one in alike.openings())
    return "" if looked and alike.current_A > 0.0 else NO_LOOK
