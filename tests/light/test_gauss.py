"""Gauss points of four-cornered pieces."""

import numpy as np
import pytest

from lamphouse.light.gauss import FOUR, SIXTEEN
from tolerances import EXACT, TABLE


def test_the_points_are_those_of_the_handbook():
    """Abramowitz and Stegun, table 25.4: abscissas and weights for n = 4."""
    node = np.array([-0.861136311594053, -0.339981043584856, 0.339981043584856, 0.861136311594053])
    weight = np.array([0.347854845137454, 0.652145154862546])
    assert SIXTEEN.node == pytest.approx((1.0 + node) / 2.0, abs=TABLE * 1e-15)
    outer = (SIXTEEN.across % 3 == 0) & (SIXTEEN.up % 3 == 0)
    assert SIXTEEN.weight[outer] == pytest.approx(weight[0] ** 2, abs=TABLE * 1e-14)
    inner = (SIXTEEN.across % 3 > 0) & (SIXTEEN.up % 3 > 0)
    assert SIXTEEN.weight[inner] == pytest.approx(weight[1] ** 2, abs=TABLE * 1e-14)


@pytest.mark.parametrize("rule", [FOUR, SIXTEEN])
def test_every_four_points_lie_in_one_quarter(rule):
    place = np.stack([rule.node[rule.across], rule.node[rule.up]], axis=1)
    quarters = [{tuple(point) for point in four > 0.5} for four in place.reshape(-1, 4, 2)]
    assert all(len(quarter) == 1 for quarter in quarters) == (rule is SIXTEEN)
    assert rule.weight.sum() == pytest.approx(4.0, rel=EXACT)
    assert rule.blend.sum(axis=1) == pytest.approx(1.0, rel=EXACT)


@pytest.mark.parametrize(("rule", "power"), [(FOUR, 1), (SIXTEEN, 3)])
def test_a_part_of_a_piece_is_summed_up_from_its_points(rule, power):
    """Integral of (u v)^p over u + v < 1 by the beta function: p!^2 / (2 p + 2)!."""
    steps = (np.arange(2000) + 0.5) / 2000.0
    u, v = (axis.ravel() for axis in np.meshgrid(steps, steps))
    shares = rule.stands_for(u, v=v)
    assert shares.sum(axis=0) == pytest.approx(1.0, rel=EXACT)
    part = shares[u + v < 1.0].sum(axis=0) * rule.weight[:, 0] / 4.0
    value = (rule.node[rule.across] * rule.node[rule.up]) ** power
    assert part @ value == pytest.approx({1: 1.0 / 24.0, 3: 36.0 / 40320.0}[power], rel=5e-3)
