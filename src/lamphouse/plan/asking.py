"""What a maker asks a suggestion for, found by name in the design and on the shelf."""

from collections.abc import Iterator, Sequence

from lamphouse.catalogue.cells import nearest
from lamphouse.catalogue.shelf import Shelf
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.plan.suggestion import Request
from lamphouse.plan.variations import Means


def asked(
    design: Design,
    *,
    shelf: Shelf,
    box: str,
    look: str = "",
    led: str = "",
    deepest_mm: float | None = None,
    thorough: bool = False,
) -> Request:
    """Find the box, the look and the LED that are meant.

    Parameters
    ----------
    design, shelf
        As read.
    box
        Its name, or ``sub-assembly / box`` where two have the same.
    look, led
        Names; empty for what the project says.
    deepest_mm
        Clear depth there is room for; None when it is not known.
    thorough
        Whether to search longer.

    Raises
    ------
    LookupError
        If there is no such box, look or LED, or more than one such box; the message says what
        there is.
    """
    sub, panel, found = _box(design, name=box)
    looks = {one.name: one for one in design.looks}
    if look and look not in looks:
        raise LookupError(_unknown("look", look, names=list(looks)))
    if led and led not in shelf.led_types:
        raise LookupError(_unknown("LED type", led, names=list(shelf.led_types)))
    return Request(
        sub=sub,
        panel=panel,
        box=found,
        look=looks.get(look),
        led_type=shelf.led_types.get(led),
        means=Means(
            films=shelf.film_types,
            finishes=shelf.finishes,
            in_hand=frozenset(part.part for part in design.drawer),
            deepest_mm=deepest_mm,
            leds=tuple(shelf.led_types.values()),
        ),
        thorough=thorough,
    )


def _boxes(design: Design) -> Iterator[tuple[SubAssembly, Panel, LightBox]]:
    for sub in design.sub_assemblies:
        panels = {panel.name: panel for panel in sub.panels}
        for name, box in sub.boxes:
            yield sub, panels[name], box


def _box(design: Design, *, name: str) -> tuple[SubAssembly, Panel, LightBox]:
    boxes = list(_boxes(design))
    meant = [one for one in boxes if name in (one[2].name, f"{one[0].name} / {one[2].name}")]
    if len(meant) == 1:
        return meant[0]
    if meant:
        full = ", ".join(f"'{sub.name} / {box.name}'" for sub, _, box in meant)
        several = f"there are {len(meant)} boxes '{name}'; name one of {full}"
        raise LookupError(several)
    raise LookupError(_unknown("box", name, names=[box.name for _, _, box in boxes]))


def _unknown(kind: str, name: str, *, names: Sequence[str]) -> str:
    meant = nearest(name, names)
    if meant:
        return f"no {kind} '{name}'; did you mean '{meant}'?"
    return f"no {kind} '{name}'; there is: {', '.join(dict.fromkeys(names)) or 'none'}"
