import numpy as np
import pytest

from lamphouse.light.wishes import FluxSpan, Wish, flux_span, lay_out, middle_flux_lm, stand
from tolerances import EXACT

SPAN = FluxSpan(least_lm=0.1, most_lm=10.0)


def wish(opening="A", *, least=20.0, most=80.0, evenness=0.5):
    return Wish(opening=opening, least_cd_m2=least, most_cd_m2=most, evenness=evenness)


def aims(*wishes, areas):
    return lay_out(wishes, areas_mm2=[np.array(area) for area in areas])


def test_means_are_weighed_by_area():
    laid = aims(wish(), areas=[[1.0, 3.0]])
    assert stand(laid, spots_cd_m2=np.array([8.0, 4.0])).mean == pytest.approx([5.0], rel=EXACT)


@pytest.mark.parametrize(
    ("spots", "fit"),
    [
        ([10.0, 10.0], 2.0),  # even: smallest over mean 1 where 0.5 is wanted
        ([5.0, 15.0], 1.0),  # 5 over 10 is what is wanted
        ([2.5, 17.5], 0.5),
        ([9.0, 9.0, 9.0, 33.0], 30.0 / 33.0),  # the hot spot counts: 33 over 15 beside 2
    ],
)
def test_fit_is_the_worse_of_dark_and_bright(spots, fit):
    laid = aims(wish(), areas=[[1.0] * len(spots)])
    assert stand(laid, spots_cd_m2=np.array(spots)).fit == pytest.approx(fit, rel=EXACT)


def test_fit_falls_where_no_flux_serves_both_openings():
    two = aims(wish("A", least=20, most=80), wish("B", least=20, most=80), areas=[[1.0], [1.0]])
    fit = stand(two, spots_cd_m2=np.array([[1.0, 4.0], [1.0, 8.0]])).fit
    # A ratio of 4 fits from 20 to 80; at 8 the classes miss one another by a factor of two.
    assert fit == pytest.approx([2.0, 1.0], rel=EXACT)


def test_many_layouts_are_judged_at_once():
    laid = aims(wish(), areas=[[1.0, 1.0]])
    many = np.array([[[5.0, 15.0], [10.0, 10.0]]])
    assert stand(laid, spots_cd_m2=many).fit == pytest.approx(np.array([[1.0, 2.0]]), rel=EXACT)


def test_flux_brings_every_opening_into_its_class_and_stays_in_the_lamps_range():
    laid = aims(wish(), areas=[[1.0]])
    least, most = flux_span(laid, mean=np.array([10.0]), span=SPAN)
    assert (least, most) == pytest.approx((2.0, 8.0), rel=EXACT)
    # Geometric middle of 20 and 80 is 40.
    assert middle_flux_lm(laid, mean=np.array([10.0]), span=SPAN) == pytest.approx(4.0, rel=EXACT)
    assert middle_flux_lm(laid, mean=np.array([1.0]), span=SPAN) == SPAN.most_lm
    least, most = flux_span(laid, mean=np.array([1e4]), span=SPAN)
    assert least > most


def test_the_light_of_other_boxes_counts_at_the_flux_that_is_chosen():
    """Class 20 to 80, ground 10: fluxes from 1 to 7 reach it, and 7 ** 0.5 is their middle."""
    ground = [np.array([10.0, 10.0])]
    wanted = lay_out([wish()], areas_mm2=[np.ones(2)], ground_cd_m2=ground)
    lamps = np.array([5.0, 15.0])
    standing = stand(wanted, spots_cd_m2=lamps)
    flux = 7.0**0.5
    dark, bright = 10.0 + flux * lamps
    assert standing.fit == pytest.approx(dark / ((dark + bright) / 2.0) / 0.5)
    assert flux_span(wanted, mean=standing.mean, span=SPAN) == pytest.approx((1.0, 7.0))
    assert middle_flux_lm(wanted, mean=standing.mean, span=SPAN) == pytest.approx(flux)
    flooded = lay_out([wish()], areas_mm2=[np.ones(2)], ground_cd_m2=[np.full(2, 90.0)])
    assert stand(flooded, spots_cd_m2=lamps).fit == 0.0
