"""The rules of line drawings: they close, they are lines, and they are told from parts.

A caller measures and words the fault; the rule stamps it with its code and keeps its page.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, rule


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
