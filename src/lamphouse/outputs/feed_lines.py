"""The feed in an answer's and a sheet's words: cells, run time, fuse, protection."""

from lamphouse import units
from lamphouse.circuit.branch import Band
from lamphouse.circuit.phrases import hours
from lamphouse.design.supply import Supply
from lamphouse.plan.result import Plan
from lamphouse.record import Record
from lamphouse.units import Quantity


class FeedSummary(Record):
    """What stands between the supply and the plugs, and how long the cells last."""

    cells: str
    """Empty where the supply has none or does not name them."""
    fuse: str
    """Empty without one."""
    protection: str
    """Against a reversed supply; empty without."""
    bright_h: Band | None
    """Until a string falls below its least share, or half of the light."""
    bright_ends: str
    dark_h: Band | None
    """Until a tenth of the light, or the cells' cut-off."""
    dark_ends: str


def feed_of(plan: Plan) -> FeedSummary:
    """Sum up the feed of a plan."""
    supply, run = plan.design.supply, plan.run
    return FeedSummary(
        cells=_cells(supply),
        fuse=_fuse(supply),
        protection=supply.protector.name if supply.protector else "",
        bright_h=run.bright_h if run else None,
        bright_ends=run.bright_ends if run else "",
        dark_h=run.dark_h if run else None,
        dark_ends=run.dark_ends if run else "",
    )


def time_band(band: Band) -> str:
    """Give a band of time as a builder plans it: ``40 h to 67 h``, or one time."""
    low, high = hours(band.low), hours(band.high)
    return low if low == high else f"{low} to {high}"


def _cells(supply: Supply) -> str:
    pack = supply.cells
    if pack is None:
        return ""
    rows = f", {pack.parallel} rows side by side" if pack.parallel > 1 else ""
    in_series = f"{pack.series} in series of " if pack.series > 1 else ""
    return f"{in_series}{pack.cell.name}{rows}"


def _fuse(supply: Supply) -> str:
    if supply.fuse_type:
        return supply.fuse_type.name
    return units.show(supply.fuse_A, Quantity.CURRENT) if supply.fuse_A is not None else ""
