"""A light box solved, with the figures of its openings put together for the rules."""

from collections.abc import Sequence
from math import hypot, sqrt

from lamphouse.colour.observer import photopic, room_light
from lamphouse.design.place import Room
from lamphouse.design.whole import Look
from lamphouse.light import front, glow
from lamphouse.light.box_glow import LedCurrent, OpeningColour, OpeningGlow
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.opening_colour import colour_of, kinds_apart
from lamphouse.light.room_light import added_cd_m2, faces_of
from lamphouse.light.scene import Rectangle
from lamphouse.light.sound_suite import solve
from lamphouse.light.views import ACROSS
from lamphouse.record import Record, replace

BIN_SHARE = sqrt(2.0)
"""The flux of an LED differs by a factor of two within its class [LED-CLASS]: this much either way
from the middle."""


class Sight(Record):
    """One opening that has a figure."""

    window: Window
    glow: OpeningGlow
    index: int
    """Its number among the openings of the scene."""


class SolvedBox(Record):
    """A light box with everything its rules look at."""

    drawn: Drawn
    currents: tuple[LedCurrent, ...]
    sights: tuple[Sight, ...]
    energy: glow.Energy
    looks: tuple[front.Look, ...] = ()
    """Every opening of the scene as the solver gives it, by grey sums."""


def current_shares(
    currents: Sequence[LedCurrent], *, drawn: Drawn, lamp_cd_m2: Sequence[float] = ()
) -> tuple[float, float]:
    """Bound the light of an opening in the circuit's worst cases, over the nominal.

    Parameters
    ----------
    currents
        From the circuits; an LED that is not there keeps its current.
    drawn
        The box.
    lamp_cd_m2
        What each of its lamps adds to the opening, in their order. Where that is not known, as in
        boxes that share openings, the weakest and the strongest LED stand for all.
    """
    own = {led.name for box in (drawn.box, *drawn.together) for led in box.leds}
    spans = {
        current.led: (current.low_A / current.nominal_A, current.high_A / current.nominal_A)
        for current in currents
        if current.led in own and current.nominal_A > 0.0
    }
    whole = sum(lamp_cd_m2)
    if whole > 0.0:
        each = [spans.get(lamp.name, (1.0, 1.0)) for lamp in drawn.scene.lamps]
        parts = list(zip(lamp_cd_m2, each, strict=True))
        low, high = (sum(part * span[end] for part, span in parts) / whole for end in (0, 1))
        return low, high
    return (
        min((low for low, _ in spans.values()), default=1.0),
        max((high for _, high in spans.values()), default=1.0),
    )


def _cells(look: front.Look, *, rows_of: int) -> tuple[tuple[float, ...], ...]:
    spots = tuple(float(spot) for spot in look.luminance_cd_m2)
    return tuple(spots[start : start + rows_of] for start in range(0, len(spots), rows_of))


def _ratio_bar(look: front.Look, *, spot: int) -> float:
    """Half the width of the band for one spot over the mean."""
    if look.mean_cd_m2 <= 0.0:
        return 0.0
    ratio = float(look.luminance_cd_m2[spot]) / look.mean_cd_m2
    return hypot(float(look.spot_bar_cd_m2[spot]), ratio * look.bar_cd_m2) / look.mean_cd_m2


def _opening_glow(
    window: Window,
    *,
    look: front.Look,
    rectangular: bool,
    shares: tuple[float, float],
    room_cd_m2: float,
    wanted: Look | None,
    colour: OpeningColour | None,
) -> OpeningGlow:
    look = look if colour is None else _times(colour.factor, look=look)
    mean, bar, stack = look.mean_cd_m2, look.bar_cd_m2, window.stack
    low, high = shares[0] / BIN_SHARE, shares[1] * BIN_SHARE
    if stack is not None:
        low, high = low * stack.least_colour_share, high * stack.most_colour_share
    return OpeningGlow(
        opening=window.opening.name,
        where=window.opening.where,
        shape=window.opening.outline,
        mean_cd_m2=mean,
        bar_cd_m2=bar,
        low_cd_m2=max(mean - bar, 0.0) * low,
        high_cd_m2=(mean + bar) * high,
        evenness=look.smallest_over_mean,
        evenness_bar=_ratio_bar(look, spot=int(look.luminance_cd_m2.argmin())),
        hot_spot=look.largest_over_mean,
        hot_spot_bar=_ratio_bar(look, spot=int(look.luminance_cd_m2.argmax())),
        cells_cd_m2=_cells(look, rows_of=ACROSS if rectangular else max(len(look.area_mm2), 1)),
        room_cd_m2=room_cd_m2,
        look=wanted,
        match=window.opening.match,
        colour=colour,
    )


def _times(factor: float, *, look: front.Look) -> front.Look:
    """Give an opening with its luminances times a factor."""
    return replace(
        look,
        luminance_cd_m2=factor * look.luminance_cd_m2,
        mean_cd_m2=factor * look.mean_cd_m2,
        bar_cd_m2=factor * look.bar_cd_m2,
        spot_bar_cd_m2=factor * look.spot_bar_cd_m2,
    )


def solve_box(
    drawn: Drawn,
    *,
    currents: Sequence[LedCurrent],
    looks: Sequence[Look],
    room: Room | None,
    without: frozenset[str],
) -> SolvedBox:
    """Solve a sound box and put the figures of its openings together.

    Parameters
    ----------
    drawn
        A box ``sound_box`` takes.
    currents
        From the circuits.
    looks
        The wanted looks of the model.
    room
        For the room's light; None: none is known.
    without
        Items of openings that get no figure.
    """
    solved = solve(drawn)
    named = {look.name: look for look in looks}
    room_lx = 0.0 if room is None else room.room_light_lx
    light = room_light("daylight" if room is None else room.light_colour).values
    faces = faces_of(drawn)
    apart = kinds_apart(drawn)
    sights = []
    for index, (window, look, face) in enumerate(
        zip(drawn.windows, solved.looks, faces, strict=True)
    ):
        if window.opening.where.item in without:
            continue
        aperture = drawn.scene.apertures[index]
        judged = _opening_glow(
            window,
            look=look,
            rectangular=isinstance(aperture.shape, Rectangle) and not aperture.shown,
            shares=current_shares(currents, drawn=drawn, lamp_cd_m2=look.lamp_cd_m2),
            room_cd_m2=added_cd_m2(float(photopic(light, face)), room_lx=room_lx),
            wanted=named.get(window.opening.look),
            colour=colour_of(
                drawn,
                window=window,
                look=look,
                face=face,
                room=room,
                apart={kind: means[index] for kind, means in apart.items()},
            ),
        )
        sights.append(Sight(window=window, glow=judged, index=index))
    return SolvedBox(
        drawn=drawn,
        currents=tuple(currents),
        sights=tuple(sights),
        energy=solved.energy,
        looks=solved.looks,
    )
