import json

import pytest

from lamphouse.light.hole import passing_share
from lamphouse.light.scene import Disc
from light.boxes import rectangle
from tolerances import TABLE


def test_a_black_hole_passes_the_form_factor_of_its_ends(reference):
    """Howell C-41, coaxial discs of equal size; C-11 for a square."""
    values = json.loads((reference / "form_factors" / "values.json").read_text(encoding="utf-8"))
    for case in values["discs"]:
        if case["r1"] == case["r2"]:
            disc = Disc(x_mm=3.0, y_mm=-2.0, diameter_mm=2.0 * case["r1"])
            share = passing_share(disc, panel_mm=case["d"], rim_reflectance=0.0)
            assert share == pytest.approx(case["F12"], abs=2e-4)
    square = rectangle(0.0, 0.0, 2.0, 2.0)
    share = passing_share(square, panel_mm=1.0, rim_reflectance=0.0)
    assert share == pytest.approx(0.415253, abs=TABLE * 1e-6)


@pytest.mark.parametrize(("paint", "share"), [(0.0, 0.17), (0.5, 0.26), (0.85, 0.40)])
def test_a_hole_as_deep_as_wide(paint, share):
    """Tube Monte Carlo, two digits: 0.17, 0.26, 0.40 for wall reflectances 0, 0.5, 0.85."""
    disc = Disc(x_mm=0.0, y_mm=0.0, diameter_mm=1.5)
    passed = passing_share(disc, panel_mm=1.5, rim_reflectance=paint)
    assert passed == pytest.approx(share, abs=TABLE * 1e-2)


def test_a_thin_panel_keeps_nothing():
    disc = Disc(x_mm=0.0, y_mm=0.0, diameter_mm=1.5)
    assert passing_share(disc, panel_mm=0.0, rim_reflectance=0.3) == 1.0
