"""The size of a picture, as an address may ask for it."""

import pytest
from starlette.exceptions import HTTPException

from lamphouse.web.page_views.asked_light import LARGEST_PX, asked_px


@pytest.mark.parametrize("text", ["16", "0400", str(LARGEST_PX)])
def test_a_size_within_bounds_is_read(text):
    assert asked_px(text) == int(text)


@pytest.mark.parametrize("text", ["15", "961", "0001009999999", "9" * 5000, "", "4e2", "²"])
def test_any_other_is_refused(text):
    with pytest.raises(HTTPException, match="pixels"):
        asked_px(text)
