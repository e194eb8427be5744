"""The projects that are open, and those opened last."""

from collections.abc import Callable
from pathlib import Path

from lamphouse.project.read import project_file
from lamphouse.storage.recent import Recent
from lamphouse.web.workbench import Workbench

MOST_OPEN = 6


class Projects:
    """Open projects by the name that stands in their addresses."""

    def __init__(self, *, recent: Recent, now: Callable[[], str]) -> None:
        self._open: dict[str, Workbench] = {}
        self._recent = recent
        self._now = now

    def open(self, path: Path) -> Workbench:
        """Open a project by its folder or file; one that is open stays as it is.

        Raises
        ------
        OSError
            If there is none, or it cannot be read.
        """
        file = project_file(path.expanduser()).resolve(strict=True)
        for bench in self._open.values():
            if bench.file == file:
                return bench
        bench = Workbench(file, now=self._now)
        if len(self._open) >= MOST_OPEN:
            del self._open[next(iter(self._open))]
        self._open[bench.id] = bench
        self._recent.add(file)
        return bench

    def find(self, project: str) -> Workbench | None:
        """Give an open project by its name in an address; None when it is not open."""
        return self._open.get(project)

    def recent(self) -> tuple[Path, ...]:
        """List the files of projects opened last, the latest first."""
        return self._recent.files()
