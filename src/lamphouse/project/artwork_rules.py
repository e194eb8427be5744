"""Rules about artwork: pictures missing or broken, what was assumed, films without ink."""

from collections.abc import Iterable

from lamphouse.design.artwork import Artwork
from lamphouse.findings import Severity, Told, Where, rule


@rule("PRJ060", Severity.STOP, "Artwork that is not there", can_be_accepted=False)
def no_picture(where: Where, *, name: str, why: str) -> Iterable[Told]:
    """Ask for a picture that the project names and nobody can find.

    What it checks
        Every artwork is a file in the project's folder, or in a folder inside it.

    Why it matters
        Without the picture nothing can be said about the print, and the pack has no sheet to print.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen:
                        layers: [opal film 60, {film: print film, artwork: lost.png}]

    Mend
        Put the file there, or write its name as the folder shows it.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"artwork '{name[:80]}' cannot be read: {why or 'there is no such file'}",
        remedy="put the picture into the project's folder, or write its name as it is there",
    )


@rule("PRJ061", Severity.STOP, "Artwork that cannot be used", can_be_accepted=False)
def unusable(where: Where, *, name: str, what: str, remedy: str) -> Iterable[Told]:
    """Refuse a picture that is broken, too large or of another kind.

    What it checks
        Artwork is a whole PNG, JPEG or TIFF of 8 pixels a side up to 24 million in all.

    Why it matters
        A broken picture would print as something else, and a small file may claim more pixels than
        a machine can hold.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen:
                        layers: [opal film 60, {film: print film, artwork: broken.png}]

    Mend
        Save the artwork again as PNG, at 300 to 600 dots per inch of its printed size.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"artwork '{name[:80]}': {what}", remedy=remedy)


@rule("PRJ062", Severity.NOTE, "What was assumed about artwork")
def assumed(where: Where, *, artwork: Artwork) -> Iterable[Told]:
    """Say what a picture leaves open, and how it was taken.

    What it checks
        Whether a picture is plain sRGB with 8 bits a channel and no transparent places.

    Why it matters
        Colours wider than sRGB, or a profile that cannot be read, would come out other than they
        look in the program that made them.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen:
                        layers: [opal film 60, {film: print film, artwork: glassy.png}]

    Mend
        Nothing, when the assumption is right; else save the picture as sRGB with 8 bits a channel.

    Source
        Design rule of this project.
    """
    if artwork.assumed:
        yield Told(
            where=where,
            message=f"artwork '{artwork.file[:80]}': {'; '.join(artwork.assumed)}",
            remedy="save it as sRGB with 8 bits a channel if that is not what you mean",
        )


@rule("PRJ063", Severity.STOP, "Artwork on a film that carries no ink", can_be_accepted=False)
def carries_no_ink(where: Where, *, film: str, use: str) -> Iterable[Told]:
    """Refuse artwork on a gel, a tint coat or a diffuser.

    What it checks
        Artwork stands on films for printing and on decals.

    Why it matters
        Ink does not hold on other films, and nothing is known about how it would look there.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen:
                        layers: [{film: opal film 60, artwork: chart.png}]

    Mend
        Give the artwork a layer of its own, such as ``{film: print film, artwork: chart.png}``.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"artwork stands on '{film}', a {use}; ink holds on films for printing and decals",
        remedy="add a layer for it, such as {film: print film, artwork: ...}",
    )
