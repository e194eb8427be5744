"""The light of a plan: how every box glows, what leaks, and how prints read."""

from collections.abc import Sequence

from lamphouse.balance.led_currents import led_currents
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.colour_rules import unreadable_colour
from lamphouse.light.figure_rules import look_without_box
from lamphouse.light.judging import judge_box
from lamphouse.light.leak_rules import judge_leaks, judge_spill
from lamphouse.light.leaks import BoxLeaks
from lamphouse.light.mate_rules import look_at_mates
from lamphouse.plan.judged_prints import PrintFigures, judge_print
from lamphouse.plan.kept import Kept
from lamphouse.plan.printed_opening import places as places_of
from lamphouse.record import Record


class Lit(Record):
    """What is seen of the light."""

    glows: tuple[BoxGlow, ...]
    leaks: tuple[BoxLeaks, ...]
    prints: tuple[PrintFigures, ...]


def light(
    design: Design, *, by_sub: Sequence[SubAssemblyCircuit | None], kept: Kept
) -> tuple[Lit, tuple[Finding, ...]]:
    """Solve and judge every light box.

    Parameters
    ----------
    design
        What the maker decided.
    by_sub
        Circuits in the order of the sub-assemblies; None for those without.
    kept
        Results of earlier runs.
    """
    places = [
        (panel, sub, circuit)
        for sub, circuit in zip(design.sub_assemblies, by_sub, strict=True)
        for panel in sub.panels
    ]
    shone = [
        _shine(box, panel=panel, sub=sub, circuit=circuit, design=design, kept=kept)
        for panel, sub, circuit in places
        for box in sub.boxes_of(panel.name)
    ]
    glows = tuple(glow for glow, _ in shone if glow)
    escaping = [
        _leak(glow, panel=panel, sub=sub, design=design, kept=kept)
        for glow in glows
        for panel, sub, _ in places
        if (sub.name, panel.name) == (glow.sub_assembly, glow.panel)
    ]
    leaks = tuple(leak for leak, _ in escaping if leak)
    prints = [
        kept.step(judge_print, place, room=design.room) for place in places_of(design, glows=glows)
    ]
    told = [finding for _, findings in (*shone, *prints, *escaping) for finding in findings]
    for panel, sub, _ in places:
        told += kept.step(look_without_box, panel, boxes=sub.boxes_of(panel.name))
    for beside in _by_panel(leaks):
        if len(beside) > 1:
            told += kept.step(judge_spill, beside)
    told += look_at_mates(
        glows,
        sub_assemblies=design.sub_assemblies,
        matches=design.matches,
        room=design.room,
        own=design.own_parts,
    )
    told += unreadable_colour(design.looks)
    figures = tuple(figures for figures, _ in prints if figures)
    return Lit(glows=glows, leaks=leaks, prints=figures), tuple(told)


def _shine(
    box: LightBox,
    *,
    panel: Panel,
    sub: SubAssembly,
    circuit: SubAssemblyCircuit | None,
    design: Design,
    kept: Kept,
) -> tuple[BoxGlow | None, tuple[Finding, ...]]:
    boxes = sub.boxes_of(panel.name)
    beside = boxes if any(one.passages for one in boxes) else ()
    currents = led_currents(circuit.strings if circuit else (), boxes=(box, *beside))
    wanted = {opening.look for opening in panel.openings}
    return kept.step(
        judge_box,
        panel,
        box=box,
        sub_assembly=sub.name,
        currents=tuple(currents.values()),
        looks=tuple(look for look in design.looks if look.name in wanted),
        room=design.room,
        beside=tuple(one for one in beside if one.name != box.name),
        strands=sub.strands_of(panel.name),
        own=design.own_parts,
    )


def _leak(
    glow: BoxGlow, *, panel: Panel, sub: SubAssembly, design: Design, kept: Kept
) -> tuple[BoxLeaks | None, tuple[Finding, ...]]:
    return kept.step(
        judge_leaks,
        glow,
        panel=panel,
        box=next(box for box in sub.boxes_of(panel.name) if box.name == glow.box),
        strands=sub.strands_of(panel.name),
        materials=design.materials,
        room=design.room,
    )


def _by_panel(leaks: Sequence[BoxLeaks]) -> tuple[tuple[BoxLeaks, ...], ...]:
    """Put the boxes of each panel together."""
    panels: dict[tuple[str, str], list[BoxLeaks]] = {}
    for leak in leaks:
        panels.setdefault((leak.glow.sub_assembly, leak.glow.panel), []).append(leak)
    return tuple(tuple(beside) for beside in panels.values())
