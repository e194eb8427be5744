"""Rules about names in the project file: in the catalogue, in the file, and one name twice."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.shelf import nearest
from lamphouse.design.box_faces import BACK, PANEL, WALLS
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Severity, Told, Where, rule
from lamphouse.units import Quantity, show

_MOST_NAMED = 7
"""Of more rows that may be meant the first are named."""


def _did_you_mean(name: str, names: Sequence[str], otherwise: str) -> str:
    meant = nearest(name, names)
    return f"write {meant}" if meant else otherwise


def _one_of(name: str, names: Sequence[str], *, kind: str) -> str:
    """Name the rows that begin with a name of which the rest is missing, such as its size."""
    begun = [one for one in names if one.casefold().startswith(f"{name.casefold()} ")]
    if len(begun) < 2:
        return ""
    more = f" and {len(begun) - _MOST_NAMED} more (lamphouse stock {kind})"
    return f"write one of {', '.join(begun[:_MOST_NAMED])}" + more * (len(begun) > _MOST_NAMED)


@rule("PRJ040", Severity.STOP, "A part the catalogue does not have", can_be_accepted=False)
def not_on_shelf(
    where: Where, *, key: str, name: str, kind: str, names: Sequence[str]
) -> Iterable[Told]:
    """Refuse a sheet, film, LED, fibre, wire, plug or finish nobody has described.

    What it checks
        Every part named is in the catalogue or in the project's ``parts`` folder.

    Why it matters
        Without its thickness, its forward curve or its loss nothing can be computed with it.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  lamp: {type: white 0604, at: [5 mm, 5 mm], current: 1 mA}

    Mend
        Write the name the catalogue uses (``lamphouse stock`` lists them), or describe your own
        part in the project's ``parts`` folder.

    Source
        Design rule of this project.
    """
    table = f"parts/{kind}.csv"
    yield Told(
        where=where,
        message=f"{key}: '{name[:60]}' is not in the catalogue of {len(names)} "
        f"{kind.replace('_', ' ')}",
        remedy=(
            _one_of(name, names, kind=kind)
            or _did_you_mean(name, names, f"see lamphouse stock {kind}")
        )
        + f", or describe yours in {table}",
    )


@rule("PRJ041", Severity.STOP, "A name that points at nothing", can_be_accepted=False)
def points_nowhere(
    where: Where, *, key: str, name: str, kind: str, names: Sequence[str]
) -> Iterable[Told]:
    """Refuse the name of a group, look or sub-assembly that is not in the file.

    What it checks
        Groups, looks and sub-assemblies are named as they stand in this file.

    Why it matters
        A strand of an unknown group would have no light, and an opening of an unknown look no
        target.

    Example
        ::

            groups:
              glow: {in: nowhere, pattern: {kind: steady}}

    Mend
        Write the name the finding shows, or add what it names.

    Source
        Design rule of this project.
    """
    there = f"there are: {', '.join(names)}" if names else "there is none in this file"
    yield Told(
        where=where,
        message=f"{key}: no {kind} is called '{name[:60]}'; {there}",
        remedy=_did_you_mean(name, names, f"add the {kind} '{name[:60]}'"),
    )


@rule("PRJ042", Severity.STOP, "Two things share a name", can_be_accepted=False)
def name_twice(
    where: Where, *, kind: str, name: str, within: str, first: Where, free: str
) -> Iterable[Told]:
    """Refuse a second LED of one name in a sub-assembly, or a second strand of one flag.

    What it checks
        The names of LEDs differ within their sub-assembly, and the flags of strands differ in
        the whole project; rows are counted by every name they make.

    Why it matters
        Strings name their LEDs, and a flag on a fibre's end is all one has at the bench.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  W1: {type: white 0603, at: [5 mm, 9 mm], current: 1 mA}
                  W:
                    type: white 0603
                    at: [5 mm, 5 mm]
                    count: 2
                    step: [9 mm, 0 mm]
                    current: 1 mA

    Mend
        Give one of them another name.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"a second {kind} of {within} is called '{name}'; the first is in line "
        f"{first.line}",
        remedy=f"call one of them {free}",
    )


@rule("PRJ043", Severity.WARN, "Two items cannot be told apart in findings")
def item_twice(where: Where, *, first: Where) -> Iterable[Told]:
    """Warn of two different things under one name in one place.

    What it checks
        The openings, light boxes and strands of a panel have names of their own, as have the
        panels, lamps and strings of a sub-assembly.

    Why it matters
        A finding names its item by the names around it. Of two with the same name one cannot
        see which is meant, and accepting a finding at one would accept it at the other.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  lamp: {outline: rectangle 40 x 20 mm, sheet: styrene 1.0 mm}
                lamps:
                  lamp: {type: white 0603, at: [5 mm, 5 mm], current: 1 mA}

    Mend
        Rename one of them.

    Source
        Design rule of this project.
    """
    last = where.item.rsplit(" / ", 1)[-1]
    yield Told(
        where=where,
        message=f"'{where.item}' is also what stands in line {first.line}",
        remedy=f"rename one of them, such as '{last} 2'",
    )


@rule("PRJ044", Severity.STOP, "Strands without a light")
def dark_strands(where: Where, *, group: str, strands: Sequence[str]) -> Iterable[Told]:
    """Look for a group whose strands have no LED to light them.

    What it checks
        A group that strands belong to has a source LED.

    Why it matters
        Without one the fibres stay dark, and no LED for them is bought or wired.

    Example
        ::

            groups:
              unlit: {in: desk, pattern: {kind: steady}}
            sub_assemblies:
              desk:
                panels:
                  top:
                    outline: rectangle 40 x 20 mm
                    sheet: styrene 1.0 mm
                    strands:
                      U1: {fibre: fibre 0.5 mm, at: [5 mm, 5 mm], group: unlit}

    Mend
        Add the group's source with its LED and current.

    Source
        Common practice, no source.
    """
    named = ", ".join(strands[:3]) + (f" and {len(strands) - 3} more" if len(strands) > 3 else "")
    yield Told(
        where=where,
        message=f"no LED lights the {len(strands)} strand{'s' * (len(strands) > 1)} of group "
        f"'{group}' ({named})",
        remedy="add source: {led: warm white 3 mm, current: 5 mA} to the group",
    )


@rule("PRJ049", Severity.STOP, "A passage that leads into no neighbour", can_be_accepted=False)
def leads_to_no_neighbour(
    where: Where, *, into: str, place: str, beside: Sequence[str]
) -> Iterable[Told]:
    """Refuse a passage into a box that is not behind the same panel.

    What it checks
        The box a passage leads into stands behind the same panel as the box it begins in, and is
        not that box itself.

    Why it matters
        Two boxes share a wall only where they stand side by side. Boxes of two panels, or of two
        sub-assemblies, come apart when the model is opened, and light would leak from the joint.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        passages:
                          slot:
                            into: bay box
                            from: [47 mm, 20 mm]
                            to: [47 mm, 30 mm]
                            low: 4 mm
                            high: 10 mm

    Mend
        Name a box of the same panel, or draw both boxes behind one panel.

    Source
        Limit of the model; common practice, no source.
    """
    known = f"beside it: {', '.join(beside)}" if beside else "there is none beside it"
    yield Told(
        where=where,
        message=f"into: '{into[:60]}' {place}; light passes only between boxes behind one panel; "
        f"{known}",
        remedy=_did_you_mean(into, beside, "draw both boxes behind one panel")
        + ", or take the passage out",
    )


@rule("PRJ052", Severity.STOP, "A finish for a face the box does not have", can_be_accepted=False)
def no_such_face(where: Where, *, box: LightBox, face: str, names: Sequence[str]) -> Iterable[Told]:
    """Refuse a finish for a face that is no face of the light box.

    What it checks
        The keys under ``faces`` are ``back``, ``panel``, ``walls``, or a wall by the number its
        piece has on the templates. A wall that is one strip or one printed body round a round
        inside has no numbers.

    Why it matters
        A finish of a wall that is not there would be neither painted nor counted.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {faces: {wall 9: matt black paint}}

    Mend
        Name one of the faces the finding lists; of a baffle, write ``finish`` at the baffle.

    Source
        Design rule of this project.
    """
    walls = [name for name in names if name not in (BACK, PANEL, WALLS)]
    what = (
        f"the inside has {len(walls)} walls, numbered anticlockwise as the templates call them"
        if walls
        else "its round wall is one piece, so single walls have no numbers"
    )
    listed = f"{', '.join(names[:3])}, {walls[0]} to {walls[-1]}" if walls else ", ".join(names)
    baffles = [one.name for one in box.baffles]
    remedy = (
        f"write finish: at baffle '{face.removeprefix('baffle ')}'"
        if face.removeprefix("baffle ") in baffles
        else _did_you_mean(face, names, "write walls" if not walls else f"write one of: {listed}")
    )
    yield Told(
        where=where,
        message=f"faces: box '{box.name}' has no face '{face[:60]}'; {what}; there are: {listed}",
        remedy=remedy,
    )


@rule("PRJ045", Severity.STOP, "A layer that is not there", can_be_accepted=False)
def no_such_layer(where: Where, *, given: int, layers: int, own: int) -> Iterable[Told]:
    """Refuse hole places from a layer the curve does not have.

    What it checks
        ``holes_from`` is the number of one of the curve's layers, the innermost being 1.

    Why it matters
        Hole places come from that layer's length around the curve.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  bend:
                    curve:
                      inner_radius: 50 mm
                      angle: 90 deg
                      layers: [styrene 0.5 mm, {sheet: styrene 0.5 mm, holes_from: 3}]
                    height: 40 mm

    Mend
        Leave ``holes_from`` out, so that each layer has its own hole places.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"holes_from: there is no layer {given}; the curve has {layers}",
        remedy=f"remove holes_from, or write {own}",
    )


@rule("PRJ046", Severity.WARN, "A sub-assembly stands outside the room")
def outside_room(
    where: Where, *, x_mm: float, y_mm: float, width_mm: float, depth_mm: float
) -> Iterable[Told]:
    """Warn of a datum corner off the floor plan.

    What it checks
        The datum corner of each sub-assembly lies on the floor plan or on its edge.

    Why it matters
        Most often it is a slip of a digit, or right and back are exchanged.

    Example
        ::

            room: {size: 300 x 200 x 150 mm}
            sub_assemblies:
              desk:
                stands: {at: [400 mm, 60 mm]}

    Mend
        Write a place within the room, or accept it for what is fixed to the outside.

    Source
        Design rule of this project.
    """
    inside = (min(max(x_mm, 0.0), width_mm), min(max(y_mm, 0.0), depth_mm))
    at, room, nearest_spot = (
        ", ".join(show(length, Quantity.LENGTH) for length in pair)
        for pair in ((x_mm, y_mm), (width_mm, depth_mm), inside)
    )
    yield Told(
        where=where,
        message=f"its corner at {at} lies outside the room of {room}",
        remedy=f"write at: [{nearest_spot}], or accept this",
    )


@rule("PRJ047", Severity.NOTE, "Named but never used")
def never_used(where: Where, *, kind: str, name: str) -> Iterable[Told]:
    """Note a look, a match or a group that nothing refers to.

    What it checks
        Every look is wanted at an opening; every match with limits is the word of one; every group
        has a strand or an LED.

    Why it matters
        It may be left over, or the place that should name it was forgotten. A group's source
        LED is bought and wired all the same.

    Example
        ::

            looks:
              forgotten: {luminance: 1 to 10 cd/m2}

    Mend
        Name it where it is wanted, or remove it.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"nothing uses the {kind} '{name}'",
        remedy=f"name it where it is wanted, or remove the {kind}",
    )


@rule("PRJ048", Severity.NOTE, "A part in the drawer that nothing can count")
def unknown_drawer_part(where: Where, *, part: str, names: Sequence[str]) -> Iterable[Told]:
    """Note a part at hand whose name the parts list will never match.

    What it checks
        Parts in the drawer go by a catalogue name, or are ``resistor`` or ``drill`` with a value.

    Why it matters
        Under any other name they are not taken off the shopping list.

    Example
        ::

            drawer:
              - {part: whit 0603, count: 20}

    Mend
        Write the name the finding shows; a part outside the catalogue may stay as it is.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"part: '{part[:60]}' is no name of the catalogue, so the parts list cannot "
        "count it",
        remedy=_did_you_mean(part, names, "keep it if it is none of the parts computed here"),
    )
