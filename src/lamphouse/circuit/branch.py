"""The records of a designed string, a sub-assembly's circuit, and the supply's load."""

from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.design.lightbox import Led
from lamphouse.findings import Where
from lamphouse.record import Record


class Band(Record):
    """A quantity at its worst cases and as designed."""

    low: float
    nominal: float
    high: float


class TrimKnob(Record):
    """A variable resistor in series with a string's resistor, to set its light at the bench."""

    track_ohm: float
    """From end to end."""
    set_ohm: float
    """Where it is expected to stand."""
    least_A: float
    """Nominal current with the knob at its end, of a track as small as it may be."""
    open_A: float
    """Nominal current with the knob at zero."""
    most_A: float
    """The same in the worst case: what its track must bear."""
    track_W: float
    """What the whole track would turn into heat at that current."""
    limit_W: float
    """What it may at the warmest ambient."""


class StringDesign(Record):
    """LEDs in series with their one resistor."""

    name: str
    """Unique in its sub-assembly: the maker's, or ``S1``, ``S2`` ... when the tool grouped."""
    where: Where
    leds: tuple[Led, ...]
    """From plus to minus."""
    chosen_by: str
    """``maker`` or ``tool``: who put these LEDs in one string."""
    resistor_ohm: float
    resistor_colour_bands: tuple[str, ...]
    """IEC 60062 bands, body end first; empty for a chip and for a value that is not sold."""
    resistor_code: str
    """The code printed on a chip; empty for an axial part."""
    resistor_package: ResistorPackage
    wanted_A: float
    current_A: Band
    """Over supply, LED and resistor spread and temperature."""
    leds_V: Band
    """Forward voltage of the whole string in the same cases."""
    resistor_W: float
    """Largest power in the resistor over all cases."""
    resistor_limit_W: float
    """What the package may dissipate at the warmest ambient."""
    headroom: float
    """Nominal share of the supply voltage that stands across the resistor, 0 to 1."""
    reason: str
    """In plain words, why this many LEDs and this value."""
    knob: TrimKnob | None = None
    """None where nothing is set at the bench."""
    measured_ohm: float | None = None
    """What is soldered in the resistor's place, as measured; None: nobody has."""

    @property
    def fitted_ohm(self) -> float:
        """The resistor in its place, as measured where it was."""
        return self.resistor_ohm if self.measured_ohm is None else self.measured_ohm

    @property
    def ohm(self) -> float:
        """All that is in series with its LEDs, a knob where it is expected to stand."""
        return self.fitted_ohm + (self.knob.set_ohm if self.knob else 0.0)


class SubAssemblyCircuit(Record):
    """Everything electrical of one sub-assembly, up to its plug."""

    sub_assembly: str
    where: Where
    strings: tuple[StringDesign, ...]
    total_A: Band
    """What a meter in the pigtail reads."""
    lead_ohm: float
    """Pigtail out and back with its plug's contacts, and the loom's runs to the supply."""
    lead_drop_V: float
    """Lost between supply and board at the nominal current."""
    topology: str = ""
    """In plain words, how its LEDs are put together and why."""


class SupplyLoad(Record):
    """What all sub-assemblies and controllers together take from the supply."""

    total_A: Band
    share: float
    """Largest total over what the supply can give."""
    run_time_h: float | None
    """Nominal capacity over nominal current; None when the supply has no capacity, and for cells,
    whose run time is solved along their discharge."""
    dimmest_A: float = 0.0
    """The least that is ever drawn while something is lit, with every blinking string dark."""
    off_feeds: tuple[str, ...] = ()
    """The switched feeds that are then off."""
    own_A: float = 0.0
    """What controllers draw themselves, of the nominal total."""

    @property
    def drawn_by(self) -> str:
        """Say what draws it all."""
        return "all strings and controllers together" if self.own_A else "all strings together"
