"""The front door of the loom: what it carries, and everything that is wrong with it."""

from collections.abc import Sequence

from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.loom_feed_rules import (
    crowded_splitter,
    lossy_loom,
    named_twice,
    overloaded_trunk,
)
from lamphouse.circuit.loom_fit_rules import (
    close_holes,
    no_stand,
    outside,
    shallow_floor,
    short_pigtail,
    tight_hole,
)
from lamphouse.circuit.loom_fuse_rules import fuse_findings
from lamphouse.circuit.loom_load import load_loom
from lamphouse.circuit.loom_plug_rules import few_pins, mixed_families, swapped
from lamphouse.circuit.loom_runs import Loom, LoomLoad, Member
from lamphouse.design.loom import LoomWishes
from lamphouse.design.place import Room
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.findings import Finding


def judge_loom(
    loom: Loom,
    *,
    members: Sequence[Member],
    circuits: Sequence[SubAssemblyCircuit],
    wishes: LoomWishes,
    supply: Supply,
    habits: CircuitHabits,
    room: Room | None,
) -> tuple[LoomLoad, tuple[Finding, ...]]:
    """Load a loom and tell everything that is wrong with it.

    Parameters
    ----------
    loom, members
        As laid, and what it was laid for.
    circuits
        Of the sub-assemblies.
    wishes, supply, habits, room
        As the maker decided.
    """
    load = load_loom(loom, circuits=circuits)
    return load, (
        *short_pigtail(loom),
        *tight_hole(loom),
        *shallow_floor(loom),
        *close_holes(loom),
        *no_stand(loom, members=members),
        *outside(loom, room_mm=(room.width_mm, room.depth_mm) if room else None),
        *few_pins(loom),
        *swapped(loom),
        *mixed_families(loom),
        *overloaded_trunk(loom, load=load),
        *crowded_splitter(loom, load=load),
        *lossy_loom(loom, load=load, supply=supply),
        *fuse_findings(loom, load=load, members=members, supply=supply, habits=habits),
        *named_twice(wishes.feeds, what="feed"),
        *named_twice(wishes.holes, what="hole"),
    )
