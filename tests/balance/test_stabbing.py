"""The fewest values that serve every span: against every choice there is, and its own proof."""

from itertools import combinations, pairwise

from hypothesis import given
from hypothesis import strategies as st

from lamphouse.balance.stabbing import stab

SPANS = st.lists(
    st.tuples(st.integers(0, 12), st.integers(0, 6)).map(
        lambda pair: (float(pair[0]), float(pair[0] + pair[1]))
    ),
    max_size=7,
)
FREE = st.frozensets(st.integers(0, 18).map(float), max_size=2)


def serves(values, span):
    return any(span[0] <= value <= span[1] for value in values)


def fewest_of_all(spans, free):
    """Try every set of values on the grid, small sets first."""
    for size in range(len(spans) + 1):
        for values in combinations(map(float, range(19)), size):
            if all(serves((*values, *free), span) for span in spans):
                return size
    raise AssertionError(spans)


@given(SPANS, FREE)
def test_no_other_choice_has_fewer_values(spans, free):
    found = stab(spans, free=free)
    assert all(serves((*found.values, *free), span) for span in spans)
    assert len(found.values) == fewest_of_all(spans, free)


@given(SPANS, FREE)
def test_the_witnesses_need_a_value_each(spans, free):
    """As many spans as values, apart from one another and from the free values, are a proof."""
    found = stab(spans, free=free)
    apart = sorted(spans[number] for number in found.witnesses)
    assert len(apart) == len(found.values)
    assert all(one[1] < other[0] for one, other in pairwise(apart))
    assert not any(serves(free, span) for span in apart)
