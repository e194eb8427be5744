"""A JSON Schema of the project file, so that editors complete keys and mark slips while typing."""

from collections.abc import Iterator
from typing import Any

from pydantic.fields import FieldInfo

from lamphouse.project.fields.project_fields import ProjectFields
from lamphouse.project.fields.sections import Section
from lamphouse.project.fields.values import Measure
from lamphouse.project.upgrade import NEWEST
from lamphouse.units import show

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_NOTHING = {"type": "null"}


def project_schema() -> dict[str, Any]:
    """Make the schema of the newest layout from the fields themselves.

    It is a first sieve: measures must carry some unit, choices must be one of their words, and no
    key may be unknown. What ``check`` says is stricter. Defaults are written as a maker would.
    """
    made = ProjectFields.model_json_schema(by_alias=True)
    sections = {section.__name__: section for section in _sections(Section)}
    _finish(made, ProjectFields)
    for name, schema in made["$defs"].items():
        _finish(schema, sections[name])
    return {
        "$schema": DIALECT,
        **made,
        "title": f"Lamphouse project, layout {NEWEST}",
    }


def _sections(kind: type[Section]) -> Iterator[type[Section]]:
    for section in kind.__subclasses__():
        yield section
        yield from _sections(section)


def _finish(schema: dict[str, Any], section: type[Section]) -> None:
    """Give every field of a section its help, its default in words, and room to be empty."""
    schema.pop("title", None)
    for name, field in section.model_fields.items():
        key = field.alias or name
        schema["properties"][key] = _finished(schema["properties"][key], field)


def _finished(made: dict[str, Any], field: FieldInfo) -> dict[str, Any]:
    made.pop("title", None)
    made.pop("default", None)
    kinds = [part for part in made.get("anyOf", [made]) if part != _NOTHING]
    if len(kinds) == 1 and "$ref" not in kinds[0]:
        made = {**kinds[0]}
    if made.get("type") == "object":
        made["additionalProperties"] = False
    if made.get("type") in ("object", "array"):
        made["type"] = [made["type"], "null"]
    made["description"] = field.description
    default = _default_in_words(field)
    if default is not None:
        made["default"] = default
    return made


def _default_in_words(field: FieldInfo) -> str | int | None:
    """Give a default as it would stand in the file; None when leaving it out says nothing."""
    default = field.default
    measure = next((kind for kind in field.metadata if isinstance(kind, Measure)), None)
    if measure and isinstance(default, float):
        return show(default, measure.quantity)
    if measure and isinstance(default, tuple):
        parts = [show(number, measure.quantity) for number in default]
        return measure.joined(parts)
    if isinstance(default, str):
        return str(default) or None
    return default if isinstance(default, int) else None
