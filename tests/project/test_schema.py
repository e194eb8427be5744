"""The JSON Schema against its own standard, against the demos, and against the reader."""

import re

import jsonschema
import pytest

from lamphouse.project.checked import keys_at
from lamphouse.project.read import read_text
from lamphouse.project.schema import project_schema
from lamphouse.project.starter import demo_text, starter_text
from lamphouse.project.tree import grow, plain
from project.projects import SMALL

SCHEMA = project_schema()
SECTIONS = {"": SCHEMA, **SCHEMA["$defs"]}


def as_an_editor_reads(value):
    """Resolve texts by the YAML 1.2 core schema (YAML 1.2.2, 10.3.2), as editors do."""
    if isinstance(value, dict):
        return {key: as_an_editor_reads(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [as_an_editor_reads(inner) for inner in value]
    if value in ("", "~", "null", "Null", "NULL"):
        return None
    if value in ("true", "True", "TRUE", "false", "False", "FALSE"):
        return value.lower() == "true"
    if re.fullmatch(r"[-+]?[0-9]+", value):
        return int(value)
    if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", value):
        return float(value)
    return value


def faults(text):
    tree, found = grow(text, file="")
    assert not found
    checker = jsonschema.Draft202012Validator(SCHEMA)
    return [error.message for error in checker.iter_errors(as_an_editor_reads(plain(tree.root)))]


def test_it_is_a_schema_of_its_dialect():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize(
    "text",
    [demo_text("saltmarsh"), demo_text("saltmarsh", "mended.yaml"), starter_text(), SMALL],
    ids=["saltmarsh", "mended", "starter", "small"],
)
def test_it_lets_sound_projects_through(text):
    assert faults(text) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("voltage: 12 V", "voltage: 12"),
        ("voltage: 12 V", "volts: 12 V"),
        ("kind: plug-in supply", "kind: mains"),
        ("at: [76 mm, 40 mm]", "at: [76, 40 mm]"),
        ("at: [76 mm, 40 mm]", "at: [76 mm]"),
        ("scale: 1:24", "scale: 24"),
        ("shape: rectangle 20 x 10 mm", "shape: square 20 mm"),
        ("lamp: {", "lamp: {count: 1000, "),
        ("sub_assemblies:", "subassemblies:"),
    ],
)
def test_it_marks_what_the_reader_refuses(old, new):
    text = SMALL.replace(old, new)
    assert faults(text)
    assert read_text(text, file="").in_the_way or read_text(text, file="").findings


def test_every_field_has_help():
    for name, section in SECTIONS.items():
        assert section["description"], name
        for key, field in section["properties"].items():
            assert field["description"].endswith("."), (name, key)
            assert len(field["description"]) > 10, (name, key)


def test_every_value_has_an_example_that_the_schema_lets_through():
    for name, section in SECTIONS.items():
        for key, field in section["properties"].items():
            if "$ref" in str(field) or "enum" in field or "integer" in str(field.get("type")):
                continue
            assert field.get("examples") or "array" in str(field.get("type")), (name, key)
            for example in field.get("examples", ()):
                tree, _ = grow(f"x: {example}", file="")
                value = as_an_editor_reads(plain(tree.root)["x"])
                jsonschema.Draft202012Validator({**field, "$defs": SCHEMA["$defs"]}).validate(value)


def test_defaults_are_written_as_a_maker_would():
    circuit = SECTIONS["CircuitFields"]["properties"]
    assert circuit["resistor_tolerance"]["default"] == "5 %"
    assert SECTIONS["SupplyFields"]["properties"]["tolerance"]["default"] == "5 %"
    assert SECTIONS["RoomFields"]["properties"]["room_light"]["default"] == "50 lx"


def test_keys_are_found_at_any_depth():
    assert "voltage" in keys_at(("supply",))
    path = ("sub_assemblies", "a", "panels", "b", "boxes", "c", "leds", "d")
    assert set(keys_at(path)) == set(SECTIONS["LedFields"]["properties"])
    assert set(keys_at(("sub_assemblies", "a", "panels", "b", "curve", "layers", 0))) == {
        "sheet",
        "holes_from",
    }
    assert keys_at(("nowhere", "at all")) == []
