"""Cautions: each where the design calls for it, and only there."""

import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import Build, Fixing
from lamphouse.design.pattern import PatternKind
from lamphouse.design.supply import CellPack, SupplyKind, Way
from lamphouse.design.whole import PartInHand
from lamphouse.outputs.cautions import for_design
from lamphouse.record import replace
from lamphouse.sources import SOURCES
from outputs.sample_plan import design, where

DIODE = built_in().protectors["schottky diode"]
SMALL_CELL = PartInHand(where=where("drawer"), part="coin cell 20 mm", count=2)


def titles(given):
    return [caution.title for caution in for_design(given)]


def powered(kind):
    return replace(design(), supply=replace(design().supply, kind=kind))


def celled(name, **given):
    cell = built_in().cell_types[name]
    pack = CellPack(cell=cell, series=1, cut_off_V=cell.cut_off_V)
    fed = powered(SupplyKind.CELLS)
    return replace(fed, supply=replace(fed.supply, cells=pack, **given))


def either_way():
    return replace(design(), supply=replace(design().supply, way=Way.EITHER))


def fused(rated_A):
    return replace(design(), supply=replace(design().supply, fuse_A=rated_A))


def lit_at(current_A):
    """The design with every boxed LED at one current."""
    sub, *others = design().sub_assemblies
    boxes = tuple(
        (
            panel,
            replace(box, leds=tuple(replace(led, current_A=current_A) for led in box.leds)),
        )
        for panel, box in sub.boxes
    )
    return replace(design(), sub_assemblies=(replace(sub, boxes=boxes), *others))


def boxed(**changes):
    """The design with every box changed."""
    sub, *others = design().sub_assemblies
    boxes = tuple((panel, replace(box, **changes)) for panel, box in sub.boxes)
    return replace(design(), sub_assemblies=(replace(sub, boxes=boxes), *others))


def fixed(**kind):
    return boxed(fixing=Fixing(where=where("box"), **kind))


def blinking(kind):
    (group,) = design().groups
    return replace(design(), groups=(replace(group, pattern=replace(group.pattern, kind=kind)),))


@pytest.mark.parametrize(
    ("title", "called_for", "not_called_for"),
    [
        ("The mains stays outside", powered(SupplyKind.PLUG_IN), powered(SupplyKind.CELLS)),
        ("Cells and power banks", powered(SupplyKind.POWER_BANK), powered(SupplyKind.USB_PORT)),
        ("Button cells and children", replace(design(), drawer=(SMALL_CELL,)), design()),
        ("Button cells and children", celled("coin CR2032"), celled("alkaline AA")),
        ("Small magnets and children", fixed(magnet_mm=(4.0, 2.0)), fixed(screw="M2")),
        ("3D printing", boxed(build=Build.PRINTED), boxed(build=Build.FOLDED)),
        ("Lithium-ion cells", celled("Li-ion 18650 protected"), celled("NiMH AA")),
        ("Plus and minus", celled("alkaline AA"), celled("alkaline AA", protector=DIODE)),
        ("Plus and minus", either_way(), powered(SupplyKind.PLUG_IN)),
        ("Fuses", fused(0.5), fused(None)),
        ("Heat in closed boxes", lit_at(0.010), lit_at(0.009)),
        ("Flashing light", blinking(PatternKind.FADE), blinking(PatternKind.STEADY)),
        ("Hot iron and its fumes", design(), replace(design(), sub_assemblies=())),
        ("Eyes and bare LEDs", design(), replace(design(), sub_assemblies=())),
        ("Blades, drills and dust", design(), replace(design(), sub_assemblies=())),
        ("Solvents and paint", design(), replace(design(), sub_assemblies=())),
    ],
)
def test_each_is_shown_only_where_it_is_called_for(title, called_for, not_called_for):
    assert title in titles(called_for)
    assert title not in titles(not_called_for)


def test_each_has_a_source_and_defers_to_licensed_people_where_mains_is_near():
    every = {
        caution
        for kind in SupplyKind
        for caution in for_design(replace(powered(kind), drawer=(SMALL_CELL,)))
    }
    assert len(every) == 10
    assert all(caution.source in SOURCES and caution.citation for caution in every)
    (mains,) = [caution for caution in every if "mains" in caution.title]
    assert "licensed electrician" in mains.words
    assert "local code" in mains.words
