"""The button of a mend: for a row it is there, and works, only where all of the row ask for it."""

from pathlib import Path

import pytest

from web.views_client import opened, posted

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
LED = "{type: white 0603, at: [20 mm, 25 mm], count: 2, step: [16 mm, 0 mm], current: 0.5 mA}"
FENCE = "from: [9 mm, 11.5 mm], to: [47 mm, 11.5 mm], height: 5 mm, sheet: styrene 0.5 mm"
"""A baffle close before the lower wall of the box, from end to end."""


@pytest.mark.parametrize(
    ("where", "told", "can"),
    [
        ("at: [28 mm, 11 mm]", ["W"], True),
        ("at: [20 mm, 11 mm], count: 2, step: [16 mm, 0 mm]", ["W1", "W2"], True),
        # The second of the row sits on the wall opposite, where nothing is in its way.
        ("at: [28 mm, 11 mm], count: 2, step: [0 mm, 28 mm]", ["W1"], False),
    ],
)
def test_a_row_is_raised_only_when_all_of_it_is_in_the_way(tmp_path, where, told, can):
    project = tmp_path / "sample.yaml"
    led = f"{{type: white 0603, {where}, seat: wall, height: 3 mm, current: 0.5 mA}}"
    baffles = f"            baffles: {{fence: {{{FENCE}}}}}\n            leds:"
    project.write_text(SOUND.replace(LED, led).replace("            leds:", baffles))
    with opened(project, state=tmp_path / "state") as (client, bench, address):
        page = client.get(f"{address}/findings").text
        found = [one for one in bench.findings() if one.code == "CUT021"]
        assert [one.where.item.rpartition(" / ")[2] for one in found] == told
        assert {one.remedy for one in found} == {found[0].remedy}
        alone = "" if can else ", for it alone if it stands in a row"
        assert found[0].remedy == f"write height: 6.4 mm{alone}"
        entry = page[page.index('data-code="CUT021"') :].partition("</li>")[0]
        assert ("Do it" in entry) == can
        wanted = {key: getattr(found[0], key) for key in ("code", "message")}
        answer = posted(client, f"{address}/mend", {**wanted, "item": found[0].where.item})
        assert answer.status_code == (200 if can else 422)
        assert f"height: {'6.4 mm' if can else '3 mm'}," in project.read_text()
        if can:
            client.get(f"{address}/findings")
            assert "CUT021" not in [one.code for one in bench.findings()]
        else:
            assert "row" in answer.json()["message"]
