"""The rules of scales: references found whole, and as they were measured.

A caller measures and words the fault; the rule stamps it with its code and keeps its page.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, rule


@rule(
    "TRC010",
    Severity.STOP,
    "The thing the scale comes from is not found in the picture",
    can_be_accepted=False,
)
def reference_not_found(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse pictures in which the named card, sheet or board is not seen whole.

    What it checks
        Of the frame card at least 12 markers and nine tenths of the crossings are in the picture;
        of a sheet of paper or a card all four sides; of a checkerboard every inner corner.

    Why it matters
        A reference that is cut off or covered gives a scale that looks right and is not.

    Example
        ::

            lamphouse trace bezel.jpg --card

    Mend
        Take the picture again, sharp, near, with the whole reference in it and nothing on its
        edges, or name another scale.

    Source
        [ARUCO] for the markers.
    """
    return faults


@rule("TRC011", Severity.STOP, "The reference is not as measured", can_be_accepted=False)
def residual_too_large(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse references that do not fit their own measures.

    What it checks
        The crossings of the frame card or board lie within 0.15 mm (rms) of where they should; the
        four corners of a sheet or card fit its standard size within its tolerance; what you
        measured has the proportions of the drawing.

    Why it matters
        A bent card, a print that was measured wrongly or a sheet of another size would put every
        length of the part wrong.

    Example
        ::

            lamphouse trace bezel.jpg --card --printed '150 x 150 mm'

    Mend
        Lay the reference flat, focus on it, measure the print again, or name the right size.

    Source
        [ISO216] and [ISO7810] for sizes and tolerances; the limit of 0.15 mm is of this project.
    """
    return faults


@rule("TRC012", Severity.STOP, "The resolution of the scan is in doubt", can_be_accepted=False)
def resolution_in_doubt(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse a resolution that the file contradicts.

    What it checks
        The resolution lies between 50 and 9600 dpi, and is within 1 percent of what the file says
        of itself.

    Why it matters
        A picture that was scaled by a program has lost its scale.

    Example
        ::

            lamphouse trace bezel.png --dpi 300

    Mend
        State what the scan was made with, and trace the picture as it left the scanner.

    Source
        Common practice, no source.
    """
    return faults


@rule("TRC013", Severity.STOP, "The two marks of the ruler are too close", can_be_accepted=False)
def marks_too_close(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse two marks between which too few pixels lie.

    What it checks
        The two marks are at least 200 pixels apart.

    Why it matters
        Pointing is good to a pixel or two, so a short length scales everything badly.

    Example
        ::

            lamphouse trace bezel.jpg --ruler 100 100 150 100 '5 mm'

    Mend
        Choose marks at the ends of the ruler.

    Source
        Common practice, no source.
    """
    return faults


@rule("TRC014", Severity.WARN, "The print of the frame card was not measured")
def print_not_measured(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn of a frame card taken at its drawn size.

    What it checks
        Width and height of the printed frame are told with ``--printed``.

    Why it matters
        Printers stretch, and not alike along and across; a print fitted to the page is off by
        several percent. Without your reading 2 percent must be allowed for.

    Example
        ::

            lamphouse trace bezel.jpg --card

    Mend
        Measure the outer edges of the printed frame with a steel rule and tell both with
        ``--printed``.

    Source
        Common practice, no source; three real photographs of a printed board among the tests show
        one 14 percent off.
    """
    return faults


@rule("TRC015", Severity.WARN, "The sheet does not lie flat")
def sheet_not_flat(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn of a sheet of paper with bent sides.

    What it checks
        The four sides of the sheet are straight within 0.3 mm (rms).

    Why it matters
        Curled edges stand nearer to the camera, so the sheet looks larger and the part smaller. How
        far the sides are bent goes into the stated uncertainty.

    Example
        ::

            lamphouse trace bezel.jpg --sheet A4

    Mend
        Tape the sheet down at its four corners, or use the frame card.

    Source
        Geometry.
    """
    return faults


@rule("TRC016", Severity.STOP, "The pictures do not belong together", can_be_accepted=False)
def pictures_apart(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse several pictures that cannot be of one camera and one part.

    What it checks
        All pictures have the same size in pixels; the reference lies alike in every one; a picture
        that lends its scale has the size of the picture it lends it to.

    Why it matters
        Several views are measured with one lens; a picture cut down or turned has another.

    Example
        ::

            lamphouse trace a.jpg b-cropped.jpg --card

    Mend
        Take all pictures with one camera, at one zoom, and use them as they left it.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC017", Severity.WARN, "The views do not agree")
def views_apart(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn when several photographs of one part disagree.

    What it checks
        After weighing, no view lies farther from the merged outline than three times what was to be
        expected, or 0.1 mm, the larger.

    Why it matters
        The part was moved between the pictures, the thickness is wrong, or one picture is bad. The
        stated uncertainty was raised to cover it.

    Example
        ::

            lamphouse trace a.jpg moved.jpg --card

    Mend
        Leave the part where it is on the card between the pictures; check the thickness; leave the
        picture out that the message names.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC018", Severity.STOP, "It is not clear which sheet it is", can_be_accepted=False)
def sheet_in_doubt(faults: Iterable[Told]) -> Iterable[Told]:
    """Ask which sheet of paper lies there when its proportions do not tell.

    What it checks
        With ``--sheet either`` the sheet has the proportions of exactly one of A4 (1.414) and
        Letter (1.294), the other missed by three standard deviations.

    Why it matters
        A sheet taken for the other puts every length 3 to 6 percent wrong. Seen at a slant by a
        camera whose focal length is not known, a shorter sheet looks like a longer one.

    Example
        ::

            lamphouse trace bezel.jpg --sheet either

    Mend
        Say which it is with ``--sheet A4`` or ``--sheet Letter``, or take the picture from straight
        above.

    Source
        [ISO216] for A4; 8 1/2 x 11 in for Letter [PRACTICE].
    """
    return faults
