"""Balance on whole models: looks met, worst cases held, promises kept by new solves and walks."""

import re

import pytest

from balance.models import TEXT, lit, reading_of
from lamphouse.balance.levelling import in_drawer, rounded_down
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.findings import Severity
from lamphouse.plan import make
from lamphouse.plan.balanced_plan import balanced
from lamphouse.plan.kept import Kept
from lamphouse.plan.second_opinion import second_opinions
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text
from tolerances import EXACT, PHYSICS

PROMISE = 0.01
"""How near the walks must come to a promised luminance, beyond three of their standard errors."""


@pytest.fixture(scope="module")
def found():
    return balanced(reading_of().design)


def test_every_opening_comes_into_its_class(found):
    before, after = lit(found.before), lit(found.after)
    assert any(not in_class(one) for one in before.values())
    assert all(in_class(one) for one in after.values())
    assert found.findings == ()
    assert found.brings == ()


def in_class(opening):
    return opening.look.least_cd_m2 <= opening.mean_cd_m2 <= opening.look.most_cd_m2


DRAWER = "  - {part: resistor 27k, count: 5}       # from the old layout\n"


def new_values(found):
    return {one.new_ohm for one in found.balance.strings if not one.kept}


def test_one_value_serves_all_and_comes_from_the_drawer(found):
    assert len(found.balance.values_ohm(before=True)) > len(found.balance.values_ohm())
    assert new_values(found) == {27000.0}
    assert found.balance.drawer_ohm == (27000.0,)
    lamp = next(one for one in found.balance.strings if one.leds == ("lamp",))
    assert (lamp.new_ohm, lamp.kept) == (lamp.old_ohm, "lights no opening with a look")


def test_without_the_drawer_the_middle_of_the_classes_decides():
    assert new_values(balanced(reading_of(drawer=(DRAWER, "  []\n")).design)) == {22000.0}


def test_the_worst_case_keeps_the_rating_and_the_least_share(found):
    for circuit in found.after.circuits:
        for string in circuit.strings:
            assert string.current_A.high <= min(led.led_type.max_current_A for led in string.leds)
            assert string.current_A.low >= found.before.design.habits.least_share * string.wanted_A
            assert string.wanted_A <= string.current_A.nominal


def test_light_goes_with_the_current(found):
    """A new solve of each box gives the old light times the ratio of the circuits' currents."""
    old, new = (
        {led.name: s.current_A.nominal for c in plan.circuits for s in c.strings for led in s.leds}
        for plan in (found.before, found.after)
    )
    before, after = lit(found.before), lit(found.after)
    for opening, led in (("left", "L1"), ("middle", "M"), ("right", "R1")):
        ratio = after[opening].mean_cd_m2 / before[opening].mean_cd_m2
        assert ratio == pytest.approx(new[led] / old[led], rel=PHYSICS)


def test_random_walks_find_the_promised_light(found):
    """The walks share no code with the solver beyond the description of the box."""
    opinions = second_opinions(
        found.after.glows, seed=3, tell=lambda *_: None, relative_error=0.006
    )
    promised = lit(found.after)
    seen = [one for opinion in opinions for one in opinion.found]
    assert len(seen) == 3
    for one in seen:
        error = abs(one.mean_cd_m2 - promised[one.opening].mean_cd_m2)
        assert error <= 3.0 * one.error_cd_m2 + PROMISE * promised[one.opening].mean_cd_m2


def values_that_do(text, strings):
    """Try values by hand: write each into the file, run the whole chain, look at the openings."""
    kept = Kept()
    for ohms in strings:
        fixed = "".join(
            f"      {name}: {{leds: [{leds}], resistor: {ohm:g} ohm}}\n"
            for (name, leds), ohm in zip(STRINGS.items(), ohms, strict=True)
        )
        whole = re.sub(r"      pair: .*\n", fixed, text)
        plan = make.plan(read_text(whole, file="project.yaml").design, kept=kept)
        if all(in_class(one) for one in lit(plan).values()):
            yield ohms


STRINGS = {"pair": "'L1', 'L2'", "solo": "M", "last": "'R1', 'R2'"}


def test_no_single_value_does_where_two_are_said_to_be_the_fewest():
    """Every value of E12 is tried for all three strings through the whole chain."""
    text = TEXT.replace("20 to 60 cd/m2", "2 to 4 cd/m2")
    found = balanced(read_text(text, file="project.yaml").design)
    assert all(in_class(one) for one in lit(found.after).values())
    assert len(new_values(found)) == 2
    assert "2 new values are the fewest" in found.balance.proof
    around = [ohm for ohm in preferred_ohm("E12") if 4_000 <= ohm <= 400_000]
    assert list(values_that_do(text, [(ohm,) * 3 for ohm in around])) == []
    chosen = next(o.new_ohm for o in found.balance.strings if o.leds == ("M",))
    pair = next(o.new_ohm for o in found.balance.strings if o.leds == ("L1", "L2"))
    assert list(values_that_do(text, [(pair, chosen, pair)]))


def test_matching_openings_end_within_the_ratio():
    text = TEXT.replace("look: lit panel}", "look: lit panel, match: white}").replace(
        "look: dim panel}", "look: dim panel, match: white}"
    )
    design = read_text(text, file="project.yaml").design
    for ratio in (1.5, 1.15):
        found = balanced(design, match_ratio=ratio)
        assert found.findings == ()
        means = [one.mean_cd_m2 for one in lit(found.after).values()]
        assert max(means) / min(means) <= ratio * (1.0 + PHYSICS)


def test_matches_that_the_looks_forbid_are_told_with_the_ratio_there_is():
    text = (
        TEXT.replace("20 to 60 cd/m2", "2 to 4 cd/m2")
        .replace("look: lit panel}", "look: lit panel, match: white}")
        .replace("look: dim panel}", "look: dim panel, match: white}")
    )
    found = balanced(read_text(text, file="project.yaml").design)
    (told,) = found.findings
    assert told.code == "BAL004"
    nearest = float(re.search(r"within ([\d.]+): allow", told.remedy)[1])
    assert nearest >= 20.0 / 4.0 * (1.0 - PHYSICS)
    eased = balanced(found.before.design, match_ratio=nearest * (1.0 + 0.005))
    assert eased.findings == ()


def test_balancing_twice_changes_nothing_more(found):
    again = balanced(found.after.design)
    assert not any(one.changes for one in again.balance.strings)
    assert again.after is again.before


@pytest.mark.parametrize("name", ["project.yaml", "mended.yaml"])
def test_saltmarsh_is_balanced_without_new_faults(name):
    reading = read_text(demo_text("saltmarsh", file=name), file=name)
    found = balanced(reading.design, found=reading.findings)
    assert found.brings == ()
    assert len(found.balance.values_ohm()) <= len(found.balance.values_ohm(before=True))
    assert not any(one.severity is Severity.STOP for one in found.findings)


def test_the_planted_string_gets_the_mend_that_mends_it():
    """Four whites on 12 V: two pairs at the value of the message hold, as the circuit proves."""
    reading = read_text(demo_text("saltmarsh"), file="project.yaml")
    (told,) = balanced(reading.design, found=reading.findings).findings
    assert (told.code, told.where.item) == ("BAL003", "chart table / S1")
    value = re.search(r"wire its LEDs as 2 strings: (\S+) gives", told.remedy)[1]
    mended = re.sub(
        r"S1: \{leds: \[W1, W2, W3, W4\]\}",
        f"S1: {{leds: [W1, W2], resistor: {value}}}\n"
        f"      S2: {{leds: [W3, W4], resistor: {value}}}",
        demo_text("saltmarsh"),
    )
    plan = make.plan(read_text(mended, file="project.yaml").design)
    strings = next(c for c in plan.circuits if c.sub_assembly == "chart table").strings
    assert all(s.current_A.low >= 0.6 * s.current_A.nominal for s in strings[:2])
    assert in_class(lit(plan)["screen"])


def test_a_drawer_is_counted_by_value_and_odd_entries_are_passed_over():
    more = DRAWER + "  - {part: resistor 27000 ohm, count: 2}\n  - {part: white 0603, count: 9}\n"
    assert in_drawer(reading_of(drawer=(DRAWER, more)).design) == {27000.0: 7}


@pytest.mark.parametrize(
    ("value", "cut"), [(0.00123999, 0.00123), (0.001, 0.001), (0.0009996, 0.000999), (5.0, 5.0)]
)
def test_currents_are_rounded_down_never_up(value, cut):
    assert rounded_down(value) == pytest.approx(cut, rel=EXACT)
    assert rounded_down(value) <= value


def test_a_model_without_looks_keeps_everything():
    text = re.sub(r",\s+look: \w+ panel", "", TEXT)
    found = balanced(read_text(text, file="project.yaml").design)
    assert found.findings == ()
    assert found.balance.proof == ""
    assert {one.kept for one in found.balance.strings} == {"lights no opening with a look"}


def test_a_model_without_sub_assemblies_is_no_fault():
    text = TEXT[: TEXT.index("sub_assemblies:")] + "sub_assemblies: {}\n"
    found = balanced(read_text(text, file="project.yaml").design)
    assert found.balance.strings == ()
