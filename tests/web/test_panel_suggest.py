"""The ways to light a box as the page shows and writes them, without a browser."""

import pytest

from web.views_client import opened, posted, waited

ROW = "T: {type: warm white 0603, at: [95 mm, 62 mm], count: 3, step: [20 mm, 0 mm], current: 1 mA}"


@pytest.fixture
def asked(tmp_path, saltmarsh):
    def ask(row):
        text = saltmarsh.read_text(encoding="utf-8")
        assert ROW in text
        saltmarsh.write_text(text.replace(ROW, row), encoding="utf-8")
        return opened(saltmarsh, state=tmp_path)

    return ask


def found(client, address):
    wanted = {"sub": "instrument wall", "box": "tide box"}
    number = posted(client, f"{address}/panel/suggest", wanted).json()["job"]
    assert waited(client, address, number)[0] == "done"
    return number, client.get(f"{address}/panel/choices?job={number}").text


@pytest.mark.slow
def test_the_page_says_how_the_leds_of_a_way_lean_and_writes_it(asked, saltmarsh):
    with asked(ROW.replace("1 mA}", "1 mA, tilt: 30 deg, towards: 90 deg}")) as (client, _, here):
        number, page = found(client, here)
        first = page.split("<h3>1. ")[1].split("</h3>")[0]
        assert "tilted 30 deg upwards" in first
        assert "do not all lean alike" not in page
        posted(client, f"{here}/panel/apply", {"job": number, "number": 1})
    assert "tilt: 30 deg, towards: 90 deg" in saltmarsh.read_text().partition("# suggested:")[2]


@pytest.mark.slow
def test_the_page_says_when_the_tilts_of_the_leds_would_go(asked, saltmarsh):
    pair = ROW.replace("count: 3", "count: 2").replace("T: ", "U: ")
    single = ROW.replace("count: 3, step: [20 mm, 0 mm]", "tilt: 30 deg, towards: 0 deg")
    single = single.replace("95 mm", "135 mm")
    with asked(f"{pair}\n              {single}") as (client, _, here):
        number, page = found(client, here)
        assert "do not all lean alike" in page
        assert "straight" in page.split("<h3>1. ")[1].split("</h3>")[0]
        posted(client, f"{here}/panel/apply", {"job": number, "number": 1})
    after = saltmarsh.read_text()
    assert "# suggested:" in after
    assert "tilt:" not in after
