"""The loom in the chain: what hangs on it, and the resistance a changed sub-assembly sees in it."""

from collections.abc import Mapping

from lamphouse.circuit.laid_loom import lay_loom, member_of
from lamphouse.circuit.loom_load import run_ohms
from lamphouse.circuit.loom_runs import Member
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Common
from lamphouse.design.whole import Design
from lamphouse.record import replace
from lamphouse.room.floor_rules import obstacles_of


def members_of(design: Design) -> tuple[Member, ...]:
    """List the sub-assemblies with a pigtail as the loom sees them."""
    found = (
        member_of(
            sub,
            groups=design.groups,
            supply_V=design.supply.voltage_V,
            common_positive=design.habits.common is Common.POSITIVE,
        )
        for sub in design.sub_assemblies
    )
    return tuple(member for member in found if member)


def run_ohm_of(sub: SubAssembly, *, design: Design) -> float:
    """Give the loom's resistance before a sub-assembly that stands in for that of its name. [ohm].

    Out and back; none where it has no run.
    """
    subs = tuple(sub if one.name == sub.name else one for one in design.sub_assemblies)
    return run_ohms_of(replace(design, sub_assemblies=subs)).get(sub.name, 0.0)


def run_ohms_of(design: Design) -> Mapping[str, float]:
    """Give the loom's resistance before each sub-assembly with a run, out and back. [ohm]."""
    members = members_of(design)
    if design.loom is None or not members:
        return {}
    around = obstacles_of(design.surroundings)
    loom = lay_loom(members, wishes=design.loom, room=design.room, around=around)
    return run_ohms(loom, members=members) if loom else {}
