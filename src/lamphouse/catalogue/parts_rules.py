"""The rules of parts tables: what a file of own parts may hold, and what is told when it may not.

Terminology
-----------
parts file
    A comma-separated table in the project's ``parts`` folder, named after a built-in table.
refusal
    One thing in a parts file that was not taken over.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, Where, rule
from lamphouse.record import Record


class Refusal(Record):
    """One thing in a parts file that was not taken over."""

    where: Where
    what: str
    """The column or the part of the file it is about."""
    problem: str
    remedy: str


def _tell(refusals: Iterable[Refusal]) -> Iterable[Told]:
    for refusal in refusals:
        message = f"{refusal.what}: {refusal.problem}"
        yield Told(where=refusal.where, message=message, remedy=refusal.remedy)


@rule("CAT001", Severity.STOP, "A parts file cannot be read", can_be_accepted=False)
def unreadable_file(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse a file that is no comma-separated table of a sane size.

    What it checks
        A parts file is comma-separated text with a first line of column names, at most 1 000 000
        characters and 5 000 rows long, and every opened quote is closed.

    Why it matters
        Nothing in it can be used, and the built-in values would silently stand in its place.

    Example
        ::

            parts/finishes.csv: |
              name,reflectance,shine,source,kind,date
              "my paint,80 %,matt,own sample,measured,2026-11-25

    Mend
        Close the quotes, or save the table again as comma-separated text.

    Source
        Design rule of this project.
    """
    return _tell(refusals)


@rule("CAT002", Severity.STOP, "A parts file has the wrong columns", can_be_accepted=False)
def wrong_columns(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse a table whose columns are not those of the built-in table of the same name.

    What it checks
        Every column of the table is there once, and no other.

    Why it matters
        A column that is not understood holds something the maker wants used; a missing one leaves
        a value that would have to be guessed.

    Example
        ::

            parts/finishes.csv: |
              name,reflection,shine,source,kind,date
              my paint,80 %,matt,own sample,measured,2026-11-25

    Mend
        Name the columns as the message lists them.

    Source
        Design rule of this project.
    """
    return _tell(refusals)


@rule("CAT003", Severity.STOP, "A cell of a parts file cannot be read", can_be_accepted=False)
def unreadable_cell(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse a cell that is empty, has no unit, or has the wrong one.

    What it checks
        Every cell holds one clear value, with its unit wherever there is one.

    Why it matters
        ``0.75`` may be mm or inches. A guess would be cut into plastic.

    Example
        ::

            parts/sheet_stock.csv: |
              name,material,thickness,size,source,kind,date
              shed sheet,styrene,0.75,300 x 200 mm,calliper,measured,2026-11-25

    Mend
        Write the unit behind the number, as the message shows.

    Source
        Design rule of this project.
    """
    return _tell(refusals)


@rule("CAT004", Severity.STOP, "A part does not say where its numbers come from")
def unsourced_row(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse a row without source, kind and date.

    What it checks
        Every row says where its numbers come from (``source``), how good they are (``kind``:
        standard, handbook, datasheet, measured or typical) and the day they were put down.

    Why it matters
        A number nobody can trace is a guess that looks like a fact; the next batch of the same
        LED may differ by a factor of two.

    Example
        ::

            parts/finishes.csv: |
              name,reflectance,shine,source,kind,date
              my paint,80 %,matt,,measured,2026-11-25

    Mend
        Fill the three cells, such as ``own bench,measured,2026-11-25``.

    Source
        Design rule of this project.
    """
    return _tell(refusals)


@rule("CAT005", Severity.STOP, "Two parts share a name", can_be_accepted=False)
def shared_name(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse a name that stands twice, or differs from another by capitals alone.

    What it checks
        No two rows of a file have one name, and no name differs from a built-in one by its
        capitals alone. Exactly the name of a built-in row overrides that row.

    Why it matters
        ``White 0603`` beside ``white 0603`` would leave open which one a project means.

    Example
        ::

            parts/finishes.csv: |
              name,reflectance,shine,source,kind,date
              Matt White Paint,84 %,matt,own sample,measured,2026-11-25

    Mend
        Rename one of them, or write the built-in name exactly to override it.

    Source
        Design rule of this project.
    """
    return _tell(refusals)


@rule("CAT006", Severity.STOP, "A part has numbers that no real part has", can_be_accepted=False)
def impossible_part(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse numbers that contradict each other or nature.

    What it checks
        Thicknesses are above zero; what a film passes and reflects is together at most all of the
        light; an LED's forward voltage rises with its current and falls with temperature, and
        gives at most 683 lm from each watt; a chip has the size of its code; wire is not thicker
        than its insulation and not better than pure copper; a resistor's power falls to nothing
        at a higher temperature than where it begins to fall.

    Why it matters
        Such a row is a slip of the pen, and everything computed from it would be wrong.

    Example
        ::

            parts/film_types.csv: |
              name,use,thickness,transmittance,reflectance,source,kind,date
              my opal,diffuser,0.2 mm,60 %,50 %,own sample,measured,2026-11-25

    Mend
        Measure or read the value again.

    Source
        Conservation of energy; 683 lm/W is the definition of the lumen [SI-LUMEN]; copper [IACS];
        chip sizes [IEC60115-8].
    """
    return _tell(refusals)


@rule("CAT007", Severity.NOTE, "An own part overrides a built-in one")
def overridden_part(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Tell which built-in row an own row stands in for.

    What it checks
        Whether a row of the project's parts files has the name of a built-in row.

    Why it matters
        The plan then rests on the maker's numbers, which is wanted; someone else who reads the
        project should see it.

    Example
        ::

            parts/finishes.csv: |
              name,reflectance,shine,source,kind,date
              matt white paint,84 %,matt,own sample,measured,2026-11-25

    Mend
        Nothing to do; rename the row if both are wanted.

    Source
        Design rule of this project.
    """
    return _tell(refusals)


@rule("CAT008", Severity.STOP, "A parts file is named after no table")
def unknown_table(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse a file in the parts folder whose name is not that of a table.

    What it checks
        Every file in the ``parts`` folder has the name of a built-in table.

    Why it matters
        Its rows would not be used, and the built-in values would silently stand in their place.

    Example
        ::

            parts/finish.csv: |
              name,reflectance,shine,source,kind,date
              my paint,80 %,matt,own sample,measured,2026-11-25

    Mend
        Rename the file as the message says, or move it out of the folder.

    Source
        Design rule of this project.
    """
    return _tell(refusals)


@rule("CAT009", Severity.WARN, "Readings that the LED's type would not give")
def stray_readings(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Warn of an own forward curve farther from the built-in one than the type's spread.

    What it checks
        Where an own LED stands in for a built-in one, every point of its forward curve that lies
        between the built-in points, along the logarithm of the current, is within the built-in
        type's spread.

    Why it matters
        A meter across the resistor too, a swapped digit or an LED from another bag reads like this,
        and every resistor of the project would be chosen for it.

    Example
        ::

            parts/led_types.csv: |
              name,package,size,colour,peak,white point,forward curve,spread,drift,max current,flux,beam,source,kind,date
              white 0603,0603,1.6 x 0.8 x 0.6 mm,white,,6500 K,2.15 V at 1 mA; 2.29 V at 5 mA,0.05 V,-3 mV/K,20 mA,1.2 lm at 5 mA,120 deg,my meter,measured,2026-11-25

    Mend
        Measure again with the meter across the LED alone. If the readings are right, it is another
        LED than the row says: give it a name of its own.

    Source
        The spread of the built-in row, with that row's source.
    """  # noqa: E501  a row of a table cannot be broken
    return _tell(refusals)


@rule("CAT010", Severity.STOP, "A measured spectrum cannot be used", can_be_accepted=False)
def unusable_spectrum(refusals: Iterable[Refusal]) -> Iterable[Told]:
    """Refuse readings that make no spectrum.

    What it checks
        A file ``spectrum NAME.csv`` in the parts folder belongs to a film, finish or LED of that
        name. Its wavelengths rise in nm from 400 or less to 700 or more without a gap wider than
        20 nm; its shares lie between 0 and 1, or between 0 and 100 with ``%`` in the first line or
        in each cell; none is negative by more than a meter's noise of 1 %.

    Why it matters
        A per cent read as a share, or a gap drawn over, gives every opening behind that film a
        wrong colour that nobody would see before it is glued.

    Example
        ::

            parts/spectrum amber gel.csv: |
              wavelength,transmittance
              400,2
              500,5
              600,80
              700,88

    Mend
        As the message says: name the unit in the first line, sort, or measure in finer steps.

    Source
        The range is that of [CIE-15]; the widest gap and the noise are design rules of this
        project.
    """
    return _tell(refusals)
