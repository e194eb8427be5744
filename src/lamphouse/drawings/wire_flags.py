"""The flags of the wires of a loom."""

from lamphouse.circuit.loom_runs import Loom, Run
from lamphouse.drawings.flag_sheets import Faces, fitted, flag_sheets
from lamphouse.drawings.page import Labelled


def faces(run: Run) -> Faces:
    """Give the words on both faces of a flag: number, sign and feed; the sub-assembly."""
    return fitted((f"{run.number} {run.sign} | {run.feed}", run.sub_assembly or "trunk"))


def wire_flags(loom: Loom, *, paper: str) -> tuple[Labelled, ...]:
    """Draw two flags for every run.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    return flag_sheets([faces(run) for run in loom.runs], part="wire flags", paper=paper)
