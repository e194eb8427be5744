"""Long work with progress, which can be stopped: traces, squeezes, walks, searches, packs.

A job runs in a thread of its own. It is handed a function to tell how far it is; when the maker has
stopped it, that function raises and so ends the work where it is.
"""

import asyncio
import itertools
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

Tell = Callable[[int, int, str], None]
"""``tell(done, of, words)``."""
Work = Callable[[Tell], Any]
MOST_WAITING = 8
MOST_KEPT = 30


class StoppedError(Exception):
    """The maker stopped the work."""


class BusyError(Exception):
    """Too much is waiting already."""


@dataclass(slots=True, kw_only=True)
class Job:
    """One piece of long work."""

    number: int
    name: str
    state: str = "waiting"
    """``waiting``, ``running``, ``done``, ``stopped`` or ``failed``."""
    done: int = 0
    of: int = 0
    words: str = ""
    """What it is at, or why it failed."""
    outcome: Any = None
    stop: bool = False

    def shown(self) -> dict[str, Any]:
        """Give what the page shows."""
        return {
            "number": self.number,
            "name": self.name,
            "state": self.state,
            "done": self.done,
            "of": self.of,
            "words": self.words,
        }


@dataclass(slots=True)
class Jobs:
    """The long work of one project, one piece at a time."""

    changed: Callable[[Job], None]
    """Called in the server's own loop whenever something is to be shown."""
    _jobs: dict[int, Job] = field(default_factory=dict)
    _numbers: "itertools.count[int]" = field(default_factory=lambda: itertools.count(1))
    _turn: asyncio.Lock = field(default_factory=asyncio.Lock)
    _tasks: set[asyncio.Task[None]] = field(default_factory=set)

    def start(self, name: str, work: Work) -> Job:
        """Put work in the queue.

        Raises
        ------
        BusyError
            If too much is waiting already.
        """
        if sum(job.state in ("waiting", "running") for job in self._jobs.values()) >= MOST_WAITING:
            raise BusyError
        for old in [n for n, job in self._jobs.items() if job.state != "running"][:-MOST_KEPT]:
            del self._jobs[old]
        job = Job(number=next(self._numbers), name=name)
        self._jobs[job.number] = job
        task = asyncio.create_task(self._run(job, work))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return job

    def job(self, number: int) -> Job | None:
        """Find a job."""
        return self._jobs.get(number)

    def all(self) -> tuple[Job, ...]:
        """List the jobs, the latest first."""
        return tuple(reversed(self._jobs.values()))

    def stop(self, number: int) -> None:
        """Ask a job to stop; it does at its next word."""
        job = self._jobs.get(number)
        if job and job.state in ("waiting", "running"):
            job.stop = True

    async def _run(self, job: Job, work: Work) -> None:
        loop = asyncio.get_running_loop()

        def tell(done: int, of: int, words: str) -> None:
            if job.stop:
                raise StoppedError
            job.done, job.of, job.words = done, of, words
            loop.call_soon_threadsafe(self.changed, job)

        async with self._turn:
            if job.stop:
                job.state = "stopped"
            else:
                job.state = "running"
                self.changed(job)
                await self._carry_out(job, work, tell)
        self.changed(job)

    async def _carry_out(self, job: Job, work: Work, tell: Tell) -> None:
        try:
            job.outcome = await asyncio.to_thread(work, tell)
        except StoppedError:
            job.state, job.words = "stopped", "stopped"
        except (OSError, ValueError, LookupError) as fault:
            job.state, job.words = "failed", str(fault)
        except Exception:
            job.state, job.words = "failed", "a fault of the program itself"
            self.changed(job)
            raise
        else:
            job.state, job.words = "done", ""
