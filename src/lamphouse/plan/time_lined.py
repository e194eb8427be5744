"""The time line of a plan: what blinks, what it shows to the eye, what it draws over time."""

from collections.abc import Iterator, Sequence
from itertools import chain
from math import pi

from lamphouse.blink.flash_safety import RED_FROM_NM, FlashingLight, FlashSafety, flash_safety
from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.load_over_time import LoadOverTime, load_over_time
from lamphouse.blink.pattern_rules import judge_patterns
from lamphouse.blink.time_line_rules import harmful_flashes, sleepy_bank
from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import mean_light
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.design.day_scenes import Trigger
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.plan.kept import Kept
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import area_mm2

_DISTANCE_MM = 600.0
"""From the eye to a model without a room: an arm's length."""


class TimeLine(Record):
    """Everything that changes over time."""

    table: TimeTable
    safety: FlashSafety
    load: LoadOverTime


def played_groups(design: Design) -> tuple[SourceGroup, ...]:
    """List the groups that a program plays: those that blink, and those a scene changes."""
    return tuple(group for group in design.groups if group.is_switched)


def with_mean_light(design: Design, *, kept: Kept) -> tuple[SourceGroup, ...]:
    """Give the source groups, each that is played with its mean light as its duty.

    The mean is over the scenes in turn, their fades left out; what cells and fuses see of a group
    is its current at full light times this. A steady group that scenes dim counts as fully lit.
    """
    groups = played_groups(design)
    if not groups:
        return design.groups
    table = kept.step(lay_time, groups, scenes=design.scenes, seed=design.seed)
    day = [scene for scene in table.scenes if scene.trigger is Trigger.IN_TURN]
    weights = [scene.length or 1 for scene in day]
    means = {
        name: sum(
            weight * mean_light(scene.tracks[place])
            for scene, weight in zip(day, weights, strict=True)
        )
        / sum(weights)
        for place, name in enumerate(table.groups)
    }
    return tuple(
        replace(group, pattern=replace(group.pattern, duty=means[group.name]))
        if group.name in means
        else group
        for group in design.groups
    )


def time_line(
    design: Design,
    *,
    circuits: Sequence[SubAssemblyCircuit],
    glows: Sequence[BoxGlow],
    own_A: float = 0.0,
    kept: Kept,
) -> tuple[TimeLine | None, tuple[Finding, ...]]:
    """Lay the model's time line, and judge it.

    Parameters
    ----------
    own_A
        What controllers draw themselves.

    Returns
    -------
    tuple
        None where nothing blinks and no scene changes anything.
    """
    groups = played_groups(design)
    told = kept.step(judge_patterns, design.groups, seed=design.seed)
    if not groups:
        return None, told
    table = kept.step(lay_time, groups, scenes=design.scenes, seed=design.seed)
    lights = tuple(_lights(groups, design=design, glows=glows))
    distance_mm = design.room.viewing_distance_mm if design.room else _DISTANCE_MM
    safety = kept.step(flash_safety, table, lights=lights, distance_mm=distance_mm)
    currents = dict.fromkeys((group.name for group in groups), 0.0)
    steady_A = own_A
    for string in (string for circuit in circuits for string in circuit.strings):
        own = next((led.group for led in string.leds if led.group in currents), None)
        if own is None:
            steady_A += string.current_A.nominal
        else:
            currents[own] += string.current_A.nominal
    load = kept.step(load_over_time, table, currents_A=tuple(currents.items()), steady_A=steady_A)
    wheres = {scene.name: scene.where for scene in design.scenes}
    found = (
        *told,
        *harmful_flashes(safety, table=table, lights=lights, groups=groups),
        *sleepy_bank(load, supply=design.supply, wheres=wheres),
    )
    return TimeLine(table=table, safety=safety, load=load), found


def _lights(
    groups: Sequence[SourceGroup], *, design: Design, glows: Sequence[BoxGlow]
) -> Iterator[FlashingLight]:
    """Tell what each group shows to the eye: strands, openings of boxes, the room it lights."""
    free = [led for sub in design.sub_assemblies for led in _free(sub, design=design)]
    for group in groups:
        yield from _own_light(group, design=design, glows=glows)
        lamps = [led for led in free if led.group == group.name]
        if lamps:
            yield FlashingLight(
                group=group.name,
                what="the room that its lamps light",
                area_mm2=_face_mm2(design),
                share=_lumens(lamps) / _lumens(free),
                is_red=_is_red(lamps),
            )


def _own_light(
    group: SourceGroup, *, design: Design, glows: Sequence[BoxGlow]
) -> Iterator[FlashingLight]:
    fibres = [
        strand.fibre.diameter_mm
        for sub in design.sub_assemblies
        for _, strand in sub.strands
        if strand.group == group.name
    ]
    boxed = {
        (sub.name, box.name): [led for led in box.leds if led.group == group.name]
        for sub in design.sub_assemblies
        for _, box in sub.boxes
    }
    lit = [
        opening
        for glow in glows
        if boxed.get((glow.sub_assembly, glow.box))
        for opening in glow.openings
    ]
    area = sum(pi / 4.0 * diameter**2 for diameter in fibres)
    area += sum(area_mm2(opening.shape.corners) for opening in lit)
    leds = [*([group.source] if group.source else []), *chain.from_iterable(boxed.values())]
    if area:
        yield FlashingLight(
            group=group.name,
            area_mm2=area,
            luminance_cd_m2=max((one.high_cd_m2 for one in lit), default=0.0)
            if lit and not fibres
            else None,
            is_red=_is_red(leds),
        )


def _free(sub: SubAssembly, *, design: Design) -> Iterator[Led]:
    """List the lamps that shine into the room."""
    sources = {group.source for group in design.groups}
    return (led for led in sub.lamps if led not in sources)


def _lumens(leds: Sequence[Led]) -> float:
    """Add up the light, in proportion to the current."""
    return sum(led.led_type.flux_lm * led.current_A / led.led_type.flux_current_A for led in leds)


def _is_red(leds: Sequence[Led]) -> bool:
    peaks = [led.led_type.peak_nm for led in leds]
    return bool(peaks) and all(peak is not None and peak >= RED_FROM_NM for peak in peaks)


def _face_mm2(design: Design) -> float:
    """Give what a free lamp lights, as the eye sees it: the face of the whole room."""
    if design.room:
        return design.room.width_mm * design.room.height_mm
    return sum(
        area_mm2(panel.outline.corners) for sub in design.sub_assemblies for panel in sub.panels
    )
