"""Frozen records as plain JSON values, and the JSON Schema of their classes.

Every field of a record is a key of the same name, so a number's unit stands in its key. Tuples are
arrays, words of a fixed set are strings, days are ISO 8601, bytes (the pixels of a picture) are
their SHA-256, and no number is ever NaN or infinite.
"""

import ast
import inspect
import json
import math
import textwrap
import types
import typing
from collections.abc import Iterable, Mapping
from datetime import date
from enum import Enum
from functools import cache
from hashlib import sha256
from pathlib import PurePath
from typing import Any

from lamphouse.findings import Where
from lamphouse.record import Record

_DIGITS = 10
"""Significant digits of a written number: beyond them the last bits differ between machines."""
DIALECT = "https://json-schema.org/draft/2020-12/schema"
_UNITS = {
    "mm": "mm",
    "cm2": "cm2",
    "A": "A",
    "mA": "mA",
    "Ah": "Ah",
    "V": "V",
    "W": "W",
    "ohm": "ohm",
    "ohm_per_m": "ohm per m",
    "V_per_K": "V per K",
    "deg": "degree",
    "degC": "degC",
    "K": "K",
    "lm": "lm",
    "lx": "lx",
    "cd_m2": "cd/m2",
    "nm": "nm",
    "s": "s",
    "h": "h",
}
"""Units by the ending of a name; a longer ending comes before a shorter one."""


def plain(value: Any) -> Any:
    """Turn a record, and all it holds, into values that JSON knows.

    A place in the maker's file keeps only the file's name: the folder it lies in is no part of a
    result.

    Raises
    ------
    ValueError
        If a number is not finite.
    TypeError
        If there is something that no record holds.
    """
    if isinstance(value, Where):
        value_file = PurePath(value.file).name
        return {"item": value.item, "file": value_file, "line": value.line, "column": value.column}
    if isinstance(value, Record):
        return {name: plain(getattr(value, name)) for name in value.__struct_fields__}
    if isinstance(value, Mapping):
        return {str(key): plain(inner) for key, inner in value.items()}
    if isinstance(value, tuple | list):
        return [plain(inner) for inner in value]
    return _scalar(value)


def to_text(value: Any) -> str:
    """Write plain values as JSON: keys sorted, one indent, a line end at the end."""
    return json.dumps(value, sort_keys=True, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def schema_of(
    kind: type, *, title: str, description: str, others: Iterable[type] = ()
) -> dict[str, Any]:
    """Make the JSON Schema (draft 2020-12) of a record class and of all the classes in it.

    Parameters
    ----------
    kind
        A record. Its docstring, and the strings under its fields, become descriptions; a unit
        in a field's name is spelt out in front.
    title, description
        Of the whole schema.
    others
        Classes that fields name without importing them.
    """
    found: dict[str, Any] = {}
    reference = _schema(kind, found, {other.__name__: other for other in others})
    return {
        "$schema": DIALECT,
        "title": title,
        "description": description,
        **reference,
        "$defs": dict(sorted(found.items())),
    }


def _scalar(value: Any) -> str | int | float | bool | None:
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, bytes):
        return sha256(value).hexdigest()
    if value is None or isinstance(value, str | int):
        return value
    strange = f"no record holds a {type(value).__name__}"
    raise TypeError(strange)


def _number(value: float) -> float:
    rounded = float(f"{value:.{_DIGITS}g}") + 0.0
    if not math.isfinite(rounded):
        unsound = f"{value} is no result"
        raise ValueError(unsound)
    return rounded


def _schema(kind: Any, found: dict[str, Any], others: dict[str, type]) -> dict[str, Any]:
    """Give the schema of a type; classes go into ``found`` and are referred to."""
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if origin in (typing.Union, types.UnionType):
        return {"anyOf": [_schema(option, found, others) for option in inner]}
    if origin is tuple:
        return _array(inner, found, others)
    if origin in (dict, Mapping):
        return {"type": "object", "additionalProperties": _schema(inner[1], found, others)}
    if isinstance(kind, type) and issubclass(kind, Record):
        return _reference(kind, found, others)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return {"enum": [str(member.value) for member in kind]}
    return dict(_SIMPLE[kind])


_SIMPLE: dict[Any, dict[str, Any]] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    float: {"type": "number"},
    date: {"type": "string", "format": "date"},
    bytes: {"type": "string", "pattern": "^[0-9a-f]{64}$"},
    type(None): {"type": "null"},
    Any: {},
}


def _array(
    inner: tuple[Any, ...], found: dict[str, Any], others: dict[str, type]
) -> dict[str, Any]:
    if len(inner) == 2 and inner[1] is ...:
        return {"type": "array", "items": _schema(inner[0], found, others)}
    return {
        "type": "array",
        "prefixItems": [_schema(option, found, others) for option in inner],
        "minItems": len(inner),
        "maxItems": len(inner),
    }


def _reference(
    kind: type[Record], found: dict[str, Any], others: dict[str, type]
) -> dict[str, Any]:
    name = kind.__name__
    if name not in found:
        found[name] = {}
        hints, words = typing.get_type_hints(kind, localns=others), _field_words(kind)
        properties = {
            field: _described(_schema(hints[field], found, others), field, words)
            for field in kind.__struct_fields__
        }
        found[name] = {
            "type": "object",
            "description": inspect.cleandoc(kind.__doc__ or ""),
            "properties": properties,
            "required": sorted(properties),
            "additionalProperties": False,
        }
    return {"$ref": f"#/$defs/{name}"}


def _described(schema: dict[str, Any], name: str, words: Mapping[str, str]) -> dict[str, Any]:
    parts = (f"In {unit}." if (unit := unit_of(name)) else "", words.get(name, ""))
    description = " ".join(part for part in parts if part)
    return {**schema, "description": description} if description else schema


def unit_of(name: str) -> str:
    """Read the unit out of a field's name; empty when it carries none."""
    pieces = name.split("_")
    for start in range(1, len(pieces)):
        ending = "_".join(pieces[start:])
        if ending in _UNITS:
            return _UNITS[ending]
    return ""


@cache
def _field_words(kind: type) -> dict[str, str]:
    """Read the strings that stand under a class's fields in its source."""
    body = ast.parse(textwrap.dedent(inspect.getsource(kind))).body[0]
    if not isinstance(body, ast.ClassDef):
        return {}
    words: dict[str, str] = {}
    for field, below in zip(body.body, body.body[1:], strict=False):
        if (
            isinstance(field, ast.AnnAssign)
            and isinstance(field.target, ast.Name)
            and isinstance(below, ast.Expr)
            and isinstance(below.value, ast.Constant)
        ):
            words[field.target.id] = " ".join(str(below.value.value).split())
    return words
