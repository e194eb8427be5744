"""What most builds of each sub-assembly come to, with the openings that should match."""

from collections.abc import Sequence

from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.spread import SubAssemblySpread
from lamphouse.circuit.spread_rules import judge_spread
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.plan.kept import Kept

Mates = tuple[tuple[str, tuple[str, ...]], ...]


def spread_out(
    circuits: Sequence[SubAssemblyCircuit],
    *,
    glows: Sequence[BoxGlow],
    design: Design,
    kept: Kept,
) -> tuple[tuple[SubAssemblySpread, tuple[Finding, ...]], ...]:
    """Draw builds of every sub-assembly. Openings of two sub-assemblies are not compared."""
    subs = {sub.name: sub for sub in design.sub_assemblies}
    return tuple(
        kept.step(
            judge_spread,
            circuit,
            sub=subs[circuit.sub_assembly],
            supply=design.supply,
            habits=design.habits,
            seed=design.seed,
            mates=_mates(glows, sub_assembly=circuit.sub_assembly),
        )
        for circuit in circuits
    )


def _mates(glows: Sequence[BoxGlow], *, sub_assembly: str) -> Mates:
    """Gather the light boxes of a sub-assembly by the words under which openings should match."""
    boxes: dict[str, dict[str, None]] = {}
    for glow in glows:
        for opening in glow.openings:
            if glow.sub_assembly == sub_assembly and opening.match:
                boxes.setdefault(opening.match, {})[glow.box] = None
    return tuple((word, tuple(names)) for word, names in boxes.items())
