"""The keys by which a browser is known: the owner's, and those of paired phones."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from hmac import compare_digest

from lamphouse.record import Record

COOKIE = "lamphouse"
PAIRING_S = 300.0
"""A pairing code that nobody uses in this time is worth nothing."""
MOST_PHONES = 8


class Role(StrEnum):
    """What a browser may do."""

    OWNER = "owner"
    """Everything."""
    BENCH = "bench"
    """The bench view of one project."""


class Holder(Record):
    """Whoever holds a key."""

    role: Role
    project: str = ""
    """The one project of a phone."""
    device: str = ""
    """What the phone is called in the log."""


@dataclass(slots=True, kw_only=True)
class _Code:
    project: str
    ends_s: float


@dataclass(slots=True)
class KeyRing:
    """Keys given out; they live as long as the program runs."""

    clock: Callable[[], float]
    """Seconds that only grow."""
    entry: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    """Stands in the address that the program prints; the owner's browser shows it once."""
    _holders: dict[str, Holder] = field(default_factory=dict)
    _codes: dict[str, _Code] = field(default_factory=dict)

    def enter(self, entry: str) -> str | None:
        """Give the owner's browser its key; None for a wrong entry."""
        if not compare_digest(entry.encode(), self.entry.encode()):
            return None
        return self._give(Holder(role=Role.OWNER))

    def pairing_code(self, *, project: str) -> str:
        """Make a code that one phone may use once, soon."""
        now = self.clock()
        self._codes = {code: one for code, one in self._codes.items() if one.ends_s > now}
        code = secrets.token_urlsafe(18)
        self._codes[code] = _Code(project=project, ends_s=now + PAIRING_S)
        return code

    def pair(self, code: str) -> tuple[str, Holder] | None:
        """Give a phone its key for a code, which is then used up."""
        found = self._codes.pop(code, None)
        phones = [one for one in self._holders.values() if one.role is Role.BENCH]
        if found is None or found.ends_s < self.clock() or len(phones) >= MOST_PHONES:
            return None
        holder = Holder(role=Role.BENCH, project=found.project, device=f"phone {len(phones) + 1}")
        return self._give(holder), holder

    def holder(self, key: str) -> Holder | None:
        """Tell who holds a key."""
        return self._holders.get(key)

    def forget_phones(self, *, project: str) -> int:
        """Take the keys of a project's phones back, and tell how many there were."""
        gone = [key for key, one in self._holders.items() if one.project == project]
        for key in gone:
            del self._holders[key]
        return len(gone)

    def _give(self, holder: Holder) -> str:
        key = secrets.token_urlsafe(32)
        self._holders[key] = holder
        return key
