"""The fields of one item as a form shows them: value, help, example, choices."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from pydantic.fields import FieldInfo

from lamphouse.catalogue.shelf import Shelf
from lamphouse.design.box_faces import BACK, PANEL, WALLS
from lamphouse.design.whole import Design
from lamphouse.project.fields.box_fields import (
    BaffleFields,
    BoxFields,
    CoatFields,
    InnerDiffuserFields,
)
from lamphouse.project.fields.fixing_fields import FixingFields
from lamphouse.project.fields.light_fields import LedFields
from lamphouse.project.fields.panel_fields import (
    LayerFields,
    OpeningFields,
    OverlayFields,
    PanelFields,
    StrandFields,
)
from lamphouse.project.fields.pillar_fields import PillarFields
from lamphouse.project.fields.sections import Section
from lamphouse.project.fields.values import Choice, Count, Measure, Place
from lamphouse.project.tree import Path, Tree, plain
from lamphouse.record import Record, replace
from lamphouse.units import Quantity, UnitError, parse, show, show_both

SECTIONS: Mapping[str, type[Section]] = MappingProxyType(
    {
        "panels": PanelFields,
        "openings": OpeningFields,
        "overlays": OverlayFields,
        "boxes": BoxFields,
        "leds": LedFields,
        "baffles": BaffleFields,
        "pillars": PillarFields,
        "strands": StrandFields,
        "layers": LayerFields,
        "coats": CoatFields,
        "inner_diffuser": InnerDiffuserFields,
        "fixing": FixingFields,
    }
)
"""By the key an item stands under."""
NAMES = MappingProxyType(
    {
        "film": "films",
        "sheet": "sheets",
        "finish": "finishes",
        "type": "LED types",
        "fibre": "fibres",
        "coat": "coats",
        "group": "groups",
        "look": "looks",
    }
)
"""Which names a key takes."""
NESTED = ("inner_diffuser", "fixing")
"""Sections of a box whose fields stand among its own."""
ALONE = MappingProxyType({"layers": "film", "coats": "coat"})
"""What one text stands for in a list."""


TOGETHER = MappingProxyType({"tilt": ("towards", "0 deg"), "towards": ("tilt", "30 deg")})
"""Keys of which one is nothing without the other, with what the other then begins as."""


class Companion(Record):
    """The key that comes and goes with a field."""

    path: tuple[str | int, ...]
    value: str
    """What it begins as."""
    stands: bool
    """Whether the file has it."""


class ShownField(Record):
    """One field of a form."""

    path: tuple[str | int, ...]
    label: str
    value: str
    """As the file has it; empty where it has none."""
    help: str
    example: str
    default: str
    """What holds while it is left out; empty when nothing does."""
    both: str
    """A length in mm and in inches; empty for anything else."""
    choices: tuple[str, ...] = ()
    """All there are; empty where any text may be written."""
    names: str = ""
    """Which names it takes, a key of :func:`names_of`."""
    alone_path: tuple[str | int, ...] = ()
    """Set in place of ``path`` while the item is one text that stands for its keys."""
    also: Companion | None = None


class ShownList(Record):
    """A list of an item, such as its layers, with the fields of every entry."""

    path: tuple[str | int, ...]
    label: str
    help: str
    entries: tuple[tuple[ShownField, ...], ...]
    written: tuple[object, ...]
    """The entries as the file has them."""
    names: str
    """Which names a new entry takes."""
    is_there: bool
    """Whether the file has the key."""


class Form(Record):
    """All that can be typed about one item."""

    path: tuple[str | int, ...]
    fields: tuple[ShownField, ...]
    lists: tuple[ShownList, ...]


def names_of(shelf: Shelf, *, design: Design) -> dict[str, tuple[str, ...]]:
    """List the names that fields take, by what they name."""
    return {
        "films": tuple(shelf.film_types),
        "sheets": tuple(shelf.sheet_stock),
        "finishes": tuple(shelf.finishes),
        "LED types": tuple(shelf.led_types),
        "fibres": tuple(shelf.fibre_types),
        "coats": tuple(shelf.wall_coats),
        "groups": tuple(group.name for group in design.groups),
        "looks": tuple(look.name for look in design.looks),
    }


def film_uses(shelf: Shelf) -> dict[str, str]:
    """Give what each film is for: diffuser, gel, tint coat, print or decal."""
    return {name: film.use for name, film in shelf.film_types.items()}


def form_of(tree: Tree, *, path: Path, scale: float) -> Form:
    """Give the form of an item.

    Parameters
    ----------
    tree
        The file.
    path
        The item: the key before its name, or its own last key, says what it is.
    scale
        Full size over model size.

    Raises
    ------
    LookupError
        If there is no such item, or it is none that a form is made for.
    """
    section = SECTIONS.get(str(path[-2])) if len(path) > 1 else None
    node = tree.find(path)
    if section is None or node is None:
        lost = f"there is no item '{path[-1] if path else ''}'"
        raise LookupError(lost)
    entries = plain(node)
    given: Mapping[str, Any] = entries if isinstance(entries, dict) else {}
    fields: list[ShownField] = []
    lists: list[ShownList] = []
    for name, field in section.model_fields.items():
        key = field.alias or name
        here = (*path, key)
        if key in ALONE:
            lists.append(_list(field, given.get(key), here, scale=scale, is_there=key in given))
        elif key in NESTED and isinstance(given.get(key), dict):
            fields += _of_section(SECTIONS[key], given[key], here, scale=scale, before=key)
        elif key == "faces":
            fields += _faces(field, given, here, scale=scale)
        elif _is_plain(field, key):
            made = _shown(field, key, given.get(key), here, scale=scale)
            fields += (replace(one, also=_companion(key, given, path=path)) for one in made)
    return Form(path=path, fields=tuple(fields), lists=tuple(lists))


def _companion(
    key: str, given: Mapping[str, Any], *, path: tuple[str | int, ...]
) -> Companion | None:
    if key not in TOGETHER:
        return None
    other, value = TOGETHER[key]
    return Companion(path=(*path, other), value=value, stands=other in given)


def _of_section(
    section: type[Section],
    given: Mapping[str, Any],
    path: tuple[str | int, ...],
    *,
    scale: float,
    before: str,
) -> Iterator[ShownField]:
    for name, field in section.model_fields.items():
        key = field.alias or name
        if _is_plain(field, key):
            label = f"{_label(before)} {_label(key)}".strip()
            yield from _shown(field, key, given.get(key), (*path, key), scale=scale, label=label)


def _faces(
    field: FieldInfo, given: Mapping[str, Any], path: tuple[str | int, ...], *, scale: float
) -> Iterator[ShownField]:
    """Give a field for the finish of every face that any box has, and of those the file names."""
    faces = given.get(str(path[-1]))
    own = faces if isinstance(faces, dict) else {}
    for face in dict.fromkeys((BACK, PANEL, WALLS, *own)):
        usual = given.get("finish")
        if face not in (BACK, PANEL, WALLS):
            usual = own.get(WALLS, usual)
        words = f"{face} finish"
        for one in _shown(field, "finish", own.get(face), (*path, face), scale=scale, label=words):
            yield replace(one, default=_text(usual))


def _list(
    field: FieldInfo,
    given: object,
    path: tuple[str | int, ...],
    *,
    scale: float,
    is_there: bool,
) -> ShownList:
    key = str(path[-1])
    alone, section = ALONE[key], SECTIONS[key]
    entries = []
    for number, entry in enumerate(given if isinstance(given, list) else ()):
        here = (*path, number)
        if isinstance(entry, dict):
            entries.append(tuple(_of_section(section, entry, here, scale=scale, before="")))
            continue
        made = _of_section(section, {alone: entry}, here, scale=scale, before="")
        entries.append(tuple(_alone(one, alone=alone, at=here) for one in made))
    return ShownList(
        path=path,
        label=_label(key),
        help=field.description or "",
        entries=tuple(entries),
        written=tuple(given) if isinstance(given, list) else (),
        names=NAMES[alone],
        is_there=is_there,
    )


def _alone(field: ShownField, *, alone: str, at: tuple[str | int, ...]) -> ShownField:
    """Give a field of an entry that is one text: that text is set where it stands."""
    path = at if field.path[-1] == alone else field.path
    return ShownField(
        path=path,
        label=field.label,
        value=field.value,
        help=field.help,
        example=field.example,
        default=field.default,
        both=field.both,
        choices=field.choices,
        names=field.names,
        alone_path=at if field.path[-1] != alone else (),
    )


def _is_plain(field: FieldInfo, key: str) -> bool:
    """Tell whether a field holds one value, not items or a section."""
    return (
        key not in SECTIONS
        and key not in (*("passages", "curve", "traced", "masks", "any_of"),)
        and not (isinstance(field.annotation, type) and issubclass(field.annotation, Section))
    )


def _kinds(field: FieldInfo) -> Iterator[object]:
    """Go through what says how a field is read, wherever it stands in the annotation."""
    yield from field.metadata
    waiting = [field.annotation]
    while waiting:
        one = waiting.pop()
        yield from getattr(one, "__metadata__", ())
        waiting += getattr(one, "__args__", ())


def _shown(
    field: FieldInfo,
    key: str,
    value: object,
    path: tuple[str | int, ...],
    *,
    scale: float,
    label: str = "",
) -> Iterator[ShownField]:
    kinds = list(_kinds(field))
    words = label or _label(key)
    choice = next((kind for kind in kinds if isinstance(kind, Choice)), None)
    measure = next((kind for kind in kinds if isinstance(kind, Measure)), None)
    count = any(isinstance(kind, Count) for kind in kinds)
    if isinstance(value, dict):
        return
    parts: list[tuple[tuple[str | int, ...], str, str]] = [(path, words, _text(value))]
    if isinstance(measure, Place) and isinstance(value, list):
        parts = [
            ((*path, axis), f"{words} {side}".strip(), _text(part))
            for axis, (side, part) in enumerate(zip(("right", "up"), value, strict=False))
        ]
    for at, said, text in parts:
        yield ShownField(
            path=at,
            label=said.strip(),
            value=text,
            help=field.description or "",
            example=getattr(measure, "example", "") if measure else ("4" if count else ""),
            default=_default(field, measure),
            both=_both(text, measure, scale=scale),
            choices=tuple(str(word) for word in choice.of) if choice else (),
            names=NAMES.get(key, ""),
        )


def _text(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return "" if value is None else str(value)


def _label(key: str) -> str:
    return key.replace("_", " ")


def _default(field: FieldInfo, measure: Measure | None) -> str:
    default = field.default
    if measure and isinstance(default, float):
        return show(default, measure.quantity)
    return str(default) if isinstance(default, str | int) and default != "" else ""


def _both(text: str, measure: Measure | None, *, scale: float) -> str:
    if measure is None or measure.quantity is not Quantity.LENGTH or not text:
        return ""
    try:
        return show_both(parse(text, Quantity.LENGTH, scale=scale))
    except UnitError:
        return ""
