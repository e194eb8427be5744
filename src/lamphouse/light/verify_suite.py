"""A second opinion on boxes that share openings, by random walks that know no solver."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import lay_out
from lamphouse.light.scene import Suite
from lamphouse.light.starts import opening_starts
from lamphouse.light.verify import Effort, OnRound, Opinion, Tally, walked
from lamphouse.light.walkable import Refusal, refused

Floats = NDArray[np.float64]


def _table(suite: Suite) -> Floats:
    """Lay out the passages, (P, 12), as ``suite_walks.Rooms`` wants them."""
    rows = []
    for passage in suite.passages:
        first, second = passage.boxes
        fill = passage.fill
        rows.append(
            (
                first,
                second,
                *passage.start_mm,
                *passage.end_mm,
                passage.low_mm,
                passage.high_mm,
                suite.rise_mm(start=first, end=second),
                fill is None,
                0.0 if fill is None else fill.reflectance,
                0.0 if fill is None else fill.transmittance,
            )
        )
    return np.array(rows, dtype=np.float64).reshape(-1, 12)


def _refused(suite: Suite) -> Refusal | None:
    for box in suite.boxes:
        if any(aperture.fill and aperture.fill.haze for aperture in box.apertures):
            return Refusal(
                reason="walks through several boxes do not know hazy diffusers",
                remedy="take even diffusers, or ask about one box alone",
            )
        refusal = refused(box, in_suite=True)
        if refusal is not None:
            return refusal
    if not any(box.lamps for box in suite.boxes):
        return Refusal(reason="no box has a lamp", remedy="add one")
    return None


def verify_suite(
    suite: Suite,
    *,
    seed: int,
    effort: Effort,
    on_round: OnRound = lambda _: True,
    only: int | None = None,
) -> tuple[Opinion, ...] | Refusal:
    """Find how every opening of boxes that share openings glows, by random walks to the lamps.

    Parameters
    ----------
    suite
        The boxes; their shared walls have no thickness.
    seed
        Any whole number from 0; another seed gives an independent answer.
    effort
        Where to stop, for each opening.
    on_round
        Told what is known of one box's openings after every round; stops that box by returning
        False.
    only
        Number of the one box whose openings are asked about; None: all.

    Returns
    -------
    tuple of Opinion, or Refusal
        One opinion for each box asked about.
    """
    refusal = _refused(suite)
    if refusal is not None:
        return refusal
    # The compiler is an optional extra: nothing but the second opinion needs it.
    from lamphouse.light.suite_walks import Rooms, suite_walks
    from lamphouse.light.walks import Round

    rooms = Rooms(
        tuple(lay_out(box) for box in suite.boxes),
        _table(suite),
        np.array([suite.rise_mm(start=box, end=0) for box in range(len(suite.boxes))]),
    )
    opinions = []
    with ThreadPoolExecutor(max_workers=effort.threads) as pool:
        for number, box in enumerate(suite.boxes):
            if only not in (None, number):
                continue

            def batch(tally: Tally, *, number: int = number) -> Floats:
                part = Round(seed + number, tally.batches, tally.each)

                def found(rows: Floats) -> Floats:
                    means = np.zeros(len(rows))
                    suite_walks(rooms, number, (rows, tally.starts.strips), part, means)
                    return means

                rows = tally.starts.rows
                parts = np.array_split(rows, min(effort.threads, len(rows)))
                return np.concatenate(list(pool.map(found, parts)))

            tallies = [
                Tally(
                    aperture.name,
                    opening_starts(box, number=place, small_mm=effort.small_mm),
                    most_walks=effort.most_walks,
                )
                for place, aperture in enumerate(box.apertures)
            ]
            opinions.append(
                walked(tallies, batch=batch, seed=seed, effort=effort, on_round=on_round)
            )
    return tuple(opinions)
