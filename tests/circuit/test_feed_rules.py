"""Cells, fuses and protection: each finding, and that its mend mends."""

import json
import re

import pytest
from scipy.integrate import solve_ivp

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.surge_rules import surge_A2s
from lamphouse.circuit.verdict import judge_feed, judge_sub_assembly, judge_supply
from lamphouse.design.loom import FeedWish
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import CellPack, Holder, SupplyKind, Way
from lamphouse.findings import Where
from lamphouse.record import replace
from lamphouse.units import Quantity, parse
from tolerances import EXACT, PHYSICS

SHELF = built_in()
CELLS, FUSES, PROTECTORS = SHELF.cell_types, SHELF.fuses, SHELF.protectors


def celled(make, name, series=1, parallel=1, *, cut_off_V=None, holder=None, **kept):
    cell = CELLS[name]
    pack = CellPack(
        cell=cell, series=series, parallel=parallel, holder=holder,
        cut_off_V=cell.cut_off_V if cut_off_V is None else cut_off_V,
    )  # fmt: skip
    given = {"kind": SupplyKind.CELLS, "cells": pack, "tolerance": 0.1} | kept
    return make.supply(series * cell.nominal_V, **given)


def judged(make, power, *lamps, groups=(), feeds=(), **habits):
    """Findings by code on the feed of a model with one sub-assembly."""
    sub = make.sub(*(lamps or (make.leds("W", 3),)))
    settings = make.habits(**habits)
    circuit, _ = judge_sub_assembly(sub, supply=power, habits=settings, package=make.PACKAGE)
    load, found = judge_supply([circuit], supply=power, groups=groups, feeds=feeds)
    _, more = judge_feed(
        (circuit,),
        load=load,
        supply=power,
        pigtails=(sub.pigtail,),
        habits=settings,
        groups=groups,
    )
    by_code = {}
    for finding in (*found, *more):
        by_code.setdefault(finding.code, []).append(finding)
    return by_code


def number(words, unit):
    return float(re.search(rf"([\d.]+) {unit}", words)[1])


class TestCells:
    def test_sound_cells_have_no_findings(self, make):
        power = celled(make, "alkaline AA", 3, hours_a_day=4.0)
        assert judged(make, power) == {}

    def test_the_voltage_is_that_of_the_cells(self, make):
        power = replace(celled(make, "alkaline AA", 3), voltage_V=6.0)
        (found,) = judged(make, power)["CIR050"]
        assert "4.5 V" in found.remedy
        assert "count: 4" in found.remedy
        mended = celled(make, "alkaline AA", 4)
        assert "CIR050" not in judged(make, mended)

    def test_cells_stand_in_a_supply_of_cells_alone(self, make):
        power = replace(celled(make, "alkaline AA", 3), kind=SupplyKind.USB_PORT)
        assert "kind: cells" in judged(make, power)["CIR050"][0].remedy

    def test_cells_above_the_ceiling_are_refused_whatever_voltage_is_written(self, make):
        power = replace(celled(make, "alkaline 9 V", 3), voltage_V=12.0)
        load, found = judge_supply([], supply=power)
        assert load is None
        assert [finding.code for finding in found] == ["CIR001"]
        assert "27 V" in found[0].message

    def test_rows_side_by_side_mend_an_overdrawn_coin(self, make):
        lamps = make.leds("R", 3, led_type=make.RED, current_A=0.003)
        power = celled(make, "coin CR2032", holder=Holder.SCREWED)
        (found,) = judged(make, power, lamps)["CIR052"]
        rows = int(number(found.remedy, "rows"))
        enough = celled(make, "coin CR2032", parallel=rows, holder=Holder.SCREWED)
        fewer = celled(make, "coin CR2032", parallel=rows - 1, holder=Holder.SCREWED)
        assert "CIR052" not in judged(make, enough, lamps)
        assert "CIR052" in judged(make, fewer, lamps)

    def test_cells_that_sag_at_once_and_the_rows_that_hold_them_up(self, make):
        lamps = make.leds("W", 10, current_A=0.005)
        power = celled(make, "coin CR2032", holder=Holder.SCREWED)
        (found,) = judged(make, power, lamps)["CIR053"]
        rows = int(number(found.remedy, "rows"))
        for parallel in (rows - 1, rows):
            tried = celled(make, "coin CR2032", parallel=parallel, holder=Holder.SCREWED)
            assert ("CIR053" in judged(make, tried, lamps)) == (parallel < rows)

    def test_an_evening_too_long_and_the_rows_that_last_it(self, make):
        lamps = make.leds("W", 20, current_A=0.005)
        power = celled(make, "alkaline AA", 3, hours_a_day=24.0)
        (found,) = judged(make, power, lamps)["CIR054"]
        rows = int(number(found.remedy, "rows"))
        for parallel in (rows - 1, rows):
            tried = celled(make, "alkaline AA", 3, parallel, hours_a_day=24.0)
            assert ("CIR054" in judged(make, tried, lamps)) == (parallel < rows)

    def test_a_bank_too_small_and_the_capacity_that_does(self, make):
        lamps = make.leds("W", 20, current_A=0.005)
        bank = make.supply(
            5.0, kind=SupplyKind.POWER_BANK, max_current_A=1.0, capacity_Ah=1.0, hours_a_day=24.0
        )
        (found,) = judged(make, bank, lamps)["CIR054"]
        asked = number(found.remedy, "Ah")
        assert "CIR054" not in judged(make, replace(bank, capacity_Ah=1.05 * asked), lamps)
        assert "CIR054" in judged(make, replace(bank, capacity_Ah=0.95 * asked), lamps)

    def test_a_coin_cell_needs_a_screw_and_nothing_else_does(self, make):
        assert "CIR055" in judged(make, celled(make, "coin CR2032"))
        assert "CIR055" in judged(make, celled(make, "coin CR2032", holder=Holder.OPEN))
        assert "CIR055" not in judged(make, celled(make, "coin CR2032", holder=Holder.SCREWED))
        for name in set(CELLS) - {"coin CR2032"}:
            assert "CIR055" not in judged(make, celled(make, name))

    def test_lithium_ion_is_not_joined_by_hand(self, make):
        name = "Li-ion 18650 protected"
        assert "CIR056" not in judged(make, celled(make, name))
        assert "CIR056" in judged(make, celled(make, name, 2))
        assert "CIR056" in judged(make, celled(make, name, parallel=2))
        assert "CIR056" not in judged(make, celled(make, "NiMH AA", 4))

    def test_only_rechargeable_cells_have_a_floor(self, make):
        assert "CIR057" in judged(make, celled(make, "NiMH AA", 4, cut_off_V=0.8))
        assert "CIR057" not in judged(make, celled(make, "NiMH AA", 4, cut_off_V=1.0))
        assert "CIR057" not in judged(make, celled(make, "alkaline AA", 3, cut_off_V=0.8))


class TestFuse:
    def test_a_warm_fuse_opens_and_the_one_named_does_not(self, make):
        """A fuse without resistance, so that the strings stay as they are."""
        lamps = make.leds("W", 34, current_A=0.005)
        fuse = replace(FUSES["resettable 80 mA"], series_ohm=0.0)
        power = make.supply(12.0, fuse_A=0.08, fuse_type=fuse)
        (found,) = judged(make, power, lamps, warmest_degC=60.0)["CIR060"]
        asked = number(found.remedy.split("holds")[1], "mA") / 1000
        for share, trips in ((0.99, True), (1.01, False)):
            other = replace(fuse, hold_A=share * asked, trip_A=3 * asked)
            tried = replace(power, fuse_A=other.hold_A, fuse_type=other)
            assert ("CIR060" in judged(make, tried, lamps, warmest_degC=60.0)) == trips

    def test_a_fuse_that_carries_nothing_when_hot_is_told(self, make):
        hot = replace(FUSES["resettable 80 mA"], loss_per_kelvin=0.03)
        power = make.supply(12.0, fuse_A=0.08, fuse_type=hot)
        (found,) = judged(make, power, warmest_degC=80.0)["CIR060"]
        assert "below 56 degC" in found.remedy

    def test_a_resettable_fuse_is_judged_by_its_trip_current(self, make, reference):
        rows = json.loads((reference / "cells" / "values.json").read_text())["resettable"]
        for row in rows["data_rows"]:
            fuse = next(fuse for fuse in FUSES.values() if fuse.hold_A == row["Ihold"])
            thin = replace(make.WIRE, max_current_A=0.99 * row["Itrip"])
            lamps = make.leds("R", 1, led_type=make.RED)
            power = make.supply(12.0, fuse_A=fuse.hold_A, fuse_type=fuse)
            sub = make.sub(lamps, lead=make.pigtail(wire=thin))
            settings = make.habits(coldest_degC=23.0)
            circuit, _ = judge_sub_assembly(
                sub, supply=power, habits=settings, package=make.PACKAGE
            )
            load, _ = judge_supply([circuit], supply=power)
            _, found = judge_feed(
                (circuit,), load=load, supply=power, pigtails=(sub.pigtail,), habits=settings
            )
            assert [finding.code for finding in found] == ["CIR061"]
        assert "CIR061" not in judged(make, make.supply(12.0, fuse_type=FUSES["glass 500 mA"]))

    def test_a_fuse_breaks_the_voltage_of_its_supply(self, make):
        weak = replace(FUSES["resettable 250 mA"], max_V=12.0)
        power = make.supply(12.0, tolerance=0.05, fuse_A=0.25, fuse_type=weak)
        assert "CIR062" in judged(make, power)
        assert "CIR062" not in judged(make, replace(power, voltage_V=11.0))

    def test_two_ratings_for_one_fuse(self, make):
        fuse = FUSES["resettable 250 mA"]
        assert "CIR063" in judged(make, make.supply(fuse_A=0.5, fuse_type=fuse))
        assert "CIR063" not in judged(make, make.supply(fuse_A=0.25, fuse_type=fuse))

    def test_a_short_of_cells_is_ohm_s_law_and_a_fuse_mends_it(self, make):
        power = celled(make, "alkaline AA", 3, fuse_A=None)
        (found,) = judged(make, power)["CIR064"]
        assert number(found.message, "A through") == pytest.approx(4.8 / 0.45, abs=0.05)
        assert "CIR064" not in judged(make, replace(power, fuse_A=0.5))
        coin = celled(make, "coin CR2032", holder=Holder.SCREWED, fuse_A=None)
        assert "CIR064" not in judged(make, coin)


class TestSurge:
    def test_what_charges_a_capacitor_against_a_simulated_surge(self, make):
        """470 uF on cells and a fuse: the square of the current, integrated in time."""
        power = celled(
            make, "alkaline AA", 6, fuse_A=0.5, fuse_type=FUSES["glass 500 mA"], buffer_F=470e-6
        )
        ohm = 6 * 0.15 + 0.4 + 0.1
        surge = solve_ivp(
            lambda _, y: [(9.6 - y[0]) / ohm / 470e-6, ((9.6 - y[0]) / ohm) ** 2],
            (0.0, 30 * ohm * 470e-6), [0.0, 0.0], rtol=1e-9, atol=1e-12,
        )  # fmt: skip
        # Its fresh cells give 9.6 V; the tolerance of 10 % on 9 V gives 9.9 V, which counts.
        assert surge_A2s(replace(power, tolerance=0.0)) == pytest.approx(
            surge.y[1, -1], rel=PHYSICS
        )

    def test_the_resistor_named_keeps_the_fuse(self, make):
        power = make.supply(12.0, fuse_A=0.5, buffer_F=1000e-6)
        (found,) = judged(make, power)["CIR038"]
        asked = parse(found.remedy.split("put ")[1].split(" into")[0], Quantity.RESISTANCE)
        glass = replace(FUSES["glass 500 mA"], series_ohm=asked * 1.01)
        assert "CIR038" not in judged(make, replace(power, fuse_type=glass))
        less = replace(glass, series_ohm=asked * 0.9)
        assert "CIR038" in judged(make, replace(power, fuse_type=less))
        resettable = FUSES["resettable 500 mA"]
        assert "CIR038" not in judged(make, replace(power, fuse_type=resettable))
        assert "CIR038" not in judged(make, replace(power, buffer_F=0.0))
        assert "CIR038" not in judged(make, replace(power, fuse_A=None))

    def test_a_usb_port_starts_ten_microfarad(self, make):
        port = make.supply(5.0, kind=SupplyKind.USB_PORT, buffer_F=10e-6)
        assert "CIR037" not in judged(make, port)
        assert "CIR037" in judged(make, replace(port, buffer_F=11e-6))
        assert "CIR037" not in judged(make, replace(port, kind=SupplyKind.PLUG_IN, buffer_F=11e-6))


class TestReversal:
    def test_what_can_be_reversed_is_protected_above_5_V(self, make):
        either = make.supply(12.0, way=Way.EITHER)
        (found,) = judged(make, either)["CIR065"]
        assert "schottky diode" in found.remedy
        assert "11.55 V" in found.remedy
        diode = PROTECTORS["schottky diode"]
        assert "CIR065" not in judged(make, replace(either, protector=diode))
        assert "CIR065" not in judged(make, make.supply(12.0))
        assert "CIR065" not in judged(make, make.supply(4.5, way=Way.EITHER))
        assert "CIR065" in judged(make, celled(make, "alkaline 9 V"))
        assert "CIR065" not in judged(make, celled(make, "alkaline AA", 3))

    def test_a_low_supply_is_told_of_the_transistor(self, make):
        (found,) = judged(make, make.supply(5.0, way=Way.EITHER))["CIR065"]
        assert "p-channel mosfet" in found.remedy

    def test_the_protecting_part_bears_the_load_and_the_voltage(self, make):
        part = PROTECTORS["p-channel mosfet"]
        assert "CIR066" in judged(make, make.supply(24.0, protector=part))
        weak = replace(part, max_current_A=0.001)
        assert "CIR066" in judged(make, make.supply(12.0, protector=weak))
        assert "CIR066" not in judged(make, make.supply(12.0, protector=part))

    def test_the_drop_of_a_diode_is_taken_off_every_string(self, make):
        sub = make.sub(make.leds("W", 3, current_A=0.005))
        diode = PROTECTORS["silicon diode"]
        with_it, without = (
            judge_sub_assembly(
                sub,
                supply=make.supply(12.0, tolerance=0.0, protector=part),
                habits=make.habits(series="E96"),
                package=make.PACKAGE,
            )[0].strings[0]
            for part in (diode, None)
        )
        # 0.8 V less at 5 mA ask for 160 ohm less.
        assert without.resistor_ohm - with_it.resistor_ohm == pytest.approx(160.0, abs=45.0)
        assert with_it.current_A.nominal == pytest.approx(0.005, rel=0.02)


def test_a_power_bank_may_see_every_blinking_string_dark(make):
    """Of 20 mA steady and 40 mA that blink at most 20 mA keep it awake."""
    group = SourceGroup(
        name="g",
        where=Where(item="groups / g"),
        pattern=Pattern(kind=PatternKind.BEACON, period_s=6.0),
        sub_assembly="wall",
        source=None,
    )
    lamps = (
        make.leds("W", 4, current_A=0.010),
        make.leds("B", 8, current_A=0.010, group="g"),
    )
    bank = make.supply(5.0, kind=SupplyKind.POWER_BANK, min_load_A=0.060, max_current_A=1.0)
    assert "CIR007" not in judged(make, bank, *lamps)
    (found,) = judged(make, bank, *lamps, groups=[group])["CIR007"]
    assert number(found.message, "mA") < 40.0
    steady = replace(group, pattern=Pattern(kind=PatternKind.STEADY))
    assert "CIR007" not in judged(make, bank, *lamps, groups=[steady])


def test_a_power_bank_is_judged_with_the_switched_feeds_off(make):
    """Kirchhoff: of two circuits of 40 mA, 40 mA are left when one of their feeds is off."""
    circuits = []
    for name in ("ceiling", "window"):
        sub = replace(make.sub(make.leds("W", 4, current_A=0.010)), name=name)
        circuits.append(
            judge_sub_assembly(
                sub, supply=make.supply(5.0), habits=make.habits(), package=make.PACKAGE
            )[0]
        )
    bank = make.supply(5.0, kind=SupplyKind.POWER_BANK, min_load_A=0.050, max_current_A=1.0)

    def feed(name, *, switched):
        where = Where(item=f"loom / {name}")
        return FeedWish(name=name, where=where, sub_assemblies=(name,), switched=switched)

    def told(*feeds):
        load, found = judge_supply(circuits, supply=bank, feeds=feeds)
        return load, [one for one in found if one.code == "CIR007"]

    both, none = told(feed("ceiling", switched=False), feed("window", switched=False))
    assert none == []
    night, (found,) = told(feed("ceiling", switched=True), feed("window", switched=False))
    assert night.dimmest_A == pytest.approx(both.dimmest_A / 2, rel=EXACT)
    assert "with 'ceiling' switched off" in found.message
    # Where every feed has a switch, the last one that is on must keep the bank awake.
    last, (found,) = told(feed("ceiling", switched=True), feed("window", switched=True))
    assert last.dimmest_A == pytest.approx(both.dimmest_A / 2, rel=EXACT)
    assert len(last.off_feeds) == 1
