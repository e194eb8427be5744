"""What lands is laid down so that its amount and its place are kept."""

import numpy as np
import pytest

from lamphouse.light.interior import make_interior
from lamphouse.light.scene import Sheet
from light.boxes import plain_box
from tolerances import EXACT


def landed(interior, *, cavity):
    """Light off the middle of faces that have neighbours on both sides along both directions."""
    laying = interior.laying[cavity]
    inner = (interior.lower != interior.upper).all(axis=0)[laying.own]
    chance = np.random.default_rng(3)
    flux = chance.uniform(size=len(laying.back)) * inner
    span = interior.centre_mm[interior.upper] - interior.centre_mm[interior.lower]
    aside = np.einsum("an,ank->nk", chance.uniform(-0.2, 0.2, (2, len(flux))), span[:, laying.own])
    return np.concatenate([flux[None], flux * (interior.centre_mm[laying.own] + aside).T])


def test_amount_and_place_are_kept():
    """Zeroth and first moments: what the balance is told is what landed."""
    interior = make_interior(plain_box())
    laying, rows = interior.laying[0], landed(interior, cavity=0)
    sent = laying.sent(rows, count=interior.face_count)
    assert sent.sum() == pytest.approx((laying.back * rows[0]).sum(), rel=EXACT)
    wanted = rows[1:] @ laying.back
    assert sent @ interior.centre_mm == pytest.approx(wanted, rel=1e-9)


def test_a_sheet_passes_its_share_on_to_the_other_side():
    sheet = Sheet(height_mm=4.0, transmittance=0.6, reflectance=0.3)
    interior = make_interior(plain_box(sheet=sheet))
    laying, rows = interior.laying[0], landed(interior, cavity=0)
    sent = laying.sent(rows, count=interior.face_count)
    cells = interior.cavities[0].cell_count
    on_sheet = rows[0, cells : 2 * cells].sum()
    assert sent[interior.first[1] :].sum() == pytest.approx(0.6 * on_sheet, rel=EXACT)
    assert sent[: interior.first[1]].sum() == pytest.approx(
        (laying.back * rows[0]).sum(), rel=EXACT
    )


def test_a_few_faces_are_laid_down_as_among_all():
    interior = make_interior(plain_box())
    laying, rows = interior.laying[0], landed(interior, cavity=0)
    few = np.array([5, 40, 41, 300])
    alone = np.zeros_like(rows)
    alone[:, few] = rows[:, few]
    wanted = laying.sent(alone, count=interior.face_count)
    assert laying.sent_within(rows, face=few) == pytest.approx(wanted, abs=EXACT)
