"""What a gate lists: of many readings and of many looks the first few, and where the rest are."""

from pathlib import Path

import pytest

from lamphouse.outputs.gate_cards import gate_card
from lamphouse.plan import make
from lamphouse.plan.ordered import ordered
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
SCREEN = "screen: {shape: rectangle 30 x 20 mm, at: [28 mm, 25 mm]"


def plan_of(count):
    pins = f"pin: {{shape: round 1 mm, at: [18 mm, 25 mm], count: {count}, step: [2.5 mm, 0 mm]"
    reading = read_text(SOUND.replace(SCREEN, pins), file="project.yaml")
    return make.plan(reading.design, found=reading.findings, places=reading.places)


@pytest.mark.parametrize("count", [6, 9])
def test_of_many_looks_the_first_are_named_and_the_rest_counted(count):
    plan = plan_of(count)
    (sub,) = plan.design.sub_assemblies
    expected = ordered(plan).order.step("desk/test open").expected
    looks = [words for words in expected if words.startswith("pin")]
    assert [words.partition(":")[0] for words in looks] == [f"pin{n}" for n in range(1, 7)]
    after = expected[expected.index(looks[-1]) + 1]
    card = gate_card(plan, sub, circuit=plan.circuits[0])["looks"]
    assert [name for name, _ in card[:6]] == [f"pin{n}" for n in range(1, 7)]
    if count > 6:
        assert after == "3 more on the glow sheet"
        assert card[6:] == [("3 more", "see the glow sheet")]
    else:
        assert "more" not in after
        assert card[6:] == []
