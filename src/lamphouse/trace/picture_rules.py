"""The rules of picture files: what can be read, and how it is exposed.

A caller measures and words the fault; the rule stamps it with its code and keeps its page.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, rule


@rule("TRC001", Severity.STOP, "The file is no picture that can be read", can_be_accepted=False)
def no_picture(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse files that are no whole PNG, JPEG or TIFF picture.

    What it checks
        The file is a PNG, JPEG or TIFF picture with 8 or 16 bits a channel, with its end, and as
        large as its header says.

    Why it matters
        A picture cut short is filled up with grey by most programs, and grey looks like a part.

    Example
        ::

            lamphouse trace bezel.pdf --dpi 600

    Mend
        Save the scan or photograph as PNG, TIFF or JPEG, or copy it again.

    Source
        [T81] and [PNG] for the marks of beginning and end; [EXIF] for the tags.
    """
    return faults


@rule("TRC002", Severity.STOP, "The picture is too large to be unpacked", can_be_accepted=False)
def too_large_a_picture(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse pictures that would unpack into more memory than a machine has.

    What it checks
        The file has at most 400 MB; by its header the picture has at most 100 million pixels and
        40,000 along a side. The header is read before anything is unpacked.

    Why it matters
        A small file can unpack into more memory than the machine has. An A3 page at 600 dpi has 70
        million pixels.

    Example
        ::

            lamphouse trace a0-at-1200-dpi.png --dpi 1200

    Mend
        Scan only the part, or at a lower resolution.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC003", Severity.STOP, "The picture is too small", can_be_accepted=False)
def too_small_a_picture(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse thumbnails.

    What it checks
        Each side has at least 40 pixels, and the place where the part may lie has some ground in
        it.

    Why it matters
        Nothing can be measured in a thumbnail.

    Example
        ::

            lamphouse trace thumbnail.png --dpi 600

    Mend
        Use the scan itself, or come nearer.

    Source
        Design rule of this project.
    """
    return faults


@rule("TRC004", Severity.STOP, "The picture is too dark", can_be_accepted=False)
def too_dark_a_picture(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse pictures without light.

    What it checks
        The brightest hundredth of the place where the part may lie reaches 40 of 255 grey levels.

    Why it matters
        Below that, noise and the steps of the file are as large as the edges.

    Example
        ::

            lamphouse trace night.jpg --card

    Mend
        Take the picture again with more light from two sides, or a longer exposure.

    Source
        Common practice, no source.
    """
    return faults


@rule("TRC005", Severity.WARN, "The ground or the part is burnt out")
def burnt_out(faults: Iterable[Told]) -> Iterable[Told]:
    """Warn of levels that the camera cut off.

    What it checks
        No more than a fifth of what lies within a few pixels of the edges stands at full white.

    Why it matters
        What is brighter than white is stored as white: the half level then lies too near to the
        dark side, and a dark part looks up to half a pixel too small on every side.

    Example
        ::

            lamphouse trace overexposed.jpg --card

    Mend
        Take the picture again with a shorter exposure (tap on the ground and pull the light down).

    Source
        Geometry of a blurred step; seen on a real photograph of coins among the tests.
    """
    return faults


@rule("TRC006", Severity.NOTE, "Something in the picture file was left out of account")
def left_out_of_file(faults: Iterable[Told]) -> Iterable[Told]:
    """Tell what in the file is not used.

    What it checks
        The file carries no colour profile and no transparent places.

    Why it matters
        Colour profiles bend the scale of brightness a little; edges lie at half level as stored.

    Example
        ::

            lamphouse trace with-profile.png --dpi 600

    Mend
        None is needed; to be rid of the note save the picture without a profile and without
        transparency.

    Source
        [BT601] for the weights of the colours.
    """
    return faults
