"""One value of the project tried over a range: what each would come to, before it is chosen."""

import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from lamphouse.findings import Severity
from lamphouse.project import write
from lamphouse.project.naming import item_and_key
from lamphouse.project.read import read_beside
from lamphouse.project.tree import Path, grow, plain
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, parse
from lamphouse.web.jobs import Tell

if TYPE_CHECKING:
    from lamphouse.plan.result import Plan

LEAST, MOST = 2, 25
"""Values tried in one range."""
SWEEPABLE: Mapping[str, tuple[Quantity, str]] = {
    "depth": (Quantity.LENGTH, "mm"),
    "current": (Quantity.CURRENT, "mA"),
    "voltage": (Quantity.VOLTAGE, "V"),
    "length": (Quantity.LENGTH, "mm"),
}
"""Keys whose value can be tried, each with its unit in the file."""
_FACTORS = {"mm": 1.0, "mA": 1e3, "V": 1.0}


class Tried(Record):
    """One value, and what it comes to."""

    value: str
    stops: int | None
    """None where the value is refused."""
    warns: int
    supply_mA: float | None
    glows: tuple[dict[str, Any], ...]
    """Openings that some value of the range changes."""
    refused: str = ""


class Swept(Record):
    """A range tried."""

    path: Path
    words: str
    lines: tuple[Tried, ...]
    kind: str = "sweep"

    @property
    def path_json(self) -> str:
        """The path as the page sends it back."""
        return json.dumps(list(self.path))


def sweepable(text: str | None) -> list[dict[str, str]]:
    """List the values of a project that can be tried over a range."""
    tree, _ = grow(text or "", file="")
    if tree is None:
        return []
    return [
        {"path": json.dumps(list(path)), "value": value, "words": _words(path)}
        for path, value in _values(plain(tree.root), ())
    ][:400]


def sweep(
    text: str,
    *,
    file: FilePath,
    path: Path,
    ends: tuple[str, str],
    steps: int,
    tell: Tell,
) -> Swept:
    """Try a value.

    Parameters
    ----------
    text
        The project as it is; it stays so.
    file
        Its file, for parts and pictures beside it.
    path
        The value.
    ends
        First and last value, with their units.
    steps
        How many values in all.
    tell
        Progress; whatever it raises stops the work.

    Raises
    ------
    ValueError
        If the ends are no values of this kind.
    LookupError
        If there is no such value.
    """
    from lamphouse.plan.kept import Kept

    kept = Kept()
    values = _between(str(path[-1]), ends=ends, steps=steps)
    found: list[tuple[str, Plan | None, str]] = []
    for done, value in enumerate(values):
        tell(done, len(values), value)
        found.append((value, *_planned(text, path, value, file=file, kept=kept)))
    tell(len(values), len(values), "done")
    return Swept(path=path, words=_words(path), lines=tuple(_lines(found)))


def _planned(
    text: str, path: Path, value: str, *, file: FilePath, kept: Any
) -> "tuple[Plan | None, str]":
    from lamphouse.plan import make

    reading = read_beside(write.set_value(text, path, value), file=file)
    if reading.design is None:
        stop = next(one for one in reading.findings if one.severity is Severity.STOP)
        return None, stop.message
    return make.plan(reading.design, found=reading.findings, places=reading.places, kept=kept), ""


def _lines(found: "Sequence[tuple[str, Plan | None, str]]") -> Iterator[Tried]:
    """Set the values side by side, with the openings that they change."""
    from lamphouse.outputs import answer

    answers = [
        answer.check(plan, findings=plan.findings)["result"] if plan else None
        for _, plan, _ in found
    ]
    seen: dict[tuple[str, str, str], set[float]] = {}
    for result in answers:
        for glow in result["glows"] if result else ():
            seen.setdefault(_opening(glow), set()).add(round(glow["mean_cd_m2"]["nominal"], 6))
    changed = {key for key, means in seen.items() if len(means) > 1}
    for (value, plan, refused), result in zip(found, answers, strict=True):
        if plan is None or result is None:
            yield Tried(value=value, stops=None, warns=0, supply_mA=None, glows=(), refused=refused)
            continue
        stands = [one.severity for one in plan.findings if one.stands]
        supply = result["supply_mA"]
        yield Tried(
            value=value,
            stops=stands.count(Severity.STOP),
            warns=stands.count(Severity.WARN),
            supply_mA=supply["nominal"] if supply else None,
            glows=tuple(glow for glow in result["glows"] if _opening(glow) in changed),
        )


def _opening(glow: Mapping[str, Any]) -> tuple[str, str, str]:
    return glow["sub_assembly"], glow["panel"], glow["opening"]


def _between(key: str, *, ends: tuple[str, str], steps: int) -> list[str]:
    """Give values in equal steps from one end to the other, as the file has them."""
    if key not in SWEEPABLE:
        unknown = f"'{key}' cannot be tried over a range"
        raise ValueError(unknown)
    quantity, unit = SWEEPABLE[key]
    try:
        first, last = (parse(end, quantity) for end in ends)
    except UnitError as fault:
        raise ValueError(str(fault)) from fault
    factor = _FACTORS[unit]
    step = (last - first) / (steps - 1)
    return [f"{round((first + number * step) * factor, 4):g} {unit}" for number in range(steps)]


def _values(at: Any, path: Path) -> Iterator[tuple[Path, str]]:
    if isinstance(at, dict):
        for key, inner in at.items():
            yield from _values(inner, (*path, key))
    elif isinstance(at, list):
        for number, inner in enumerate(at):
            yield from _values(inner, (*path, number))
    elif path and path[-1] in SWEEPABLE and isinstance(at, str) and _is_value(at, str(path[-1])):
        yield path, at


def _is_value(text: str, key: str) -> bool:
    try:
        parse(text, SWEEPABLE[key][0])
    except UnitError:
        return False
    return True


def _words(path: Path) -> str:
    return " / ".join(part for part in item_and_key(path) if part)
