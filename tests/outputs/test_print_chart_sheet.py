"""The print chart: its patches have the colours that are sent, at the size that is stated."""

import io

import numpy as np
import pytest
from PIL import Image

from lamphouse.colour.print_chart import PATCHES
from lamphouse.outputs.print_chart_sheet import (
    COLUMNS,
    DPI,
    GAP_MM,
    PATCH_MM,
    chart_picture,
    chart_sheet,
)


def test_each_patch_holds_its_colour_and_bare_film_lies_between():
    picture = Image.open(io.BytesIO(chart_picture())).convert("RGB")
    assert picture.info["dpi"] == pytest.approx((DPI, DPI), rel=1e-3)
    pixels, per_mm = np.asarray(picture), DPI / 25.4
    for number, (_, sent) in enumerate(PATCHES):
        row, column = divmod(number, COLUMNS)
        top, left = (GAP_MM + place * (PATCH_MM + GAP_MM) for place in (row, column))
        inner = [slice(round((at + 1) * per_mm), round((at + 13) * per_mm)) for at in (top, left)]
        assert np.unique(pixels[*inner].reshape(-1, 3), axis=0).tolist() == [list(sent)]
        below = round((top + PATCH_MM + GAP_MM / 2) * per_mm)
        assert pixels[below, round((left + 1) * per_mm)].tolist() == [255, 255, 255]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_is_the_same_bytes_twice(paper):
    made = chart_sheet(paper=paper)
    assert made == chart_sheet(paper=paper)
    assert made.startswith(b"%PDF")
