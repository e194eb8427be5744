"""The one table of strands: hole, strand, group, source, pin and cut length, a row for each.

Every sheet and list about strands reads this table, so that no two of them can disagree.

Terminology
-----------
stop
    A place on the cutting jig: all strands of one fibre and one length are cut at one stop.
"""

from collections.abc import Mapping, Sequence

from lamphouse.cutting.piece import Piece
from lamphouse.design.strand import Head
from lamphouse.fibres.bundle import Bundle, Lit
from lamphouse.fibres.runs import Runs, StrandRun
from lamphouse.record import Record


class StrandRow(Record):
    """One strand, from its hole to the pin that switches it."""

    flag: str
    sub_assembly: str
    panel: str
    hole: int | None
    """Number in the panel's drill chart; None where no drill makes it."""
    x_mm: float
    """Of the hole, from the panel's datum corner."""
    y_mm: float
    drill: str
    fibre: str
    head: Head
    group: str
    source: str
    """The LED."""
    pin: str
    """Of the controller, or of the plug; empty while nothing switches it."""
    cut_mm: float
    stop: str
    """``A``, ``B`` and so on within the model, longest first."""
    thread: int
    """Its turn when the sub-assembly is threaded."""
    in_box: str
    formed_mm: float | None
    """Radius to form it to; None where it bends by itself."""
    tip_cd_m2: float | None
    intensity_cd: float | None


class Stop(Record):
    """Strands cut at one stop of the jig."""

    name: str
    fibre: str
    cut_mm: float
    flags: tuple[str, ...]


def table_of(
    led: Sequence[Runs],
    *,
    bundles: Sequence[Bundle],
    pieces: Sequence[Piece],
    pins: Mapping[str, str],
) -> tuple[StrandRow, ...]:
    """Put together what is known of every strand that has a way.

    Parameters
    ----------
    led
        Runs of every sub-assembly.
    bundles
        Of their groups.
    pieces
        Panels with their numbered holes.
    pins
        What switches each group, by its name.
    """
    holes = {
        (piece.sub_assembly, hole.where.item): hole for piece in pieces for hole in piece.holes
    }
    lit = {each.strand.name: each for bundle in bundles for each in bundle.lit}
    sources = {
        bundle.group.name: bundle.group.source.name for bundle in bundles if bundle.group.source
    }
    stops = {flag: stop.name for stop in stops_of(led) for flag in stop.flags}
    rows = []
    for runs in led:
        turns = {run.strand.name: turn for turn, run in enumerate(threading(runs), start=1)}
        for run in runs.runs:
            hole = holes.get((runs.sub_assembly, run.strand.where.item))
            rows.append(
                StrandRow(
                    flag=run.strand.name,
                    sub_assembly=runs.sub_assembly,
                    panel=run.panel,
                    hole=hole.number if hole else None,
                    x_mm=run.strand.x_mm,
                    y_mm=run.strand.y_mm,
                    drill=hole.drill.name if hole else "",
                    fibre=run.strand.fibre.name,
                    head=run.strand.head,
                    group=run.strand.group,
                    source=sources.get(run.strand.group, ""),
                    pin=pins.get(run.strand.group, ""),
                    cut_mm=run.cut_mm,
                    stop=stops[run.strand.name],
                    thread=turns[run.strand.name],
                    in_box=run.in_box,
                    formed_mm=run.radius_mm if run.is_formed else None,
                    **_light(lit.get(run.strand.name)),
                )
            )
    return tuple(rows)


def _light(each: Lit | None) -> dict[str, float | None]:
    if each is None:
        return {"tip_cd_m2": None, "intensity_cd": None}
    return {"tip_cd_m2": each.tip.luminance_cd_m2, "intensity_cd": each.tip.intensity_cd}


def threading(runs: Runs) -> tuple[StrandRun, ...]:
    """Put the strands of a sub-assembly in the order to thread them.

    Thick before thin, because they want room; of those the ones through a light box first, because
    they are reached last; then group by group, the nearest to its source first, so that the later
    ones lie over the earlier [PRACTICE].
    """
    groups = {seat.group: at for at, seat in enumerate(runs.seats)}
    order = sorted(
        enumerate(runs.runs),
        key=lambda each: (
            -each[1].strand.fibre.diameter_mm,
            not each[1].in_box,
            groups[each[1].strand.group],
            each[1].run_mm,
            each[0],
        ),
    )
    return tuple(run for _, run in order)


def stops_of(led: Sequence[Runs]) -> tuple[Stop, ...]:
    """Group strands by fibre and cut length: thick first, long before short."""
    found: dict[tuple[float, str, float], list[str]] = {}
    for run in (run for runs in led for run in runs.runs):
        key = (-run.strand.fibre.diameter_mm, run.strand.fibre.name, -run.cut_mm)
        found.setdefault(key, []).append(run.strand.name)
    return tuple(
        Stop(name=_letters(number), fibre=fibre, cut_mm=-minus_mm, flags=tuple(flags))
        for number, ((_, fibre, minus_mm), flags) in enumerate(sorted(found.items()))
    )


def _letters(number: int) -> str:
    """Count A to Z, then AA and so on."""
    words = ""
    number += 1
    while number:
        number, place = divmod(number - 1, 26)
        words = chr(ord("A") + place) + words
    return words


def metres_of(rows: Sequence[StrandRow]) -> dict[str, float]:
    """Add up the fibre to cut, by its name. [m]."""
    found: dict[str, float] = {}
    for row in rows:
        found[row.fibre] = found.get(row.fibre, 0.0) + row.cut_mm * 1e-3
    return found
