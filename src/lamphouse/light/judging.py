"""The front door: how a light box glows, and everything that is wrong with it."""

from collections.abc import Sequence

from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.design.whole import Look, OwnParts
from lamphouse.findings import Finding
from lamphouse.light import sound_suite
from lamphouse.light.box_glow import BoxGlow, LedCurrent
from lamphouse.light.box_scene import draw_box
from lamphouse.light.colour_rules import NONE_OWN, look_at_colour
from lamphouse.light.evenness_rules import look_at_evenness
from lamphouse.light.figure_rules import (
    clear_window,
    colour_through_colour,
    covered_opening,
    darkened_inside,
    weak_diffuser,
)
from lamphouse.light.luminance_rules import look_at_luminance
from lamphouse.light.passage_rules import ill_passages
from lamphouse.light.sightline_rules import led_in_sight
from lamphouse.light.solvable_rules import refusals
from lamphouse.light.solved_box import solve_box
from lamphouse.light.strand_rules import (
    strand_in_opening,
    strand_in_the_light,
    strand_over_led,
)
from lamphouse.shapes.soundness import flaw_of


def judge_box(
    panel: Panel,
    *,
    box: LightBox,
    sub_assembly: str,
    currents: Sequence[LedCurrent],
    looks: Sequence[Look],
    room: Room | None,
    strands: Sequence[Strand] = (),
    beside: Sequence[LightBox] = (),
    own: OwnParts = NONE_OWN,
) -> tuple[BoxGlow | None, tuple[Finding, ...]]:
    """Predict how a light box glows and tell everything that is wrong with it.

    All its LEDs are lit, those that blink too. Outlines that are not sound are for the rules of
    cutting to tell; such a box is passed over.

    Parameters
    ----------
    panel, box, sub_assembly
        The box, the panel before it, and where both belong.
    currents
        From the circuits, by LED; one that is missing burns as the maker wants.
    looks
        The wanted looks of the model.
    room
        For the room's light; None: none is known, and nothing is told about it.
    strands
        That come out of the panel; some may run through the box.
    beside
        The other boxes behind the panel: some may share openings with it.
    own
        LEDs and films of the maker's that mends of colour may use.

    Returns
    -------
    tuple
        The glow, None where no figure can be given; and the findings.
    """
    faces = (panel, *panel.overlays)
    outlines = (
        box.inside,
        *(pillar.outline for pillar in box.pillars),
        *(overlay.outline for overlay in panel.overlays),
        *(opening.outline for face in faces for opening in face.openings),
    )
    if any(flaw_of(outline.corners) for outline in outlines):
        return None, ()
    drawn = draw_box(
        panel,
        box=box,
        currents={current.led: current for current in currents},
        beside=beside,
    )
    refused = (*ill_passages(drawn), *refusals(drawn, faults=sound_suite.faults(drawn)))
    in_sight = (
        *led_in_sight(drawn),
        *strand_in_opening(drawn, strands=strands),
        *strand_over_led(drawn, strands=strands),
    )
    if refused:
        return None, (*refused, *in_sight)
    unsure = (
        *clear_window(drawn),
        *colour_through_colour(drawn),
        *covered_opening(drawn),
    )
    solved = solve_box(
        drawn,
        currents=currents,
        looks=looks,
        room=room,
        without=frozenset(finding.where.item for finding in unsure),
    )
    glow = BoxGlow(
        box=box.name,
        panel=panel.name,
        sub_assembly=sub_assembly,
        where=box.where,
        scene=drawn.scene,
        openings=tuple(sight.glow for sight in solved.sights),
        emitted_lm=solved.energy.emitted_lm,
        absorbed_lm=solved.energy.absorbed_lm,
        escaped_lm=solved.energy.escaped_lm,
        suite=drawn.suite,
        number=drawn.number,
    )
    return glow, (
        *in_sight,
        *unsure,
        *weak_diffuser(drawn),
        *darkened_inside(drawn),
        *look_at_evenness(solved),
        *look_at_luminance(solved, room=room),
        *look_at_colour(solved, room=room, own=own),
        *strand_in_the_light(solved, strands=strands, room=room),
    )
