import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lamphouse.circuit.verdict import judge_sub_assembly, judge_supply
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import SupplyKind
from lamphouse.findings import RULES, Severity, Where
from lamphouse.record import replace
from tolerances import EXACT


def judged(make, sub, *, supply=None, package=None, groups=(), **habits):
    """Findings by code of a model with one sub-assembly."""
    supply = supply or make.supply()
    circuit, found = judge_sub_assembly(
        sub,
        supply=supply,
        habits=make.habits(**habits),
        package=package or make.PACKAGE,
        groups=groups,
    )
    _, more = judge_supply([circuit] if circuit else [], supply=supply)
    by_code = {}
    for finding in found + more:
        by_code.setdefault(finding.code, []).append(finding)
    return by_code


def test_a_sound_wall_has_no_findings(make):
    sub = make.sub(make.leds("W", 6), make.leds("R", 4, led_type=make.RED))
    assert judged(make, sub) == {}


def test_only_the_voltage_and_loose_coin_cells_cannot_be_accepted():
    mine = {code: rule for code, rule in RULES.items() if code.startswith("CIR")}
    refused = {code for code, rule in mine.items() if not rule.can_be_accepted}
    assert refused == {"CIR001", "CIR055"}


class TestSupply:
    def test_mains_is_not_among_the_kinds_and_24_V_is_the_ceiling(self, make, values):
        assert not any("mains" in kind.value for kind in SupplyKind)
        sub = make.sub(make.leds("W", 2))
        assert "CIR001" not in judged(make, sub, supply=make.supply(24.0))
        found = judged(make, sub, supply=make.supply(24.5))
        assert list(found) == ["CIR001"]
        assert found["CIR001"][0].severity is Severity.STOP
        # The ceiling lies well below what the standards let one touch.
        assert values["selv"]["touchable_dc_V"] >= 2 * 24.5

    def test_no_string_is_designed_above_the_ceiling(self, make):
        circuit, _ = judge_sub_assembly(
            make.sub(make.leds("W", 2)),
            supply=make.supply(36.0),
            habits=make.habits(),
            package=make.PACKAGE,
        )
        assert circuit is None

    def test_overload_and_hard_work_are_told_apart(self, make):
        sub = make.sub(make.leds("W", 6, current_A=0.010))
        total = judge_supply(
            [judge_sub_assembly(
                sub, supply=make.supply(), habits=make.habits(), package=make.PACKAGE
            )[0]],
            supply=make.supply(),
        )[0].total_A.high  # fmt: skip
        for share, code in ((1.01, "CIR002"), (0.9, "CIR003"), (0.79, None)):
            supply = make.supply(max_current_A=total / share)
            found = judged(make, sub, supply=supply)
            assert list(found) == ([code] if code else [])

    def test_usb_limits(self, make, values):
        limits = values["usb_limits"]
        few, many = make.leds("W", 8, current_A=0.010), make.leds("W", 60, current_A=0.010)
        port = make.supply(
            5.0, kind=SupplyKind.USB_PORT, max_current_A=limits["max_configured_mA"]["usb2"] / 1e3
        )
        assert judged(make, make.sub(few), supply=replace(port, max_current_A=0.5)) == {}
        found = judged(make, make.sub(many), supply=replace(port, max_current_A=3.0))
        assert "CIR005" in found
        assert f"{limits['unconfigured_mA_usb2']} mA" in found["CIR005"][0].message
        over = limits["type_c_mA"][1] / 1e3 + 0.1
        assert "CIR004" in judged(make, make.sub(few), supply=replace(port, max_current_A=over))
        twelve = judged(make, make.sub(few), supply=replace(port, voltage_V=12.0))
        assert "CIR004" in twelve
        assert "CIR006" not in twelve
        assert "CIR006" in judged(make, make.sub(few), supply=replace(port, tolerance=0.01))

    def test_a_power_bank_is_kept_awake_by_the_resistor_named(self, make):
        sub = make.sub(make.leds("W", 4, current_A=0.010))
        bank = make.supply(5.0, kind=SupplyKind.POWER_BANK, min_load_A=0.080)
        (found,) = judged(make, sub, supply=bank)["CIR007"]
        circuit, _ = judge_sub_assembly(
            sub, supply=bank, habits=make.habits(), package=make.PACKAGE
        )
        named = float(found.remedy.split()[1].rstrip("R"))
        low_V = 5.0 * 0.95
        assert circuit.total_A.low + low_V / named >= 0.080
        assert circuit.total_A.low + low_V / (named * 1.25) < 0.080
        assert "CIR007" not in judged(make, sub, supply=replace(bank, min_load_A=0.020))
        plug_in = replace(bank, kind=SupplyKind.PLUG_IN)
        assert "CIR007" not in judged(make, sub, supply=plug_in)

    def test_run_time_is_capacity_over_current(self, make):
        sub = make.sub(make.leds("W", 4))
        cells = make.supply(12.0, kind=SupplyKind.CELLS, capacity_Ah=2.0)
        circuit, _ = judge_sub_assembly(
            sub, supply=cells, habits=make.habits(), package=make.PACKAGE
        )
        load, _ = judge_supply([circuit, circuit], supply=cells)
        assert load.run_time_h == pytest.approx(1.0 / circuit.total_A.nominal, rel=EXACT)
        assert judge_supply([circuit], supply=make.supply())[0].run_time_h is None
        assert judge_supply([], supply=cells)[0].run_time_h is None

    def test_fuses(self, make):
        sub = make.sub(make.leds("W", 6, current_A=0.010))
        assert list(judged(make, sub, supply=make.supply(fuse_A=0.010))) == ["CIR008"]
        assert list(judged(make, sub, supply=make.supply(fuse_A=0.63))) == ["CIR009"]
        bare = make.supply(fuse_A=None, max_current_A=2.0)
        assert list(judged(make, sub, supply=bare)) == ["CIR010"]
        assert judged(make, sub, supply=make.supply(fuse_A=None)) == {}
        assert "a fuse of 500 mA or less" in judged(make, sub, supply=bare)["CIR010"][0].remedy


class TestPigtail:
    def test_lights_without_one(self, make):
        lit = replace(make.sub(make.leds("W", 2)), pigtail=None)
        assert list(judged(make, lit)) == ["CIR011"]
        assert judged(make, replace(make.sub(), pigtail=None)) == {}

    def test_more_current_than_wire_or_contact_carry(self, make):
        leds = make.leds("W", 6, current_A=0.010)
        thin = make.pigtail(wire=replace(make.WIRE, max_current_A=0.020))
        assert "CIR012" in judged(make, make.sub(leds, lead=thin))
        weak = make.pigtail(plug=replace(make.PLUG, max_current_A=0.020))
        assert "CIR012" in judged(make, make.sub(leds, lead=weak))
        assert "CIR012" not in judged(make, make.sub(leds))

    def test_a_pigtail_that_dims_and_the_one_named_instead(self, make):
        leds = make.leds("W", 24, current_A=0.010)
        names = [led.name for led in leds]
        strings = [
            make.wish(f"S{row}", *names[2 * row : 2 * row + 2], ohm=680.0) for row in range(12)
        ]
        long = make.pigtail(length_mm=12_000.0)
        (found,) = judged(make, make.sub(leds, strings=strings, lead=long))["CIR013"]
        shorter_mm = float(found.remedy.split("at most ")[-1].split()[0])
        assert shorter_mm < 12_000.0
        for length_mm, fires in ((shorter_mm * 0.999, False), (shorter_mm * 1.001, True)):
            lead = make.pigtail(length_mm=length_mm)
            assert ("CIR013" in judged(make, make.sub(leds, strings=strings, lead=lead))) is fires


class TestStrings:
    def test_four_whites_on_12_V_are_caught_with_the_reason_and_the_mend(self, make):
        leds = make.leds("W", 4)
        wish = make.wish("S1", "W1", "W2", "W3", "W4")
        found = judged(make, make.sub(leds, strings=[wish]))
        assert list(found) == ["CIR020"]
        (told,) = found["CIR020"]
        assert told.where.item == "wall / S1"
        assert "4 LEDs in series take 10.7" in told.message
        assert "of 12 V" in told.message
        assert "11.4 V" in told.message
        assert "at least 60 %" in told.message
        # The mend is a circuit that can be built as named, and it is sound.
        assert told.remedy.startswith("make 2 strings of 2 (4k7: ")
        pairs = [make.wish("S1", "W1", "W2", ohm=4700.0), make.wish("S2", "W3", "W4", ohm=4700.0)]
        mended = make.sub(leds, strings=pairs)
        assert judged(make, mended) == {}
        circuit, _ = judge_sub_assembly(
            mended, supply=make.supply(), habits=make.habits(), package=make.PACKAGE
        )
        band = circuit.strings[0].current_A
        shares = f"{100 * band.low / 0.0015:.0f} to {100 * band.high / 0.0015:.0f} %"
        assert shares in told.remedy

    def test_a_white_on_3_V_needs_more_volts(self, make):
        sub = make.sub(make.leds("W", 1))
        (told,) = judged(make, sub, supply=make.supply(3.0))["CIR020"]
        assert told.remedy.startswith("feed it from 5 V, as 1 single LED (")
        assert judged(make, sub, supply=make.supply(5.0)) == {}

    def test_a_resistor_too_large_is_named_with_the_right_one(self, make):
        leds = make.leds("W", 2)
        sub = make.sub(leds, strings=[make.wish("S1", "W1", "W2", ohm=22e3)])
        (told,) = judged(make, sub)["CIR020"]
        assert told.remedy.startswith("take 4k7 for its resistor")

    def test_when_nothing_usual_mends_it(self, make):
        sub = make.sub(make.leds("W", 1))
        (told,) = judged(make, sub, supply=make.supply(24.0, tolerance=0.5))["CIR020"]
        assert "50 %" in told.remedy

    def test_the_least_share_is_the_makers(self, make):
        sub = make.sub(make.leds("W", 3), strings=[make.wish("S1", "W1", "W2", "W3")])
        assert "CIR020" not in judged(make, sub, least_share=0.6)
        assert "CIR020" in judged(make, sub, least_share=0.8)

    def test_an_led_over_its_rating_and_the_resistor_that_keeps_it(self, make):
        leds = make.leds("W", 3, current_A=0.010)
        strings = [make.wish("S1", "W1", "W2", "W3", ohm=150.0)]
        found = judged(make, make.sub(leds, strings=strings))
        (told,) = found["CIR021"]
        assert "rated 20 mA" in told.message
        named = float(told.remedy.split()[1].rstrip("R:"))
        kept = [make.wish("S1", "W1", "W2", "W3", ohm=named)]
        assert "CIR021" not in judged(make, make.sub(leds, strings=kept))

    def test_a_resistor_over_its_derated_power(self, make):
        leds = make.leds("W", 1, current_A=0.014)
        strings = [make.wish("S1", "W1")]
        found = judged(make, make.sub(leds, strings=strings), supply=make.supply(24.0))
        (told,) = found["CIR022"]
        rated = float(told.remedy.split("rated ")[1].split()[0]) / 1e3
        half_watt = replace(make.PACKAGE, name="axial 1/2 W", power_W=0.5)
        assert 0.25 < rated < 0.5
        cool = judged(
            make, make.sub(leds, strings=strings), supply=make.supply(24.0), package=half_watt
        )
        assert "CIR022" not in cool
        # At 112.5 degC half of the half watt is left.
        hot = judged(
            make,
            make.sub(leds, strings=strings),
            supply=make.supply(24.0),
            package=half_watt,
            warmest_degC=112.5,
        )
        assert "CIR022" in hot

    def test_a_band_that_leaves_the_curve_is_noted(self, make):
        low = make.leds("W", 3, current_A=80e-6)
        (told,) = judged(make, make.sub(low))["CIR023"]
        assert told.severity is Severity.NOTE

    def test_a_resistor_of_no_series(self, make):
        leds = make.leds("W", 2)
        sub = make.sub(leds, strings=[make.wish("S1", "W1", "W2", ohm=4800.0)])
        (told,) = judged(make, sub)["CIR024"]
        assert "4k7" in told.remedy


class TestWishes:
    def test_over_the_rating(self, make):
        (told,) = judged(make, make.sub(make.leds("W", 1, current_A=0.025)))["CIR030"]
        assert "15 mA" in told.remedy

    def test_outside_the_curve_is_in_no_string(self, make):
        sub = make.sub(make.leds("D", 1, current_A=20e-6), make.leds("W", 2))
        found = judged(make, sub)
        (told,) = found["CIR031"]
        assert told.where.item == "wall / led D1"
        circuit, _ = judge_sub_assembly(
            sub, supply=make.supply(), habits=make.habits(), package=make.PACKAGE
        )
        assert {led.name for s in circuit.strings for led in s.leds} == {"W1", "W2"}

    def test_a_point_misread_is_found_and_the_right_one_guessed(self, make):
        points = list(make.WHITE.curve)
        points[2] = (0.005, 2.97)
        odd = replace(make.WHITE, name="odd white", curve=tuple(points))
        (told,) = judged(make, make.sub(make.leds("W", 4, led_type=odd)))["CIR032"]
        assert "2.97 V at 5 mA" in told.remedy

    def test_names_that_are_not_there(self, make):
        leds = make.leds("screen", 2)
        found = judged(make, make.sub(leds, strings=[make.wish("S1", "screen1", "sceen2")]))
        (told,) = found["CIR033"]
        assert told.remedy == "did you mean 'screen2'?"
        assert "CIR033" in judged(make, make.sub(leds, strings=[make.wish("S1")]))
        assert "CIR033" not in judged(
            make, make.sub(leds, strings=[make.wish("S1", "screen1", "screen2")])
        )

    def test_an_led_in_two_strings(self, make):
        leds = make.leds("W", 3)
        twice = [make.wish("S1", "W1", "W2"), make.wish("S2", "W2", "W3")]
        (told,) = judged(make, make.sub(leds, strings=twice))["CIR034"]
        assert told.where.item == "wall / S2"
        again = [make.wish("S1", "W1", "W1")]
        assert "CIR034" in judged(make, make.sub(leds, strings=again))

    def test_two_currents_in_one_string(self, make):
        leds = make.leds("W", 1), make.leds("D", 1, current_A=0.003)
        strings = [make.wish("S1", "W1", "D1")]
        (told,) = judged(make, make.sub(*leds, strings=strings))["CIR035"]
        assert "gets 1.5 mA" in told.message
        assert "'D1' (3 mA)" in told.message

    @pytest.mark.parametrize(
        ("kind", "fires"), [(PatternKind.RANDOM, True), (PatternKind.STEADY, False)]
    )
    def test_two_groups_in_one_string(self, make, kind, fires):
        group = SourceGroup(
            name="alarm",
            where=Where(item="groups / alarm"),
            pattern=Pattern(kind=kind),
            sub_assembly="wall",
            source=None,
        )
        leds = make.leds("W", 1), make.leds("B", 1, group="alarm")
        sub = make.sub(*leds, strings=[make.wish("S1", "W1", "B1")])
        assert ("CIR036" in judged(make, sub, groups=[group])) is fires


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_whatever_is_asked_findings_come_and_never_an_exception(make, data):
    draw = data.draw
    leds = tuple(
        led
        for number in range(draw(st.integers(0, 4)))
        for led in make.leds(
            f"L{number}_",
            draw(st.integers(1, 9)),
            led_type=draw(st.sampled_from([make.WHITE, make.RED])),
            current_A=draw(st.sampled_from([1e-7, 1e-4, 1e-3, 5e-3, 0.02, 0.021, 1.0])),
            group=draw(st.sampled_from(["", "", "beacon"])),
        )
    )
    names = st.sampled_from([led.name for led in leds] + ["nobody"])
    strings = [
        make.wish(
            f"S{number}",
            *draw(st.lists(names, max_size=9)),
            ohm=draw(st.sampled_from([None, None, 1.0, 47.0, 4711.0, 1e7])),
        )
        for number in range(draw(st.integers(0, 3)))
    ]
    lead = make.pigtail(length_mm=draw(st.sampled_from([1.0, 200.0, 1e5, 1e7])))
    supply = make.supply(
        draw(st.sampled_from([0.1, 1.5, 3.0, 5.0, 12.0, 24.0, 230.0])),
        kind=draw(st.sampled_from(list(SupplyKind))),
        tolerance=draw(st.sampled_from([0.0, 0.05, 0.5])),
        min_load_A=draw(st.sampled_from([0.0, 0.1])),
        fuse_A=draw(st.sampled_from([None, 0.001, 5.0])),
    )
    found = judged(
        make,
        make.sub(leds, strings=strings, lead=lead),
        supply=supply,
        series=draw(st.sampled_from(["E6", "E12", "E24", "E96"])),
        resistor_tolerance=draw(st.sampled_from([0.0, 0.01, 0.05, 0.2])),
    )
    for findings in found.values():
        for finding in findings:
            text = str(finding)
            assert finding.message
            assert finding.remedy
            assert "nan" not in text.split()
            assert "inf" not in text.split()
