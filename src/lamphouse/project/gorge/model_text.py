"""The whole file of the model: head, loom, groups, scenes and controllers round the modules."""

import re
from collections.abc import Callable, Sequence
from string import Template

from lamphouse.project.gorge.halls import control_room, tunnel, turbine_hall
from lamphouse.project.gorge.module_text import MODULE_MM, GroupText, ModuleText, Place
from lamphouse.project.gorge.yards import boiler_house, offices, switchyard

MODULES = 6
"""As the model stands in its museum."""
MOST_MODULES = 24
"""What a hall of 10 m holds."""
_KINDS: tuple[Callable[[Place], ModuleText], ...] = (
    control_room,
    turbine_hall,
    tunnel,
    boiler_house,
    switchyard,
    offices,
)
_TURNS = {
    "day": ("4 min", 20),
    "evening": ("3 min", 40),
    "night": ("3 min", 40),
    "storm": ("2 min", 5),
}
"""Scenes with how long each lasts and the seconds in which it comes: a cycle of 12 min."""

_HEAD = """\
$title
lamphouse: 1                      # layout of this file
name: Gorge Power Station
revision: $revision
date: 2026-11-26                  # printed on every sheet
scale: 1:50
seed: 50                          # every random choice starts here
paper: A4

room:
  size: $wide x 900 x 300 mm      # $modules modules of 400 x 900 mm, side by side
  room_light: 100 lx              # a museum's hall
  viewing_distance: 80 cm
  hatches:                        # in the floor, where bundles of strands go down to their sources
$hatches

supply:                           # one bought 24 V to 12 V converter for all: the file knows one voltage
  kind: plug-in supply
  voltage: 12 V
  tolerance: 3 %
  max_current: $most
  fuse: $most
  hours_a_day: 10 h               # 300 days a year: 3,000 h

circuit:
  resistors: E12
  resistor_tolerance: 5 %
  ambient: 15 to 30 degC

loom:                             # the wiring under the floor; a fused feed for each module
  supply_at: [10 mm, 890 mm]
  depth: 90 mm
  floor: 6 mm
  wire: $trunk insulated
  feeds:
$feeds

looks:
$looks

groups:                           # strands and LEDs that blink or are dimmed together
$groups

scenes:                           # a day of 12 minutes
$scenes

controllers:                      # one for each module, beside the supply; switch them on together
$controllers

sub_assemblies:
$subs
stock:                            # sheets at hand
$stock

drawer:                           # from one batch with a tenth to spare, for the same colour in ten years
$drawer

accepted: []                      # findings overruled: {code, item, reason}
"""  # noqa: E501 - one line is one line of a project file
_PLANTED = """\
# Gorge Power Station, an invented place: a museum model in $modules modules. This first version carries
# planted mistakes, each marked; `lamphouse check` finds them and says how to mend each.
# mended.yaml beside it is the same model after the mending."""  # noqa: E501 - one line is one line of a project file
_MENDED = """\
# Gorge Power Station, an invented place: the model of project.yaml beside it after the mending.
# What was mended is marked."""

_LOOKS = {
    "diagram": "luminance: 15 to 150 cd/m2, evenness: 60 %",
    "desk screen": "luminance: 10 to 150 cd/m2, evenness: 50 %",
    "gauge": "luminance: 10 to 200 cd/m2, evenness: 55 %",
    "cable bay": "luminance: 5 to 100 cd/m2, evenness: 50 %",
    "furnace": "luminance: 5 to 200 cd/m2, evenness: 50 %",
    "room": "luminance: 5 to 150 cd/m2, evenness: 50 %",
}
_WIRE_NOTES = {
    True: "   # planted: a thin wire, 3 m long",
    False: "   # mended: the loom's own wire",
}
_SEED_NOTES = {
    True: "; planted: all that live by chance have one seed",
    False: "; mended: each draws its own chance",
}


def model_text(*, modules: int = MODULES, planted: bool) -> str:
    """Write the project file of the model.

    Parameters
    ----------
    modules
        How many modules it has; their kinds come in turn.
    planted
        Whether it carries the mistakes of its first version.

    Returns
    -------
    str
        The same text for the same arguments, always.

    Raises
    ------
    ValueError
        If there are no modules or more than ``MOST_MODULES``.
    """
    if not 1 <= modules <= MOST_MODULES:
        message = f"{modules} modules: from 1 to {MOST_MODULES} can be written"
        raise ValueError(message)
    made = [
        _KINDS[number % len(_KINDS)](Place(number=number + 1, planted=planted))
        for number in range(modules)
    ]
    groups = [group for module in made for group in module.groups]
    subs = "\n".join(f"  # {module.title}\n{module.text.rstrip()}\n" for module in made)
    looks = [f"  {name}: {{{look}}}" for name, look in _LOOKS.items() if f"look: {name}" in subs]
    title = Template(_PLANTED if planted else _MENDED).substitute(modules=modules)
    return Template(_HEAD).substitute(
        title=title,
        revision="A" if planted else "B",
        wide=modules * MODULE_MM,
        modules=modules,
        most=f"{max(1, round(0.5 * modules))} A",
        trunk="16/0.2" if modules <= MODULES else "32/0.2",
        hatches="\n".join(module.hatch for module in made if module.hatch),
        feeds=_feeds(made, planted=planted),
        groups=_groups(made, planted=planted),
        scenes=_scenes(groups),
        controllers=_controllers(made),
        looks="\n".join(looks),
        subs=subs,
        stock=_stock(modules),
        drawer=_drawer(subs),
    )


def _feeds(modules: Sequence[ModuleText], *, planted: bool) -> str:
    lines = []
    for number, module in enumerate(modules, start=1):
        wire = note = ""
        if number == len(modules):
            wire = ", wire: 30 AWG insulated" if planted else ""
            note = _WIRE_NOTES[planted]
        subs = ", ".join(module.sub_assemblies)
        at = f"[{(number - 1) * MODULE_MM + 200} mm, 450 mm]"
        lines.append(
            f"    M{number}: {{sub_assemblies: [{subs}], fuse: 1 A, splitter_at: {at}{wire}}}{note}"
        )
    return "\n".join(lines)


def _groups(modules: Sequence[ModuleText], *, planted: bool) -> str:
    lines = []
    for number, module in enumerate(modules, start=1):
        note = _SEED_NOTES[planted] if number == 1 else ""
        lines.append(f"  # module {number}, {module.title}{note}")
        lines += [_group(group) for group in module.groups]
    return "\n".join(lines)


def _group(group: GroupText) -> str:
    source = f"source: {{{group.source}}}, " if group.source else ""
    note = f"   # {group.note}" if group.note else ""
    return (
        f"  {group.name}: {{in: {group.sub_assembly}, {source}pattern: {{{group.pattern}}}}}{note}"
    )


def _scenes(groups: Sequence[GroupText]) -> str:
    dimmed = [(group.name, group.levels) for group in groups if group.levels]
    lines = []
    for scene, (lasts, fade_s) in _TURNS.items():
        lines += [f"  {scene}:", f"    lasts: {lasts}", f"    fade: {fade_s} s", "    levels:"]
        lines += [f"      {name}: {getattr(levels, scene)} %" for name, levels in dimmed]
    return "\n".join(lines)


def _controllers(modules: Sequence[ModuleText]) -> str:
    lines = []
    for number, module in enumerate(modules, start=1):
        names = ", ".join(group.name for group in module.groups if group.is_switched)
        kind = 'type: "8-bit AVR, 28 pins", regulator: yes'
        lines.append(f"  M{number} controller: {{{kind}, groups: [{names}]}}")
    return "\n".join(lines)


def _stock(modules: int) -> str:
    return "\n".join(
        (
            f"  - {{sheet: styrene 1.0 mm, size: 1200 x 600 mm, count: {modules}}}",
            f"  - {{sheet: styrene 0.5 mm, size: 1200 x 600 mm, count: {modules}}}",
            f"  - {{sheet: foam board 3.0 mm, size: 1000 x 700 mm, count: {modules}}}",
        )
    )


def _drawer(subs: str) -> str:
    """List the LEDs to have: what the modules take and a tenth more."""
    lines = []
    for kind in ("white 0603", "warm white 0603"):
        rows = re.findall(rf"type: {kind},[^}}]*", subs)
        taken = sum(_number("count", row) * _number("rows", row) for row in rows)
        lines += [f"  - {{part: {kind}, count: {-(-taken * 11 // 10)}}}"] if taken else []
    return "\n".join(lines)


def _number(key: str, row: str) -> int:
    found = re.search(rf"\b{key}: (\d+)", row)
    return int(found[1]) if found else 1
