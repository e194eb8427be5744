"""New resistors and currents written into the maker's file, each in its place."""

from lamphouse.design.lightbox import LightBox
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.project.naming import is_row, row_names
from lamphouse.project.splice import Value
from lamphouse.project.tree import Keyed, Node, Path
from lamphouse.project.write import ChangeError, add_item, set_value, sound_tree
from lamphouse.units import Quantity, show


def written_balance(text: str, *, before: Design, after: Design) -> str:
    """Give the text of a project with the strings and currents of a changed design.

    Parameters
    ----------
    text
        The whole file, from which ``before`` was read.
    before, after
        They differ in strings and in the currents of LEDs in boxes.

    Raises
    ------
    ChangeError
        If the text is no sound project file or does not hold the strings and LEDs.
    """
    for old, new in zip(before.sub_assemblies, after.sub_assemblies, strict=True):
        if old != new:
            text = _with_strings(text, sub=new, before=old)
            for (panel, was), (_, now) in zip(old.boxes, new.boxes, strict=True):
                at: Path = ("sub_assemblies", new.name, "panels", panel, "boxes", now.name, "leds")
                text = _with_currents(text, leds=at, before=was, after=now)
    return text


def _with_strings(text: str, *, sub: SubAssembly, before: SubAssembly) -> str:
    home: Path = ("sub_assemblies", sub.name)
    strings: Path = (*home, "strings")
    old = {wish.name: wish for wish in before.strings}
    if sound_tree(text).find(strings) is None:
        text = add_item(text, home, {}, key="strings")
    for wish in sub.strings:
        if wish.resistor_ohm is None or wish == old.get(wish.name):
            continue
        ohm = show(wish.resistor_ohm, Quantity.RESISTANCE)
        place: Path = (*strings, wish.name)
        if wish.name not in old:
            fields: dict[str, Value] = {"leds": list(wish.leds), "resistor": ohm}
            text = add_item(text, strings, fields, key=wish.name)
        elif sound_tree(text).find((*place, "resistor")) is None:
            text = add_item(text, place, ohm, key="resistor")
        else:
            text = set_value(text, (*place, "resistor"), ohm)
    return text


def _with_currents(text: str, *, leds: Path, before: LightBox, after: LightBox) -> str:
    old = {led.name: led.current_A for led in before.leds}
    new = {led.name: led.current_A for led in after.leds}
    if old == new:
        return text
    node = sound_tree(text).find(leds)
    if not isinstance(node, Keyed):
        lost = f"the file holds no LEDs of box '{after.name}'"
        raise ChangeError(lost)
    for key, entry in node.entries.items():
        name = _first_name(key, node=entry.value)
        if new[name] != old[name]:
            text = set_value(text, (*leds, key, "current"), show(new[name], Quantity.CURRENT))
    return text


def _first_name(key: str, *, node: Node) -> str:
    return next(row_names(key, count=2 if is_row(node) else 1))
