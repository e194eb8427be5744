"""Drills chosen for strands and round openings, pilots, order of holes, and the chart."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.catalogue.shelf import built_in
from lamphouse.cutting import drill
from lamphouse.shapes import outline
from tolerances import EXACT, TABLE

MICROMETRE = 0.001


@pytest.fixture
def published(reference):
    return json.loads((reference / "drills_cutting" / "values.json").read_text())


def test_fibres_get_the_drills_a_worker_chose(published):
    fibres = built_in().fibre_types
    for row in published["fibre_drills"]:
        kind = fibres[f"fibre {row['fibre_mm']} mm"]
        chosen = drill.drill_for_strand(s.strand("F", 1, 1, kind=kind), drills=s.DRILLS)
        assert chosen.name == row["drill"]


def test_number_drills_have_the_published_diameters(published):
    by_name = {d.name: d.diameter_mm for d in s.DRILLS}
    for number, diameter in published["number_mm"].items():
        assert by_name[f"#{number}"] == pytest.approx(diameter, abs=TABLE * MICROMETRE + EXACT)
    metric = [d.diameter_mm for d in s.DRILLS if not drill.is_numbered(d)]
    count = len(published["metric_first"])
    assert sorted(metric)[:count] == published["metric_first"]


def test_every_fibre_of_the_shelf_has_a_drill_within_its_band():
    for kind in built_in().fibre_types.values():
        strand = s.strand("F", 1, 1, kind=kind)
        least, most = drill.band_mm(strand)
        chosen = drill.drill_for_strand(strand, drills=s.DRILLS)
        assert least - 1e-6 <= chosen.diameter_mm <= most + 1e-6


@given(st.floats(0.25, 6), st.floats(0.0, 0.1), st.floats(0.0, 0.3))
def test_no_drill_of_the_band_is_nearer_to_its_middle(diameter, least, spread):
    kind = s.fibre(diameter, clearance=(least, least + spread))
    strand = s.strand("F", 1, 1, kind=kind)
    low, high = diameter + least, diameter + least + spread
    inside = [d for d in s.DRILLS if low <= d.diameter_mm <= high]
    chosen = drill.drill_for_strand(strand, drills=s.DRILLS)
    if chosen is None:
        assert not inside
        return
    middle = (low + high) / 2
    assert all(
        abs(chosen.diameter_mm - middle) <= abs(d.diameter_mm - middle) + EXACT for d in inside
    )


def test_insisted_hole_takes_the_nearest_drill_the_fibre_passes():
    assert drill.drill_for_strand(s.strand("F", 1, 1, hole_mm=0.7), drills=s.DRILLS).name == (
        "0.70 mm" if any(d.name == "0.70 mm" for d in s.DRILLS) else "0.7 mm"
    )
    tight = drill.drill_for_strand(s.strand("F", 1, 1, hole_mm=0.5), drills=s.DRILLS)
    assert tight.diameter_mm >= 0.5
    assert drill.drill_for_strand(s.strand("F", 1, 1, hole_mm=16.0), drills=s.DRILLS) is None


@pytest.mark.parametrize(
    ("diameter", "name"),
    [(3.0, "3.0 mm"), (1.2, "1.2 mm"), (0.533, "#75"), (5.93, "5.9 mm"), (6.2, None), (32.0, None)],
)
def test_round_openings_are_drilled_when_a_drill_is_near(diameter, name):
    chosen = drill.drill_for_round(diameter, drills=s.DRILLS)
    assert (chosen.name if chosen else None) == name


def test_round_opening_between_distant_drills_is_cut():
    few = [d for d in s.DRILLS if d.name in ("3.0 mm", "3.5 mm")]
    assert drill.drill_for_round(3.04, drills=few).name == "3.0 mm"
    assert drill.drill_for_round(3.25, drills=few) is None


def test_pilot_is_about_half_above_one_and_a_half():
    by_name = {d.name: d for d in s.DRILLS}
    assert drill.pilot_of(by_name["1.5 mm"], drills=s.DRILLS) is None
    pilot = drill.pilot_of(by_name["3.0 mm"], drills=s.DRILLS)
    assert pilot.diameter_mm == pytest.approx(1.5, abs=0.05)


def test_twin_is_of_the_other_system_and_nearest():
    by_name = {d.name: d for d in s.DRILLS}
    assert drill.twin_of(by_name["#75"], drills=s.DRILLS).name == "0.52 mm"  # 0.5334: 0.52, 0.55
    assert drill.twin_of(by_name["0.55 mm"], drills=s.DRILLS).name == "#75"
    assert drill.twin_of(by_name["#75"], drills=[by_name["#75"]]) is None


def test_holes_count_by_rows_from_the_top_left():
    strands = [
        s.strand("low right", 30, 5),
        s.strand("top right", 40, 30.2),
        s.strand("low left", 10, 5.4),
        s.strand("top left", 12, 30),
        s.strand("middle", 20, 17),
    ]
    (piece,) = s.cut(s.panel(), strands=strands).pieces
    assert [hole.purpose for hole in piece.holes] == [
        "top left", "top right", "middle", "low left", "low right",
    ]  # fmt: skip
    assert [hole.number for hole in piece.holes] == [1, 2, 3, 4, 5]


@given(st.lists(st.tuples(st.floats(1, 59), st.floats(1, 39)), min_size=1, max_size=30))
def test_every_hole_keeps_its_place_and_gets_one_number(places):
    strands = [s.strand(f"F{i}", x, y) for i, (x, y) in enumerate(places)]
    aims = [
        drill.Aim(purpose=f.name, where=f.where, x_mm=f.x_mm, y_mm=f.y_mm, wanted_mm=0.535,
                  drill=s.DRILLS[5])
        for f in strands
    ]  # fmt: skip
    holes = drill.number_holes(aims, drills=s.DRILLS)
    assert [hole.number for hole in holes] == list(range(1, len(places) + 1))
    assert sorted((h.purpose, h.x_mm, h.y_mm) for h in holes) == sorted(
        (f.name, f.x_mm, f.y_mm) for f in strands
    )


def test_chart_names_both_systems_and_leaves_room_for_the_pen():
    panel = s.panel(s.opening("cable", outline.circle(3, x_mm=8, y_mm=8)))
    (piece,) = s.cut(panel, strands=[s.strand("G1", 20, 30)]).pieces
    first, second = drill.chart(piece)
    assert (first.number, first.purpose, first.drill, first.twin) == (1, "G1", "#75", "0.52 mm")
    assert first.drill_in == pytest.approx(0.021, abs=EXACT)  # ASME B94.11M: #75 is 0.0210 in
    assert (first.pilot, first.tick) == ("", "")
    assert (second.purpose, second.drill, second.wanted_mm) == ("cable", "3.0 mm", 3)
    assert second.pilot.startswith(("#", "1."))
    assert (second.x_mm, second.y_mm) == (8, 8)
