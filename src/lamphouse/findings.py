"""Findings: what the maker should know, each with a code, a place, a reason and a mend.

Terminology
-----------
finding
    One thing the maker should know. It is data, never an exception.
rule
    A function that looks at records and tells faults. Its docstring becomes the page of its code.
told
    What a rule yields: place, message, remedy. The rule's code and severity are added for it.
accepted
    A finding that the maker has read and overruled, with a reason kept in the project.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import StrEnum
from functools import wraps
from typing import ParamSpec

from lamphouse.record import Record, replace

P = ParamSpec("P")


class Severity(StrEnum):
    """How much a finding matters."""

    STOP = "stop"
    """Building on would waste work or hurt someone."""
    WARN = "warn"
    """Likely to disappoint; worth a decision."""
    NOTE = "note"
    """Good to know."""


class Where(Record, eq=False):
    """The item a finding is about and its place in the maker's file.

    Two places with the same item are equal whatever their line, so that a record keeps its
    identity when a comment above it grows. :func:`settle` puts today's line back.
    """

    item: str
    """The item in the maker's words, from the outside in: ``bay / panel glazing / string S2``."""
    file: str = ""
    """The file as the maker named it; empty when no file is involved."""
    line: int = 0
    """Line, counted from 1; 0 when there is none."""
    column: int = 0
    """Column, counted from 1; 0 when there is none."""

    def __eq__(self, other: object) -> bool:
        """Compare the items alone."""
        return self.item == other.item if isinstance(other, Where) else NotImplemented

    def __hash__(self) -> int:
        """Hash the item alone."""
        return hash(self.item)

    def __str__(self) -> str:
        """Give ``file:line:column: item``, leaving out what is unknown."""
        spot = ":".join(str(part) for part in (self.file, self.line, self.column) if part)
        return f"{spot}: {self.item}" if spot else self.item


class MendEdit(Record):
    """One value of the maker's file that a mend sets."""

    key: str
    """Below the item; ``from 0`` parts keys and numbers by blanks, ``faces 'wall 2'`` holds a key
    with a blank. Empty for the item itself."""
    value: str | None
    """As the maker would write it; None takes the key out."""
    item: str = ""
    """The item it belongs to; empty for the one the finding is about."""


def sets(key: str, value: str | None, *, item: str = "") -> tuple[MendEdit, ...]:
    """Give a mend that sets one value; several are added up."""
    return (MendEdit(key=key, value=value, item=item),)


class Finding(Record):
    """One thing the maker should know."""

    code: str
    """Three letters and three digits, such as ``CIR003``; each has a page in the reference."""
    severity: Severity
    where: Where
    message: str
    """What was given, what is allowed, and why it matters."""
    remedy: str
    """What to change, with the value that would do."""
    accepted: str = ""
    """The maker's reason for overruling the finding; empty when it stands."""
    mend: tuple[MendEdit, ...] = ()
    """The remedy as values of the file; empty where it is none, or not one alone."""

    @property
    def stands(self) -> bool:
        """Whether nobody has overruled it."""
        return not self.accepted

    def __str__(self) -> str:
        """Give the one-line form: ``file:line:column: item: message; remedy [CODE]``."""
        return f"{self.where}: {self.message}; {self.remedy} [{self.code}]"


class Told(Record):
    """What a rule yields for one fault."""

    where: Where
    message: str
    remedy: str
    mend: tuple[MendEdit, ...] = ()
    """The remedy as values of the file, where it is one."""


class Rule(Record):
    """The card of one code: its severity, its title, and the text its page is made from."""

    code: str
    severity: Severity
    title: str
    page: str
    """The rule's docstring: what it checks, why it matters, an example, the mend, the source."""
    can_be_accepted: bool
    """False where overruling could hurt someone or make the files unreadable."""


RULES: dict[str, Rule] = {}
"""Every rule by code. Filled while modules load and never after."""


def rule(
    code: str, severity: Severity, title: str, *, can_be_accepted: bool = True
) -> Callable[[Callable[P, Iterable[Told]]], Callable[P, tuple[Finding, ...]]]:
    """Turn a function that yields :class:`Told` into a rule that returns findings.

    Parameters
    ----------
    code
        Three letters and three digits, unique in the package.
    severity
        How much its findings matter.
    title
        One line for lists and page headings.
    can_be_accepted
        Whether the maker may overrule it.

    Raises
    ------
    ValueError
        If the code is already taken.
    """

    def stamp(function: Callable[P, Iterable[Told]]) -> Callable[P, tuple[Finding, ...]]:
        if code in RULES:
            taken = f"two rules share the code {code}"
            raise ValueError(taken)
        RULES[code] = Rule(
            code=code,
            severity=severity,
            title=title,
            page=function.__doc__ or "",
            can_be_accepted=can_be_accepted,
        )

        @wraps(function)
        def look(*args: P.args, **kwargs: P.kwargs) -> tuple[Finding, ...]:
            return tuple(
                Finding(
                    code=code,
                    severity=severity,
                    where=told.where,
                    message=told.message,
                    remedy=told.remedy,
                    mend=told.mend,
                )
                for told in function(*args, **kwargs)
            )

        return look

    return stamp


class Acceptance(Record):
    """A finding the maker overrules, with the reason."""

    code: str
    item: str
    """The item as the finding names it."""
    reason: str
    where: Where


@rule("ACC001", Severity.WARN, "An acceptance matches no finding")
def unmatched_acceptance(acceptances: Iterable[Acceptance]) -> Iterable[Told]:
    """Find acceptances that overrule nothing.

    What it checks
        Each entry under ``accepted`` overrules a finding that is there.

    Why it matters
        An acceptance left behind would silently overrule the same fault if it came back.

    Example
        ::

            accepted:
              - {code: CUT001, item: nowhere, reason: seen on the bench}

    Mend
        Remove the entry, or copy code and item from the finding as ``check`` prints them.

    Source
        Design rule of this project.
    """
    for entry in acceptances:
        yield Told(
            where=entry.where,
            message=f"no finding {entry.code} at '{entry.item}' to accept",
            remedy="remove the entry, or copy code and item from what check prints",
        )


@rule("ACC002", Severity.STOP, "This finding cannot be accepted", can_be_accepted=False)
def refused_acceptance(acceptances: Iterable[Acceptance]) -> Iterable[Told]:
    """Refuse to overrule what guards against harm.

    What it checks
        No acceptance names a finding that guards against harm.

    Why it matters
        Some limits (a touchable voltage, for one) are not a matter of taste.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 36 V, max_current: 1 A}
            accepted:
              - {code: CIR001, item: supply, reason: it works}

    Mend
        Remove the entry and mend the finding.

    Source
        Design rule of this project.
    """
    for entry in acceptances:
        yield Told(
            where=entry.where,
            message=f"{entry.code} guards against harm and cannot be accepted",
            remedy="remove the entry and mend the finding itself",
        )


def settle(
    found: Iterable[Finding],
    *,
    read: Iterable[Finding] = (),
    acceptances: Sequence[Acceptance] = (),
    places: Mapping[str, Where] | None = None,
) -> tuple[Finding, ...]:
    """Mark what the maker accepted, and add a finding for every acceptance that does not fit.

    Parameters
    ----------
    found
        Findings of every discipline, in any order.
    read
        Findings of this very reading of the file; each keeps its line, which is that of one key.
    acceptances
        What the maker overruled.
    places
        Where each item stands in the file as it is now, by item; a finding kept from an earlier
        run takes its line from here.

    Returns
    -------
    tuple of Finding
        In the order of the maker's file, then by code.
    """
    today = places or {}
    used: set[int] = set()
    refused: list[Acceptance] = []
    settled: list[Finding] = []
    located = [replace(each, where=today.get(each.where.item, each.where)) for each in found]
    for finding in (*read, *located):
        reason = ""
        for index, entry in enumerate(acceptances):
            if entry.code == finding.code and entry.item == finding.where.item:
                used.add(index)
                if RULES[finding.code].can_be_accepted:
                    reason = entry.reason
                elif entry not in refused:
                    refused.append(entry)
        settled.append(replace(finding, accepted=reason))
    unmatched = [entry for index, entry in enumerate(acceptances) if index not in used]
    settled.extend(unmatched_acceptance(unmatched))
    settled.extend(refused_acceptance(refused))
    return tuple(
        sorted(settled, key=lambda f: (f.where.file, f.where.line, f.where.column, f.code))
    )
