"""The shelf as it comes, and with own parts laid over it."""

import re
import subprocess
import sys
from importlib.resources import files

import pytest
from ruamel.yaml import YAML

from lamphouse.catalogue import drills
from lamphouse.catalogue.shelf import TABLES, Shelf, built_in, nearest, with_own
from lamphouse.sources import SOURCES

HEAD = "name,reflectance,shine,source,kind,date\n"


def rows(shelf):
    return [(table, row) for table in TABLES for row in getattr(shelf, table).values()]


def test_the_shelf_has_a_field_for_every_table():
    assert set(Shelf.__struct_fields__) == set(TABLES)
    assert built_in().count() == len(rows(built_in()))


def test_every_built_in_row_cites_a_source():
    assert {row.origin.source for _, row in rows(built_in())} <= set(SOURCES)


def test_every_row_stands_under_its_own_name():
    for table in TABLES:
        mapping = getattr(built_in(), table)
        assert [row.name for row in mapping.values()] == list(mapping)


def test_the_shelf_cannot_be_changed():
    with pytest.raises(TypeError):
        built_in().finishes["new"] = None


def named_parts(node, key=""):
    """Walk a project and give the part names it uses, with the kind of each."""
    kinds = {
        "sheet": "sheet_stock",
        "finish": "finishes",
        "film": "film_types",
        "fibre": "fibre_types",
        "led": "led_types",
        "type": "led_types",
        "wire": "wires",
        "plug": "plugs",
        "resistors": "resistor_packages",
    }
    if isinstance(node, dict):
        for name, value in node.items():
            yield from named_parts(value, name)
    elif isinstance(node, list):
        for value in node:
            yield from named_parts(value, "film" if key == "layers" else key)
    elif key in kinds and isinstance(node, str):
        yield kinds[key], node


def test_every_part_of_the_demo_project_is_on_the_shelf():
    demo = files("lamphouse.project") / "scenarios" / "saltmarsh" / "project.yaml"
    project = YAML(typ="safe").load(demo.read_text(encoding="utf-8"))
    del project["circuit"]
    controllers = project.pop("controllers")
    assert {one["type"] for one in controllers.values()} <= set(built_in().controllers)
    for panels in (wall["panels"] for wall in project["sub_assemblies"].values()):
        for panel in panels.values():
            panel.get("curve", {}).pop("layers", None)
    parts = set(named_parts(project))
    assert len(parts) > 15
    missing = [(table, name) for table, name in parts if name not in getattr(built_in(), table)]
    assert missing == []


def test_an_own_row_overrides_by_name_and_is_told():
    text = HEAD + "matt white paint,84 %,matt,own sample,measured,2026-11-25\n"
    shelf, (finding,) = with_own(built_in(), {"parts/finishes.csv": text})
    assert shelf.finishes["matt white paint"].reflectance == 0.84
    assert built_in().finishes["matt white paint"].reflectance == 0.8
    assert (finding.code, finding.where.line) == ("CAT007", 2)
    assert "REFLECTANCE" in finding.message


LED_HEAD = (
    "name,package,size,colour,peak,white point,forward curve,spread,drift,max current,flux,beam,"
    "source,kind,date\n"
)


def own_white(curve, *, name="white 0603"):
    return LED_HEAD + (
        f"{name},0603,1.6 x 0.8 x 0.6 mm,white,,6500 K,{curve},0.05 V,-3 mV/K,20 mA,1.2 lm at 5 mA,"
        "120 deg,my meter,measured,2026-11-25\n"
    )


@pytest.mark.parametrize(
    ("curve", "told"),
    [
        # The built-in white has 2.65 V at 1 mA and 2.79 V at 5 mA, within 0.2 V. At 2.236 mA, the
        # geometric mean, the straight line along the logarithm is at 2.72 V exactly.
        ("2.65 V at 1 mA; 2.79 V at 5 mA", None),
        ("2.46 V at 1 mA; 2.60 V at 5 mA", None),
        ("2.44 V at 1 mA; 2.60 V at 5 mA", "2.44 V at 1 mA"),
        ("2.50 V at 1 mA; 2.51 V at 2.236067977 mA", "2.51 V at 2.24 mA, where .* 2.72 V"),
        ("2.6 V at 1 mA; 2.98 V at 4.9999 mA; 2.989 V at 5 mA", None),
        ("2.6 V at 1 mA; 3.00 V at 5 mA", "3 V at 5 mA"),
        ("1.0 V at 1 uA; 5.0 V at 40 mA", None),
    ],
)
def test_own_readings_are_compared_with_the_type_they_stand_in_for(curve, told):
    shelf, found = with_own(built_in(), {"parts/led_types.csv": own_white(curve)})
    assert shelf.led_types["white 0603"].origin.source == "my meter"
    warnings = [finding for finding in found if finding.code == "CAT009"]
    assert len(warnings) == (told is not None)
    if told:
        assert re.search(told, warnings[0].message)
    _, beside = with_own(built_in(), {"parts/led_types.csv": own_white(curve, name="my white")})
    assert beside == ()


def test_an_own_row_stands_beside_the_others():
    text = HEAD + "pearl,70 %,matt,own sample,measured,2026-11-25\n"
    shelf, found = with_own(built_in(), {"parts/finishes.csv": text})
    assert found == ()
    assert shelf.count() == built_in().count() + 1
    assert shelf.led_types is built_in().led_types


def test_a_faulty_own_row_leaves_the_built_in_one():
    text = HEAD + "matt white paint,840 %,matt,own sample,measured,2026-11-25\n"
    shelf, found = with_own(built_in(), {"parts/finishes.csv": text})
    assert shelf.finishes == built_in().finishes
    assert [finding.code for finding in found] == ["CAT006"]


def test_own_drills_are_sorted_in():
    text = "name,diameter,source,kind,date\nworn #75,0.525 mm,micrometer,measured,2026-11-25\n"
    shelf, found = with_own(built_in(), {"parts/drills.csv": text})
    sizes = [drill.diameter_mm for drill in shelf.drills.values()]
    assert found == ()
    assert sizes == sorted(sizes)
    assert len(sizes) == len(drills.standard_drills()) + 1


def test_findings_are_told_file_by_file_whatever_the_order_they_come_in():
    names = ["parts/wires.csv", "parts/finishes.csv", "parts/led_types.csv"]
    forth = with_own(built_in(), dict.fromkeys(names, "x"))[1]
    back = with_own(built_in(), dict.fromkeys(reversed(names), "x"))[1]
    assert forth == back
    assert [finding.where.file for finding in forth] == sorted(
        finding.where.file for finding in forth
    )


def test_did_you_mean():
    assert nearest("whte 0603", built_in().led_types) == "white 0603"
    assert nearest("2 pin 1.25mm", built_in().plugs) == "2-pin 1.25 mm"


def test_the_room_pulls_in_no_heavy_library():
    heavy = {"numpy", "scipy", "shapely", "pydantic", "ruamel", "click", "rich", "ezdxf"}
    code = (
        "import sys; from lamphouse.catalogue import shelf; shelf.built_in(); print(*sys.modules)"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True, text=True
    )
    assert not heavy & {name.partition(".")[0] for name in loaded.stdout.split()}
