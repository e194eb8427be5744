"""Which warnings a design calls for: few, each with its reason, none where it does not apply.

They defer to the maker's local code and to licensed people; nothing here replaces either.
"""

from collections.abc import Callable, Iterator

from lamphouse.design.lightbox import Build, LightBox
from lamphouse.design.panel import LayerKind
from lamphouse.design.pattern import PatternKind
from lamphouse.design.supply import SupplyKind, Way
from lamphouse.design.whole import Design
from lamphouse.record import Record
from lamphouse.sources import SOURCES

_SMALL_CELLS = ("button cell", "coin cell", "button batter", "coin batter")
_WARM_LED_A = 0.010
"""From this current an LED in a closed box warms its seat by some ten kelvin or more."""
_SOLVENT_SHEET = ("styrene", "acrylic", "abs", "petg", "butyrate")
"""Sheet that is welded with solvent; common practice, no source."""


class Caution(Record):
    """One warning."""

    title: str
    words: str
    source: str
    """A key of ``sources``."""
    applies: Callable[[Design], bool]

    @property
    def citation(self) -> str:
        """Where it comes from and how that was read, as printed under it."""
        source = SOURCES[self.source]
        return f"{source.citation} {source.note}".strip()


def for_design(design: Design) -> tuple[Caution, ...]:
    """List the cautions a design calls for, in order of how badly they can end."""
    return tuple(caution for caution in _ALL if caution.applies(design))


def _plugs_in(design: Design) -> bool:
    return design.supply.kind is SupplyKind.PLUG_IN


def _holds_cells(design: Design) -> bool:
    return design.supply.kind in (SupplyKind.CELLS, SupplyKind.POWER_BANK)


def _names_small_cells(design: Design) -> bool:
    if design.supply.cells and design.supply.cells.cell.is_coin:
        return True
    names = [part.part for part in design.drawer]
    names += [sub.name for sub in design.sub_assemblies]
    return any(word in name.casefold() for name in names for word in _SMALL_CELLS)


def _holds_lithium_ion(design: Design) -> bool:
    pack = design.supply.cells
    return pack is not None and pack.cell.chemistry == "Li-ion"


def _is_fused(design: Design) -> bool:
    return design.supply.fuse_A is not None


def _can_be_reversed(design: Design) -> bool:
    supply = design.supply
    turned = supply.way is Way.EITHER or supply.kind is SupplyKind.CELLS
    return turned and supply.protector is None


def _is_warm(design: Design) -> bool:
    boxes = (box for sub in design.sub_assemblies for _, box in sub.boxes)
    return any(led.current_A >= _WARM_LED_A for box in boxes for led in box.leds)


def _is_soldered(design: Design) -> bool:
    return any(sub.leds() for sub in design.sub_assemblies)


def _is_cut(design: Design) -> bool:
    return any(sub.panels for sub in design.sub_assemblies)


def _is_glued_or_painted(design: Design) -> bool:
    panels = [panel for sub in design.sub_assemblies for panel in sub.panels]
    coats = any(
        layer.kind is LayerKind.TINT
        for panel in panels
        for opening in panel.openings
        for layer in opening.layers
    )
    boxes = [box.sheet for sub in design.sub_assemblies for _, box in sub.boxes]
    sheets = {sheet.material.casefold() for sheet in boxes}
    sheets |= {panel.sheet.material.casefold() for panel in panels}
    welded = any(word in material for material in sheets for word in _SOLVENT_SHEET)
    return coats or welded or bool(boxes)


def _is_formed(design: Design) -> bool:
    curves = [panel.curve for sub in design.sub_assemblies for panel in sub.panels if panel.curve]
    sheets = {layer.sheet.material.casefold() for curve in curves for layer in curve.layers}
    return any(word in material for material in sheets for word in _SOLVENT_SHEET)


def _boxes(design: Design) -> Iterator[LightBox]:
    return (box for sub in design.sub_assemblies for _, box in sub.boxes)


def _holds_magnets(design: Design) -> bool:
    return any(box.fixing and box.fixing.magnet_mm for box in _boxes(design))


def _is_printed(design: Design) -> bool:
    return any(box.build is Build.PRINTED for box in _boxes(design))


def _blinks(design: Design) -> bool:
    return any(group.pattern.kind is not PatternKind.STEADY for group in design.groups)


_ALL = (
    Caution(
        title="The mains stays outside",
        words="Only extra-low voltage enters the model. Buy the plug-in supply ready made and "
        "approved for your country, leave it closed and in free air, and fuse its low side. Any "
        "work on the mains side is for a licensed electrician, by your local code.",
        source="IEC61558-2-6",
        applies=_plugs_in,
    ),
    Caution(
        title="Cells and power banks",
        words="A short circuit can set a wire on fire: fuse right at the cells, and make plugs "
        "that cannot be reversed. Charge only with the charger made for them, watched, outside "
        "the model. Never mix old and new cells, or two kinds. Take cells out before storing it; "
        "hand in old ones by your local rules.",
        source="PRACTICE",
        applies=_holds_cells,
    ),
    Caution(
        title="Button cells and children",
        words="A swallowed button or coin cell burns the gullet within two hours. Use a holder "
        "that opens only with a tool, keep spares locked away, and if one may have been swallowed "
        "go to a hospital at once, before there are symptoms.",
        source="BUTTON-CELLS",
        applies=_names_small_cells,
    ),
    Caution(
        title="Small magnets and children",
        words="Two swallowed magnets pull together through the gut and perforate it. Glue every "
        "magnet into its pocket, keep spares locked away, and if any may have been swallowed go to "
        "a hospital at once. Keep them away from pacemakers; they snap together and splinter.",
        source="MAGNETS",
        applies=_holds_magnets,
    ),
    Caution(
        title="Lithium-ion cells",
        words="Use cells with their own protection circuit, in a holder, never soldered. Charge "
        "them in a bought charger for their kind, on a surface that does not burn, and not when "
        "they are freezing, dented or swollen. Never leave one charging alone.",
        source="LI-ION",
        applies=_holds_lithium_ion,
    ),
    Caution(
        title="Plus and minus",
        words="Nothing keeps this supply from being put in the wrong way round. Mark plus on plug "
        "and holder, and measure it before the first sub-assembly is plugged in.",
        source="PRACTICE",
        applies=_can_be_reversed,
    ),
    Caution(
        title="Fuses",
        words="When a fuse opens, pull every plug and find out why before it is replaced; put in "
        "the same type and never wire over it. A resettable fuse stays hot while it is open: "
        "switch off and wait a minute.",
        source="PRACTICE",
        applies=_is_fused,
    ),
    Caution(
        title="Heat in closed boxes",
        words="LEDs and resistors of this model get warm where air does not move. Light it for an "
        "hour before a box is glued, with a hand on its walls; keep resistors clear of plastic, "
        "and never leave the model lit unwatched until it has run so.",
        source="SOFTENING",
        applies=_is_warm,
    ),
    Caution(
        title="Flashing light",
        words="Parts of this model blink. Flashes faster than three in a second can bring on a "
        "seizure in people who are sensitive to them. Keep every pattern slower, and say at the "
        "door that the model flashes.",
        source="WCAG-FLASH",
        applies=_blinks,
    ),
    Caution(
        title="Hot iron and its fumes",
        words="Rosin flux fume causes asthma. Draw it off or blow it sideways, keep your head out "
        "of the plume, and do not overheat the joint. Rest the iron in its stand, unplug it when "
        "you leave, and wash your hands before you eat.",
        source="HSE-SOLDER",
        applies=_is_soldered,
    ),
    Caution(
        title="Eyes and bare LEDs",
        words="Test LEDs at their own low current and look at the lit surface, not into the bare "
        "chip, least of all a white or blue one close up. Wear glasses when you cut leads or "
        "drill: ends fly.",
        source="IEC62471",
        applies=_is_soldered,
    ),
    Caution(
        title="Blades, drills and dust",
        words="Cut with a fresh blade in light passes, away from your fingers, along a metal edge. "
        "Small drills break: turn them slowly. Sand wet where the part allows, or wear a dust "
        "mask.",
        source="PRACTICE",
        applies=_is_cut,
    ),
    Caution(
        title="Hot water and warm sheet",
        words="Sheet that is formed warm scalds, and so do the water, the steam and the hot air "
        "that warm it: gloves or tongs, a pan that cannot tip, no naked flame, children out of "
        "reach. Warm plastic gives off vapour: open a window; stop when it bubbles or smells.",
        source="PRACTICE",
        applies=_is_formed,
    ),
    Caution(
        title="3D printing",
        words="The nozzle and the bed burn skin long after the last layer. Molten plastic gives "
        "off fine particles and vapour: print in an aired room that nobody lives in, never "
        "unwatched, and sand printed walls wet.",
        source="PRACTICE",
        applies=_is_printed,
    ),
    Caution(
        title="Solvents and paint",
        words="Cements and paints give off vapours that burn and harm: open a window, keep flames "
        "and the hot iron away, and follow the label. Let them dry before a box is closed; vapour "
        "left inside attacks film and fibre.",
        source="PRACTICE",
        applies=_is_glued_or_painted,
    ),
)
