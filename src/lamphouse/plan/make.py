"""Runs the chain: every discipline on every sub-assembly, and what they make together."""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.blink.laid_time import lay_time
from lamphouse.build.made_things import MadeThings
from lamphouse.build.parts import parts_list
from lamphouse.build.stock_rules import film_runs_out, pack_does_not_fit
from lamphouse.circuit.branch import SubAssemblyCircuit, SupplyLoad
from lamphouse.circuit.discharge import RunTime
from lamphouse.circuit.heat_rules import judge_heat
from lamphouse.circuit.laid_loom import lay_loom
from lamphouse.circuit.loom_fuse_rules import fuse_before
from lamphouse.circuit.loom_load import run_ohms
from lamphouse.circuit.loom_runs import Loom, LoomLoad, Member
from lamphouse.circuit.loom_verdict import judge_loom
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.trial import Stock
from lamphouse.circuit.verdict import judge_feed, judge_sub_assembly, judge_supply
from lamphouse.cutting.cutlist import LEAD_MM, CutList, cut_panel
from lamphouse.cutting.kerf import laying
from lamphouse.cutting.kerf_rules import look_at_kerf
from lamphouse.cutting.mask_plan import MaskPlan
from lamphouse.cutting.mask_verdict import judge_masks
from lamphouse.cutting.sheet_rules import look_at_sheets
from lamphouse.design.lightbox import LightBox
from lamphouse.design.masks import Masks
from lamphouse.design.panel import Outline, Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.findings import Finding, Where, settle
from lamphouse.light.box_glow import BoxGlow, LedCurrent
from lamphouse.light.colour_rules import unreadable_colour
from lamphouse.light.figure_rules import look_without_box
from lamphouse.light.judging import judge_box
from lamphouse.light.leak_rules import judge_leaks, judge_spill
from lamphouse.light.leaks import BoxLeaks
from lamphouse.light.mate_rules import look_at_mates
from lamphouse.plan.boarded import board_findings
from lamphouse.plan.control_parts import control_parts
from lamphouse.plan.judged_prints import judge_print
from lamphouse.plan.kept import Kept, Unkept
from lamphouse.plan.ordered import order_findings
from lamphouse.plan.placed import place_all
from lamphouse.plan.printed_opening import places as places_of
from lamphouse.plan.programmed import control, loads_of
from lamphouse.plan.resistor_stock import Judged, in_turn
from lamphouse.plan.result import Plan
from lamphouse.plan.shared_holes import holes_between
from lamphouse.plan.spreading import spread_out
from lamphouse.plan.stranded import lead_strands, share_strands, strand_parts
from lamphouse.plan.time_lined import played_groups, time_line, with_mean_light
from lamphouse.plan.under_floor import members_of
from lamphouse.record import replace
from lamphouse.room.floor_rules import obstacles_of
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.transform import move


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

        design, built_findings = follow(design, circuits=_as_drawn(design, kept=kept))
    cuts = [
        _cut(piece, carrier=carrier, sub=sub, design=design, kept=kept)
        for sub in design.sub_assemblies
        for panel in sub.panels
        for piece, carrier in ((panel, panel.name), *_overlays(panel))
    ]
    painted = [
        _paint(masks, panel=panel, sub=sub, design=design, kept=kept)
        for sub in design.sub_assemblies
        for name, masks in sub.masks
        for panel in sub.panels
        if panel.name == name
    ]
    members = members_of(design)
    loom = _loom(members, design=design, kept=kept)
    ohms = run_ohms(loom, members=members) if loom else {}
    judged = list(_circuits(loom, ohms=ohms, design=design, kept=kept))
    shone = [
        _shine(box, panel=panel, sub=sub, circuit=circuit, design=design, kept=kept)
        for sub, (circuit, _) in zip(design.sub_assemblies, judged, strict=True)
        for panel in sub.panels
        for box in _boxes_of(panel, sub=sub)
    ]
    unlit = [
        kept.step(look_without_box, panel, boxes=_boxes_of(panel, sub=sub))
        for sub in design.sub_assemblies
        for panel in sub.panels
    ]
    escaping = [
        _leak(glow, panel=panel, sub=sub, design=design, kept=kept)
        for glow, _ in shone
        if glow
        for sub in design.sub_assemblies
        if sub.name == glow.sub_assembly
        for panel in sub.panels
        if panel.name == glow.panel
    ]
    leaks = tuple(leak for leak, _ in escaping if leak)
    spilt = [kept.step(judge_spill, beside) for beside in _by_panel(leaks) if len(beside) > 1]
    glows = tuple(glow for glow, _ in shone if glow)
    prints = [
        kept.step(judge_print, place, room=design.room) for place in places_of(design, glows=glows)
    ]
    circuits = tuple(circuit for circuit, _ in judged if circuit)
    spreads = spread_out(circuits, glows=glows, design=design, kept=kept)
    loom_load, loom_findings = _loaded(loom, members, circuits=circuits, design=design, kept=kept)
    warm = [
        kept.step(
            judge_heat,
            sub,
            circuit=circuit,
            habits=design.habits,
            materials=design.sheet_heat,
        )
        for sub, (circuit, _) in zip(design.sub_assemblies, judged, strict=True)
        if circuit
    ]
    boards = [
        board_findings(sub, circuit=circuit, design=design, kept=kept)
        for sub, (circuit, _) in zip(design.sub_assemblies, judged, strict=True)
    ]
    played = played_groups(design)
    table = kept.step(lay_time, played, scenes=design.scenes, seed=design.seed) if played else None
    controllers, control_findings = kept.step(
        control,
        replace(design, sub_assemblies=()),
        hung=loads_of(design, circuits=circuits, groups=played),
        groups=played,
        table=table,
    )
    load, load_findings = judge_supply(
        circuits,
        supply=design.supply,
        groups=design.groups,
        feeds=design.loom.feeds if design.loom else (),
        control=controllers.drawn_A(),
    )
    run, feed_findings = _feed(circuits, load=load, loom=loom, design=design, kept=kept)
    timed, timed_findings = time_line(
        design, circuits=circuits, glows=glows, own_A=controllers.own_A, kept=kept
    )
    panels = tuple(piece for cut in cuts for piece in cut.pieces)
    strands, strand_findings = lead_strands(
        design, pieces=panels, glows=glows, controllers=controllers, kept=kept
    )
    boxes = tuple(box for cut in cuts for box in cut.boxes)
    room_plan, room_findings = place_all(design, boxes=boxes, strands=strands, loom=loom, kept=kept)
    kept.close_run()
    formers = tuple(piece for cut in cuts for piece in cut.formers)
    paintings = tuple(painting for painting, _ in painted if painting)
    films = (piece for painting in paintings for piece in painting.pieces())
    pieces = (*panels, *(piece for box in boxes for piece in box.pieces), *formers, *films)
    parts = parts_list(
        design,
        pieces=pieces,
        circuits=circuits,
        loom=loom,
        further=(*control_parts(controllers), *strand_parts(strands)),
    )
    told = [*load_findings, *feed_findings, *loom_findings]
    told += [finding for cut in cuts for finding in cut.findings]
    told += [finding for _, findings in painted for finding in findings]
    told += [finding for _, findings in judged for finding in findings]
    told += [finding for _, findings in spreads for finding in findings]
    told += [finding for _, findings in shone for finding in findings]
    told += [finding for _, findings in warm for finding in findings]
    told += [finding for findings in boards for finding in findings]
    told += [finding for findings in unlit for finding in findings]
    told += [finding for _, findings in prints for finding in findings]
    told += look_at_mates(
        glows,
        sub_assemblies=design.sub_assemblies,
        matches=design.matches,
        room=design.room,
        own=design.own_parts,
    )
    told += unreadable_colour(design.looks)
    told += [finding for _, findings in escaping for finding in findings]
    told += [finding for findings in spilt for finding in findings]
    told += timed_findings
    told += control_findings
    told += shared_findings
    told += built_findings
    told += strand_findings
    told += room_findings
    told += look_at_sheets(pieces, in_hand=design.sheets, habits=laying(design.cutting))[1]
    told += look_at_kerf(pieces, habits=design.cutting)
    told += film_runs_out(design, pieces=pieces)
    told += pack_does_not_fit(design.prices, parts=parts)
    told += order_findings(
        MadeThings(
            design=design,
            panels=panels,
            boxes=boxes,
            formers=formers,
            paintings=paintings,
            circuits=circuits,
            loom=loom,
            removal=room_plan.removal if room_plan else None,
        )
    )
    return Plan(
        design=design,
        as_built=as_built,
        panels=panels,
        boxes=boxes,
        formers=formers,
        paintings=paintings,
        circuits=circuits,
        spreads=tuple(spread for spread, _ in spreads),
        load=load,
        loom=loom,
        loom_load=loom_load,
        run=run,
        heats=tuple(heat for heats, _ in warm for heat in heats),
        glows=glows,
        prints=tuple(figures for figures, _ in prints if figures),
        leaks=leaks,
        time_line=timed,
        strands=strands,
        room_plan=room_plan,
        controllers=controllers if played else None,
        parts=parts,
        findings=settle(told, read=found, acceptances=design.acceptances, places=places),
    )


def _as_drawn(design: Design, *, kept: Kept) -> tuple[SubAssemblyCircuit, ...]:
    """Design the circuits as if nothing had been built yet."""
    members = members_of(design)
    loom = _loom(members, design=design, kept=kept)
    ohms = run_ohms(loom, members=members) if loom else {}
    judged = _circuits(loom, ohms=ohms, design=design, kept=kept)
    return tuple(circuit for circuit, _ in judged if circuit)


def _paint(
    masks: Masks, *, panel: Panel, sub: SubAssembly, design: Design, kept: Kept
) -> tuple[MaskPlan | None, tuple[Finding, ...]]:
    return kept.step(
        judge_masks,
        panel,
        masks=masks,
        strands=tuple(strand for name, strand in sub.strands if name == panel.name),
        boxes=_boxes_of(panel, sub=sub),
        sub_assembly=sub.name,
        drills=design.drills,
    )


def _leak(
    glow: BoxGlow, *, panel: Panel, sub: SubAssembly, design: Design, kept: Kept
) -> tuple[BoxLeaks | None, tuple[Finding, ...]]:
    return kept.step(
        judge_leaks,
        glow,
        panel=panel,
        box=next(box for box in _boxes_of(panel, sub=sub) if box.name == glow.box),
        strands=tuple(strand for name, strand in sub.strands if name == panel.name),
        materials=design.materials,
        room=design.room,
    )


def _by_panel(leaks: Sequence[BoxLeaks]) -> tuple[tuple[BoxLeaks, ...], ...]:
    """Put the boxes of each panel together."""
    panels: dict[tuple[str, str], list[BoxLeaks]] = {}
    for leak in leaks:
        panels.setdefault((leak.glow.sub_assembly, leak.glow.panel), []).append(leak)
    return tuple(tuple(beside) for beside in panels.values())


def _overlays(panel: Panel) -> Iterator[tuple[Panel, str]]:
    """Give the overlays of a panel as pieces that carry neither boxes nor strands."""
    for overlay in panel.overlays:
        yield _by_itself(overlay, name=f"{panel.name} {overlay.name}"), ""


def _by_itself(overlay: Panel, *, name: str) -> Panel:
    """Give an overlay with its own datum, its lower left corner."""
    left, bottom, _, _ = bounds_mm(overlay.outline.corners)

    def moved(outline: Outline) -> Outline:
        return replace(outline, corners=move(outline.corners, x_mm=-left, y_mm=-bottom))

    cutouts = tuple(replace(each, outline=moved(each.outline)) for each in overlay.openings)
    return replace(overlay, name=name, outline=moved(overlay.outline), openings=cutouts)


def _boxes_of(panel: Panel, *, sub: SubAssembly) -> tuple[LightBox, ...]:
    return tuple(box for name, box in sub.boxes if name == panel.name)


def _cut(panel: Panel, *, carrier: str, sub: SubAssembly, design: Design, kept: Kept) -> CutList:
    boxes = tuple(box for name, box in sub.boxes if name == carrier)
    return kept.step(
        cut_panel,
        panel,
        strands=tuple(strand for name, strand in sub.strands if name == carrier),
        boxes=boxes,
        passages=holes_between(boxes),
        sub_assembly=sub.name,
        drills=design.drills,
        lead_mm=sub.pigtail.wire.outside_mm if sub.pigtail else LEAD_MM,
    )


def _loom(members: tuple[Member, ...], *, design: Design, kept: Kept) -> Loom | None:
    if design.loom is None or not members:
        return None
    return kept.step(
        lay_loom,
        members,
        wishes=design.loom,
        room=design.room,
        around=obstacles_of(design.surroundings),
    )


def _loaded(
    loom: Loom | None,
    members: tuple[Member, ...],
    *,
    circuits: tuple[SubAssemblyCircuit, ...],
    design: Design,
    kept: Kept,
) -> tuple[LoomLoad | None, tuple[Finding, ...]]:
    if loom is None or design.loom is None:
        return None, ()
    return kept.step(
        judge_loom,
        loom,
        members=members,
        circuits=circuits,
        wishes=design.loom,
        supply=design.supply,
        habits=design.habits,
        room=design.room,
    )


def _circuits(
    loom: Loom | None, *, ohms: Mapping[str, float], design: Design, kept: Kept
) -> Iterator[Judged]:
    return in_turn(
        design,
        judge=lambda sub, stock: _judge(
            sub,
            loom=loom,
            design=design,
            kept=kept,
            run_ohm=ohms.get(sub.name, 0.0),
            stock=stock,
        ),
    )


def _judge(
    sub: SubAssembly,
    *,
    loom: Loom | None,
    design: Design,
    kept: Kept,
    run_ohm: float,
    stock: Stock,
) -> tuple[SubAssemblyCircuit | None, tuple[Finding, ...]]:
    supply = at_terminals(design.supply, subs=design.sub_assemblies)
    for feed in loom.feeds if loom else ():
        if sub.name in feed.sub_assemblies:
            supply = replace(supply, fuse_A=fuse_before(supply, feed=feed))
    return kept.step(
        judge_sub_assembly,
        sub,
        supply=supply,
        habits=design.habits,
        package=sub.board.resistor_package if sub.board else design.resistor_package,
        groups=design.groups,
        run_ohm=run_ohm,
        drawer=stock,
    )


def _feed(
    circuits: tuple[SubAssemblyCircuit, ...],
    *,
    load: SupplyLoad | None,
    loom: Loom | None,
    design: Design,
    kept: Kept,
) -> tuple[RunTime | None, tuple[Finding, ...]]:
    if load is None:
        return None, ()
    fused = {
        name
        for feed in (loom.feeds if loom else ())
        if feed.fuse_A is not None
        for name in feed.sub_assemblies
    }
    return kept.step(
        judge_feed,
        circuits,
        load=load,
        supply=design.supply,
        pigtails=tuple(
            sub.pigtail
            for sub in design.sub_assemblies
            if sub.pigtail and sub.leds() and sub.name not in fused
        ),
        habits=design.habits,
        groups=with_mean_light(design, kept=kept),
    )


def _shine(
    box: LightBox,
    *,
    panel: Panel,
    sub: SubAssembly,
    circuit: SubAssemblyCircuit | None,
    design: Design,
    kept: Kept,
) -> tuple[BoxGlow | None, tuple[Finding, ...]]:
    boxes = _boxes_of(panel, sub=sub)
    beside = boxes if any(one.passages for one in boxes) else ()
    own = {led.name for one in (box, *beside) for led in one.leds}
    currents = tuple(
        LedCurrent(
            led=led.name,
            low_A=string.current_A.low,
            nominal_A=string.current_A.nominal,
            high_A=string.current_A.high,
        )
        for string in (circuit.strings if circuit else ())
        for led in string.leds
        if led.name in own
    )
    wanted = {opening.look for opening in panel.openings}
    return kept.step(
        judge_box,
        panel,
        box=box,
        sub_assembly=sub.name,
        currents=currents,
        looks=tuple(look for look in design.looks if look.name in wanted),
        room=design.room,
        beside=tuple(one for one in beside if one.name != box.name),
        strands=tuple(strand for name, strand in sub.strands if name == panel.name),
        own=design.own_parts,
    )
