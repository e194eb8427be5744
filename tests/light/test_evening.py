import numpy as np
import pytest

from lamphouse.light.evening import EVEN, evened
from tolerances import EXACT


def exchange(rng, count, *, spread):
    table = rng.uniform(0.0, 1.0, (count, count))
    table += table.T
    return table, table.sum(axis=1) * rng.uniform(1.0 - spread, 1.0 + spread, count)


@pytest.mark.parametrize("spread", [0.02, 0.3])
def test_rows_add_up_to_the_areas(spread):
    table, areas = exchange(np.random.default_rng(3), 60, spread=spread)
    before = table.copy()
    defect = evened(areas, table=table)
    assert defect == pytest.approx(np.abs(before.sum(axis=1) / areas - 1.0).max(), rel=EXACT)
    assert table.sum(axis=1) == pytest.approx(areas, rel=EVEN)
    assert table == pytest.approx(table.T, rel=EXACT)
    # One factor a face: whatever is left of the rows and columns alone is unchanged.
    left, right = (np.log(one) for one in (table, before))
    change = left - right
    change -= change.mean(axis=0)
    assert np.ptp(change, axis=1) == pytest.approx(np.zeros(60), abs=EXACT)


def test_two_faces_by_hand():
    """f^2 s = a on both, so f = sqrt(a / s)."""
    table = np.array([[0.0, 4.0], [4.0, 0.0]])
    evened(np.array([9.0, 9.0]), table=table)
    assert table == pytest.approx(np.array([[0.0, 9.0], [9.0, 0.0]]), rel=EVEN)


def test_an_even_exchange_is_left_alone():
    table = np.array([[1.0, 2.0], [2.0, 3.0]])
    assert evened(np.array([3.0, 5.0]), table=table) == 0.0
    assert table.tolist() == [[1.0, 2.0], [2.0, 3.0]]
