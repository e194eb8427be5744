"""The choice of resistor values under all conditions at once, by integer programmes.

Whole-number unknowns: ``x`` of each set of strings and value, 1 where it is chosen; ``y`` of each
value, 1 where any string has it; ``z`` of each set of mates, 1 where they are given up. Programmes
follow one another, each within the best of those before: the fewest mates given up, the fewest
values beyond those in use, the fewest resistors to buy, the nearest to the middle of the classes.
"""

from collections.abc import Mapping, Sequence
from math import log

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]

WHOLE = 0.5
"""Half the step of a count; keeps a later programme within the best of an earlier one."""

NODES = 2000
"""Branches after which a programme stops with the best it has; counted, not timed, so that the
answer is the same on every machine. Models of some twenty kinds of strings need far fewer."""

TIE = 1e-6
"""Weight of the logarithm of the value, so that of two equal choices the larger value is taken."""


class Option(Record):
    """One value for a set of strings."""

    ohm: float
    least_factor: float
    most_factor: float
    """Ends of the factor on their present current."""


class Pick(Record):
    """A set of strings that has one value."""

    options: tuple[Option, ...]
    """One at least."""
    count: int
    """Number of strings."""
    middle: float
    """The factor aimed at."""


class Member(Record):
    """A set of strings among mates."""

    pick: int
    """Its number."""
    least: float
    most: float
    """Smallest and largest of what is compared, at the present current."""


class Mates(Record):
    """Sets of strings whose light may differ by a ratio at most."""

    members: tuple[Member, ...]
    ratio: float


class Chosen(Record):
    """A value for each pick."""

    ohms: tuple[float, ...]
    given_up: tuple[int, ...]
    """Numbers of the mates that cannot be kept."""
    proved: bool = True
    """Whether no choice gives up fewer mates, nor any with as few needs fewer values."""


class _Columns(Record):
    """Where each unknown stands: options, values, resistors to buy, levels and mates given up."""

    cells: tuple[tuple[int, Option], ...]
    """Each option with its pick."""
    values: tuple[float, ...]
    mates: int

    @property
    def value(self) -> int:
        return len(self.cells)

    @property
    def bought(self) -> int:
        return self.value + len(self.values)

    @property
    def level(self) -> int:
        return self.bought + len(self.values)

    @property
    def given_up(self) -> int:
        return self.level + self.mates

    @property
    def width(self) -> int:
        return self.given_up + self.mates


def choose(
    picks: Sequence[Pick],
    *,
    mates: Sequence[Mates] = (),
    in_use: frozenset[float] = frozenset(),
    in_hand: Mapping[float, int] | None = None,
) -> Chosen:
    """Choose a value for each pick.

    Parameters
    ----------
    picks
        Sets of strings with the values that suit them.
    mates
        Which of them must stay near one another.
    in_use
        Values that other strings have anyway; they count as nothing new.
    in_hand
        Number of resistors left in the drawer, by value.

    Notes
    -----
    The last programme is not a whole-number count; where two choices are equal to it within the
    solver's own gap of 1e-6, either may be given, the same one every time.
    """
    if not picks:
        return Chosen(ohms=(), given_up=())
    cells = tuple((number, option) for number, pick in enumerate(picks) for option in pick.options)
    columns = _Columns(
        cells=cells,
        values=tuple(sorted({option.ohm for _, option in cells})),
        mates=len(mates),
    )
    found, proved = _solved(
        _goals(columns, picks=picks, in_use=in_use),
        rows=[
            _one_each(columns, picks=picks),
            _has_its_value(columns),
            _bought(columns, picks=picks, in_hand=in_hand or {}),
            *(_together(columns, picks=picks, number=n, mates=one) for n, one in enumerate(mates)),
        ],
        columns=columns,
    )
    ohms = {
        cells[place][0]: cells[place][1].ohm
        for place in np.flatnonzero(found[: columns.value] > WHOLE)
    }
    return Chosen(
        ohms=tuple(ohms[number] for number in range(len(picks))),
        given_up=tuple(int(n) for n in np.flatnonzero(found[columns.given_up :] > WHOLE)),
        proved=proved,
    )


Rows = tuple[Floats, Floats, Floats]
"""Rows of a programme with their least and most."""


def _goals(
    columns: _Columns, *, picks: Sequence[Pick], in_use: frozenset[float]
) -> tuple[Floats, ...]:
    given_up, new, bought, far = (np.zeros(columns.width) for _ in range(4))
    given_up[columns.given_up :] = 1.0
    new[columns.value : columns.bought] = [value not in in_use for value in columns.values]
    bought[columns.bought : columns.level] = 1.0
    for place, (number, option) in enumerate(columns.cells):
        middle = np.sqrt(option.least_factor * option.most_factor) / picks[number].middle
        far[place] = picks[number].count * log(middle) ** 2 - TIE * log(option.ohm)
    return given_up, new, bought, far


def _one_each(columns: _Columns, *, picks: Sequence[Pick]) -> Rows:
    rows = np.zeros((len(picks), columns.width))
    for place, (number, _) in enumerate(columns.cells):
        rows[number, place] = 1.0
    return rows, np.ones(len(picks)), np.ones(len(picks))


def _has_its_value(columns: _Columns) -> Rows:
    rows = np.zeros((len(columns.cells), columns.width))
    for place, (_, option) in enumerate(columns.cells):
        rows[place, place] = 1.0
        rows[place, columns.value + columns.values.index(option.ohm)] = -1.0
    return rows, np.full(len(rows), -np.inf), np.zeros(len(rows))


def _bought(columns: _Columns, *, picks: Sequence[Pick], in_hand: Mapping[float, int]) -> Rows:
    """Buy of each value what the drawer lacks."""
    rows = np.zeros((len(columns.values), columns.width))
    for place, (number, option) in enumerate(columns.cells):
        rows[columns.values.index(option.ohm), place] = float(picks[number].count)
    rows[:, columns.bought : columns.level] = -np.eye(len(columns.values))
    have = np.array([float(in_hand.get(value, 0)) for value in columns.values])
    return rows, np.full(len(rows), -np.inf), have


def _together(columns: _Columns, *, picks: Sequence[Pick], number: int, mates: Mates) -> Rows:
    """Hold mates between a level and the ratio above it, unless they are given up."""
    ends = {
        member.pick: [
            (log(member.least * option.least_factor), log(member.most * option.most_factor))
            for option in picks[member.pick].options
        ]
        for member in mates.members
    }
    every = [end for pairs in ends.values() for pair in pairs for end in pair]
    loose = max(every) - min(every)
    rows = np.zeros((2 * len(ends), columns.width))
    for row, (pick, pairs) in enumerate(ends.items()):
        places = [place for place, (owner, _) in enumerate(columns.cells) if owner == pick]
        rows[2 * row, places] = [low for low, _ in pairs]
        rows[2 * row + 1, places] = [-high for _, high in pairs]
        rows[2 * row : 2 * row + 2, columns.level + number] = (-1.0, 1.0)
        rows[2 * row : 2 * row + 2, columns.given_up + number] = loose
    least = np.tile([0.0, -log(mates.ratio)], len(ends))
    return rows, least, np.full(len(rows), np.inf)


def _solved(
    goals: Sequence[Floats], *, rows: Sequence[Rows], columns: _Columns
) -> tuple[Floats, bool]:
    """Solve programme after programme; also tell whether the first two were solved to the end."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    whole = np.ones(columns.width)
    whole[columns.level : columns.given_up] = 0.0
    lower, upper = np.zeros(columns.width), np.ones(columns.width)
    upper[columns.bought : columns.given_up] = np.inf
    lower[columns.level : columns.given_up] = -np.inf
    conditions = [LinearConstraint(*one) for one in rows if len(one[0])]
    found, ended = np.zeros(columns.width), []
    for goal in goals:
        outcome = milp(
            goal,
            integrality=whole,
            bounds=Bounds(lower, upper),
            constraints=conditions,
            options={"mip_rel_gap": 0.0, "node_limit": NODES},
        )
        ended.append(outcome.status == 0)
        if outcome.x is not None:
            found = np.asarray(outcome.x, dtype=np.float64)
        conditions.append(LinearConstraint(goal[None], -np.inf, float(goal @ found) + WHOLE))
    return found, all(ended[:2])


def nearest_ratio(picks: Sequence[Pick], *, mates: Mates) -> float:
    """Give the smallest ratio that mates can be held within, whatever else is wanted.

    Every light that a member can have is tried as the darkest of all; each other member then takes
    its own darkest light that is no darker.
    """
    ends = [
        [
            (member.least * option.least_factor, member.most * option.most_factor)
            for option in picks[member.pick].options
        ]
        for member in mates.members
    ]
    ratios = []
    for dark in sorted({low for pairs in ends for low, _ in pairs}):
        brighter = [[high for low, high in pairs if low >= dark] for pairs in ends]
        if all(brighter):
            ratios.append(max(map(min, brighter)) / dark)
    return min(ratios)
