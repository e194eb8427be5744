"""The choice of values by integer programmes, against every choice there is."""

from collections import Counter
from itertools import product
from math import log, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.balance.fewest_values import (
    TIE,
    Chosen,
    Mates,
    Member,
    Option,
    Pick,
    choose,
    nearest_ratio,
)
from lamphouse.balance.stabbing import stab
from tolerances import EXACT

GRID = (1000.0, 1200.0, 1500.0, 1800.0, 2200.0)
GAP = 1e-5
"""What the solver may miss of a sum that is no count; its own gap is 1e-6."""


def pick(*ohms, count=1, middle=1.0, at=1500.0, spread=1.0):
    """Strings whose light falls with the value, and is as it is now at ``at``."""
    options = tuple(
        Option(ohm=ohm, least_factor=at / ohm / spread, most_factor=at / ohm * spread)
        for ohm in ohms
    )
    return Pick(options=options, count=count, middle=middle)


@st.composite
def problems(draw):
    picks = []
    for _ in range(draw(st.integers(1, 4))):
        low = draw(st.integers(0, 4))
        high = draw(st.integers(low, 4))
        picks.append(
            pick(
                *GRID[low : high + 1],
                count=draw(st.integers(1, 3)),
                middle=draw(st.sampled_from((0.7, 1.0, 1.3))),
                at=draw(st.sampled_from((1100.0, 1500.0, 2000.0))),
                spread=draw(st.sampled_from((1.0, 1.01))),
            )
        )
    mates = [
        Mates(
            members=tuple(
                Member(pick=number, least=least, most=least * draw(st.sampled_from((1.0, 1.1))))
                for number in sorted(draw(st.sets(st.integers(0, len(picks) - 1), min_size=1)))
                for least in [draw(st.sampled_from((10.0, 14.0, 25.0)))]
            ),
            ratio=draw(st.sampled_from((1.15, 1.5, 2.07))),
        )
        for _ in range(draw(st.integers(0, 2)))
    ]
    in_use = draw(st.frozensets(st.sampled_from(GRID), max_size=2))
    in_hand = draw(st.dictionaries(st.sampled_from(GRID), st.integers(0, 3), max_size=2))
    return picks, mates, in_use, in_hand


def ratio_of(options, mates):
    lows = [member.least * options[member.pick].least_factor for member in mates.members]
    highs = [member.most * options[member.pick].most_factor for member in mates.members]
    return max(highs) / min(lows)


def costs(picks, mates, in_use, in_hand, options):
    """Say in plain counting what a choice costs, most important first."""
    need = Counter()
    for one, option in zip(picks, options, strict=True):
        need[option.ohm] += one.count
    return (
        sum(ratio_of(options, group) > group.ratio * (1.0 + EXACT) for group in mates),
        len(need.keys() - in_use),
        sum(max(number - in_hand.get(ohm, 0), 0) for ohm, number in need.items()),
        sum(
            one.count * log(sqrt(option.least_factor * option.most_factor) / one.middle) ** 2
            - TIE * log(option.ohm)
            for one, option in zip(picks, options, strict=True)
        ),
    )


@settings(max_examples=60, deadline=None)
@given(problems())
def test_no_other_choice_is_better(problem):
    picks, mates, in_use, in_hand = problem
    chosen = choose(picks, mates=mates, in_use=in_use, in_hand=in_hand)
    own = tuple(
        next(option for option in one.options if option.ohm == ohm)
        for one, ohm in zip(picks, chosen.ohms, strict=True)
    )
    found = costs(picks, mates, in_use, in_hand, own)
    best = min(
        costs(picks, mates, in_use, in_hand, options)
        for options in product(*(one.options for one in picks))
    )
    assert found[:3] == best[:3]
    assert found[3] == pytest.approx(best[3], abs=GAP)
    assert len(chosen.given_up) == best[0]


@settings(max_examples=60, deadline=None)
@given(problems())
def test_without_mates_it_is_as_few_as_the_spans_prove(problem):
    picks, _, in_use, _ = problem
    chosen = choose(picks, in_use=in_use)
    spans = [(one.options[0].ohm, one.options[-1].ohm) for one in picks]
    assert len(set(chosen.ohms) - in_use) == len(stab(spans, free=in_use).values)


@settings(max_examples=60, deadline=None)
@given(problems())
def test_the_nearest_ratio_is_the_smallest_of_all(problem):
    picks, mates, _, _ = problem
    for group in mates:
        best = min(ratio_of(o, group) for o in product(*(one.options for one in picks)))
        assert nearest_ratio(picks, mates=group) == pytest.approx(best, rel=EXACT)


def test_the_drawer_decides_between_equal_counts():
    picks = [pick(1200.0, 1500.0, 1800.0, count=3)]
    assert choose(picks).ohms == (1500.0,)
    assert choose(picks, in_hand={1800.0: 3}).ohms == (1800.0,)
    assert choose(picks, in_hand={1800.0: 2, 1200.0: 3}).ohms == (1200.0,)


def test_a_value_in_use_is_worth_more_than_the_drawer_and_the_middle():
    picks = [pick(1200.0, 1500.0, 1800.0)]
    assert choose(picks, in_use=frozenset({1200.0}), in_hand={1800.0: 9}).ohms == (1200.0,)


def test_mates_that_cannot_be_held_are_told_and_the_rest_is_still_chosen():
    picks = [pick(1000.0, at=1000.0), pick(2200.0, at=2200.0), pick(1200.0, 1500.0)]
    apart = Mates(
        members=(Member(pick=0, least=10.0, most=10.0), Member(pick=1, least=30.0, most=30.0)),
        ratio=1.5,
    )
    assert choose(picks, mates=[apart]) == Chosen(ohms=(1000.0, 2200.0, 1500.0), given_up=(0,))
    assert nearest_ratio(picks, mates=apart) == pytest.approx(3.0, rel=EXACT)


def test_nothing_to_choose_is_no_fault():
    assert choose([]) == Chosen(ohms=(), given_up=())
