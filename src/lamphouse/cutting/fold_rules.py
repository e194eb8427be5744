"""The rules of folding a light box from one piece: the sheet, and room for its flaps."""

from collections.abc import Iterable

from lamphouse.cutting.box_development import (
    FLAP_SHARE,
    LEAST_FLAP_MM,
    MOST_SIDES,
    BoxDevelopment,
)
from lamphouse.cutting.mends import in_mm
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Severity, Told, rule

FOLDS_UP_TO_MM = {"card": 1.0, "mount board": 1.5, "styrene": 0.5, "brass": 0.2}
"""Thickest sheet of each material that folds along a score [PRACTICE]."""


@rule("CUT074", Severity.STOP, "This light box cannot be folded from its sheet")
def folds_badly(box: LightBox, *, sides: int) -> Iterable[Told]:
    """Look for sheet that breaks when it is folded, and boxes with too many walls.

    What it checks
        A folded box is of card up to 1 mm, mount board up to 1.5 mm, styrene up to 0.5 mm or brass
        up to 0.2 mm, and has at most 40 walls.

    Why it matters
        Thicker or brittle sheet snaps along the score, and every fold adds its own error.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        build: folded

    Mend
        Use the sheet of the message, or write ``build: flat pieces``.

    Source
        Common practice, no source.
    """
    most = FOLDS_UP_TO_MM.get(box.sheet.material, 0.0)
    if box.sheet.thickness_mm > most + 1e-9:
        same = f"'{box.sheet.material}' of {in_mm(most)} or thinner, or " if most else ""
        yield Told(
            where=box.where,
            message=f"box '{box.name}' is folded from '{box.sheet.name}', which breaks along the "
            "score",
            remedy=f"use {same}'card 0.5 mm', or write build: flat pieces",
        )
    elif sides > MOST_SIDES:
        yield Told(
            where=box.where,
            message=f"box '{box.name}' has {sides} walls; one piece is folded into at most "
            f"{MOST_SIDES}",
            remedy="simplify its inside, or write build: flat pieces",
        )


@rule("CUT075", Severity.STOP, "The flaps of a folded light box find no room")
def cannot_fold(box: LightBox, *, made: BoxDevelopment, whole: bool) -> Iterable[Told]:
    """Look for developments whose parts would lie on one another.

    What it checks
        Laid flat as one piece, no wall, back or flap of a folded box lies on another, with flaps at
        least 2 mm wide.

    Why it matters
        Two parts cannot be cut from one place of the sheet; a narrower flap holds nothing.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 4 mm
                        sheet: card 0.5 mm
                        finish: matt white paint
                        build: folded

    Mend
        Deepen the box as the message says, widen the gap between the sides it names, or write
        ``build: flat pieces``.

    Source
        Geometry; the least width is common practice, no source.
    """
    if made.meets:
        first, second = (made.facets[number].name for number in made.meets[0])
        more = f" (and {len(made.meets) - 1} more)" if len(made.meets) > 1 else ""
        yield Told(
            where=box.where,
            message=f"laid flat, {first} of box '{box.name}' would lie on {second}{more}, even "
            f"with flaps {in_mm(made.flap_mm)} wide",
            remedy="widen the gap between these sides, or write build: flat pieces",
        )
    elif made.flap_mm < LEAST_FLAP_MM or not whole:
        deep = LEAST_FLAP_MM / FLAP_SHARE
        yield Told(
            where=box.where,
            message=f"box '{box.name}' is {in_mm(box.depth_mm)} deep, which leaves flaps "
            f"{in_mm(made.flap_mm)} wide; they need {in_mm(LEAST_FLAP_MM)}",
            remedy=f"make it {in_mm(deep)} deep or more, or write build: flat pieces",
        )
