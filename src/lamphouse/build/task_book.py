"""Tasks: steps with what they belong to, so that rules can find them by what is done.

Terminology
-----------
owner
    What a task belongs to: a panel, a light box, a sub-assembly, a controller, or the model.
verb
    What is done, such as ``drill``; the last word of a step's id. Verbs that come several times at
    one owner have a number or a letter after them: ``coat 2``.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import chain, count
from typing import Any

from lamphouse.build.step_times import whole
from lamphouse.build.steps import Step, StepKind
from lamphouse.record import Record


class Level(StrEnum):
    """What kind of thing a task belongs to."""

    PANEL = "panel"
    BOX = "box"
    SUB = "sub-assembly"
    CONTROLLER = "controller"
    MODEL = "model"
    OWN = "own"


class Owner(Record):
    """What a task belongs to."""

    level: Level
    sub_assembly: str = ""
    name: str = ""
    """Of the panel, box or controller."""
    panel: str = ""
    """The panel a box stands behind."""

    @property
    def in_words(self) -> str:
        """Say what it is: ``the window box of the bay``."""
        if self.level is Level.SUB:
            return f"the {self.sub_assembly}"
        if self.level is Level.CONTROLLER:
            return f"the controller {self.name}"
        if self.level is Level.MODEL:
            return "the model"
        if self.name == self.sub_assembly:
            return f"the {self.name}"
        return f"the {self.name} of the {self.sub_assembly}"

    def places(self) -> Iterator[str]:
        """Give the beginnings of ids, the shortest first."""
        if self.level is Level.SUB:
            yield self.sub_assembly
        elif self.level is Level.CONTROLLER:
            yield f"controller {self.name}"
        elif self.level in (Level.MODEL, Level.OWN):
            yield str(self.level)
        else:
            yield f"{self.sub_assembly}/{self.name}"
            if self.panel:
                yield f"{self.sub_assembly}/{self.panel}/{self.name}"


MODEL = Owner(level=Level.MODEL)
OWN = Owner(level=Level.OWN)


@dataclass(slots=True)
class TaskBook:
    """Every task of a model while they are written down."""

    steps: dict[str, Step] = field(default_factory=dict)
    """By id, in the order in which they were added."""
    _by_owner: dict[Owner, list[tuple[str, str]]] = field(default_factory=lambda: defaultdict(list))
    """Verbs with a blank after them, and ids."""

    def add(
        self,
        owner: Owner,
        *,
        verb: str,
        kind: StepKind,
        title: str,
        items: Sequence[str],
        minutes: float,
        parts: Sequence[str] = (),
        **more: Any,
    ) -> str:
        """Write a task down and give its id."""
        name = self._free(owner, verb)
        self.steps[name] = Step(
            id=name,
            kind=kind,
            title=title,
            sub_assembly=owner.sub_assembly,
            items=tuple(dict.fromkeys(items)),
            minutes=whole(minutes),
            parts=tuple(dict.fromkeys(parts)),
            **more,
        )
        self._by_owner[owner].append((f"{verb} ", name))
        return name

    def _free(self, owner: Owner, verb: str) -> str:
        wanted = [f"{place}/{verb}" for place in owner.places()]
        numbered = (f"{wanted[-1]} ({number})" for number in count(2))
        return next(name for name in chain(wanted, numbered) if name not in self.steps)

    def owners(self, level: Level) -> tuple[Owner, ...]:
        """List the owners of a level that have tasks, in their order."""
        return tuple(owner for owner in self._by_owner if owner.level is level)

    def of(self, owner: Owner, *verbs: str) -> tuple[str, ...]:
        """List an owner's tasks of some verbs, numbered ones too, in the order they were added."""
        wanted = tuple(f"{verb} " for verb in verbs)
        return tuple(
            name for done, name in self._by_owner.get(owner, ()) if done.startswith(wanted)
        )

    def within(self, sub_assembly: str, *verbs: str, level: Level) -> tuple[str, ...]:
        """List tasks of some verbs at every owner of a level in a sub-assembly."""
        return tuple(
            name
            for owner in self.owners(level)
            if owner.sub_assembly == sub_assembly
            for name in self.of(owner, *verbs)
        )
