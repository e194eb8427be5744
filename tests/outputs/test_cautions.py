"""Cautions: each where the design calls for it, and only there."""

from dataclasses import replace

import pytest

from lamphouse.design.strand import PatternKind
from lamphouse.design.supply import SupplyKind
from lamphouse.design.whole import PartInHand
from lamphouse.outputs.cautions import for_design
from lamphouse.sources import SOURCES
from outputs.sample_plan import design, where

SMALL_CELL = PartInHand(where=where("drawer"), part="coin cell 20 mm", count=2)


def titles(given):
    return [caution.title for caution in for_design(given)]


def powered(kind):
    return replace(design(), supply=replace(design().supply, kind=kind))


def blinking(kind):
    (group,) = design().groups
    return replace(design(), groups=(replace(group, pattern=replace(group.pattern, kind=kind)),))


@pytest.mark.parametrize(
    ("title", "called_for", "not_called_for"),
    [
        ("The mains stays outside", powered(SupplyKind.PLUG_IN), powered(SupplyKind.CELLS)),
        ("Cells and power banks", powered(SupplyKind.POWER_BANK), powered(SupplyKind.USB_PORT)),
        ("Button cells and children", replace(design(), drawer=(SMALL_CELL,)), design()),
        ("Flashing light", blinking(PatternKind.STRIKE), blinking(PatternKind.FADE)),
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
    assert len(every) == 8
    assert all(caution.source in SOURCES and caution.citation for caution in every)
    (mains,) = [caution for caution in every if "mains" in caution.title]
    assert "licensed electrician" in mains.words
    assert "local code" in mains.words
