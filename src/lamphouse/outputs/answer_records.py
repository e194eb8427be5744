"""The results that commands answer with, where they have no module of their own."""

from typing import TYPE_CHECKING, Any

from lamphouse.circuit.branch import Band
from lamphouse.outputs.feed_lines import FeedSummary
from lamphouse.outputs.glow_lines import OpeningSummary
from lamphouse.outputs.loom_lines import LoomSummary
from lamphouse.record import Record

if TYPE_CHECKING:
    from lamphouse.outputs.program_record import RunRecord
    from lamphouse.outputs.program_runs import NotRun
    from lamphouse.plan.second_opinion import SecondOpinion


class Reported(Record):
    """A finding as answers carry it."""

    code: str
    severity: str
    item: str
    file: str
    line: int
    column: int
    message: str
    remedy: str
    accepted: str


class SubAssemblySummary(Record):
    """One sub-assembly in the answer of ``check``."""

    name: str
    panels: int
    boxes: int
    leds: int
    strands: int
    strings: int
    pieces: int
    plug_mA: Band | None
    """What a meter in the pigtail should read; None when nothing electrical is known."""


class CheckResult(Record):
    """The result of ``check``."""

    name: str
    revision: str
    scale: float
    sub_assemblies: tuple[SubAssemblySummary, ...]
    glows: tuple[OpeningSummary, ...]
    """Every lit opening that has a figure."""
    supply_mA: Band | None
    """Total of all plugs; None when the circuits could not be designed."""
    supply_share: float | None
    """Largest total over what the supply can give."""
    run_time_h: float | None
    """Nominal capacity over nominal current; None for named cells."""
    loom: LoomSummary | None
    """None where no pigtail has a place on the floor plan."""
    feed: FeedSummary


class GlowResult(Record):
    """The result of ``glow``."""

    room_lx: float | None
    """Light of the room the pictures are seen in; None when the project names no room."""
    glows: tuple[OpeningSummary, ...]
    """Every lit opening that has a figure."""
    second_opinions: "tuple[SecondOpinion, ...]"
    """One for each box when asked for."""
    folder: str
    """Where the pictures are; empty when none were asked for."""
    files: tuple[str, ...]


class PackResult(Record):
    """The result of ``pack``."""

    folder: str
    files: tuple[str, ...]


class ProveResult(Record):
    """The result of ``prove``."""

    file: str
    """Where the proof is; empty when nothing could be run."""
    runs: "tuple[RunRecord, ...]"
    not_run: "tuple[NotRun, ...]"


class TableSummary(Record):
    """One catalogue table in the answer of ``stock``."""

    name: str
    rows: int
    """How many it has; of those that hold the text looked for, when no table is named."""


class StockResult(Record):
    """The result of ``stock``: the tables there are, or the rows of one."""

    tables: tuple[TableSummary, ...]
    table: str
    rows: tuple[dict[str, Any], ...]


class Symptom(Record):
    """One thing ``doctor`` looked at."""

    name: str
    needed: bool
    """Whether the program itself needs it; the rest only serves proofs."""
    found: str
    """Version or figure; empty when missing."""
    use: str
    mend: str


class DoctorResult(Record):
    """The result of ``doctor``."""

    whole: bool
    symptoms: tuple[Symptom, ...]


class NewResult(Record):
    """The result of ``new``."""

    files: tuple[str, ...]


class UpgradeResult(Record):
    """The result of ``upgrade``."""

    file: str
    old_file: str
    """Where the file as it was is kept; empty when nothing had to change."""
    version: int
    """Layout the file has now."""
    steps: tuple[str, ...]
    """What was done, one sentence each."""


class PartsTotal(Record):
    """Cost in one currency, of the parts that have a price."""

    currency: str
    cost: float
