"""Rules about single values of the project file: unknown keys, missing ones, units and ranges."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.shelf import nearest
from lamphouse.findings import Severity, Told, Where, rule


@rule("PRJ020", Severity.STOP, "A key nobody knows", can_be_accepted=False)
def unknown_key(where: Where, *, key: str, known: Sequence[str]) -> Iterable[Told]:
    """Refuse a key that no field has.

    What it checks
        Every key is one of those that may stand in its place.

    Why it matters
        A mistyped key would be passed over without a word, and its value with it.

    Example
        ::

            circuit: {resistor: E24}

    Mend
        Write the key the finding names, or remove the line.

    Source
        Design rule of this project.
    """
    meant = nearest(key, known)
    yield Told(
        where=where,
        message=f"no key '{key[:60]}' stands here; these do: {', '.join(known)}",
        remedy=f"write {meant}" if meant else "remove it",
    )


@rule("PRJ021", Severity.STOP, "A key is missing", can_be_accepted=False)
def missing_key(where: Where, *, key: str, add: str) -> Iterable[Told]:
    """Ask for a value that has no default.

    What it checks
        Every key without a default is there.

    Why it matters
        The value decides what comes out, and guessing it would be worse than asking.

    Example
        ::

            sub_assemblies:
              desk:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated}

    Mend
        Add the key with its value.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{key} is missing", remedy=f"add {add}")


@rule("PRJ022", Severity.STOP, "A value that cannot be understood", can_be_accepted=False)
def not_understood(where: Where, *, key: str, problem: str, remedy: str) -> Iterable[Told]:
    """Refuse a value that is not one clear thing of its kind.

    What it checks
        Lengths, currents and other measures carry a unit of their kind; whole numbers are
        digits; choices are one of their words; dates are year-month-day.

    Why it matters
        A bare number can be mm or inches, mA or A: read wrongly, a part comes out 25 times too
        large or an LED burns.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12, max_current: 500 mA}

    Mend
        Write the value with its unit as the finding shows.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{key}: {problem}", remedy=remedy)


@rule("PRJ023", Severity.STOP, "A value out of its range", can_be_accepted=False)
def out_of_range(where: Where, *, key: str, problem: str, remedy: str) -> Iterable[Told]:
    """Refuse a value that no model can have.

    What it checks
        Every measure and count lies within the range of its field.

    Why it matters
        Far outside it a value is a slip of a unit or a digit, and every sum behind it would be
        wrong.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  lamp: {type: white 0603, at: [5 mm, 5 mm], current: 15 A}

    Mend
        Write a value within the range the finding names.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{key}: {problem}", remedy=remedy)


@rule("PRJ024", Severity.STOP, "Another kind of value is wanted", can_be_accepted=False)
def wrong_kind(where: Where, *, key: str, problem: str, remedy: str) -> Iterable[Told]:
    """Refuse a list where one value is wanted, and the like.

    What it checks
        Single values, lists and keys with values stand where each is wanted.

    Why it matters
        Nothing can be read from a value of another kind.

    Example
        ::

            stock: {sheet: styrene 1.0 mm, size: 300 x 200 mm}

    Mend
        Write it in the form the finding shows.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{key}: {problem}", remedy=remedy)


@rule("PRJ025", Severity.STOP, "A key without a value", can_be_accepted=False)
def no_value(where: Where, *, key: str, comment: str, remedy: str) -> Iterable[Told]:
    """Ask for a value, and say so when a sign has turned it into a comment.

    What it checks
        A key has a value; one that begins with ``#`` stands in quotes.

    Why it matters
        In YAML a ``#`` behind a blank begins a comment, so a number drill without quotes is not
        read at all.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    outline: rectangle 40 x 20 mm
                    sheet: styrene 1.0 mm
                    strands:
                      F1:
                        fibre: fibre 0.5 mm
                        at: [5 mm, 5 mm]
                        group: glow
                        hole: #75

    Mend
        Put quotes around the value, such as ``hole: "#75"``, or remove the key.

    Source
        YAML 1.2, section 6.6 (comments).
    """
    if comment:
        yield Told(
            where=where,
            message=f"{key}: there is no value, because # begins a comment: '{comment}' is not "
            "read",
            remedy=f'write {key}: "{comment}" in quotes, or {remedy}',
        )
    else:
        yield Told(where=where, message=f"{key}: there is no value", remedy=remedy)


@rule("PRJ026", Severity.STOP, "A comma ended a value", can_be_accepted=False)
def comma_in_braces(where: Where, *, key: str, parts: Sequence[str]) -> Iterable[Told]:
    """Point out that a comma between braces ends a value.

    What it checks
        No value between ``{ }`` was cut in two by a comma.

    Why it matters
        Between braces a comma begins the next key, so the rest of the value is not read.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  lamp: {type: white 0603, at: 8, 15 mm, current: 1 mA}

    Mend
        Put the parts in square brackets.

    Source
        YAML 1.2, section 7.4 (flow collections).
    """
    yield Told(
        where=where,
        message=f"{key}: inside {{ }} a comma ends the value, so '{', '.join(parts[1:])}' is not "
        "read",
        remedy=f"write {key}: [{', '.join(parts)}]",
    )


@rule("PRJ027", Severity.STOP, "A name that cannot be used", can_be_accepted=False)
def unfit_name(where: Where, *, key: str, problem: str, remedy: str) -> Iterable[Told]:
    """Refuse a name that could not be printed, or told from another in a finding.

    What it checks
        Names are at most 60 characters long, hold no slash, and have single blanks between
        their words.

    Why it matters
        Names stand on labels and drawings, and findings write the names of items in one another
        with a slash between them.

    Example
        ::

            looks:
              day/night: {luminance: 1 to 10 cd/m2}

    Mend
        Write the name the finding shows.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{key}: {problem}", remedy=remedy)


@rule("PRJ028", Severity.STOP, "Keys that do not go together", can_be_accepted=False)
def keys_apart(where: Where, *, key: str, problem: str, remedy: str) -> Iterable[Told]:
    """Look at keys that need one another, or exclude one another.

    What it checks
        A row has a step; a flat panel has an outline and a sheet, a bent one a curve and a
        height; an LED on a wall has a height; a pattern has the times it needs; a layer has
        films or coats.

    Why it matters
        One of the two keys alone says too little, and both together say two things.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  lamp: {type: white 0603, at: [5 mm, 5 mm], count: 3, current: 1 mA}

    Mend
        Add or remove the key the finding names.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{key}: {problem}", remedy=remedy)
