"""plan.json against its own schema, judged by an independent validator."""

import json

import jsonschema

from lamphouse.outputs import planfile
from outputs.sample_plan import NASTY, sample


def strict(text):
    def refuse(name):
        raise AssertionError(name)

    return json.loads(text, parse_constant=refuse)


def test_the_plan_fits_its_schema():
    schema = planfile.schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    value = strict(planfile.to_bytes(sample(*NASTY[:2])))
    jsonschema.validate(value, schema, cls=jsonschema.Draft202012Validator)


def test_every_class_and_every_length_in_the_schema_is_described():
    schema = planfile.schema()
    for kind, body in schema["$defs"].items():
        assert body["description"], kind
        for name, field in body["properties"].items():
            if name.endswith("_mm"):
                assert field["description"].startswith("In mm."), f"{kind}.{name}"


def test_it_says_its_version_and_holds_what_was_computed():
    value = planfile.to_json(sample())
    assert value["lamphouse_plan"] == planfile.VERSION
    circuit = value["plan"]["circuits"][0]
    assert circuit["total_A"]["nominal"] == 0.0041
    assert [string["name"] for string in circuit["strings"]] == ["S1", "S2", "S3"]
    assert value["plan"]["design"]["day"] == "2026-11-25"


def test_the_same_plan_gives_the_same_bytes_with_sorted_keys():
    data = planfile.to_bytes(sample())
    assert data == planfile.to_bytes(sample())
    pairs = json.loads(data, object_pairs_hook=lambda items: [key for key, _ in items])
    assert pairs == sorted(pairs)
