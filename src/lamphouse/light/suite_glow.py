"""How the openings of boxes that share openings in their walls glow: the front door for suites.

Each box keeps its own mesh and balance. They are solved in turn, each with the light the others
send it, until nothing changes. What a see-through passage passes, it passes as straight lines, in
both directions; a passage with a diffuser spreads it evenly.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.beyond import direct_beyond
from lamphouse.light.cavity import carried, gathered, settle, thrown_back
from lamphouse.light.chambers import Chamber
from lamphouse.light.first_bounce import first_light
from lamphouse.light.front import LX_PER_LM_MM2, Look, direct_luminances, judged
from lamphouse.light.glow import Energy, Glow
from lamphouse.light.interior import covers
from lamphouse.light.scene import Suite
from lamphouse.light.suite_ready import Care, ready
from lamphouse.light.through import Links, lamp_through
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]

ROUNDS, SETTLED = 200, 1e-6
"""Rounds after which boxes that do not settle are a bug; change of a round at which they have."""

KEPT = 4
"""Suites whose settled light is kept, some 100 kB each."""

LINES_SHARE = 0.01
"""Part of the light from other boxes that the number of lines leaves open."""


@dataclass(slots=True, kw_only=True)
class _State:
    """The light in one box, all lamps together; (N, 1) each."""

    direct: Floats
    """Flux straight from lamps. [lm]."""
    sent: Floats
    """What of it the faces throw back. [lm]."""
    own_sent: Floats
    """What they throw back of the lamps of the box itself. [lm]."""
    fine: Floats
    """Illuminance after at least one reflection. [lm/mm2]."""
    coarse: Floats
    """The same by the coarse mesh. [lm/mm2]."""
    came_in: float = 0.0
    """Light straight from lamps of other boxes. [lm]."""


def _lit(suite: Suite, *, chambers: tuple[Chamber, ...]) -> list[_State]:
    states = [
        _State(
            direct=dark,
            sent=dark.copy(),
            own_sent=dark.copy(),
            fine=dark.copy(),
            coarse=dark.copy(),
        )
        for dark in (np.zeros((chamber.interior.face_count, 1)) for chamber in chambers)
    ]
    for number, chamber in enumerate(chambers):
        for lamp in suite.boxes[number].lamps:
            direct, sent = first_light(chamber.interior, lamp=lamp)
            states[number].direct[:, 0] += lamp.flux_lm * direct
            states[number].sent[:, 0] += lamp.flux_lm * sent
            states[number].own_sent[:, 0] += lamp.flux_lm * sent
            for there, (landed, back) in lamp_through(
                suite, chambers=chambers, box=number, lamp=lamp, direct=direct
            ).items():
                states[there].direct[:, 0] += lamp.flux_lm * landed
                states[there].sent[:, 0] += lamp.flux_lm * back
                states[there].came_in += lamp.flux_lm * float(landed.sum())
    return states


class _Inflow(Record):
    """What one box gets from the others; (N, 1) each."""

    seen: Floats
    """Illuminance through open passages. [lm/mm2]."""
    spread: Floats
    """Flux that leaves the faces of diffusers in passages. [lm]."""


def _inflow(
    number: int, *, chambers: tuple[Chamber, ...], states: list[_State], links: Links, coarse: bool
) -> _Inflow:
    """Add up what a box gets from all others, and from itself around a corner."""
    own = chambers[number]
    seen = np.zeros((own.interior.face_count, 1))
    spread = np.zeros_like(seen)
    for (there, here), table in links.spread.items():
        if there == number:
            light = states[here].coarse if coarse else states[here].fine
            area = chambers[here].interior.area_mm2[:, None]
            spread += table @ (states[here].direct + area * light)
    for (there, here), table in links.seen_mm2.items():
        if there == number:
            seen += table @ _out(here, chambers=chambers, states=states, links=links, coarse=coarse)
    return _Inflow(seen=seen / own.interior.area_mm2[:, None], spread=spread)


def _out(
    number: int, *, chambers: tuple[Chamber, ...], states: list[_State], links: Links, coarse: bool
) -> Floats:
    """Give what the faces of a box send out per area, diffusers of passages included, (N, 1)."""
    light = states[number].coarse if coarse else states[number].fine
    area = chambers[number].interior.area_mm2[:, None]
    sent = states[number].sent / area + thrown_back(chambers[number].interior, illuminance=light)
    for (there, here), table in links.spread.items():
        if there == number:
            other = states[here].coarse if coarse else states[here].fine
            flux = states[here].direct + chambers[here].interior.area_mm2[:, None] * other
            sent += table @ flux / area
    return sent


def _settle_all(chambers: tuple[Chamber, ...], *, states: list[_State], links: Links) -> None:
    """Solve the boxes in turn until no illuminance changes."""
    for _ in range(ROUNDS):
        most = 0.0
        for number, (chamber, state) in enumerate(zip(chambers, states, strict=True)):
            inside, area = chamber.interior, chamber.interior.area_mm2[:, None]
            firsts = []
            for coarse in (False, True):
                inflow = _inflow(
                    number, chambers=chambers, states=states, links=links, coarse=coarse
                )
                sent = (state.sent + inflow.spread) / area
                firsts.append(carried(inside, sent=sent) + inflow.seen)
            before = state.fine
            state.fine = settle(inside, balance=chamber.balance, first=firsts[0], guess=before)
            rest = gathered(inside, balance=chamber.balance, values=firsts[1] * area)
            rest /= chamber.balance.area_mm2[:, None]
            state.coarse = chamber.balance.solved(rest)[inside.parent]
            change = float(np.abs(state.fine - before).max())
            most = max(most, change / max(float(state.fine.max()), 1e-300))
        if most <= SETTLED:
            return
    stuck = "the light of boxes that share openings does not settle"
    raise ArithmeticError(stuck)


def _energy(
    number: int,
    *,
    suite: Suite,
    chambers: tuple[Chamber, ...],
    states: list[_State],
    links: Links,
) -> Energy:
    """Add up what a box takes in, keeps and lets out; what crosses passages counts as taken in."""
    chamber, state = chambers[number], states[number]
    inside, area = chamber.interior, chamber.interior.area_mm2
    inflow = _inflow(number, chambers=chambers, states=states, links=links, coarse=False)
    landed = state.direct[:, 0] + area * state.fine[:, 0]
    back = state.sent[:, 0] + area * thrown_back(inside, illuminance=state.fine)[:, 0]
    mesh, panel = inside.cavities[-1].mesh, inside.panel()
    escaped = 0.0
    for aperture in inside.box.apertures:
        covered = covers(aperture, mesh=mesh)
        through = 1.0 if aperture.fill is None else aperture.fill.transmittance
        escaped += through * float(covered @ landed[panel])
    gone = 0.0
    for port, passage in enumerate(chamber.passages):
        fill = suite.passages[passage].fill
        through = 1.0 if fill is None else fill.transmittance
        gone += through * float(landed[chamber.port == port].sum())
    own = sum(lamp.flux_lm for lamp in suite.boxes[number].lamps)
    seen = float(area @ inflow.seen[:, 0])
    return Energy(
        emitted_lm=own + state.came_in + seen + float(inflow.spread.sum()) - gone,
        absorbed_lm=float((landed - back).sum()) - escaped - gone,
        escaped_lm=escaped,
    )


def _looks(
    number: int,
    *,
    suite: Suite,
    chambers: tuple[Chamber, ...],
    states: list[_State],
    links: Links,
    seen_beyond: tuple[dict[int, Floats], ...],
) -> tuple[Look, ...]:
    chamber = chambers[number]
    out = _out_alone(chamber, own_sent=states[number].own_sent)
    lamps, looks = suite.boxes[number].lamps, []
    flux = np.array([lamp.flux_lm for lamp in lamps])
    every = direct_luminances(chamber.views, interior=chamber.interior, lamps=lamps)
    for view, beyond, own in zip(chamber.views, seen_beyond, every, strict=True):
        direct = own @ flux
        alone = LX_PER_LM_MM2 * ((view.rows @ out)[:, 0] + direct)
        for there, box in enumerate(suite.boxes):
            for lamp in box.lamps if there != number else ():
                direct += lamp.flux_lm * direct_beyond(
                    suite, chambers=chambers, box=number, view=view, lamp_box=there, lamp=lamp
                )
        spots = []
        for coarse in (False, True):
            sent = _out(number, chambers=chambers, states=states, links=links, coarse=coarse)
            value = direct + (view.rows @ sent)[:, 0]
            for there, rows in beyond.items():
                far = _out(there, chambers=chambers, states=states, links=links, coarse=coarse)
                value += (rows @ far)[:, 0]
            spots.append(value)
        look = judged(view, fine=spots[0], coarse=spots[1], interior=chamber.interior)
        looks.append(_doubted(look, alone=alone))
    return tuple(looks)


def _out_alone(chamber: Chamber, *, own_sent: Floats) -> Floats:
    """Give what the faces of a box send out per area of the light that never leaves it, (N, 1)."""
    inside = chamber.interior
    sent = own_sent / inside.area_mm2[:, None]
    first = carried(inside, sent=sent)
    light = settle(inside, balance=chamber.balance, first=first, guess=first)
    return sent + thrown_back(inside, illuminance=light)


def _doubted(look: Look, *, alone: Floats) -> Look:
    """Widen the bars by what counting by lines leaves open of the light from other boxes."""
    area = look.area_mm2
    shared = np.maximum(look.luminance_cd_m2 - alone, 0.0)
    doubt = LINES_SHARE * shared
    return replace(
        look,
        bar_cd_m2=float(np.hypot(look.bar_cd_m2, doubt @ area / area.sum())),
        spot_bar_cd_m2=np.hypot(look.spot_bar_cd_m2, doubt),
    )


def solve_suite(suite: Suite, *, step: float | None = None) -> tuple[Glow, ...]:
    """Predict the luminance of every opening of boxes that share openings in their walls.

    Parameters
    ----------
    suite
        Boxes and passages that ``sound_suite.faults`` finds no fault with.
    step
        Fine step of all meshes. [mm]. None: chosen for each box.

    Returns
    -------
    tuple of Glow
        One for each box. What a box gets from others counts as emitted in it, what it gives them
        as not emitted.
    """
    return tuple(solve_one(suite, number=number, step=step) for number in range(len(suite.boxes)))


def solve_one(suite: Suite, *, number: int, step: float | None = None) -> Glow:
    """Give what ``solve_suite`` does for one of the boxes."""
    made = ready(suite, care=Care(step=step))
    chambers, links = made.chambers, made.links
    states = _settled(suite, step=step)
    chamber = chambers[number]
    return Glow(
        looks=_looks(
            number,
            suite=suite,
            chambers=chambers,
            states=states,
            links=links,
            seen_beyond=made.rows_beyond(number),
        ),
        energy=_energy(number, suite=suite, chambers=chambers, states=states, links=links),
        faces=chamber.interior.face_count,
        closure=chamber.interior.closure,
    )


@lru_cache(maxsize=KEPT)
def _settled(suite: Suite, *, step: float | None) -> list[_State]:
    """Settle the light of all boxes, once for whichever is asked for next."""
    made = ready(suite, care=Care(step=step))
    states = _lit(suite, chambers=made.chambers)
    _settle_all(made.chambers, states=states, links=made.links)
    return states
