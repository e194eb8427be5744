"""The rules of parts in a picture: seen whole, told from the ground, and holes worth their name.

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


@rule("TRC034", Severity.STOP, "The drawn line does not close", can_be_accepted=False)
def open_line(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse a sketch whose outline does not close.

    What it checks
        The outer line of a sketch runs round and closes, small gaps left aside.

    Why it matters
        An outline with a gap has no inside.

    Example
        ::

            lamphouse trace sketch.png --dpi 300 --sketch

    Mend
        Close the line with the pen, at the place the message names.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC035", Severity.WARN, "Marks of a sketch were left out")
def marks_left_out(faults: Iterable[Told]) -> Iterable[Told]:
    """Tell of lines inside a sketch that do not close.

    What it checks
        Every line inside the outline closes round a hole.

    Why it matters
        Centre lines, hatching and writing are no edges.

    Example
        ::

            lamphouse trace sketch.png --dpi 300 --sketch

    Mend
        Draw holes as closed lines; rub out what is no edge.

    Source
        Design rule of this project.
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


@rule("TRC037", Severity.STOP, "It is no line drawing", can_be_accepted=False)
def no_line_drawing(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse to follow the middle of what is no line.

    What it checks
        With ``--sketch``, the lines are narrow: under an eighth of the drawing's smaller side.

    Why it matters
        The middle of a whole part is not its edge.

    Example
        ::

            lamphouse trace part.png --dpi 300 --sketch

    Mend
        Leave ``--sketch`` out for a part; for a drawing fill nothing in.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC038", Severity.WARN, "It may be a line drawing")
def may_be_drawing(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn when the part is nothing but a thin rim.

    What it checks
        No opening of the part covers nine tenths of it or more.

    Why it matters
        A drawing traced as a part gives the outer edge of its line, half a line's width too large.

    Example
        ::

            lamphouse trace sketch.png --dpi 300

    Mend
        Add ``--sketch`` when it is a drawing.

    Source
        Design rule of this project.
    """
    return faults
