"""The rules of printed light boxes: walls that print, walls that leak, bridges that sag."""

from collections.abc import Iterable, Sequence

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.frame import Frame
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.wall_holes import WallHole, patch_of, wall_of
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Finding, Severity, Told, rule, sets

LEAST_WALL_MM = 0.8
"""Two lines of a nozzle of 0.4 mm [PRACTICE]."""

LONGEST_BRIDGE_MM = 10.0
"""A printed bridge sags when it is longer [PRACTICE]."""


@rule("CUT076", Severity.WARN, "The walls of a printed light box are too thin to print")
def thin_print(box: LightBox) -> Iterable[Told]:
    """Look for printed walls thinner than two lines of a usual nozzle.

    What it checks
        The walls of a printed box, as thick as its sheet, are at least 0.8 mm thick.

    Why it matters
        A slicer leaves thinner walls out, or prints a single line with gaps that light finds.

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
                        sheet: styrene 0.5 mm
                        finish: matt white paint
                        build: printed

    Mend
        Name a sheet of 0.8 mm or more: its thickness is that of the walls.

    Source
        Common practice, no source.
    """
    thick = box.sheet.thickness_mm
    if thick < LEAST_WALL_MM - ROUNDING_MM:
        yield Told(
            where=box.where,
            message=f"box '{box.name}' is printed with walls {in_mm(thick)} thick; a nozzle of "
            f"0.4 mm wants {in_mm(LEAST_WALL_MM)}",
            remedy=f"name a sheet of {in_mm(LEAST_WALL_MM)} or thicker, such as 'styrene 1.0 mm'",
        )


@rule("CUT077", Severity.NOTE, "Printed walls let light through")
def print_leaks(box: LightBox, *, wrong: Sequence[str] = ()) -> Iterable[Told]:
    """Remind that the leaks of a printed box cannot be told, or tell that no body is made of it.

    What it checks
        A box is printed. How much light its walls pass depends on filament, layers and infill,
        which no catalogue row tells; leaks are reckoned as if the walls were of the sheet it names.
        A body whose surface cannot be proved closed is left out of the pack and told here.

    Why it matters
        White filament glows, and so does thin black; between layers there are pinholes.

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
                        build: printed

    Mend
        Print it solid, paint the outside black and the inside white, and look in the dark with an
        LED in it before it is closed.

    Source
        Common practice, no source.
    """
    if wrong:
        yield Told(
            where=box.where,
            message=f"no body is made of box '{box.name}': {'; '.join(wrong)}",
            remedy="move what touches along a line by 0.5 mm, or write build: flat pieces",
        )
    yield Told(
        where=box.where,
        message=f"box '{box.name}' is printed; what its walls let through is not known, and leaks "
        f"are told as of '{box.sheet.name}'",
        remedy="print it solid, paint it black outside, and look in the dark before it is closed",
    )


@rule("CUT078", Severity.WARN, "A passage of a printed light box is too wide to bridge")
def long_bridge(box: LightBox, *, wide: list[tuple[WallHole, float]]) -> Iterable[Told]:
    """Look for passages whose upper edge would sag while it is printed.

    What it checks
        A passage in a printed wall is at most 10 mm wide, unless it is open at the panel.

    Why it matters
        The first lines above it are laid over air; longer ones sag into the passage.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        build: printed
                        passages:
                          slot:
                            into: bay box
                            from: [47 mm, 18 mm]
                            to: [47 mm, 30 mm]
                            low: 4 mm
                            high: 10 mm
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [59 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Open the passage to the panel as the message says, make it narrower, or print a support.

    Source
        Common practice, no source.
    """
    for hole, width in wide:
        yield Told(
            where=hole.where,
            message=f"passage '{hole.passage}' is {in_mm(width)} wide in the printed wall of box "
            f"'{box.name}'; bridges longer than {in_mm(LONGEST_BRIDGE_MM)} sag",
            remedy=f"open it to the panel: write high: {in_mm(box.depth_mm)}, or make it "
            f"{in_mm(LONGEST_BRIDGE_MM)} wide",
            mend=sets("high", in_mm(box.depth_mm)),
        )


def look_at_printed(frame: Frame, *, wrong: Sequence[str] = ()) -> tuple[Finding, ...]:
    """Run every rule of a printed box."""
    box = frame.box
    wide = []
    for hole in frame.passages:
        patch = patch_of(hole, wall=frame.walls[wall_of(hole, spots=frame.spots)])
        width = patch.to_mm - patch.from_mm
        is_open = patch.high_mm >= box.depth_mm - ROUNDING_MM
        if width > LONGEST_BRIDGE_MM + ROUNDING_MM and not is_open:
            wide.append((hole, width))
    return (
        *thin_print(box),
        *print_leaks(box, wrong=wrong),
        *long_bridge(box, wide=wide),
    )
