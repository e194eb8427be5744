"""Runs the chain: every discipline on every sub-assembly, and what they make together."""

from collections.abc import Mapping, Sequence

from lamphouse.build.parts import parts_list
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.verdict import judge_sub_assembly, judge_supply
from lamphouse.cutting.cutlist import LEAD_MM, CutList, cut_panel
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.findings import Finding, Where, settle
from lamphouse.plan.kept import Kept
from lamphouse.plan.result import Plan


def plan(
    design: Design,
    *,
    found: Sequence[Finding] = (),
    places: Mapping[str, Where] | None = None,
    kept: Kept | None = None,
) -> Plan:
    """Compute everything from a design.

    Parameters
    ----------
    design
        What the maker decided.
    found
        Findings of the reading, to be listed with those of the disciplines.
    places
        Where each item stands in the file as it is now, by item.
    kept
        Results of earlier runs; steps whose inputs have not changed are taken from it.

    Returns
    -------
    Plan
        With every finding in the order of the maker's file.
    """
    kept = kept or Kept()
    cuts = [
        _cut(panel, sub=sub, design=design, kept=kept)
        for sub in design.sub_assemblies
        for panel in sub.panels
    ]
    judged = [_judge(sub, design=design, kept=kept) for sub in design.sub_assemblies]
    kept.close_run()
    circuits = tuple(circuit for circuit, _ in judged if circuit)
    load, load_findings = judge_supply(circuits, supply=design.supply)
    panels = tuple(piece for cut in cuts for piece in cut.pieces)
    boxes = tuple(box for cut in cuts for box in cut.boxes)
    pieces = (*panels, *(piece for box in boxes for piece in box.pieces))
    told = [*found, *load_findings]
    told += [finding for cut in cuts for finding in cut.findings]
    told += [finding for _, findings in judged for finding in findings]
    return Plan(
        design=design,
        panels=panels,
        boxes=boxes,
        circuits=circuits,
        load=load,
        parts=parts_list(design, pieces=pieces, circuits=circuits),
        findings=settle(told, acceptances=design.acceptances, places=places),
    )


def _cut(panel: Panel, *, sub: SubAssembly, design: Design, kept: Kept) -> CutList:
    return kept.step(
        cut_panel,
        panel,
        strands=tuple(strand for name, strand in sub.strands if name == panel.name),
        boxes=tuple(box for name, box in sub.boxes if name == panel.name),
        sub_assembly=sub.name,
        drills=design.drills,
        lead_mm=sub.pigtail.wire.outside_mm if sub.pigtail else LEAD_MM,
    )


def _judge(
    sub: SubAssembly, *, design: Design, kept: Kept
) -> tuple[SubAssemblyCircuit | None, tuple[Finding, ...]]:
    return kept.step(
        judge_sub_assembly,
        sub,
        supply=design.supply,
        habits=design.habits,
        package=sub.board.resistor_package if sub.board else design.resistor_package,
        groups=design.groups,
    )
