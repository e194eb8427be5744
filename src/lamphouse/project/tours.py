"""Tours of the demos: the mistakes planted in one, where each is seen, and which are mended."""

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files

from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.project.starter import DEMOS
from lamphouse.record import Record, field


class TourStop(Record):
    """One planted mistake."""

    code: str
    """Of the findings that tell it."""
    item: str
    """What they are about, or what that is part of."""
    title: str
    words: str
    """Why it matters, and what to look at."""
    view: str
    """View of the page in which it is seen."""
    place: Mapping[str, str] = field(default_factory=dict)
    """Where in that view: sub-assembly, panel."""

    def stands(self, findings: Sequence[Finding]) -> bool:
        """Tell whether it is still found, and not accepted with a reason."""
        return any(
            one.code == self.code
            and one.stands
            and f"{one.where.item} / ".startswith(f"{self.item} / ")
            for one in findings
        )


class Tour(Record):
    """The planted mistakes of a demo's first version, in the order in which one meets them."""

    name: str
    revision: str
    about: str
    """The model in a sentence."""
    stops: tuple[TourStop, ...]


def tour_of(design: Design) -> Tour | None:
    """Give the tour of a demo's first version; None for every other model.

    It is told by its name and its revision letter, so that a copy of it leads in any folder, and
    stops leading when the maker gives it a revision of its own.
    """
    of_models = {(tour.name, tour.revision): tour for tour in tours().values()}
    return of_models.get((design.name, design.revision))


@cache
def tours() -> Mapping[str, Tour]:
    """Give the tour of every demo, by the demo's name."""
    return {demo: _tour(demo) for demo in DEMOS}


def _tour(demo: str) -> Tour:
    file = files("lamphouse.project") / "scenarios" / demo.replace("-", "_") / "tour.toml"
    told = tomllib.loads(file.read_text(encoding="utf-8"))
    stops = tuple(TourStop(**stop) for stop in told.pop("stops"))
    return Tour(**told, stops=stops)
