"""The integer programme against the enumeration of every subset of the places."""

from itertools import combinations

import numpy as np
import pytest

from lamphouse.light.fewest import fewest
from lamphouse.light.wishes import FluxSpan, Wish, flux_span, lay_out, stand
from lamphouse.record import replace

SPAN = FluxSpan(least_lm=0.05, most_lm=2.0)
NODES = 100_000


def meets(aims, *, light, chosen):
    standing = stand(aims, spots_cd_m2=light[list(chosen)].sum(axis=0))
    least, most = flux_span(aims, mean=standing.mean, span=SPAN)
    return standing.fit >= 1.0 and least <= most


def by_trying(aims, *, light, at_most):
    for count in range(1, at_most + 1):
        if any(
            meets(aims, light=light, chosen=chosen)
            for chosen in combinations(range(len(light)), count)
        ):
            return count
    return None


def invented(seed, *, openings):
    """Make lamps over a line of spots, brighter near them, with some scatter."""
    random = np.random.default_rng(seed)
    spots, places = np.arange(12.0), random.uniform(0.0, 11.0, size=9)
    fall = random.uniform(1.0, 4.0)
    light = 30.0 / (1.0 + ((spots - places[:, None]) / fall) ** 2) ** 2
    light *= random.uniform(0.7, 1.3, size=light.shape)
    wishes = [
        Wish(
            opening=str(number),
            least_cd_m2=20.0,
            most_cd_m2=float(random.uniform(25.0, 120.0)),
            evenness=float(random.uniform(0.3, 0.8)),
        )
        for number in range(openings)
    ]
    return lay_out(wishes, areas_mm2=list(np.full((openings, 12 // openings), 1.0))), light


@pytest.mark.parametrize("openings", [1, 2])
@pytest.mark.parametrize("seed", range(20))
def test_it_finds_what_trying_every_subset_finds(seed, openings):
    aims, light = invented(seed, openings=openings)
    wanted = by_trying(aims, light=light, at_most=9)
    found = fewest(aims, light=light, span=SPAN, at_most=9, nodes=NODES)
    if wanted is None:
        assert found.chosen == ()
        assert found.at_least == 10
    else:
        assert len(found.chosen) == found.at_least == wanted
        assert meets(aims, light=light, chosen=found.chosen)


def test_the_invented_cases_are_not_all_alike():
    counts = {
        by_trying(*invented(seed, openings=1)[:1], light=invented(seed, openings=1)[1], at_most=9)
        for seed in range(20)
    }
    assert None in counts
    assert len(counts) >= 4


def test_fewer_than_allowed_is_a_proof_that_none_will_do():
    aims, light = next(
        case
        for case in (invented(seed, openings=1) for seed in range(20))
        if by_trying(case[0], light=case[1], at_most=9) == 3
    )
    found = fewest(aims, light=light, span=SPAN, at_most=2, nodes=NODES)
    assert (found.chosen, found.at_least) == ((), 3)


def allowed_flux(aims, *, light, chosen):
    """Give the fluxes at which a choice meets every wish: each of them bounds it from one side."""
    spots, ground = light[list(chosen)].sum(axis=0), aims.ground_cd_m2
    mean, level = aims.share @ spots, aims.share @ ground
    low, high = SPAN.least_lm, SPAN.most_lm
    for number, (wish, part) in enumerate(zip(aims.wishes, aims.spots, strict=True)):
        even = wish.evenness
        dark = spots[part] - even * mean[number], ground[part] - even * level[number]
        bright = mean[number] - even * spots[part], level[number] - even * ground[part]
        for slope, start in (
            *zip(*dark, strict=True),
            *zip(*bright, strict=True),
            (mean[number], level[number] - wish.least_cd_m2),
            (-mean[number], wish.most_cd_m2 - level[number]),
        ):
            if slope > 0.0:
                low = max(low, -start / slope)
            elif slope < 0.0:
                high = min(high, -start / slope)
            elif start < 0.0:
                return 1.0, 0.0
    return low, high


@pytest.mark.parametrize("openings", [1, 2])
@pytest.mark.parametrize("seed", range(12))
def test_it_finds_the_fewest_beside_the_light_of_other_boxes(seed, openings):
    """Light from one end; every subset is tried, its flux bounded wish by wish."""
    aims, light = invented(seed, openings=openings)
    ground = 40.0 * np.random.default_rng(100 + seed).uniform() * np.exp(-np.arange(12.0) / 2.0)
    aims = replace(aims, ground_cd_m2=ground)
    wanted = next(
        (
            count
            for count in range(1, 6)
            for chosen in combinations(range(len(light)), count)
            if np.subtract(*allowed_flux(aims, light=light, chosen=chosen)) <= 0.0
        ),
        6,
    )
    found = fewest(aims, light=light, span=SPAN, at_most=5, nodes=NODES)
    assert found.at_least == wanted
    assert len(found.chosen) == (wanted if wanted < 6 else 0)
