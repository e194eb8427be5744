"""Currents by linear programmes against a fine search of all of them."""

from itertools import product

import numpy as np
import pytest

from lamphouse.light.lamp_currents import own_fluxes
from lamphouse.light.wishes import FluxSpan, Wish, lay_out, stand
from lamphouse.record import replace
from tolerances import EXACT, PHYSICS

SPAN = FluxSpan(least_lm=0.2, most_lm=4.0)
SPOTS = np.arange(8.0)


def line(*places, fall=2.0):
    return 10.0 / (1.0 + ((SPOTS - np.array(places)[:, None]) / fall) ** 2) ** 2


def aims(evenness):
    wish = Wish(opening="A", least_cd_m2=5.0, most_cd_m2=20.0, evenness=evenness)
    return lay_out([wish], areas_mm2=[np.ones(len(SPOTS))])


def fit(aims_, *, light, fluxes):
    return float(stand(aims_, spots_cd_m2=fluxes @ light).fit)


def test_equal_currents_where_equal_currents_will_do():
    light, wanted = line(1.5, 5.5), aims(0.5)
    fluxes = own_fluxes(wanted, light=light, span=SPAN, spare=0.0)
    assert fluxes[0] == pytest.approx(fluxes[1], rel=1e-6)
    assert fit(wanted, light=light, fluxes=fluxes) >= 1.0 - 1e-6
    assert stand(wanted, spots_cd_m2=fluxes @ light).mean == pytest.approx([10.0], rel=1e-6)


def every_current(light, *, mean):
    """Give fluxes of three lamps in fine steps, at one mean and within the lamps' span."""
    steps = np.linspace(SPAN.least_lm, SPAN.most_lm, 60)
    shares = np.array(list(product(steps, repeat=3)))
    fluxes = shares * (mean / (shares @ light).mean(axis=1))[:, None]
    within = (fluxes.max(axis=1) <= SPAN.most_lm) & (fluxes.min(axis=1) >= SPAN.least_lm)
    return fluxes[within]


def slack(spots, *, evenness):
    """Tell how far the worst spot stands within the wish, in means."""
    mean = spots.mean(axis=-1)
    dark = spots.min(axis=-1) / mean - evenness
    return np.minimum(dark, 1.0 - evenness * spots.max(axis=-1) / mean)


@pytest.mark.parametrize("places", [(0.5, 2.0, 6.0), (1.0, 1.5, 6.5), (0.0, 3.5, 7.0)])
@pytest.mark.parametrize("evenness", [0.6, 0.95])
def test_no_currents_of_a_fine_search_stand_further_within_the_wish(places, evenness):
    light = line(*places)
    fluxes = own_fluxes(aims(evenness), light=light, span=SPAN, spare=1.0)
    mean = (fluxes @ light).mean()
    tried = slack(every_current(light, mean=mean) @ light, evenness=evenness)
    found = slack(fluxes @ light, evenness=evenness)
    assert mean == pytest.approx(10.0, rel=1e-6)  # the middle of the class
    assert found >= tried.max() - 1e-6
    assert found <= tried.max() + 10.0 * PHYSICS  # and the fine search comes close to it


def test_currents_are_as_near_to_one_another_as_the_wish_allows():
    light, wanted = line(1.5, 3.0, 6.0), aims(0.55)
    fluxes = own_fluxes(wanted, light=light, span=SPAN, spare=0.0)
    assert np.ptp(fluxes) > 0.1
    others = every_current(light, mean=(fluxes @ light).mean())
    good = others[stand(wanted, spots_cd_m2=others @ light).fit >= 1.0]
    assert len(good) > 100
    assert np.ptp(good, axis=1).min() >= np.ptp(fluxes) - 1e-6


def test_nothing_where_no_current_reaches_the_class():
    assert own_fluxes(aims(0.5), light=1e-3 * line(1.5, 5.5), span=SPAN, spare=0.0) is None


def test_the_span_of_the_lamps_holds():
    fluxes = own_fluxes(aims(0.99), light=line(0.0, 1.0, 7.0), span=SPAN, spare=0.0)
    assert np.all(fluxes >= SPAN.least_lm * (1.0 - EXACT))
    assert np.all(fluxes <= SPAN.most_lm * (1.0 + EXACT))


def test_the_light_of_other_boxes_is_made_up_for():
    """Brighter ground at one end: the lamp there gives less, and the sum stays within the wish."""
    light, wanted = line(1.5, 5.5), aims(0.6)
    ground = 6.0 * np.exp(-SPOTS / 2.0)
    beside = replace(wanted, ground_cd_m2=ground)
    alone = own_fluxes(wanted, light=light, span=SPAN, spare=0.0)
    fluxes = own_fluxes(beside, light=light, span=SPAN, spare=0.0)
    assert fluxes[0] < fluxes[1]
    assert fluxes.sum() < alone.sum()
    spots = fluxes @ light + ground
    assert spots.mean() == pytest.approx(10.0, rel=1e-6)  # the middle of the class
    assert slack(spots, evenness=0.6) >= -1e-6
    assert own_fluxes(replace(wanted, ground_cd_m2=ground + 20.0), light=light, span=SPAN,
                      spare=0.0) is None  # fmt: skip
