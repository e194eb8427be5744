"""Rules about shapes that are made from others: the name is there, and the change can be made."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.shelf import nearest
from lamphouse.findings import Severity, Told, Where, rule


@rule("PRJ050", Severity.STOP, "A shape cannot be changed as asked", can_be_accepted=False)
def cannot_change(where: Where, *, change: str, problem: str, remedy: str) -> Iterable[Told]:
    """Refuse a shape that would vanish, split or fold when grown, shrunk or rounded.

    What it checks
        A shape that is shrunk keeps one piece; one that is grown closes up round no gap; corners
        that are rounded are there, turn, and have room for the radius on both sides.

    Why it matters
        What comes out would be another part than the one that was meant.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      window: {shape: rectangle 12 x 4 mm rounded 3 mm, at: [64 mm, 40 mm]}

    Mend
        Write the largest value that does, as the message gives it.

    Source
        Geometry.
    """
    yield Told(where=where, message=f"{change}: {problem}", remedy=remedy)


@rule("PRJ051", Severity.STOP, "A shape like one that is not there", can_be_accepted=False)
def no_such_outline(
    where: Where, *, name: str, names: Sequence[str], loop: bool = False
) -> Iterable[Told]:
    """Refuse a shape, or a row along an outline, whose pattern is not on the panel.

    What it checks
        The name after ``like`` or ``along`` is ``panel`` or an opening of the same panel, and no
        shape is like itself by way of others.

    Why it matters
        There is no outline to take over.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    overlays:
                      bezel: {outline: like sceen grown 3 mm, sheet: styrene 0.5 mm}

    Mend
        Write the name the finding shows.

    Source
        Design rule of this project.
    """
    if loop:
        yield Told(
            where=where,
            message=f"it is like '{name}', which in the end is like itself",
            remedy=f"give '{name}' a shape of its own",
        )
        return
    meant = nearest(name, names)
    there = ", ".join(names[:20]) or "none"
    yield Told(
        where=where,
        message=f"no outline is called '{name[:60]}'; there are: {there}",
        remedy=f"write {meant}" if meant else "write one of these names",
    )
