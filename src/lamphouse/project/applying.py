"""A suggestion written into the maker's file: the lines it changes, with the reason above them."""

from collections.abc import Iterator, Mapping

from lamphouse.design.artwork import Printer
from lamphouse.design.lightbox import InnerDiffuser, LightBox, Seat
from lamphouse.design.panel import Layer, LayerKind, Opening, Panel
from lamphouse.plan.led_rows import LedRow
from lamphouse.plan.suggestion import Choice, Request
from lamphouse.project.naming import ROW_KEYS, is_row, row_names
from lamphouse.project.remark import remarked
from lamphouse.project.splice import Value
from lamphouse.project.tree import Keyed, Path
from lamphouse.project.write import ChangeError, add_item, remove_item, set_value, sound_tree
from lamphouse.units import Quantity, show

REASON_MARK = "# suggested:"
"""What the line with the reason begins with; a newer one takes its place."""


def applied(text: str, *, request: Request, choice: Choice, reason: str) -> str:
    """Give the text of a project with a choice in place of the box as drawn.

    Parameters
    ----------
    text
        The whole file, from which the request's records were read.
    request, choice
        What was asked for, and what was chosen.
    reason
        Why, in one line; it stands as a comment above the LEDs.

    Raises
    ------
    ChangeError
        If the text is no sound project file or does not hold the box.
    """
    sub: Path = ("sub_assemblies", request.sub.name)
    panel: Path = (*sub, "panels", request.panel.name)
    box: Path = (*panel, "boxes", request.box.name)
    if not isinstance(sound_tree(text).find(box), Keyed):
        lost = f"the file holds no box '{request.box.name}' of panel '{request.panel.name}'"
        raise ChangeError(lost)
    text = _with_box(text, box=box, request=request, choice=choice)
    text = _with_layers(text, openings=(*panel, "openings"), before=request.panel, choice=choice)
    text = _with_leds(text, leds=(*box, "leds"), rows=choice.rows)
    for name in choice.freed:
        text = remove_item(text, (*sub, "strings", name))
    strings = sound_tree(text).find((*sub, "strings"))
    if choice.freed and not (isinstance(strings, Keyed) and strings.entries):
        text = remove_item(text, (*sub, "strings"))
    return remarked(text, at=(*box, "leds"), mark=REASON_MARK, words=reason)


def _mm(length: float) -> str:
    return f"{round(length, 4):g} mm"


def _put(text: str, path: Path, value: Value) -> str:
    """Set the value of a key, or add the key."""
    if sound_tree(text).find(path) is None:
        return add_item(text, path[:-1], value, key=str(path[-1]))
    return set_value(text, path, value)


def _with_box(text: str, *, box: Path, request: Request, choice: Choice) -> str:
    before, after = request.box, choice.box
    if after.depth_mm != before.depth_mm:
        text = set_value(text, (*box, "depth"), _mm(after.depth_mm))
    if after.finish != before.finish:
        text = set_value(text, (*box, "finish"), after.finish.name)
    text = _with_faces(text, box=box, before=before, after=after)
    if after.inner_diffuser != before.inner_diffuser:
        text = _with_inner(text, path=(*box, "inner_diffuser"), inner=after.inner_diffuser)
    return text


def _with_faces(text: str, *, box: Path, before: LightBox, after: LightBox) -> str:
    """Write the finishes of faces, baffles and pillars that are others than before."""
    was = {one.face: one.finish for one in before.faces}
    for one in after.faces:
        if was.get(one.face) != one.finish:
            text = set_value(text, (*box, "faces", one.face), one.finish.name)
    old = {one.name: one.finish for one in before.baffles}
    for baffle in after.baffles:
        if baffle.finish and old.get(baffle.name) != baffle.finish:
            path = (*box, "baffles", baffle.name, "finish")
            text = set_value(text, path, baffle.finish.name)
    return _with_pillars(text, pillars=(*box, "pillars"), before=before, after=after)


def _with_pillars(text: str, *, pillars: Path, before: LightBox, after: LightBox) -> str:
    """Write the finishes of pillars that are others than before, of a row once."""
    node = sound_tree(text).find(pillars)
    if not isinstance(node, Keyed):
        return text
    stood = {one.name: one.finish for one in before.pillars}
    new = {one.name: one.finish for one in after.pillars}
    for key, name in _keys_of(node):
        finish = new.get(name)
        if finish and finish != stood.get(name):
            text = set_value(text, (*pillars, key, "finish"), finish.name)
    return text


def _with_inner(text: str, *, path: Path, inner: InnerDiffuser | None) -> str:
    if inner is None:
        return remove_item(text, path)
    return _put(text, path, {"film": inner.film.name, "height": _mm(inner.height_mm)})


def _written_layer(layer: Layer) -> Value:
    fields: dict[str, Value] = {"film": layer.film.name}
    if layer.count != 1:
        fields["coats" if layer.kind is LayerKind.TINT else "films"] = str(layer.count)
    if layer.printed:
        fields["artwork"] = layer.printed.artwork.file
        if layer.printed.chart:
            fields["chart"] = layer.printed.chart.name
        elif layer.printed.printer is not Printer.INKJET:
            fields["printer"] = str(layer.printed.printer)
        if layer.printed.black_passes is not None:
            fields["black_passes"] = f"{100.0 * layer.printed.black_passes:g} %"
    return fields if len(fields) > 1 else layer.film.name


def _keys_of(node: Keyed) -> Iterator[tuple[str, str]]:
    """List the keys of openings or pillars with the name of the first of each row."""
    for key, entry in node.entries.items():
        yield key, next(row_names(key, count=2 if is_row(entry.value) else 1))


def _with_layers(text: str, *, openings: Path, before: Panel, choice: Choice) -> str:
    node = sound_tree(text).find(openings)
    if choice.panel == before or not isinstance(node, Keyed):
        return text
    was: Mapping[str, Opening] = {opening.name: opening for opening in before.openings}
    now = {opening.name: opening for opening in choice.panel.openings}
    for key, name in _keys_of(node):
        if now[name].layers != was[name].layers:
            layers = [_written_layer(layer) for layer in now[name].layers]
            text = set_value(text, (*openings, key, "layers"), layers)
    return text


def _written_row(row: LedRow) -> dict[str, Value]:
    led = row.led
    fields: dict[str, Value] = {
        "type": led.led_type.name,
        "at": [_mm(led.x_mm), _mm(led.y_mm)],
    }
    if row.count > 1:
        fields |= {"count": str(row.count), "step": [_mm(step) for step in row.step_mm]}
    fields["current"] = show(led.current_A, Quantity.CURRENT)
    if led.seat is not Seat.BACK:
        fields["seat"] = str(led.seat)
    if led.seat is Seat.WALL:
        fields["height"] = _mm(led.height_mm)
    if led.turn_deg:
        fields["turn"] = f"{led.turn_deg:g} deg"
    if led.tilt_deg:
        fields |= {"tilt": f"{led.tilt_deg:g} deg", "towards": f"{led.towards_deg:g} deg"}
    if led.group:
        fields["group"] = led.group
    return fields


SITTING_KEYS = frozenset({"seat", "height", "turn", "tilt", "towards", "group"})
"""Keys of how an LED sits and burns that stand only where they say something."""


def _with_leds(text: str, *, leds: Path, rows: tuple[LedRow, ...]) -> str:
    """Write the rows: a key that stays keeps its line, the others come and go whole."""
    node = sound_tree(text).find(leds)
    before = list(node.entries) if isinstance(node, Keyed) else []
    if node is None:
        text = add_item(text, leds[:-1], {}, key="leds")
    for row in rows:
        fields = _written_row(row)
        if row.key not in before:
            text = add_item(text, leds, fields, key=row.key)
            continue
        for field, value in fields.items():
            text = _put(text, (*leds, row.key, field), value)
        for gone in sorted((ROW_KEYS | SITTING_KEYS) - fields.keys()):
            if sound_tree(text).find((*leds, row.key, gone)) is not None:
                text = remove_item(text, (*leds, row.key, gone))
    for key in before:
        if key not in {row.key for row in rows}:
            text = remove_item(text, (*leds, key))
    return text
