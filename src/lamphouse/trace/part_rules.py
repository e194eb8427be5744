"""The rules of parts in a picture: one part, seen whole, and told from the ground.

A caller measures and words the fault; the rule stamps it with its code and keeps its page.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, rule


@rule("TRC020", Severity.STOP, "No part stands out from the ground", can_be_accepted=False)
def no_part(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse pictures in which part and ground look alike.

    What it checks
        Part and ground differ by at least 16 of 255 grey levels and by 8 times the grain of paper
        and noise.

    Why it matters
        A part as pale as what it lies on has no edge to be found: whatever came out would be made
        up.

    Example
        ::

            lamphouse trace white-on-white.png --dpi 600

    Mend
        Lay the part on paper that is much darker or lighter.

    Source
        Common practice, no source; the factor 8 was found on synthetic pictures, where specks of
        paper looked like holes at 7.
    """
    return faults


@rule("TRC021", Severity.STOP, "It is not clear which is the part", can_be_accepted=False)
def lighter_or_darker(faults: Iterable[Told]) -> Iterable[Told]:
    """Ask whether the part is lighter or darker than its ground.

    What it checks
        Lighter and darker things on the ground do not cover alike.

    Why it matters
        A shadow beside a pale part is darker than the ground, and either could be meant.

    Example
        ::

            lamphouse trace shadow.png --dpi 600

    Mend
        Say which it is: ``--part lighter`` or ``--part darker``.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC022", Severity.STOP, "The part may be cut off", can_be_accepted=False)
def part_cut_off(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse a part that reaches the rim of its place.

    What it checks
        Ground lies all round the part, inside the picture, the window of the frame card or the
        sheet.

    Why it matters
        A part that touches the frame looks whole, with the frame's edge as its own.

    Example
        ::

            lamphouse trace touching.jpg --card

    Mend
        Lay the whole part well inside, with ground all round.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC024", Severity.STOP, "The part is too small in the picture", can_be_accepted=False)
def too_small_a_part(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse a part of a few pixels.

    What it checks
        The part covers more than a few of the smallest holes.

    Why it matters
        Its outline would be that of the pixels.

    Example
        ::

            lamphouse trace far-away.jpg --card

    Mend
        Come nearer, or scan at a higher resolution.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC025", Severity.STOP, "Several parts lie there", can_be_accepted=False)
def several_parts(faults: Iterable[Told]) -> Iterable[Told]:
    """Ask which of several parts of like size is meant.

    What it checks
        The second largest piece covers less than half of the largest.

    Why it matters
        The largest is traced; when another is nearly as large, it may be the one you mean.

    Example
        ::

            lamphouse trace two-copies.png --dpi 600

    Mend
        Trace them one by one, each with ``--window`` round it.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC026", Severity.WARN, "Smaller pieces were left out")
def pieces_left_out(faults: Iterable[Told]) -> Iterable[Told]:
    """Tell of smaller pieces beside the part.

    What it checks
        Only one piece lies in the place for the part.

    Why it matters
        They are not in the outline.

    Example
        ::

            lamphouse trace sprue.png --dpi 600

    Mend
        Trace them one by one, each with ``--window`` round it.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC027", Severity.STOP, "The edge of the part is lost", can_be_accepted=False)
def edge_lost(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse a part whose edge is not seen over much of its length.

    What it checks
        Along at least three quarters of the edge the brightness changes by a third of what it
        changes elsewhere, and all over it within 32 pixels.

    Why it matters
        Where shiny metal mirrors something as dark as the ground, the edge found is that of a
        reflection; in a blurred picture, or one of anything but a part on a ground, there is none.

    Example
        ::

            lamphouse trace mirror.jpg --card

    Mend
        Light it evenly from all sides through a sheet of drafting film, dull the metal with chalk
        or removable spray (work in fresh air), or scan it.

    Source
        Common practice, no source.
    """
    return faults


@rule("TRC028", Severity.WARN, "The edge of the part is faint in places")
def edge_faint(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn of an edge that is hardly seen in places.

    What it checks
        Along less than 2 percent of the edge the brightness changes by less than a third of what it
        changes elsewhere.

    Why it matters
        There the outline may follow a reflection or a stain.

    Example
        ::

            lamphouse trace shiny.jpg --card

    Mend
        Look at the overlay there; take the picture again with even light from all sides.

    Source
        Common practice, no source.
    """
    return faults


@rule("TRC036", Severity.STOP, "The part is not the one it is compared with", can_be_accepted=False)
def another_part(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse to compare a part with an outline of another size.

    What it checks
        The areas of part and panel differ by less than a factor of two.

    Why it matters
        Laid over one another they would tell nothing.

    Example
        ::

            lamphouse trace copy.png --dpi 600 --project harbour --against 'wall / face'

    Mend
        Compare a part with its own panel, or trace it again.

    Source
        Design rule of this project.
    """
    return faults
