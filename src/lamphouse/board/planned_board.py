"""The board of a sub-assembly as it goes into the pack: laid out and proved, or point to point."""

from lamphouse.board.demand import BoardDemand
from lamphouse.board.jig_card import JigCard, make_card
from lamphouse.board.lay_board import lay_board
from lamphouse.board.proof import faults_of
from lamphouse.board.soldered import BoardLayout
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.design.supply import BoardKind
from lamphouse.record import Record

_SEEDS = 3
"""Seeds tried, one after another, should the proof ever refuse a layout."""


class BoardPlan(Record):
    """One sub-assembly's board: exactly one of the two."""

    sub_assembly: str
    layout: BoardLayout | None = None
    """Proved."""
    card: JigCard | None = None
    """Where the maker wants no board, or none fits its space."""


def plan_board(demand: BoardDemand, *, wired: WiredSubAssembly, seed: int) -> BoardPlan:
    """Lay out a board within its space, and prove it; where there is none, make a card.

    Parameters
    ----------
    demand
        Parts, wires and space.
    wired
        The circuit it must be.
    seed
        Of the project.

    Notes
    -----
    A layout that the proof refuses is never given back.
    """
    if demand.kind is not BoardKind.POINT_TO_POINT:
        for more in range(_SEEDS):
            layout = lay_board(demand, seed=seed + more, test_points=wired.test_points)
            if layout is None:
                break
            if not faults_of(layout, wired=wired, space_mm=demand.space_mm):
                return BoardPlan(sub_assembly=demand.sub_assembly, layout=layout)
    return BoardPlan(sub_assembly=demand.sub_assembly, card=make_card(demand))
