"""The rules of what a picture tells of the holes and walls of a part.

A caller measures and words the fault; the rule stamps it with its code and keeps its page.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, rule


@rule("TRC023", Severity.STOP, "The picture is too coarse for the holes", can_be_accepted=False)
def too_coarse(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse pictures whose pixels are too large for the smallest hole.

    What it checks
        The smallest hole looked for is at least 4 pixels across.

    Why it matters
        A smaller hole cannot be told from grain: it would be missed, or grain taken for it.

    Example
        ::

            lamphouse trace coarse.png --dpi 300

    Mend
        Scan finer, come nearer, or look only for larger holes, as the message says.

    Source
        Sampling; found on synthetic pictures.
    """
    return faults


@rule("TRC029", Severity.WARN, "Small holes may hide behind their walls")
def slant_hides(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn of holes that show their wall and no ground.

    What it checks
        The walls of the part look narrower than the smallest hole looked for.

    Why it matters
        Seen at a slant, a narrow hole in a thick part shows nothing but its wall. With a bright
        wall it may be missed.

    Example
        ::

            lamphouse trace slanted.jpg --card --thickness '1.5 mm'

    Mend
        Take a second picture from straight above and name both.

    Source
        Geometry.
    """
    return faults


@rule("TRC030", Severity.WARN, "A wall cannot be told from the face or the ground")
def wall_in_doubt(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn when one picture does not tell where a thick part's face ends.

    What it checks
        Where a wall is seen, its brightness differs from that of face and ground, or the part is
        seen from several sides.

    Why it matters
        The edge found may be the foot of the wall and not that of the face; half of how wide the
        wall looks goes into the stated uncertainty.

    Example
        ::

            lamphouse trace slanted.jpg --card --thickness '3 mm'

    Mend
        Take pictures from two or three sides with the part left where it is, and name them all.

    Source
        Geometry.
    """
    return faults


@rule("TRC031", Severity.NOTE, "A hole lies between two drills")
def between_drills(faults: Iterable[Told]) -> Iterable[Told]:
    """Ask which of two drills a hole was made with.

    What it checks
        Exactly one drill lies within the uncertainty of a round hole's diameter.

    Why it matters
        A picture tells 0.30 mm from 0.35 mm only when it is fine enough. The hole is kept as
        measured.

    Example
        ::

            lamphouse trace bezel.jpg --card

    Mend
        Try both drills in the hole and write the one that fits into the opening; or scan the part
        at 600 dpi or finer.

    Source
        [ISO235] for metric drills, [ASME-B94.11M] for numbered ones.
    """
    return faults


@rule("TRC032", Severity.WARN, "A hole is not seen in every picture")
def hole_not_in_all(faults: Iterable[Told]) -> Iterable[Told]:
    """Tell of holes that some of several pictures do not show.

    What it checks
        Every hole is seen in every picture that can show it.

    Why it matters
        It may be a speck, or hidden by its wall.

    Example
        ::

            lamphouse trace a.jpg b.jpg --card

    Mend
        Look at the part with a lens; take one more picture from straight above.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC033", Severity.WARN, "A hole shows its wall and not the ground")
def only_wall_seen(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn of holes that were found by their walls alone.

    What it checks
        Every hole shows the ground at its deepest place.

    Why it matters
        Its middle and diameter are drawn away by the wall; the stated uncertainty allows for that.

    Example
        ::

            lamphouse trace slanted.jpg --card --thickness '0.75 mm'

    Mend
        Take a picture from straight above, or drill it as the drawing of the part says.

    Source
        Geometry.
    """
    return faults
