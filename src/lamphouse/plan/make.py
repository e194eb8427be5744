"""Runs the chain: every discipline on every sub-assembly, and what they make together."""

from collections.abc import Mapping, Sequence

from lamphouse.blink.laid_time import lay_time
from lamphouse.build.made_things import MadeThings
from lamphouse.build.parts import parts_list
from lamphouse.build.stock_rules import pack_does_not_fit
from lamphouse.design.whole import Design
from lamphouse.findings import Finding, Where, settle
from lamphouse.plan.control_parts import control_parts
from lamphouse.plan.cut_out import cut_out
from lamphouse.plan.kept import Kept, Unkept
from lamphouse.plan.lit import light
from lamphouse.plan.ordered import order_findings
from lamphouse.plan.placed import place_all
from lamphouse.plan.programmed import control, loads_of
from lamphouse.plan.result import Plan
from lamphouse.plan.spreading import spread_out
from lamphouse.plan.stranded import lead_strands, share_strands, strand_parts
from lamphouse.plan.time_lined import played_groups, time_line
from lamphouse.plan.wiring import circuits_as_drawn, feed, wire
from lamphouse.record import replace


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
    # of a single run, only what was built has circuits designed twice
    kept = kept or (Kept() if design.as_built else Unkept())
    design, shared_findings = share_strands(design, kept=kept)
    as_built = design.as_built
    built_findings: tuple[Finding, ...] = ()
    if as_built:
        from lamphouse.plan.followed import follow

        design, built_findings = follow(design, circuits=circuits_as_drawn(design, kept=kept))
    out, cut_findings = cut_out(design, kept=kept)
    wired, wired_findings = wire(design, kept=kept)
    lit, lit_findings = light(design, by_sub=wired.by_sub, kept=kept)
    circuits, glows = wired.circuits, lit.glows
    spreads = spread_out(circuits, glows=glows, design=design, kept=kept)
    played = played_groups(design)
    table = kept.step(lay_time, played, scenes=design.scenes, seed=design.seed) if played else None
    controllers, control_findings = kept.step(
        control,
        replace(design, sub_assemblies=()),
        hung=loads_of(design, circuits=circuits, groups=played),
        groups=played,
        table=table,
    )
    load, run, feed_findings = feed(wired, design=design, controllers=controllers, kept=kept)
    timed, timed_findings = time_line(
        design, circuits=circuits, glows=glows, own_A=controllers.own_A, kept=kept
    )
    strands, strand_findings = lead_strands(
        design, pieces=out.panels, glows=glows, controllers=controllers, kept=kept
    )
    room_plan, room_findings = place_all(
        design, boxes=out.boxes, strands=strands, loom=wired.loom, kept=kept
    )
    kept.close_run()
    parts = parts_list(
        design,
        pieces=out.pieces(),
        circuits=circuits,
        loom=wired.loom,
        further=(*control_parts(controllers), *strand_parts(strands)),
    )
    made = MadeThings(
        design=design,
        panels=out.panels,
        boxes=out.boxes,
        formers=out.formers,
        paintings=out.paintings,
        circuits=circuits,
        loom=wired.loom,
        removal=room_plan.removal if room_plan else None,
    )
    told = [
        *feed_findings,
        *wired_findings,
        *cut_findings,
        *lit_findings,
        *(finding for _, findings in spreads for finding in findings),
        *timed_findings,
        *control_findings,
        *shared_findings,
        *built_findings,
        *strand_findings,
        *room_findings,
        *pack_does_not_fit(design.prices, parts=parts),
        *order_findings(made),
    ]
    return Plan(
        design=design,
        as_built=as_built,
        panels=out.panels,
        boxes=out.boxes,
        formers=out.formers,
        paintings=out.paintings,
        circuits=circuits,
        spreads=tuple(spread for spread, _ in spreads),
        load=load,
        loom=wired.loom,
        loom_load=wired.loom_load,
        run=run,
        heats=wired.heats,
        glows=glows,
        prints=lit.prints,
        leaks=lit.leaks,
        time_line=timed,
        strands=strands,
        room_plan=room_plan,
        controllers=controllers if played else None,
        parts=parts,
        findings=settle(told, read=found, acceptances=design.acceptances, places=places),
    )
