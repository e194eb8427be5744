"""Rules about the project file as text: its size, its signs, its YAML, its version.

Each takes the place and what was found there, and says what is wrong.
"""

from collections.abc import Iterable

from lamphouse.findings import Severity, Told, Where, rule


@rule("PRJ001", Severity.STOP, "The file is too large", can_be_accepted=False)
def too_large(where: Where, *, size: int, most: int) -> Iterable[Told]:
    """Refuse a file larger than a project can be, before reading it.

    What it checks
        The file on disk is at most 4 MiB.

    Why it matters
        A thousand LEDs fill about 0.1 MiB. A file far above that is something else, such as a
        photograph, and reading it would only keep the maker waiting.

    Example
        ::

            # the first line of a file of 5 MiB
            name: Saltmarsh Pilot Station

    Mend
        Name the project file itself.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"the file holds {size / 2**20:.1f} MiB; a project file holds at most "
        f"{most / 2**20:.0f} MiB, so this is something else",
        remedy="name the project's own .yaml file",
    )


@rule("PRJ002", Severity.STOP, "The file is not UTF-8 text", can_be_accepted=False)
def not_utf8(where: Where, *, looks_like: str) -> Iterable[Told]:
    """Refuse bytes that are not UTF-8, and say which encoding they look like.

    What it checks
        The bytes of the file are UTF-8 text.

    Why it matters
        In another encoding the degree sign, the ohm sign and letters with accents would be read
        as different signs, and names would no longer match.

    Example
        ::

            # saved by an editor as UTF-16
            name: Saltmarsh Pilot Station

    Mend
        Save the file again with the encoding UTF-8.

    Source
        YAML 1.2, section 5.2 (character encodings); RFC 3629 (UTF-8).
    """
    yield Told(
        where=where,
        message=f"the file is not UTF-8 text: it looks like {looks_like}",
        remedy="save it in your editor with the encoding UTF-8",
    )


@rule("PRJ003", Severity.STOP, "A sign that cannot be seen", can_be_accepted=False)
def unseen_sign(where: Where, *, sign: str, more: int) -> Iterable[Told]:
    r"""Refuse control characters and marks that reorder text.

    What it checks
        No text holds a control character or a mark that changes the direction of writing,
        neither typed nor written as an escape such as ``"\u202e"``.

    Why it matters
        What one sees would not be what is read: a hidden mark can make two names look the same,
        or show a value backwards.

    Example
        ::

            name: "Saltmarsh \u202enoitatS"

    Mend
        Delete the sign and type the text again.

    Source
        YAML 1.2, section 5.1 (character set); Unicode TR 36, section 3 (bidirectional spoofing).
    """
    others = f" and {more} more" if more else ""
    yield Told(
        where=where,
        message=f"the sign U+{ord(sign):04X}{others} cannot be seen and is not text",
        remedy="delete it and type the text again",
    )


@rule("PRJ004", Severity.STOP, "The text is not sound YAML", can_be_accepted=False)
def not_yaml(where: Where, *, problem: str, remedy: str) -> Iterable[Told]:
    """Point at each place where the YAML cannot be read.

    What it checks
        The text can be read as YAML: quotes and brackets are closed, indentation is made of
        spaces and fits, no value holds a bare ``: ``.

    Why it matters
        From such a place on nobody can say what was meant. Reading goes on at the next key that
        stands as far left, so that more than one fault is told at once.

    Example
        ::

            name: "Saltmarsh
            scale: 1:24

    Mend
        Close the quote or bracket, or put quotes around a text with special signs.

    Source
        YAML 1.2.
    """
    yield Told(where=where, message=problem, remedy=remedy)


@rule("PRJ005", Severity.STOP, "A key stands twice", can_be_accepted=False)
def key_twice(where: Where, *, key: str, first_line: int) -> Iterable[Told]:
    """Refuse a second value for a key.

    What it checks
        No key stands twice in one place.

    Why it matters
        Only one of the two can hold, and a reader of the file cannot tell which.

    Example
        ::

            scale: 1:24
            scale: 1:48

    Mend
        Remove one of the two, or give the second item a name of its own.

    Source
        YAML 1.2, section 3.2.1.1 (mapping keys are unique).
    """
    yield Told(
        where=where,
        message=f"'{key}' stands here a second time; the first is in line {first_line}",
        remedy="remove one of the two, or rename it",
    )


@rule("PRJ006", Severity.STOP, "Anchors, aliases and tags are not used", can_be_accepted=False)
def yaml_reference(where: Where, *, written: str) -> Iterable[Told]:
    """Refuse the parts of YAML that make one value stand for another.

    What it checks
        The file holds no anchor (``&name``), no alias (``*name``) and no tag (``!name``).

    Why it matters
        A value that stands in two places cannot be changed in one of them, and a few aliases of
        aliases can grow into a file that fills the memory.

    Example
        ::

            name: &same Saltmarsh
            revision: *same

    Mend
        Write the value out where it is used; for rows of equal things use ``count`` and
        ``step``. Put quotes around a text that begins with one of these signs.

    Source
        Design rule of this project.
    """
    sign = written[0]
    kind = {"&": "anchor", "*": "alias"}.get(sign, "tag")
    yield Told(
        where=where,
        message=f"'{written}' is a YAML {kind}, which a project file does not use",
        remedy="write the value out; for equal things in a row use count and step; "
        f"for a text that begins with {sign} use quotes",
    )


@rule("PRJ007", Severity.STOP, "The file holds more than it may", can_be_accepted=False)
def beyond_limit(where: Where, *, what: str, most: int, why: str) -> Iterable[Told]:
    """Stop at a file that is larger inside than any model.

    What it checks
        Lists lie at most 40 deep in one another; the file holds at most 100 000 keys and values,
        no text above 10 000 characters, and at most 10 000 LEDs, strands and openings, counting
        every one of a row; at most 5 000 evenings, and 500 own steps, orders and names in them.

    Why it matters
        Far beyond what a model holds, a file is a slip or was made to exhaust the machine.

    Example
        ::

            seed: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]

    Mend
        Remove what does not belong there, or make several projects of one.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"{what}; at most {most:,} {why}".replace(",", " "),
        remedy="remove what does not belong here, or make several projects of it",
    )


@rule("PRJ008", Severity.STOP, "The file is not one set of keys", can_be_accepted=False)
def not_one_set(where: Where, *, problem: str, remedy: str) -> Iterable[Told]:
    """Refuse an empty file, several documents in one, and keys that are no text.

    What it checks
        The file holds one YAML document whose outermost lines are ``key: value``, and every key
        is a text.

    Why it matters
        Without keys nothing can be found in it.

    Example
        ::

            - name: Saltmarsh Pilot Station

    Mend
        Begin the file with the lines that ``lamphouse new`` writes.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=problem, remedy=remedy)


@rule("PRJ009", Severity.STOP, "The version of the layout is unknown", can_be_accepted=False)
def unknown_version(where: Where, *, given: str, newest: int) -> Iterable[Told]:
    """Refuse a file whose layout this program does not know.

    What it checks
        The key ``lamphouse`` holds the number of a layout this program can read.

    Why it matters
        A newer layout may mean something else by the same key; guessing would give wrong sums.

    Example
        ::

            lamphouse: 99

    Mend
        Use a newer lamphouse, or write the number of the layout the file has.

    Source
        Design rule of this project.
    """
    newer = given.isdigit() and given.isascii()
    known = f"the layouts 0 to {newest} are known"
    yield Told(
        where=where,
        message=f"layout {given} is newer than this program: {known}"
        if newer
        else f"'{given}' is no number of a layout: {known}",
        remedy="install a newer lamphouse to read this file"
        if newer
        else f"write lamphouse: {newest}",
    )


@rule("PRJ010", Severity.NOTE, "The file has an older layout")
def older_layout(where: Where, *, given: int, newest: int) -> Iterable[Told]:
    """Tell that a file was read through an upgrade.

    What it checks
        The key ``lamphouse`` holds the newest number.

    Why it matters
        The file was upgraded in memory before reading: a line named in a finding can lie a
        line off.

    Example
        ::

            lamphouse: 0

    Mend
        Run ``lamphouse upgrade``, which writes the new layout with comments kept.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"the file has layout {given}; it was read as layout {newest}, so a line named "
        "here may lie a line off",
        remedy="run lamphouse upgrade",
    )
