"""The steps of soldering a board, in the order that leaves room for the iron.

Cuts first, then chips while the board still lies flat, then what is low before what is high, then
copper, then wires. Heat-shrink goes on every wire before it is soldered.
"""

from collections.abc import Iterator

from lamphouse.board.legs import Posture
from lamphouse.board.soldered import BoardLayout, Face, PlacedPart
from lamphouse.design.supply import BoardKind
from lamphouse.record import Record


class SolderStep(Record):
    """One thing to do."""

    heading: str
    words: str
    places: tuple[str, ...]
    """Where, one by one, to be ticked off; empty when the words say it all."""


def solder_steps(layout: BoardLayout) -> tuple[SolderStep, ...]:
    """List the steps of a board; what it does not have is left out."""
    steps = [_piece(layout), *_parts(layout), *_copper(layout), _wires(), _check(layout)]
    return tuple(step for step in steps if step.places or step.heading in _ALWAYS)


CARD_STEPS = (
    SolderStep(
        heading="Parts", words="Into their slots, leads straight along the lines.", places=()
    ),
    SolderStep(
        heading="Wires", words="Flag and heat-shrink on first. Strip 8 mm and tin.", places=()
    ),
    SolderStep(
        heading="Joints",
        words="Twist three turns, solder, cut short. Slide the heat-shrink over it.",
        places=(),
    ),
    SolderStep(
        heading="Before power",
        words="With the meter on ohm, no two joints beep. Then the test gate of the bench sheet.",
        places=(),
    ),
)
"""The steps without a board, on a card."""
_ALWAYS = ("Cut the board", "Wires", "Before power")


def _piece(layout: BoardLayout) -> SolderStep:
    wide, high = layout.size_mm
    strips = layout.kind is BoardKind.STRIPBOARD
    words = (
        f"{layout.columns} by {layout.rows} holes, {wide:.1f} by {high:.1f} mm, between the holes; "
        "file the edges."
    )
    if strips:
        words += " Strips run along the lettered rows. Cut them through at:"
    return SolderStep(
        heading="Cut the board",
        words=words,
        places=tuple(cut.hole.name for cut in layout.cuts),
    )


def _parts(layout: BoardLayout) -> Iterator[SolderStep]:
    bare = [link for link in layout.links if not link.insulated]
    yield SolderStep(
        heading="Bare links",
        words="Tinned wire, flat on the parts side.",
        places=tuple(f"{link.start.name} to {link.end.name}" for link in bare),
    )
    for posture, heading, words in (
        (Posture.CHIP, "Chips", "On the solder side, each across its two pads."),
        (Posture.LYING, "Lying parts", "Leave 1 mm of lead straight at the body, then bend."),
        (Posture.STANDING, "Standing parts", "The body over the hole named first."),
        (Posture.RADIAL, "Other parts", "On their own pins."),
    ):
        placed = [part for part in layout.parts if part.posture is posture]
        yield SolderStep(
            heading=heading, words=words, places=tuple(_place(part) for part in placed)
        )


def _place(part: PlacedPart) -> str:
    holes = [hole.name for hole in part.holes]
    if part.posture is Posture.STANDING and part.upright_over:
        holes.reverse()
    return f"{part.name} {part.value}: {', '.join(holes)}"


def _copper(layout: BoardLayout) -> Iterator[SolderStep]:
    yield SolderStep(
        heading="Tails",
        words="Bend the lead flat on the solder side, solder each pad it passes, cut off the rest.",
        places=tuple(f"{tail.part}: {tail.start.name} to {tail.end.name}" for tail in layout.tails),
    )
    yield SolderStep(
        heading="Bare wire",
        words="Along the solder side, soldered to every pad it passes.",
        places=tuple(f"{run.start.name} to {run.end.name}" for run in layout.bare_runs),
    )
    yield SolderStep(
        heading="Bridges",
        words="Solder from pad to pad.",
        places=tuple(f"{one.first.name} to {one.second.name}" for one in layout.bridges),
    )
    yield SolderStep(
        heading="Insulated links",
        words="From hole to hole; past everything on the way.",
        places=tuple(
            f"{link.start.name} to {link.end.name}"
            + (", solder side" if link.face is Face.SOLDER else "")
            for link in layout.links
            if link.insulated
        ),
    )


def _wires() -> SolderStep:
    return SolderStep(
        heading="Wires",
        words="Flag and heat-shrink on first. Strip 3 mm, tin, through the hole from the parts "
        "side, in the order of the table.",
        places=(),
    )


def _check(layout: BoardLayout) -> SolderStep:
    pair = " and ".join(str(wire.number) for wire in layout.wires[:2])
    return SolderStep(
        heading="Before power",
        words="With the meter on ohm: nothing joined that the solder view keeps apart, and no beep "
        f"between wires {pair}. Then the test gate of the bench sheet.",
        places=(),
    )
