"""A bench log as plain text: one line for an entry, tabs between its fields."""

from collections.abc import Sequence

from lamphouse.build.log_entries import LogEntry

_ESCAPED = {"\\": "\\\\", "\t": "\\t", "\n": "\\n", "\r": "\\r"}


def as_text(entries: Sequence[LogEntry]) -> str:
    r"""Write a log as text that a spreadsheet opens and a person reads.

    Parameters
    ----------
    entries
        In their order.

    Returns
    -------
    str
        A line of headings, then one line for each entry, with a tab between fields. Within a field
        a tab is written ``\t``, a line end ``\n`` or ``\r``, and a backslash twice.
    """
    names = LogEntry.__struct_fields__
    lines = ["\t".join(names)]
    lines += ["\t".join(_plain(str(getattr(entry, name))) for name in names) for entry in entries]
    return "".join(f"{line}\n" for line in lines)


def _plain(told: str) -> str:
    return "".join(_ESCAPED.get(sign, sign) for sign in told)
