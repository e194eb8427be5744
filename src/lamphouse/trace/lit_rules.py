"""The rules of photographs of lit panels: what they can tell of its light, and what they cannot.

A caller measures and words the fault; the rule stamps it with its code and keeps its page.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, rule


@rule("PHO001", Severity.STOP, "The panel is not found in the photograph", can_be_accepted=False)
def no_panel(faults: Iterable[Told]) -> Iterable[Told]:
    """Refuse corners that are not those of the panel as it is seen.

    What it checks
        The four corners lie in the picture, in the order lower left, lower right, upper right,
        upper left as the panel is seen from the front, and enclose it without crossing; by the
        frame card they lie as far apart as those of the panel, within 2 % or 1.5 mm. The panel is
        flat and has a lit opening.

    Why it matters
        A panel that is taken for another, or mirrored, is compared with the wrong light.

    Example
        ::

            lamphouse photo wall 'wall / face' lit.jpg --corners 0 0 0 0 0 0 0 0

    Mend
        Read the corners anew in a picture program: column and row of each.

    Source
        Design rule of this project.
    """
    return faults


@rule("PHO002", Severity.WARN, "Places of the photograph are overexposed")
def overexposed(faults: Iterable[Told]) -> Iterable[Told]:
    """Find openings whose brightest places the camera could not hold.

    What it checks
        Less than one pixel in a thousand of an opening has a channel at 250 of 255 or above. Such
        pixels are left out; an opening with more than a tenth of them gets no figures.

    Why it matters
        What is overexposed looks even. A hot spot is then just what is lost.

    Example
        ::

            lamphouse photo wall face lit.jpg --corners 10 300 400 300 400 10 10 10

    Mend
        Expose for less time, or give a second photograph with a quarter of the exposure.

    Source
        Design rule of this project; 250 leaves room for what JPEG adds.
    """
    return faults


@rule("PHO003", Severity.WARN, "An opening is too dark in the photograph")
def underexposed(faults: Iterable[Told]) -> Iterable[Told]:
    """Find openings that eight bits cannot tell well.

    What it checks
        Half of an opening lies above 30 of 255. Below it one step of the picture is more than 6 %
        of the light, and cameras lift or drop the dark as they like.

    Why it matters
        The shadows of an opening are where it is uneven.

    Example
        ::

            lamphouse photo wall face dark.jpg --corners 10 300 400 300 400 10 10 10

    Mend
        Expose longer, or give a second photograph with four times the exposure.

    Source
        [SRGB] for the size of a step.
    """
    return faults


@rule("PHO004", Severity.WARN, "The photographs do not agree with their exposures")
def bent_response(faults: Iterable[Told]) -> Iterable[Told]:
    """Find cameras that do not store light by the curve of sRGB.

    What it checks
        Where two exposures both hold a place, the ratio of what they store is that of their
        exposures within 10 %, and the same for dark and bright places within 10 %.

    Why it matters
        A camera that brightens shadows and holds highlights back makes every panel look more even
        than it is. One photograph alone cannot tell.

    Example
        ::

            lamphouse photo wall face short.jpg long.jpg --corners 10 300 400 300 400 10 10 10

    Mend
        Switch off night modes, high dynamic range and filters; fix exposure and sensitivity by
        hand; or develop the raw file without a curve of its own.

    Source
        [SRGB], [EXIF]; the 10 % is common practice, no source.
    """
    return faults


@rule("PHO005", Severity.NOTE, "What a photograph leaves open")
def left_open(faults: Iterable[Told]) -> Iterable[Told]:
    """Say what the figures of a photograph do not hold.

    What it checks
        Whether the curve of the camera was checked by a second exposure, whether the room's light
        was taken off, how far the lens may darken the rim, whether light is coloured, and whether
        a colour profile was left out of account.

    Why it matters
        A figure is worth what is known about it.

    Example
        ::

            lamphouse photo wall face lit.jpg --corners 10 300 400 300 400 10 10 10

    Mend
        What the finding names, where it matters.

    Source
        [SRGB]; the darkening is the fourth power of the cosine of the angle from the axis, which
        cameras take off in part; common practice, no source.
    """
    return faults


@rule("PHO006", Severity.WARN, "A lit panel is not as predicted")
def not_as_predicted(faults: Iterable[Told]) -> Iterable[Told]:
    """Find openings that glow otherwise than the plan says.

    What it checks
        Evenness within 0.10 of the predicted one or within the bars of both; mean light beside
        the other openings within a factor of 1.5, which LEDs of one type may differ by; no spot
        of half a square millimetre or more that is 20 % off the predicted pattern; and no light
        on the panel's face away from openings and strands above 3 % of theirs.

    Why it matters
        A hot spot that nobody foretold is an LED out of its place, a gap in a diffuser, or glue on
        it; light beside an opening is a leak. Both can still be mended before the box is closed.

    Example
        ::

            lamphouse photo wall face lit.jpg --corners 10 300 400 300 400 10 10 10

    Mend
        Look at the places named; log a moved LED with ``lamphouse log as-built``.

    Source
        The plan's own prediction; the limits are common practice, no source.
    """
    return faults
