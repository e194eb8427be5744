import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.circuit.curve import fit
from lamphouse.circuit.grouping import Bunch
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.circuit.strings import design_circuit
from lamphouse.record import replace
from tolerances import EXACT


def design(make, sub, *, supply=None, package=None, **habits):
    return design_circuit(
        sub,
        supply=supply or make.supply(),
        habits=make.habits(**habits),
        package=package or make.PACKAGE,
    )


def lengths(circuit):
    return [len(string.leds) for string in circuit.strings]


@pytest.mark.parametrize(
    ("count", "longest", "rows"),
    [
        (5, 4, [3, 2]),
        (4, 3, [2, 2]),
        (7, 3, [3, 2, 2]),
        (6, 3, [3, 3]),
        (1, 3, [1]),
        (9, 9, [9]),
    ],
)
def test_rows_split_evenly_and_never_more_than_needed(make, count, longest, rows):
    leds = make.leds("W", count)
    bunch = Bunch(name="", where=leds[0].where, leds=leds, longest=longest)
    split = bunch.rows()
    assert [len(row) for row in split] == rows
    assert tuple(led for row in split for led in row) == leds


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 60), st.integers(1, 12))
def test_any_split_keeps_every_led_once_in_the_fewest_even_rows(count, longest):
    numbers = tuple(range(count))
    split = Bunch(name="", where=None, leds=numbers, longest=longest).rows()
    assert tuple(n for row in split for n in row) == numbers
    assert len(split) == -(-count // longest)
    assert max(map(len, split)) - min(map(len, split)) <= 1


class TestTextbook:
    """Worked examples with a fixed forward voltage: a curve so flat that it is one."""

    @pytest.fixture
    def flat(self, make):
        def of(volts, amps):
            return replace(
                make.WHITE,
                curve=((amps / 2, volts - 1e-7), (amps * 1.2, volts + 1e-7)),
                spread_V=0.0,
                drift_V_per_K=0.0,
                max_current_A=2.0,
            )

        return of

    def test_resistor_current_and_power(self, make, flat, values):
        for case in values["led_string_textbook"]["cases"]:
            led_type = flat(case["Vf"], case["I"])
            leds = make.leds("L", case["n"], led_type=led_type, current_A=case["I"])
            names = [led.name for led in leds]
            exact = (case["Vs"] - case["n"] * case["Vf"]) / case["I"]
            assert exact == pytest.approx(case["R"], rel=EXACT)
            circuit = design(
                make,
                replace(make.sub(leds, strings=[make.wish("S1", *names)]), pigtail=None),
                supply=make.supply(case["Vs"], tolerance=0.0),
                series="E24",
                resistor_tolerance=0.0,
            )
            (string,) = circuit.strings
            near = {case["E24_up"], case.get("E24_down", case["E24_up"])}
            assert string.resistor_ohm in near
            if string.resistor_ohm == case["R"]:
                assert string.current_A.nominal == pytest.approx(case["I"], rel=1e-6)
                assert string.resistor_W == pytest.approx(case["P_R"], rel=1e-6)

    @pytest.mark.parametrize("value", [330, 360])
    def test_current_at_the_values_beside(self, make, flat, values, value):
        case = values["led_string_textbook"]["cases"][2]
        leds = make.leds("L", 1, led_type=flat(case["Vf"], case["I"]), current_A=case["I"])
        sub = make.sub(leds, strings=[make.wish("S1", "L1", ohm=float(value))])
        circuit = design(
            make, replace(sub, pigtail=None), supply=make.supply(case["Vs"], tolerance=0.0)
        )
        seen = case[f"I_at_{value}"]
        assert circuit.strings[0].current_A.nominal == pytest.approx(seen, abs=0.5e-5)


def test_the_planted_string_of_four_whites(make):
    sub = make.sub(make.leds("W", 4), strings=[make.wish("S1", "W1", "W2", "W3", "W4")])
    (string,) = design(make, sub).strings
    assert string.chosen_by == "maker"
    # Four whites at 1.5 mA take 4 x 2.68 V by the points beside (2.65 V at 1 mA, 2.79 V at 5 mA).
    assert 12.0 - 4 * 2.70 < string.headroom * 12.0 < 12.0 - 4 * 2.65
    assert string.current_A.low < 0.25 * string.wanted_A
    assert string.current_A.high > 2.0 * string.wanted_A


def test_loose_leds_go_in_series_as_far_as_the_worst_case_allows(make):
    circuit = design(make, make.sub(make.leds("W", 4)))
    assert lengths(circuit) == [2, 2]
    assert {string.chosen_by for string in circuit.strings} == {"tool"}
    assert all("4 in series would fall to" in string.reason for string in circuit.strings)
    assert lengths(design(make, make.sub(make.leds("W", 5)))) == [3, 2]
    assert lengths(design(make, make.sub(make.leds("R", 4, led_type=make.RED)))) == [4]


def test_the_tools_strings_hold_and_one_more_in_series_would_not(make):
    for supply_V in (5.0, 9.0, 12.0, 24.0):
        for kind in (make.WHITE, make.RED):
            for wanted in (0.001, 0.005, 0.012):
                leds = make.leds("L", 24, led_type=kind, current_A=wanted)
                power = make.supply(supply_V)
                circuit = design(make, make.sub(leds), supply=power)
                longest = max(lengths(circuit))
                assert all(s.current_A.low >= 0.6 * s.wanted_A for s in circuit.strings)
                assert sum(lengths(circuit)) == 24
                more = [led.name for led in leds[: longest + 1]]
                if -(-24 // (longest + 1)) < len(circuit.strings):
                    tried = make.sub(leds[: longest + 1], strings=[make.wish("S1", *more)])
                    (string,) = design(make, tried, supply=power).strings
                    assert string.current_A.low < 0.6 * string.wanted_A


def test_groups_keep_type_current_and_source_group_apart(make):
    sub = make.sub(
        make.leds("W", 2),
        make.leds("D", 2, current_A=0.003),
        make.leds("R", 2, led_type=make.RED),
        make.leds("B", 2, group="beacon"),
    )
    circuit = design(make, sub)
    assert lengths(circuit) == [2, 2, 2, 2]
    for string in circuit.strings:
        assert len({(led.led_type, led.current_A, led.group) for led in string.leds}) == 1


def test_the_resistor_is_the_value_nearest_in_ratio(make):
    for wanted in (0.0007, 0.001, 0.002, 0.0043, 0.009):
        for series in ("E6", "E12", "E24", "E96"):
            leds = make.leds("W", 2, current_A=wanted)
            sub = make.sub(leds, strings=[make.wish("S1", "W1", "W2")])
            (string,) = design(make, sub, series=series).strings
            off = abs_ratio(string.current_A.nominal / wanted)
            values = list(preferred_ohm(series))
            place = values.index(string.resistor_ohm)
            for other in (values[place - 1], values[place + 1]):
                fixed = make.sub(leds, strings=[make.wish("S1", "W1", "W2", ohm=float(other))])
                (neighbour,) = design(make, fixed, series=series).strings
                assert off <= abs_ratio(neighbour.current_A.nominal / wanted) + EXACT


def abs_ratio(ratio):
    return max(ratio, 1.0 / ratio)


def test_no_resistor_the_tool_chooses_lets_an_led_pass_its_rating(make):
    for wanted in (0.015, 0.018, 0.020):
        for count in (1, 2, 3, 4):
            leds = make.leds("W", count, current_A=wanted)
            sub = make.sub(leds, strings=[make.wish("S1", *(led.name for led in leds))])
            (string,) = design(make, sub).strings
            assert string.current_A.high <= make.WHITE.max_current_A * (1 + EXACT)


def test_a_fixed_resistor_stays(make):
    sub = make.sub(make.leds("W", 2), strings=[make.wish("S1", "W1", "W2", ohm=10e3)])
    (string,) = design(make, sub).strings
    assert string.resistor_ohm == 10e3
    assert string.resistor_colour_bands == ("brown", "black", "orange", "gold")
    assert "the 10k given" in string.reason


def test_unequal_leds_share_the_least_current(make):
    sub = make.sub(
        make.leds("W", 1, current_A=0.003),
        make.leds("R", 1, led_type=make.RED, current_A=0.001),
        strings=[make.wish("S1", "W1", "R1")],
    )
    (string,) = design(make, sub).strings
    assert string.wanted_A == 0.001
    both = fit(make.WHITE).voltage(string.current_A.nominal) + fit(make.RED).voltage(
        string.current_A.nominal
    )
    assert string.leds_V.nominal == pytest.approx(float(both), abs=1e-6)


def test_wishes_that_cannot_be_designed_are_left_out_with_their_leds(make):
    sub = make.sub(
        make.leds("W", 4),
        make.leds("D", 1, current_A=1e-6),
        strings=[
            make.wish("S1", "W1", "W2"),
            make.wish("S2", "W2", "W3"),
            make.wish("S3", "W9"),
            make.wish("S4"),
            make.wish("S5", "D1"),
        ],
    )
    circuit = design(make, sub)
    assert [string.name for string in circuit.strings] == ["S1", "S6"]
    assert [led.name for led in circuit.strings[1].leds] == ["W4"]


def test_totals_and_the_drop_in_the_pigtail(make):
    circuit = design(make, make.sub(make.leds("W", 6, current_A=0.010)))
    nominal = sum(string.current_A.nominal for string in circuit.strings)
    assert circuit.total_A.nominal == pytest.approx(nominal, rel=EXACT)
    assert circuit.total_A.low >= sum(string.current_A.low for string in circuit.strings)
    assert circuit.total_A.high <= sum(string.current_A.high for string in circuit.strings)
    assert circuit.lead_ohm == pytest.approx(2 * (0.16 * 0.33855 + 0.03), rel=EXACT)
    assert circuit.lead_drop_V == pytest.approx(circuit.lead_ohm * nominal, rel=EXACT)


def test_a_sub_assembly_without_leds_draws_nothing(make):
    circuit = design(make, make.sub())
    assert circuit.strings == ()
    assert circuit.total_A.high == 0.0


def test_strings_of_one_design_against_ngspice(make, spice):
    """The nominal currents of a whole sub-assembly, with the fitted curves as diode models."""
    import math

    sub = make.sub(
        make.leds("W", 5, current_A=0.010),
        make.leds("R", 4, led_type=make.RED, current_A=0.005),
        lead=make.pigtail(length_mm=3000.0),
    )
    circuit = design(make, sub)
    thermal = 1.38064852e-23 * 300.15 / 1.6021766208e-19
    lines = ["V1 s 0 12", f"Rl s node {circuit.lead_ohm!r}"]
    for kind, name in ((make.WHITE, "white"), (make.RED, "red")):
        curve = fit(kind)
        lines.append(
            f".model {name} D(IS={math.exp(curve.log_saturation)!r} "
            f"N={curve.slope_V / thermal!r} RS={curve.series_ohm!r})"
        )
    for row, string in enumerate(circuit.strings):
        lines += [f"Vm{row} node a{row} 0", f"R{row} a{row} b{row}_0 {string.resistor_ohm!r}"]
        last = len(string.leds)
        for column, led in enumerate(string.leds):
            end = "0" if column == last - 1 else f"b{row}_{column + 1}"
            lines.append(f"D{row}_{column} b{row}_{column} {end} {led.led_type.colour}")
    printed = ["v(node)", *(f"i(vm{row})" for row in range(len(circuit.strings)))]
    found = spice("\n".join(lines), printed)
    for row, string in enumerate(circuit.strings):
        assert string.current_A.nominal == pytest.approx(found[f"i(vm{row})"], rel=1e-5)
    assert 12.0 - circuit.lead_drop_V == pytest.approx(found["v(node)"], rel=1e-5)
