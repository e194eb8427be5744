"""The rules of folding a light box from one piece: the sheet, and room for its flaps."""

from collections.abc import Iterable

from lamphouse.cutting.back_flaps import LEAST_FLAP_MM
from lamphouse.cutting.box_development import (
    FLAP_SHARE,
    MOST_SIDES,
    BoxDevelopment,
)
from lamphouse.cutting.flange import LEAST_FLANGE_MM
from lamphouse.cutting.mends import in_mm
from lamphouse.design.lightbox import Build, Flange, LightBox
from lamphouse.findings import Severity, Told, rule, sets

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
            mend=sets("build", "flat pieces"),
        )
    elif sides > MOST_SIDES:
        yield Told(
            where=box.where,
            message=f"box '{box.name}' has {sides} walls; one piece is folded into at most "
            f"{MOST_SIDES}",
            remedy="simplify its inside, or write build: flat pieces",
            mend=sets("build", "flat pieces"),
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
            mend=sets("build", "flat pieces"),
        )
    elif made.flap_mm < LEAST_FLAP_MM or not whole:
        deep = LEAST_FLAP_MM / FLAP_SHARE
        yield Told(
            where=box.where,
            message=f"box '{box.name}' is {in_mm(box.depth_mm)} deep, which leaves flaps "
            f"{in_mm(made.flap_mm)} wide; they need {in_mm(LEAST_FLAP_MM)}",
            remedy=f"make it {in_mm(deep)} deep or more, or write build: flat pieces",
            mend=sets("build", "flat pieces"),
        )


@rule("CUT081", Severity.WARN, "A flange of a folded light box finds no room")
def no_flange(box: LightBox, *, made: BoxDevelopment) -> Iterable[Told]:
    """Look for walls of a folded box that get no flange.

    What it checks
        Each wall has room for a flange at least 2 mm wide that stays within the panel, clear of its
        openings and strands, of other boxes and of the next flange, and the wall has sheet to fold:
        no passage, LED or inner diffuser reaches its edge.

    Why it matters
        That wall stands on the panel with its bare edge: it holds less, and the joint leaks.

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
                        at: [11 mm, 20 mm]
                        depth: 10 mm
                        sheet: card 0.5 mm
                        finish: matt white paint
                        build: folded
                        flange: outside

    Mend
        Fold the flange to the other side, move the box, or close that joint with tape or filler.

    Source
        Geometry; the least width is common practice, no source.
    """
    if not made.flangeless:
        return
    walls = ", ".join(str(index + 1) for index in made.flangeless)
    many = len(made.flangeless) > 1
    other = Flange.INSIDE if box.flange is Flange.OUTSIDE else Flange.OUTSIDE
    yield Told(
        where=box.where,
        message=f"{'walls' if many else 'wall'} {walls} of box '{box.name}' "
        f"{'have' if many else 'has'} no room for a flange {in_mm(LEAST_FLANGE_MM)} wide "
        f"{box.flange} the box",
        remedy=f"write flange: {other}, move the box, or close the joint there with tape or filler",
    )


@rule("CUT082", Severity.WARN, "Only a folded light box has a flange")
def flange_unfolded(box: LightBox) -> Iterable[Told]:
    """Look for a flange wished for a box that is not folded.

    What it checks
        A box with a flange is folded from one piece.

    Why it matters
        Walls of flat pieces and of a printed body are glued to the panel on their edges; no flange
        is made.

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
                        flange: outside

    Mend
        Write ``build: folded`` with a sheet that folds, or leave the flange out.

    Source
        Common practice, no source.
    """
    if box.flange is not Flange.NONE and box.build is not Build.FOLDED:
        yield Told(
            where=box.where,
            message=f"box '{box.name}' has flange: {box.flange} and is built from {box.build}"
            if box.build is Build.PIECES
            else f"box '{box.name}' has flange: {box.flange} and is {box.build}",
            remedy="write build: folded, or leave the flange out",
            mend=sets("flange", None),
        )
