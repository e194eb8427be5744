"""A box that shares openings with others kept solved for any place of its own lamps.

As for a box that stands alone, the balance is run backwards for all spots at once, here through
every box that light can come from. Of lamps in the other boxes the light at the spots is told once.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import live
from lamphouse.light.beyond import direct_beyond
from lamphouse.light.cavity import carried, gathered, settle, thrown_back
from lamphouse.light.chambers import Chamber
from lamphouse.light.first_bounce import first_light
from lamphouse.light.live import Live, Weights
from lamphouse.light.near_spots import laid_spots
from lamphouse.light.scene import Lamp, Suite
from lamphouse.light.suite_ready import Care, Ready, ready
from lamphouse.light.through import LAMP_RAYS, Links, lamp_through
from lamphouse.light.views import View
from lamphouse.record import Record

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

ROUNDS, SETTLED = 200, 1e-5
"""Rounds after which boxes that do not settle are a bug; change of a round at which they have."""

Both = tuple[Floats, Floats]
"""By the fine mesh and by the coarse one."""


class Worth(Record):
    """What light in one box of a suite is worth at the spots, (M, N), single precision."""

    sent: tuple[Singles, Singles]
    """Per light thrown back by its faces, fine and coarse. [1/mm2 sr]."""
    landed: tuple[Singles, Singles] | None
    """Per light straight on its faces, by way of diffusers in passages; None where there are none.
    """

    def shown(self, *, direct: Floats, sent: Floats) -> Both:
        """Luminance of the spots, (M,). [1/mm2 sr]."""
        back = sent.astype(np.float32)
        fine, coarse = (np.asarray(table @ back, dtype=np.float64) for table in self.sent)
        if self.landed is None:
            return fine, coarse
        straight = direct.astype(np.float32)
        return fine + self.landed[0] @ straight, coarse + self.landed[1] @ straight


class SuiteLive(Record):
    """One box of a suite with its solved operators."""

    made: Ready
    number: int
    own: Live
    """The box; its weights play no part."""
    worth: tuple[Worth, ...]
    """One for each box."""
    lamp_rays: int

    @property
    def views(self) -> tuple[View, ...]:
        """The openings of the box."""
        return self.own.views


def _spread(links: Links, *, number: int, u: Sequence[Floats]) -> Floats | float:
    """Worth of light that lands on the faces of diffusers in the passages of a box."""
    total: Floats | float = 0.0
    for (there, here), table in links.spread.items():
        if here == number:
            total = total + table.T @ u[there]
    return total


def _through(links: Links, *, number: int, sent: Callable[[int], Floats]) -> Floats | float:
    """Worth of what the faces of a box send out through open passages. [mm2]."""
    total: Floats | float = 0.0
    for (here, there), table in links.seen_mm2.items():
        if here == number:
            total = total + table @ sent(there)
    return total


Turn = Callable[[int, list[Floats]], Floats]


def _settled(chambers: tuple[Chamber, ...], *, start: list[Floats], turn: Turn) -> list[Floats]:
    """Take the boxes in turn until nothing changes."""
    u = start
    for _ in range(ROUNDS):
        most = 0.0
        for number in range(len(chambers)):
            before, u[number] = u[number], turn(number, u)
            most = max(most, float(np.abs(u[number] - before).max(initial=0.0)))
        if most <= SETTLED * max(float(one.max(initial=0.0)) for one in u):
            return u
    stuck = "the light of boxes that share openings does not settle"
    raise ArithmeticError(stuck)


def _fine(made: Ready, *, rows: Sequence[Floats], start: Sequence[Floats]) -> list[Floats]:
    """Worth of light sent out per area by the faces of each box, fine mesh, (N, M) over areas."""
    chambers, links = made.chambers, made.links

    def turn(number: int, u: list[Floats]) -> Floats:
        def sent(there: int) -> Floats:
            back = thrown_back(chambers[there].interior, illuminance=u[there])
            return np.asarray(back + _spread(links, number=there, u=u))

        inside, area = chambers[number].interior, chambers[number].interior.area_mm2[:, None]
        first = (rows[number] + _through(links, number=number, sent=sent)) / area
        spread = _spread(links, number=number, u=u)
        if not isinstance(spread, float):
            first = first + carried(inside, sent=spread)
        return settle(inside, balance=chambers[number].balance, first=first, guess=u[number])

    return _settled(chambers, start=list(start), turn=turn)


def _coarse(made: Ready, *, rows: Sequence[Floats]) -> list[Floats]:
    """Give the same by the coarse meshes: their forward answer turned round, as in ``live``."""
    chambers, links = made.chambers, made.links
    inner = [np.zeros_like(row) for row in rows]

    def turn(number: int, u: list[Floats]) -> Floats:
        chamber = chambers[number]
        inside, area = chamber.interior, chamber.interior.area_mm2[:, None]
        seen = rows[number] + _through(links, number=number, sent=lambda there: inner[there])
        worth = thrown_back(inside, illuminance=seen) + area * _spread(links, number=number, u=u)
        back = gathered(inside, balance=chamber.balance, values=worth)
        spread = chamber.balance.solved(back, backwards=True) / chamber.balance.area_mm2[:, None]
        inner[number] = spread[inside.parent]
        return np.asarray(seen / area + carried(inside, sent=inner[number]))

    start = [
        row / chamber.interior.area_mm2[:, None]
        for row, chamber in zip(rows, chambers, strict=True)
    ]
    return _settled(chambers, start=start, turn=turn)


def _rows(made: Ready, *, number: int) -> list[Floats]:
    """Give what the spots of a box see of the faces of each box, (N, M)."""
    views, beyond = made.chambers[number].views, made.rows_beyond(number)
    rows = []
    for there, chamber in enumerate(made.chambers):
        count = chamber.interior.face_count
        parts = []
        for view, far in zip(views, beyond, strict=True):
            part = far.get(there, np.zeros((len(view.area_mm2), count)))
            parts.append((view.rows + part if there == number else part).T)
        rows.append(np.concatenate(parts, axis=1))
    return rows


def make_suite_live(
    suite: Suite, *, number: int, care: Care | None = None, lamp_rays: int = LAMP_RAYS
) -> SuiteLive:
    """Solve one box of a suite for every place of a lamp in it at once.

    Parameters
    ----------
    suite, number
        Boxes and passages that ``sound_suite.faults`` finds no fault with, and which of them; the
        lamps play no part.
    care
        How finely it is solved; None: as for figures.
    lamp_rays
        Rays of a lamp across and up an open passage. 0: its light beyond is laid where that of the
        face beside it goes, which is near enough for searches.
    """
    made = ready(suite, care=care or Care())
    rows = _rows(made, number=number)
    coarse = _coarse(made, rows=rows)
    both = _fine(made, rows=rows, start=coarse), coarse
    worth = []
    for there in range(len(made.chambers)):
        landed = [_spread(made.links, number=there, u=u) for u in both]
        straight = [one.T.astype(np.float32) for one in landed if not isinstance(one, float)]
        worth.append(
            Worth(
                sent=(
                    both[0][there].T.astype(np.float32, order="C"),
                    both[1][there].T.astype(np.float32, order="C"),
                ),
                landed=(straight[0], straight[1]) if straight else None,
            )
        )
    own = made.chambers[number]
    dark = np.zeros((0, 0), dtype=np.float32)
    return SuiteLive(
        made=made,
        number=number,
        own=Live(
            interior=own.interior,
            balance=own.balance,
            views=own.views,
            weights=tuple(Weights(fine=dark, coarse=dark) for _ in own.views),
            beams=live.make_beams(own.interior, views=own.views),
            spots=laid_spots(own.views, interior=own.interior),
        ),
        worth=tuple(worth),
        lamp_rays=lamp_rays,
    )


def _through_roughly(
    solved: SuiteLive, *, box: int, lamp: Lamp, direct: Floats
) -> dict[int, tuple[Floats, Floats]]:
    """Give ``lamp_through`` for a lamp close to a face: as if that face sent its light through."""
    made = solved.made
    own, found = made.chambers[box], dict[int, tuple[Floats, Floats]]()
    away = own.interior.centre_mm - np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm])
    face = int(np.einsum("nk,nk->n", away, away).argmin())
    through = sum(
        float(direct[own.faces_of(passage)].sum())
        for passage in own.passages
        if made.suite.passages[passage].fill is None
    )
    columns = {
        to: table[:, face] for (to, here), table in made.links.seen_mm2.items() if here == box
    }
    whole = sum(float(column.sum()) for column in columns.values())
    for to, column in columns.items():
        if whole > 0.0 and through > 0.0:
            landed = through / whole * column
            inside = made.chambers[to].interior
            found[to] = landed, thrown_back(inside, illuminance=landed[:, None])[:, 0]
    return found


def _reflected(
    solved: SuiteLive, *, box: int, lamp: Lamp, direct: Floats, sent: Floats, rays: int
) -> Both:
    """Luminance of the spots by what all faces throw back of a lamp's light."""
    made = solved.made
    fine, coarse = solved.worth[box].shown(direct=direct, sent=sent)
    if rays:
        beyond = lamp_through(
            made.suite,
            chambers=made.chambers,
            box=box,
            lamp=lamp,
            direct=direct,
            rays=rays,
        )
    else:
        beyond = _through_roughly(solved, box=box, lamp=lamp, direct=direct)
    for there, (landed, back) in beyond.items():
        more, coarse_more = solved.worth[there].shown(direct=landed, sent=back)
        fine, coarse = fine + more, coarse + coarse_more
    return fine, coarse


def _split(solved: SuiteLive, both: Both) -> tuple[Both, ...]:
    ends = np.cumsum([len(view.area_mm2) for view in solved.views])[:-1]
    return tuple(zip(*(np.split(one, ends) for one in both), strict=True))


def response(solved: SuiteLive, *, lamp: Lamp) -> tuple[Both, ...]:
    """Luminance of every spot for a lamp of 1 lm in the box, fine and coarse. [1/mm2 sr]."""
    first = live.first_of(solved.own, lamp=lamp)
    shown = np.concatenate(first.shown)
    fine, coarse = _reflected(
        solved,
        box=solved.number,
        lamp=lamp,
        direct=first.direct,
        sent=first.sent,
        rays=solved.lamp_rays,
    )
    return _split(solved, (shown + fine, shown + coarse))


def others(solved: SuiteLive, *, suite: Suite) -> tuple[Both, ...]:
    """Luminance of every spot by the lamps of all other boxes at their flux. [lm/mm2 sr].

    Parameters
    ----------
    solved
        The box.
    suite
        The boxes with their lamps.
    """
    made = solved.made
    total = np.zeros((2, sum(len(view.area_mm2) for view in solved.views)))
    for box, one in enumerate(suite.boxes):
        if box == solved.number:
            continue
        for lamp in one.lamps:
            direct, sent = first_light(made.chambers[box].interior, lamp=lamp)
            both = _reflected(solved, box=box, lamp=lamp, direct=direct, sent=sent, rays=LAMP_RAYS)
            straight = np.concatenate(
                [
                    direct_beyond(
                        made.suite,
                        chambers=made.chambers,
                        box=solved.number,
                        view=view,
                        lamp_box=box,
                        lamp=lamp,
                    )
                    for view in solved.views
                ]
            )
            total += lamp.flux_lm * (np.stack(both) + straight)
    return _split(solved, (total[0], total[1]))
