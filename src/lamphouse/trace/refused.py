"""The one error of this room: why a picture cannot be traced, and what would help."""

from collections.abc import Callable, Iterable

from lamphouse.findings import Finding, Told, Where
from lamphouse.record import replace

Rule = Callable[[Iterable[Told]], tuple[Finding, ...]]
"""A rule of this room: it stamps what it is told with its code."""

PICTURE = Where(item="picture")


def finding(rule: Rule, what: str, *, remedy: str) -> Finding:
    """Make a finding about the picture.

    Parameters
    ----------
    rule
        Whose code it carries.
    what
        What is wrong, with the figures.
    remedy
        What to do about it.
    """
    (made,) = rule((Told(where=PICTURE, message=what, remedy=remedy),))
    return made


def of_file(one: Finding, name: str) -> Finding:
    """Say which picture a finding is about."""
    return replace(one, where=replace(one.where, file=name))


class TraceError(ValueError):
    """A picture that cannot be traced honestly.

    Attributes
    ----------
    finding : Finding
        Code, what is wrong with the picture, with the figures, and what to do about it.
    """

    def __init__(self, rule: Rule, what: str, *, remedy: str) -> None:
        super().__init__(f"{what}; {remedy}")
        self.finding = finding(rule, what, remedy=remedy)
