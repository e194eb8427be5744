"""Controllers of whole projects: pins joined to plugs, parts, programs, remedies that mend."""

import re

import pytest
from ruamel.yaml import YAML

from lamphouse.outputs.program_sheets import program
from lamphouse.plan import make
from lamphouse.plan.programmed import program_text
from lamphouse.project.read import read_text

BASE = """
lamphouse: 1
name: Blink
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, max_current: 1 A}
groups:
GROUPS
CONTROLLERS
sub_assemblies:
  wall:
    pigtail: {plug: 6-pin 2.54 mm, wire: 30 AWG insulated, length: 150 mm}
    lamps:
LAMPS
"""


def project(patterns, controllers, *, supply="", extra=""):
    """Give a project of one lamp for each pattern."""
    groups = "\n".join(
        f"  {name}: {{in: wall, pattern: {{{pattern}}}}}" for name, pattern in patterns.items()
    )
    lamps = "\n".join(
        f"      L{n}: {{type: red 0603, at: [{2 * n} mm, 4 mm], current: 5 mA, group: {name}}}"
        for n, name in enumerate(patterns)
    )
    text = BASE.replace("GROUPS", groups).replace("LAMPS", lamps)
    text = text.replace("CONTROLLERS", f"controllers:\n{controllers}" if controllers else "")
    return ((supply and re.sub("supply: .*", f"supply: {supply}", text)) or text) + extra


def planned(text):
    reading = read_text(text, file="project.yaml")
    assert reading.design, [str(finding) for finding in reading.findings]
    return make.plan(reading.design, found=reading.findings, places=reading.places)


def codes(plan):
    return {finding.code for finding in plan.findings if finding.code.startswith("BLP")}


BEACON = "kind: beacon, period: 2 s"
BOARD = '  chip: {type: "32-bit board, MicroPython", regulator: "yes"}'


def test_the_pin_table_goes_from_group_to_pin_to_driver_to_plug():
    plan = planned(project({"a": BEACON, "b": BEACON}, BOARD))
    (one,) = plan.controllers.programs
    table = [(c.group, c.pin, c.plugs[0].sub_assembly, c.plugs[0].pin) for c in one.pins.channels]
    assert table == [("a", "0", "wall", 2), ("b", "1", "wall", 3)]
    assert codes(plan) == set()
    text = program_text(one, model="Blink", revision="A")
    assert "0,  # a" in text
    compile(text, "main.py", "exec")


def test_parts_of_controllers_stand_in_the_parts_list():
    avr = '  chip: {type: "8-bit AVR, 28 pins", regulator: "yes"}'
    plan = planned(project({"a": BEACON, "b": BEACON}, avr))
    need = {line.part: line.need for line in plan.parts if "chip" in line.used_in}
    assert need["8-bit AVR, 28 pins"] == need["regulator 5 V"] == need["capacitor 100 nF"] == 1
    assert need["npn transistor"] == need["capacitor 22 pF"] == 2
    assert need["perforated board"] == 1
    assert need["resistor 10k"] >= 1


def test_five_volts_hang_straight_on_the_pins_and_are_lit_low():
    supply = "{kind: usb port, voltage: 5 V, max_current: 500 mA}"
    plan = planned(project({"a": BEACON}, '  chip: {type: "8-bit AVR, 14 pins"}', supply=supply))
    (one,) = plan.controllers.programs
    assert not one.pins.lit_high
    assert one.pins.channels[0].driver.switch is None
    assert codes(plan) == set()


def test_what_the_finding_says_of_a_missing_controller_mends_it():
    plan = planned(project({"a": BEACON, "b": "kind: fire"}, ""))
    (told,) = [f for f in plan.findings if f.code == "BLP001"]
    mend = YAML(typ="safe").load(told.remedy.removeprefix("add "))
    ((name, fields),) = mend["controllers"].items()
    line = f'  {name}: {{type: "{fields["type"]}", regulator: "yes"}}'
    assert codes(planned(project({"a": BEACON, "b": "kind: fire"}, line))) == set()


def test_the_controllers_of_the_remedy_hold_all_groups():
    patterns = {f"g{n:02}": BEACON for n in range(13)}
    chip = '  chip: {type: "8-bit AVR, 14 pins", regulator: "yes"'
    plan = planned(project(patterns, chip + "}"))
    (told,) = [f for f in plan.findings if f.code == "BLP002"]
    first, second = re.findall(r"groups: (\[[^]]*\])", told.remedy)
    mended = f"{chip}, groups: {first}}}\n{chip.replace('chip', 'other')}, groups: {second}}}"
    assert codes(planned(project(patterns, mended))) == set()
    larger = re.search(r'type: ("[^"]*")', told.remedy).group(1)
    line = f'  chip: {{type: {larger}, regulator: "yes"}}'
    assert codes(planned(project(patterns, line))) == set()


def test_the_longest_repeat_of_the_remedy_fits_and_one_second_more_does_not():
    chip = '  chip: {type: "8-bit AVR, 14 pins", regulator: "yes"}'

    def run(seconds):
        return planned(project({"a": f"kind: data panel, repeat: {seconds} s"}, chip))

    (told,) = [f for f in run(900).findings if f.code == "BLP006"]
    longest = int(re.search(r"repeat: (\d+) s", told.remedy).group(1))
    assert longest > 60
    assert codes(run(longest)) == set()
    assert codes(run(longest + 1)) == {"BLP006"}


def test_the_free_pin_of_the_remedy_is_free():
    groups = {"a": BEACON, "b": BEACON}
    twice = BOARD.replace("}", ', pins: {a: "3", b: "3"}}')
    (told,) = [f for f in planned(project(groups, twice)).findings if f.code == "BLP003"]
    free = re.search(r'b: "(\d+)"', told.remedy).group(1)
    assert codes(planned(project(groups, twice.replace('b: "3"', f'b: "{free}"')))) == set()


def test_a_button_gets_the_pin_the_remedy_names():
    scenes = "scenes:\n  alarm: {lasts: 4 s, trigger: button, levels: {a: 20 %}}\n"
    plan = planned(project({"a": BEACON}, BOARD, extra=scenes))
    (told,) = [f for f in plan.findings if f.code == "BLP008"]
    pin = re.search(r'alarm: "(\d+)"', told.remedy).group(1)
    line = BOARD.replace("}", f', buttons: {{alarm: "{pin}"}}}}')
    plan = planned(project({"a": BEACON}, line, extra=scenes))
    assert codes(plan) == set()
    assert [one.pin for one in plan.controllers.programs[0].pins.buttons] == [pin]


def test_a_steady_group_that_a_scene_dims_has_a_pin_in_its_plug():
    scenes = "scenes:\n  day: {lasts: 9 s}\n  night: {lasts: 9 s, levels: {a: 20 %}}\n"
    plan = planned(project({"a": "kind: steady"}, BOARD, extra=scenes))
    (channel,) = plan.controllers.programs[0].pins.channels
    assert (channel.group, channel.plugs[0].pin) == ("a", 2)


@pytest.mark.parametrize(
    ("patterns", "ends"),
    [
        ({"a": BEACON}, [("output", "high")]),
        (
            dict.fromkeys("ab", "kind: grade crossing, period: 1 s, set: rails"),
            [("output", "high"), ("output", "low")],
        ),
        (
            dict.fromkeys("abcd", "kind: chase, period: 2 s, set: run"),
            [(f"Q{n}", "high") for n in range(4)],
        ),
    ],
)
def test_what_a_timer_chip_plays_needs_no_program(patterns, ends):
    plan = planned(project(patterns, "  timer: {kind: astable}"))
    assert codes(plan) == set()
    assert plan.controllers.programs == ()
    (timer,) = plan.controllers.timers
    assert [(one.end, one.lit_while) for one in timer.groups.channels] == ends
    period = float(re.search(r"period: (\d+)", next(iter(patterns.values()))).group(1))
    assert timer.groups.period_s.low < period < timer.groups.period_s.high


def chased(count, kind):
    patterns = dict.fromkeys("abcde"[:count], "kind: chase, period: 2 s, set: run")
    return planned(project(patterns, f"  timer: {{kind: {kind}}}"))


def test_a_ring_of_timers_has_a_chip_for_each_lamp():
    plan = chased(4, "timer ring")
    assert codes(plan) == set()
    (timer,) = plan.controllers.timers
    ends = [(one.end, one.lit_while, one.load.group) for one in timer.groups.channels]
    assert ends == [(f"chip {n}", "high", name) for n, name in enumerate("abcd", start=1)]
    assert timer.groups.period_s.low < 2.0 < timer.groups.period_s.high
    assert timer.groups.lit_share.low < 0.25 < timer.groups.lit_share.high
    need = {line.part: line.need for line in plan.parts if "timer" in line.used_in}
    assert need["timer chip, CMOS"] == need["signal diode"] == 4
    # 68 nF between each two chips; two resistors at each trigger but the first.
    assert (need["capacitor 100 nF"], need["capacitor 68 nF"]) == (4, 3)
    assert need["resistor 22k"] == 2 * 3 + 1
    own_A = plan.controllers.timers[0].groups.timer.chip.own_A
    assert plan.controllers.own_A == pytest.approx(4 * own_A)


@pytest.mark.parametrize("count", [2, 3, 5])
def test_a_counter_takes_fewer_parts_than_a_ring(count):
    def pieces(kind):
        return sum(line.need for line in chased(count, kind).parts if "timer" in line.used_in)

    assert pieces("astable") < pieces("timer ring")


def test_a_ring_fed_with_too_little_is_told_what_is_enough():
    bipolar = '  timer: {kind: timer ring, type: "timer chip, bipolar"}'
    patterns = dict.fromkeys("abc", "kind: chase, period: 2 s, set: run")

    def run(volts):
        supply = f"{{kind: plug-in supply, voltage: {volts} V, tolerance: 5 %, max_current: 1 A}}"
        return planned(project(patterns, bipolar, supply=supply))

    (told,) = [f for f in run(5.5).findings if f.code == "BLP009"]
    least = float(re.search(r"with ([\d.]+) V or more", told.remedy).group(1))
    assert codes(run(least)) == set()


DAYS = """scenes:
  day: {lasts: 9 s}
  night: {lasts: 9 s, levels: {a: 20 %}}
  alarm: {lasts: 4 s, trigger: button, levels: {b: 20 %}}
"""


def two_chips(kind):
    ends = 'regulator: "yes", buttons: {alarm: PB0}'
    lines = [f'  chip {one}: {{type: "{kind}", groups: [{one}], {ends}}}' for one in "ab"]
    return planned(project({"a": BEACON, "b": BEACON}, "\n".join(lines), extra=DAYS))


def test_scenes_on_two_inner_oscillators_part_and_the_crystals_of_the_remedy_do_not():
    """10 % each, as data sheets of such chips have it, from memory: twice six minutes an hour."""
    (told,) = [f for f in two_chips("8-bit AVR, 14 pins").findings if f.code == "BLP013"]
    assert "12 min apart after an hour" in told.message
    better = re.search(r'type: "([^"]*)"', told.remedy).group(1)
    assert codes(two_chips(better)) == set()


def test_one_button_begins_a_scene_on_two_controllers():
    plan = two_chips("8-bit AVR, 28 pins")
    need = {line.part: line.need for line in plan.parts}
    assert (need["8-bit AVR, 28 pins"], need["regulator 5 V"], need["push button"]) == (2, 2, 1)
    pins = [one.pins.buttons[0].pin for one in plan.controllers.programs]
    assert pins == ["PB0", "PB0"]
    notes = program(plan, runs={})["notes"]
    assert any("2 controllers" in note and "up to 0.4 s apart" in note for note in notes)
    assert any("from minus to pin PB0 of chip a, pin PB0 of chip b, joined" in one for one in notes)


def test_what_controllers_draw_is_part_of_the_load_over_time():
    without = planned(project({"a": BEACON}, ""))
    with_one = planned(project({"a": BEACON}, BOARD))
    more = with_one.time_line.load.least_A - without.time_line.load.least_A
    assert 0.030 <= more <= 0.032


def test_what_controllers_draw_is_part_of_the_supply_s_load():
    """30 mA of the board's row [CONTROLLERS]; the supply's 30 mA are enough for the lamp alone."""
    weak = "{kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 30 mA}"
    without = planned(project({"a": BEACON}, "", supply=weak))
    with_one = planned(project({"a": BEACON}, BOARD, supply=weak))
    more = with_one.load.total_A.nominal - without.load.total_A.nominal
    assert 0.030 <= more <= 0.032
    assert with_one.load.dimmest_A - without.load.dimmest_A == pytest.approx(0.030)
    assert not [one for one in without.findings if one.code == "CIR002"]
    (told,) = [one for one in with_one.findings if one.code == "CIR002"]
    assert told.message.startswith("all strings and controllers together may take")


def test_a_controller_shortens_the_life_of_its_cells():
    """8 mA of the chip's row [CONTROLLERS] are drawn besides, as soon as it is there."""
    cells = "{kind: cells, voltage: 4.5 V, max_current: 1 A, cells: {type: alkaline AA, count: 3}}"
    chip = '  chip: {type: "8-bit AVR, 14 pins"}'
    steady = {"a": BEACON}
    without = planned(project(steady, "", supply=cells))
    with_one = planned(project(steady, chip, supply=cells))
    assert with_one.run.dark_h.nominal < without.run.dark_h.nominal
    more = with_one.run.moments[0].total_A - without.run.moments[0].total_A
    assert 0.006 < more < 0.010
