"""From the tree to checked fields, every fault of the file told at once.

Where a value has a fault, a sound one stands in for it, or its item is left out, and the rest is
checked again, so that names which point at nothing are told in the same run. Such fields never
become a design.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from lamphouse.catalogue.shelf import nearest
from lamphouse.findings import Finding, Where
from lamphouse.project import field_rules, text_rules
from lamphouse.project.fields.project_fields import ProjectFields
from lamphouse.project.fields.values import EMPTY, UNFIT_NAME, Kind
from lamphouse.project.naming import GROUPED, SPOKEN, item_and_key
from lamphouse.project.tree import Keyed, Path, Text, Tree, plain
from lamphouse.record import Record
from lamphouse.units import UnitError, parse_scale

MOST_TOLD = 200
"""Faults in fields told at once."""

MOST_ROUNDS = 10
"""How often what is left is checked again."""

_RULES = {
    "PRJ022": field_rules.not_understood,
    "PRJ023": field_rules.out_of_range,
    "PRJ024": field_rules.wrong_kind,
    "PRJ027": field_rules.unfit_name,
    "PRJ028": field_rules.keys_apart,
}

_STAND_IN: Mapping[str, Any] = {
    "lamphouse": "1",
    "name": "stand-in",
    "scale": "1:1",
    "supply": {"kind": "plug-in supply", "voltage": "12 V", "max_current": "1 A"},
}
"""Takes the place of outermost values that have no default, so that the rest can be checked."""


class Checked(Record):
    """What the fields of a file hold."""

    fields: ProjectFields | None
    """None when even the rest could not be checked."""
    findings: tuple[Finding, ...]
    complete: bool
    """Whether the fields hold all that the maker wrote, but for unknown keys."""
    lost: frozenset[str]
    """Kinds of items left out for a fault, such as ``groups``; a name may point at one of them."""


def check_fields(tree: Tree) -> Checked:
    """Check every value of a file.

    Unknown keys are told and passed over; every other fault makes the fields incomplete.
    """
    raw = plain(tree.root)
    scale = _scale_of(raw)
    findings: tuple[Finding, ...] = ()
    lost: set[str] = set()
    complete = True
    for round_number in range(MOST_ROUNDS):
        try:
            fields = ProjectFields.model_validate(raw, context={"scale": scale})
        except ValidationError as fault:
            errors = fault.errors(include_url=False, include_input=False)
        else:
            return Checked(
                fields=fields, findings=findings, complete=complete, lost=frozenset(lost)
            )
        if round_number == 0:
            findings = tuple(_findings(errors, tree))
        complete = complete and all(error["type"] == "extra_forbidden" for error in errors)
        mends = [_mend_of(error, gently=round_number == 0) for error in errors]
        lost |= {mend.lost for mend in mends if mend.lost}
        raw = _mended(raw, mends)
    return Checked(fields=None, findings=findings, complete=False, lost=frozenset(lost))


def _scale_of(raw: Mapping[str, Any]) -> float:
    """Give the scale; 1 when it has a fault of its own, which is told there and nowhere else."""
    try:
        return parse_scale(str(raw.get("scale", "")))
    except UnitError:
        return 1.0


class _Mend(Record):
    """What is done about an error so that the rest can be checked."""

    path: Path
    stand_in: Any = None
    """Put at the path; None cuts it out."""
    lost: str = ""
    """Kind of item that is cut out."""


def _mend_of(error: Mapping[str, Any], *, gently: bool) -> _Mend:
    """Choose a mend: a sound value in the place of a faulty one, else the item is left out.

    ``gently`` is for the first round; an error that comes back takes its whole item with it.
    """
    path = _path_of(error)
    if error["type"] == "extra_forbidden":
        return _Mend(path=path)
    field = _field_at(path)
    if gently and field and "[key]" not in error["loc"]:
        kind = _kind_of(field)
        stand_in = kind.stand_in() if kind else None
        if stand_in is not None:
            return _Mend(path=path, stand_in=stand_in)
        if not field.is_required():
            key = str(path[-1])
            return _Mend(path=path, lost=key if key in GROUPED | SPOKEN else "")
    for depth in range(len(path) - 2, -1, -1):
        if path[depth] in GROUPED | SPOKEN:
            return _Mend(path=path[: depth + 2], lost=str(path[depth]))
    return _Mend(path=path[:1], lost=str(path[0]))


def _mended(raw: Any, mends: list[_Mend]) -> Any:
    """Carry out mends on a copy; what must not be missing outermost is stood in for."""
    kept = _without(raw, {mend.path for mend in mends if mend.stand_in is None}, ())
    for mend in mends:
        if mend.stand_in is not None:
            _put(kept, mend.path, mend.stand_in)
    return {**_STAND_IN, **kept}


def _put(raw: Any, path: Path, value: Any) -> None:
    """Put a value at a path, where the keys and lists on the way are there."""
    for step in path[:-1]:
        if isinstance(raw, dict):
            raw = raw.get(str(step))
        elif isinstance(raw, list):
            raw = raw[int(step)] if int(step) < len(raw) else None
    if isinstance(raw, dict):
        raw[str(path[-1])] = value
    elif isinstance(raw, list) and int(path[-1]) < len(raw):
        raw[int(path[-1])] = value


def _without(raw: Any, cuts: set[Path], path: Path) -> Any:
    """Copy nested values without the paths to cut."""
    if isinstance(raw, dict):
        return {
            key: _without(value, cuts, (*path, key))
            for key, value in raw.items()
            if (*path, key) not in cuts
        }
    if isinstance(raw, list):
        return [
            _without(value, cuts, (*path, number))
            for number, value in enumerate(raw)
            if (*path, number) not in cuts
        ]
    return raw


def _path_of(error: Mapping[str, Any]) -> Path:
    return tuple(step for step in error["loc"] if step != "[key]")


def _findings(errors: list[Any], tree: Tree) -> Iterator[Finding]:
    commas = dict(_comma_traps(errors, tree))
    silent = {(*path[:-1], key) for path, keys in commas.items() for key in keys}
    silent |= set(_meant_by_unknown(errors))
    told = [error for error in errors if _path_of(error) not in silent]
    for error in told[:MOST_TOLD]:
        path = _path_of(error)
        item, key = item_and_key(path)
        key = key or str(path[-1])
        where = tree.where(path, item=item)
        if path in commas:
            parts = _cut_parts(tree, path, commas[path])
            yield from field_rules.comma_in_braces(where, key=key, parts=parts)
        else:
            yield from _finding(error, path, where, key, tree)
    if len(told) > MOST_TOLD:
        yield from text_rules.beyond_limit(
            Where(item="file", file=tree.file),
            what=f"{len(told)} faults in its fields",
            most=MOST_TOLD,
            why="are told at once",
        )
    faulty = {_path_of(error) for error in told}
    for path in [path for path in commas if path not in faulty]:
        item, key = item_and_key(path)
        key = key or str(path[-1])
        parts = _cut_parts(tree, path, commas[path])
        yield from field_rules.comma_in_braces(tree.where(path, item=item), key=key, parts=parts)


def _meant_by_unknown(errors: list[Any]) -> Iterator[Path]:
    """Find the missing keys that an unknown one was most likely meant to be."""
    missing = {_path_of(error) for error in errors if error["type"] == "missing"}
    short = {path[:-1] for path in missing}
    for error in errors:
        *parent, key = _path_of(error)
        if error["type"] == "extra_forbidden" and tuple(parent) in short:
            meant = (*parent, nearest(str(key), keys_at(tuple(parent))) or "")
            if meant in missing:
                yield meant


def _finding(
    error: Mapping[str, Any], path: Path, where: Where, key: str, tree: Tree
) -> Iterable[Finding]:
    code = error["type"]
    if code == "extra_forbidden":
        return field_rules.unknown_key(where, key=str(path[-1]), known=keys_at(path[:-1]))
    if code == "missing":
        add = f"{path[-1]}: {_example_at(path)}"
        return field_rules.missing_key(where, key=key, add=add)
    problem, remedy = _words(error, path)
    if code == EMPTY:
        return field_rules.no_value(where, key=key, comment=_comment_at(tree, path), remedy=remedy)
    if code == UNFIT_NAME:
        key = "name"
    return _RULES.get(code, field_rules.wrong_kind)(where, key=key, problem=problem, remedy=remedy)


def _words(error: Mapping[str, Any], path: Path) -> tuple[str, str]:
    """Give problem and remedy; the library's own errors are about the number of items only."""
    context = error.get("ctx", {})
    if "problem" in context:
        return context["problem"], context["remedy"]
    if error["type"] == "too_short":
        return "the list is empty", "write at least one"
    if error["type"] == "too_long":
        return "the list is too long", f"write at most {context['max_length']}"
    return "keys with values are wanted here", f"write {path[-1]}: {_section_example(path)}"


def _comment_at(tree: Tree, path: Path) -> str:
    """Give the comment right behind a value that is not there; empty when there is none."""
    node = tree.find(path)
    if not isinstance(node, Text):
        return ""
    rest = re.compile(r"[ \t]*(#\S[^\r\n]*)").match(tree.text, node.end.index)
    return rest[1].split(" #")[0].strip()[:40] if rest else ""


def _comma_traps(errors: list[Any], tree: Tree) -> Iterator[tuple[Path, list[str]]]:
    """Find values cut in two by a comma between braces, with the keys their rests became."""
    extra = {_path_of(error) for error in errors if error["type"] == "extra_forbidden"}
    for parent in sorted({path[:-1] for path in extra}, key=str):
        node = tree.find(parent)
        if not isinstance(node, Keyed) or not node.in_brackets:
            continue
        before = None
        for key, entry in node.entries.items():
            is_rest = (
                (*parent, key) in extra
                and isinstance(entry.value, Text)
                and entry.value.start == entry.value.end
                and re.match(r"[-+.\d#]", key)
            )
            if not is_rest:
                before, rests = (*parent, key), []
            elif before is not None:
                rests.append(key)
                yield before, rests


def _cut_parts(tree: Tree, path: Path, rests: list[str]) -> list[str]:
    """Give all parts of a value that was cut, each with a unit where the last one has one."""
    node = tree.find(path)
    parts = [node.text if isinstance(node, Text) else "", *rests]
    unit = re.search(r"[a-z]+$", parts[-1])
    if unit:
        parts = [f"{part} {unit[0]}" if re.fullmatch(r"[-+.\d]+", part) else part for part in parts]
    return parts


def _model_at(path: Path) -> type[BaseModel] | None:
    """Give the section whose keys stand at a path."""
    model: type[BaseModel] | None = ProjectFields
    steps = iter(path)
    for step in steps:
        field = _fields_of(model).get(str(step)) if model else None
        if field is None:
            return None
        model, holds_many = _section_in(field)
        if holds_many:
            next(steps, None)
    return model


def _fields_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _section_in(field: FieldInfo) -> tuple[type[BaseModel] | None, bool]:
    """Give the section a field holds, and whether it holds several by name or number."""
    many = False
    waiting: list[Any] = [field.annotation]
    while waiting:
        kind = waiting.pop()
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            return kind, many
        many = many or getattr(kind, "__origin__", None) in (dict, list)
        waiting += get_args(kind)
    return None, many


def keys_at(path: Path) -> list[str]:
    """List the keys that may stand at a path."""
    model = _model_at(path)
    return list(_fields_of(model)) if model else []


def _field_at(path: Path) -> FieldInfo | None:
    """Give the field of the value at a path."""
    model = _model_at(path[:-1])
    return _fields_of(model).get(str(path[-1])) if model else None


def _example_at(path: Path) -> str:
    """Give an example for the value at a path, from its kind."""
    field = _field_at(path)
    kind = _kind_of(field) if field else None
    if kind is None:
        return _section_example(path)
    schema = kind.described()
    return str((schema.get("examples") or schema.get("enum") or [schema.get("minimum")])[0])


def _section_example(path: Path) -> str:
    """Give a section with the keys it cannot do without, nested sections left out."""
    model = _model_at(path)
    fields = _fields_of(model) if model else {}
    needed = [name for name, field in fields.items() if field.is_required()]
    return f"{{{', '.join(f'{name}: {_example_at((*path, name))}' for name in needed)}}}"


def _kind_of(field: FieldInfo) -> Kind | None:
    """Give the kind of value a field holds, also where it may be left out; None for sections."""
    notes = [*field.metadata]
    for part in get_args(field.annotation):
        notes += getattr(part, "__metadata__", ())
    return next((note for note in notes if isinstance(note, Kind)), None)
