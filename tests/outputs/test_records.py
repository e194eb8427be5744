"""Records as JSON, and their schema judged by an independent validator."""

import json
import math
from datetime import date
from enum import StrEnum

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.findings import Where
from lamphouse.outputs.records import plain, schema_of, to_text, unit_of
from lamphouse.record import Record


class Kind(StrEnum):
    ONE = "one"
    TWO = "two"


class Inner(Record):
    """The inner record."""

    depth_mm: float
    """How deep it is."""
    spots: tuple[tuple[float, float], ...] = ()


class Outer(Record):
    """The outer record."""

    name: str
    kind: Kind
    inner: Inner | None
    day: date
    count: int = 1
    lead_ohm: float = 0.0


SCHEMA = schema_of(Outer, title="t", description="d")
OUTER = st.builds(
    Outer,
    name=st.text(),
    kind=st.sampled_from(Kind),
    inner=st.none()
    | st.builds(
        Inner,
        depth_mm=st.floats(-1e300, 1e300),
        spots=st.lists(st.tuples(st.floats(-1e3, 1e3), st.floats(-1e3, 1e3))).map(tuple),
    ),
    day=st.dates(),
    count=st.integers(),
    lead_ohm=st.floats(0, 1e6),
)


@given(OUTER)
def test_every_record_fits_its_schema_and_survives_the_text(record):
    value = plain(record)
    jsonschema.validate(value, SCHEMA, cls=jsonschema.Draft202012Validator)
    assert json.loads(to_text(value)) == value


def test_the_schema_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "three"},
        {"name": 5},
        {"count": 1.5},
        {"inner": {"depth_mm": 1.0}},
        {"inner": {"depth_mm": 1.0, "spots": [[1.0]]}},
        {"more": 1},
    ],
)
def test_the_schema_refuses_what_no_record_gives(change):
    sound = plain(Outer(name="", kind=Kind.ONE, inner=None, day=date(2026, 1, 1)))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**sound, **change}, SCHEMA, cls=jsonschema.Draft202012Validator)


def test_units_and_words_reach_the_description():
    described = SCHEMA["$defs"]["Inner"]["properties"]["depth_mm"]["description"]
    assert described == "In mm. How deep it is."
    assert SCHEMA["$defs"]["Outer"]["properties"]["lead_ohm"]["description"] == "In ohm."


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("depth_mm", "mm"),
        ("ohm_per_m", ""),
        ("copper_ohm_per_m", "ohm per m"),
        ("drift_V_per_K", "V per K"),
        ("luminance_cd_m2", "cd/m2"),
        ("warmest_degC", "degC"),
        ("name", ""),
    ],
)
def test_units_are_read_from_names(name, unit):
    assert unit_of(name) == unit


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_no_number_but_finite_ones(number):
    with pytest.raises(ValueError, match="is no result"):
        plain(Inner(depth_mm=number))


def test_the_last_bits_of_a_number_are_left_out():
    assert plain(Inner(depth_mm=0.1 + 0.2))["depth_mm"] == 0.3
    assert math.copysign(1.0, plain(Inner(depth_mm=-0.0))["depth_mm"]) == 1.0


def test_the_makers_folder_is_no_part_of_a_result():
    here = plain(Where(item="bay", file="/bench/somebody/model/project.yaml", line=3, column=1))
    assert here == {"item": "bay", "file": "project.yaml", "line": 3, "column": 1}


def test_what_no_record_holds_is_refused():
    with pytest.raises(TypeError, match="no record holds a complex"):
        plain(1j)


def test_bytes_are_told_by_their_sum():
    # FIPS 180-4: the SHA-256 of "abc".
    assert plain(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
