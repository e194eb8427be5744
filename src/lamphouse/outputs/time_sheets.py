"""The time line's sheet as data for the typesetter: patterns, scenes, flashes and load."""

from collections.abc import Iterator
from typing import Any

from lamphouse.blink.flash_safety import MOST_FLASHES, MOST_SEEN_SR, FlashSafety
from lamphouse.blink.playing import day_of
from lamphouse.blink.track import TICKS_PER_S
from lamphouse.circuit.phrases import amps
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.drawings.drawing import Drawing
from lamphouse.drawings.pattern_strips import load_plot, most_strips, pattern_strips
from lamphouse.outputs.svg import render
from lamphouse.plan.result import Plan
from lamphouse.plan.time_lined import TimeLine
from lamphouse.units import Quantity, show

_WIDTH_MM = 174.0
_TALL_MM = 200.0
"""Strips higher than this are drawn on several pictures."""
_SHORT_S = 20.0
_LONGEST_S = 1800.0
_LOAD_MM = 46.0


def time_line(plan: Plan) -> dict[str, Any] | None:
    """Say what blinks and what that means; None where nothing does."""
    line = plan.time_line
    if line is None:
        return None
    day = day_of(line.table)
    return {
        "strips": [_picture(each) for each in _strips(line, seconds=_SHORT_S)],
        "day": [
            _picture(each)
            for each in _strips(line, seconds=min((day or 0) / TICKS_PER_S, _LONGEST_S))
        ]
        if day
        else [],
        **figures(plan, line),
    }


def figures(plan: Plan, line: TimeLine) -> dict[str, Any]:
    """Say what every group and scene comes to, and draw the load; without the strips."""
    return {
        "groups": list(_groups(plan, line)),
        "scenes": list(_scenes(plan, line)),
        "load": _picture(load_plot(line.load.seconds_A, width_mm=_WIDTH_MM, height_mm=_LOAD_MM)),
        "draws": (
            ("least", amps(line.load.least_A)),
            ("mean", amps(line.load.mean_A)),
            ("worst instant", amps(line.load.worst_A)),
        ),
        "safety": _safety(line.safety),
    }


def _strips(line: TimeLine, *, seconds: float) -> Iterator[Drawing]:
    """Draw as many groups in one picture as fit on a page."""
    table = line.table
    fitting = most_strips(_TALL_MM)
    for start in range(0, len(table.groups), fitting):
        part = table.of_groups(table.groups[start : start + fitting])
        yield pattern_strips(part, seconds=seconds, width_mm=_WIDTH_MM)


def _picture(drawing: Drawing) -> dict[str, Any]:
    return {
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "name": drawing.name,
    }


def _groups(plan: Plan, line: TimeLine) -> Iterator[tuple[str, ...]]:
    patterns = {group.name: group.pattern for group in plan.design.groups}
    flashes = {each.group: each for each in line.safety.groups if not each.what}
    flashes |= {each.group: each for each in line.safety.groups if each.what}
    for name, light in line.load.light:
        pattern, flash = patterns[name], flashes.get(name)
        period = show(pattern.period_s, Quantity.DURATION) if pattern.period_s else ""
        yield (
            name,
            f"{pattern.kind}{', set ' + pattern.set_name if pattern.set_name else ''}",
            period,
            f"{100.0 * light:.0f} %",
            f"{flash.most_in_a_second:g}" if flash else "",
            f"{float(f'{1e3 * flash.seen_sr:.2g}'):g}" if flash else "",
        )


def _scenes(plan: Plan, line: TimeLine) -> Iterator[tuple[str, ...]]:
    scenes = {scene.name: scene for scene in plan.design.scenes}
    for load in line.load.scenes:
        scene = scenes.get(load.scene)
        yield (
            load.scene or "all day",
            show(scene.lasts_s, Quantity.DURATION) if scene else "for ever",
            _begins(scene),
            *(amps(figure) for figure in (load.least_A, load.mean_A, load.worst_A)),
        )


def _begins(scene: Scene | None) -> str:
    if scene is None:
        return ""
    if scene.trigger is Trigger.TIMER and scene.every_s:
        return f"every {show(scene.every_s, Quantity.DURATION)}"
    return str(scene.trigger)


def _safety(safety: FlashSafety) -> str:
    """Give the verdict in one sentence."""
    where = f"from {show(safety.distance_mm, Quantity.LENGTH)}"
    rule = (
        f"more than {MOST_FLASHES} times in a second; at most {MOST_SEEN_SR:g} sr of the view may "
        "do so (WCAG 2.3.1, after ITU-R BT.1702 where the luminance is known)"
    )
    if not any(each.too_often for each in safety.groups):
        return f"Nothing flashes {rule}."
    verdict = "which is within the rule" if safety.is_safe else "which is too much: see BLK001"
    return f"{safety.seen_sr:.2g} sr {where} flash {rule}, {verdict}."
