"""The rules of leaks: walls that glow, joints, holes, light from the next box, what is not said."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.sheet_light import SheetLight
from lamphouse.catalogue.shelf import built_in
from lamphouse.catalogue.wall_coats import WallCoat
from lamphouse.design.lightbox import LightBox, Seams
from lamphouse.design.panel import Panel
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.glow_words import at_most_passing, counted, in_cd_m2, in_mm, together
from lamphouse.light.leak_look import Leak, LeakKind, Viewer
from lamphouse.light.leaks import (
    BoxLeaks,
    coats_needed,
    find_leaks,
    largest_unseen_mm,
    unknown_materials,
)
from lamphouse.light.spill import Spill, find_spill

BLACK = "black paint"
"""The coat that is offered where a box has none."""


def mending_coat(box: LightBox) -> WallCoat:
    """Give the coat to add: the densest the box has, if it is worth a coat; else black paint."""
    black = built_in().wall_coats[BLACK]
    own = [coating.coat for coating in box.coats or () if coating.coat.density >= 1.0]
    return max(own, key=lambda coat: coat.density, default=black)


def coated_words(box: LightBox) -> str:
    """Say what a box's walls are coated with."""
    coats = [f"{coating.count} x {coating.coat.name}" for coating in box.coats or ()]
    return together(coats) if coats else "no coat"


def more_coats(excess: float, *, box: LightBox) -> str:
    """Say which coats dim something by a factor."""
    coat = mending_coat(box)
    return f"{counted(coats_needed(excess, coat=coat), 'coat')} of {coat.name}"


def glowing(leaks: BoxLeaks) -> list[Leak]:
    """List the faces of a box that glow, the worst first."""
    faces = [leak for leak in leaks.leaks if leak.kind in {LeakKind.FACE, LeakKind.WALLS}]
    return sorted((leak for leak in faces if leak.is_seen), key=lambda leak: -leak.excess)


def shown(leak: Leak) -> str:
    """Say how bright a leak is, when it is seen, and where it is."""
    return f"{seen(leak)} at its {leak.kind}"


def seen(leak: Leak) -> str:
    """Say how bright a leak is and when it is seen."""
    when = "even in the room's light" if leak.is_seen_in_room else "in the dark"
    least = leak.least_seen_in_room_cd_m2 if leak.is_seen_in_room else leak.least_seen_cd_m2
    return f"{in_cd_m2(leak.luminance_cd_m2)} (seen {when} from {in_cd_m2(least)})"


@rule("LIT040", Severity.WARN, "The walls of a light box glow")
def glowing_walls(leaks: BoxLeaks) -> Iterable[Told]:
    """Look for walls, backs and panels that let light through.

    What it checks
        Where the maker has said what coats a box has, its walls and back, and the panel round its
        openings, show less than a dark-adapted eye sees at the viewing distance with no light in
        the room. Sheet by scatter and absorption, coats by their optical densities.

    Why it matters
        White sheet is a lampshade: a millimetre of it passes a tenth of the light, and the eye in
        the dark sees a hundred-thousandth. A glowing wall tells everyone that the model is hollow.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {coats: [white paint], seams: taped}

    Mend
        So many coats more as the message says: their densities add up to what is missing.

    Source
        Eye: [ADRIAN1989]. Sheet: [KUBELKA-MUNK] with [SHEET-LIGHT]; coats: [WALL-COATS], typical
        until measured.
    """
    faces = glowing(leaks)
    if leaks.box.coats is None or not faces:
        return
    places = together([shown(leak) for leak in faces])
    yield Told(
        where=leaks.box.where,
        message=f"light comes through box '{leaks.box.name}' with {coated_words(leaks.box)}: "
        f"{places}",
        remedy=f"add {more_coats(faces[0].excess, box=leaks.box)}; that is typical paint: look "
        "again in the dark",
    )


@rule("LIT041", Severity.WARN, "The joints of a light box leak")
def leaking_joints(leaks: BoxLeaks) -> Iterable[Told]:
    """Look for butt joints that show as a line of light.

    What it checks
        A butt joint of 0.05 mm between wall and back, as deep as the sheet is thick, shows less
        than a dark-adapted eye sees at the viewing distance, light to and fro in it included.

    Why it matters
        Joints leak more than walls: a hair of light along a corner draws the box for everyone.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {coats: [{coat: black paint, count: 3}], seams: butt}

    Mend
        Tape or fill every joint; the message says what gap may stay.

    Source
        Eye: [ADRIAN1989]. Slit: [STRINGS]. Gap: common practice, no source [PRACTICE].
    """
    if leaks.box.seams is not Seams.BUTT:
        return
    viewer = Viewer(distance_mm=leaks.distance_mm, room_lx=0.0)
    for leak in leaks.leaks:
        if leak.kind is LeakKind.SEAM and leak.is_seen:
            most = largest_unseen_mm(
                lambda gap: (
                    viewer.seam(gap, box=leaks.box, wall=leaks.wall, lux=leaks.wall_lx).excess
                ),
                open_mm=leak.width_mm,
            )
            yield Told(
                where=leaks.box.where,
                message=f"the butt joints of box '{leaks.box.name}', {in_mm(leak.width_mm)} open "
                f"and {in_mm(leak.length_mm)} long, show {seen(leak)}",
                remedy="write seams: taped or seams: filled and do so along every joint; "
                + _may_stay(most, what="gap"),
                mend=sets("seams", "taped"),
            )


@rule("LIT042", Severity.WARN, "A hole of a light box leaks")
def leaking_holes(leaks: BoxLeaks) -> Iterable[Told]:
    """Look for wire exits and strand holes that show as a point of light.

    What it checks
        A wire exit that is not taped or filled, and the rings round every strand that comes out
        through a box, in the panel and where it goes in through the back or a wall, show less than
        a dark-adapted eye sees at the viewing distance. A hole is a tube as long as the sheet is
        thick; the wires in it are left out.

    Why it matters
        A point of light catches the eye first of all, and a wire exit shines on whatever is behind.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {coats: [{coat: black paint, count: 3}], seams: butt}

    Mend
        Close it round the wires or the strand with black putty or paint; the message says what may
        stay open.

    Source
        Eye: [ADRIAN1989]. Tube: [HOWELL], C-41, with light to and fro.
    """
    viewer = Viewer(distance_mm=leaks.distance_mm, room_lx=0.0)
    for leak in leaks.leaks:
        if leak.kind is LeakKind.EXIT and leak.is_seen and leaks.box.seams is Seams.BUTT:
            most = largest_unseen_mm(
                lambda size: (
                    viewer.exit(size, box=leaks.box, wall=leaks.wall, lux=leaks.wall_lx).excess
                ),
                open_mm=leaks.box.wire_exit_mm,
            )
            yield Told(
                where=leaks.box.where,
                message=f"the wire exit of box '{leaks.box.name}', "
                f"{in_mm(leaks.box.wire_exit_mm)} wide, shows {seen(leak)}",
                remedy="close it round the wires with black putty or tape, and write seams: "
                f"filled; {_may_stay(most, what='hole')}",
                mend=sets("seams", "filled"),
            )
        if leak.kind is LeakKind.STRAND and leak.is_seen:
            yield Told(
                where=leaks.box.where,
                message=f"strand '{leak.item}' comes out through box '{leaks.box.name}', and the "
                f"ring round it shows {seen(leak)} while it is unlit",
                remedy="glue it in with black paint round it that passes at most "
                f"{at_most_passing(1.0 / leak.excess)}, or lead it past the box",
            )
    entries = [leak for leak in leaks.leaks if leak.kind is LeakKind.ENTRY and leak.is_seen]
    if entries:
        worst = max(entries, key=lambda leak: leak.excess)
        more = f" and {len(entries) - 1} more" if len(entries) > 1 else ""
        yield Told(
            where=leaks.box.where,
            message=f"strand '{worst.item}'{more} of box '{leaks.box.name}' must come in through "
            f"its back or a wall, and the ring round it there shows {seen(worst)}",
            remedy="glue it in there with black paint round it that passes at most "
            f"{at_most_passing(1.0 / worst.excess)}, or lead it past the box",
        )


def _may_stay(most_mm: float, *, what: str) -> str:
    return f"no {what} over {in_mm(most_mm)} may stay" if most_mm > 0.0 else f"no {what} may stay"


@rule("LIT043", Severity.WARN, "One light box shines into the next")
def shining_into_next(spills: Sequence[Spill]) -> Iterable[Told]:
    """Look for boxes that touch and light each other's openings.

    What it checks
        What of a box's light gets through the walls into a box beside it adds less to that one's
        openings than the eye sees: in the dark, where the two blink apart; over its own glow, where
        they are lit together. Looked at where the coats of both are known.

    Why it matters
        An indicator that is off must look off, though its neighbour is on.

    Example
        ::

            groups:
              blinking: {in: desk, pattern: {kind: beacon, period: 2 s}}
            sub_assemblies:
              desk:
                panels:
                  top:
                    outline: rectangle 120 x 50 mm
                    openings:
                      second:
                        shape: rectangle 20 x 20 mm
                        at: [64 mm, 25 mm]
                        layers: [opal film 40]
                    boxes:
                      screen box: {coats: [white paint], seams: taped}
                      second box:
                        inside: rectangle 30 x 28 mm
                        at: [63 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        coats: [white paint]
                        seams: taped
                        leds:
                          V:
                            type: white 0603
                            at: [64 mm, 25 mm]
                            current: 0.5 mA
                            group: blinking

    Mend
        So many coats between them as the message says, or foil.

    Source
        As for walls: [ADRIAN1989], [KUBELKA-MUNK], [SHEET-LIGHT], [WALL-COATS].
    """
    for spill in spills:
        excess = spill.luminance_cd_m2 / spill.least_seen_cd_m2
        if excess < 1.0 or spill.source.box.coats is None or spill.into.box.coats is None:
            continue
        yield Told(
            where=spill.into.box.where,
            message=f"box '{spill.source.box.name}' shines into box '{spill.into.box.name}': "
            f"opening '{spill.opening}' gets {in_cd_m2(spill.luminance_cd_m2)} from it, and the "
            f"eye sees from {in_cd_m2(spill.least_seen_cd_m2)}",
            remedy=f"add {more_coats(excess, box=spill.source.box)} between them, or a sheet of "
            "foil",
        )


@rule("LIT044", Severity.NOTE, "Whether a light box is light-tight is not known")
def tightness_unsaid(leaks: BoxLeaks) -> Iterable[Told]:
    """Name the coats and seams that would make a box light-tight, where the maker has not said.

    What it checks
        A box says what coats its walls have and how its joints are closed, where bare walls or
        butt joints would be seen in the dark.

    Why it matters
        Glowing walls and leaking corners are what is most often found too late.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {finish: matt light grey paint}

    Mend
        Write the line of the message into the box, or what you will do instead.

    Source
        As for walls and joints: [ADRIAN1989], [SHEET-LIGHT], [WALL-COATS].
    """
    box = leaks.box
    lines, bare = [], []
    if box.coats is None and (faces := glowing(leaks)):
        coat = mending_coat(box)
        count = coats_needed(faces[0].excess, coat=coat)
        bare.append(f"without a coat it would show {shown(faces[0])}")
        lines.append(f"coats: [{{coat: {coat.name}, count: {count}}}]")
    open_ways = [leak for leak in leaks.leaks if leak.kind in {LeakKind.SEAM, LeakKind.EXIT}]
    worst = max(open_ways, key=lambda leak: leak.excess, default=None)
    if box.seams is None and worst is not None and worst.is_seen:
        bare.append(f"left open, {shown(worst)}")
        lines.append("seams: taped")
    if lines:
        yield Told(
            where=box.where,
            message=f"nothing is said of what keeps the light in box '{box.name}': "
            f"{together(bare)}",
            remedy=f"write {together(lines)}, and do so",
        )


@rule("LIT045", Severity.NOTE, "What a sheet does to light is not known")
def material_unknown(panel: Panel, box: LightBox, names: Sequence[str]) -> Iterable[Told]:
    """Name materials whose light no table knows, so that leaks are not computed.

    What it checks
        The materials of a box and of the panel before it have a row in the table sheet_light.

    Why it matters
        Without one nothing can be said of leaks, and nothing is.

    Example
        ::

            parts/sheet_stock.csv: |
              name,material,thickness,size,source,kind,date
              grey sheet 1.0 mm,grey sheet,1.0 mm,300 x 200 mm,calliper,measured,2026-11-25
            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {sheet: grey sheet 1.0 mm}

    Mend
        Add the material to parts/sheet_light.csv. From the share T that one sheet passes before a
        lamp, with no absorption: scatter per mm is (1 / T - 1) over its thickness.

    Source
        [KUBELKA-MUNK].
    """
    for name in names:
        yield Told(
            where=box.where,
            message=f"how much light goes through {name} is not known, so no leak of box "
            f"'{box.name}' behind panel '{panel.name}' is computed",
            remedy=f"add {name} to parts/sheet_light.csv with the share a sheet of it passes",
        )


def judge_leaks(
    glow: BoxGlow,
    *,
    panel: Panel,
    box: LightBox,
    strands: Sequence[Strand],
    materials: Sequence[SheetLight],
    room: Room | None,
) -> tuple[BoxLeaks | None, tuple[Finding, ...]]:
    """Find the leaks of a box and tell those the eye sees.

    Returns
    -------
    tuple
        The leaks, None where a material is not known; and the findings.
    """
    unknown = unknown_materials(panel, box=box, materials=materials)
    if unknown:
        return None, material_unknown(panel, box, unknown)
    leaks = find_leaks(glow, panel=panel, box=box, strands=strands, materials=materials, room=room)
    return leaks, (
        *glowing_walls(leaks),
        *leaking_joints(leaks),
        *leaking_holes(leaks),
        *tightness_unsaid(leaks),
    )


def judge_spill(boxes: Sequence[BoxLeaks]) -> tuple[Finding, ...]:
    """Tell which boxes of one panel shine into each other."""
    spills = [
        find_spill(source, into=into) for source in boxes for into in boxes if source is not into
    ]
    return shining_into_next([spill for spill in spills if spill is not None])
