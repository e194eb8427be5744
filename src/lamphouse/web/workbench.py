"""One open project: its text, reading, plan and history, and who listens to changes."""

import asyncio
import gc
from collections.abc import Awaitable, Callable, Iterable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from lamphouse.design.as_built import AsBuilt
from lamphouse.findings import Finding, Severity
from lamphouse.project.built_figures import BENCH_LOG, beside
from lamphouse.project.read import Reading, read_beside, read_project
from lamphouse.project.tree import plain
from lamphouse.project.write import ChangeError, save
from lamphouse.storage.history import Change, History, change_between, mark_of
from lamphouse.storage.refusal import StorageError
from lamphouse.web.edits import Edits, edited
from lamphouse.web.jobs import Job, Jobs
from lamphouse.web.stamps import stamp_of, stamps_beside, stamps_of_log

if TYPE_CHECKING:
    from lamphouse.plan.kept import Kept
    from lamphouse.plan.result import Plan

HISTORY = ".history.jsonl"
"""Ending of the file of changes beside a project's file."""
OUTSIDE = "Change made outside the page"
_Placed = TypeVar("_Placed", AsBuilt, Finding)


class RefusedError(Exception):
    """A change that would leave a file nobody can plan from; what is wrong is told."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__(str(findings[0]))
        self.findings = findings


class NothingError(Exception):
    """There is nothing to take back, or to make again."""


class _DisturbedError(Exception):
    """An editor has written into the file since it was read."""


class Workbench:
    """One open project.

    All its methods run in the server's loop; reading and planning run in threads, one at a time.
    What the maker does is on the disk before it is answered.
    """

    def __init__(self, file: Path, *, now: Callable[[], str]) -> None:
        """Read a project.

        Raises
        ------
        OSError
            If its file cannot be read.
        """
        self.file = file
        self.id = sha256(str(file).encode("utf-8", "backslashreplace")).hexdigest()[:12]
        self.jobs = Jobs(changed=self._job_changed)
        self._now = now
        self._stamp, self._log = stamp_of(file), stamps_of_log(file)
        self._reading = read_project(file)
        self._beside = stamps_beside(self._reading, file=file)
        self._coming: str | None = None
        """What the text becomes while it is written and read."""
        self._again = 0
        """How often the text was read again for what lies beside it."""
        self.fault = ""
        """Why the file cannot be read any more; empty while it can."""
        self._history = History(file.with_name(file.name + HISTORY))
        self._plan: Plan | None = None
        self._planned = ""
        """Revision of the plan."""
        self._kept: Kept | None = None
        self._changing, self._planning = asyncio.Lock(), asyncio.Lock()
        self._listeners: set[asyncio.Queue[dict[str, Any]]] = set()
        self._tasks: set[asyncio.Task[Plan | None]] = set()
        self.extra: dict[str, Any] = {}
        """What views keep from one request to the next, by their own names."""
        if self.text is not None and not self._history.agree_with(self.text):
            self._note_outside()

    @property
    def text(self) -> str | None:
        """The maker's text; None when it cannot be read as YAML."""
        return self._reading.tree.text if self._reading.tree else None

    def values(self) -> object:
        """Give what the text says, as keys, lists and texts; None when it cannot be read."""
        tree = self._reading.tree
        return plain(tree.root) if tree else None

    @property
    def revision(self) -> str:
        """Mark of the text as it is, and of what was read beside it since."""
        mark = mark_of(self.text or "")
        return f"{mark}-{self._again}" if self._again else mark

    @property
    def reading(self) -> Reading:
        """The text as it was read."""
        return self._reading

    @property
    def name(self) -> str:
        """What the model is called."""
        return self._reading.design.name if self._reading.design else self.file.parent.name

    @property
    def undo_label(self) -> str:
        """What undo would take back; empty when there is nothing."""
        change = self._undoable()
        return change.label if change else ""

    @property
    def redo_label(self) -> str:
        """What redo would make again; empty when there is nothing."""
        change = self._redoable()
        return change.label if change else ""

    @property
    def plan_if_ready(self) -> "Plan | None":
        """The plan of the text as it is, when it has been made; never waits."""
        return self._plan if self._planned == self.revision else None

    async def change(self, edits: Edits) -> None:
        """Make edits, put them on the disk and into the history.

        Raises
        ------
        lamphouse.web.edits.ConflictError
            If a value is another one by now.
        RefusedError
            If there would be no design after it; nothing is changed then.
        LookupError, TypeError, lamphouse.project.write.ChangeError
            If an edit cannot be made.
        OSError
            If the disk refuses.
        """

        async def make() -> None:
            new = await asyncio.to_thread(edited, self._sound_text(), edits)
            await self._become(new, label=edits.label)

        await self._undisturbed(make)

    async def write(self, text: str, *, of: str, label: str) -> None:
        """Put a whole new text in the place of the one it was made of; else as :meth:`change`.

        Raises
        ------
        lamphouse.project.write.ChangeError
            If the file holds another text by now.
        """

        async def make() -> None:
            if self._sound_text() != of:
                raced = "the file has changed meanwhile; look at it again"
                raise ChangeError(raced)
            await self._become(text, label=label)

        await self._undisturbed(make)

    async def undo(self) -> None:
        """Take the last change back.

        Raises
        ------
        NothingError
            If there is none, or the text it led to is not known any more.
        """

        async def make() -> None:
            change = self._undoable()
            if change is None:
                raise NothingError
            await self._take(change.undone(self.text or ""), note=self._history.step_back)

        await self._undisturbed(make)

    async def redo(self) -> None:
        """Make the change again that was taken back last.

        Raises
        ------
        NothingError
            If there is none.
        """

        async def make() -> None:
            change = self._redoable()
            if change is None:
                raise NothingError
            await self._take(change.done(self.text or ""), note=self._history.step_forward)

        await self._undisturbed(make)

    async def look(self) -> None:
        """Take up what others have written: into the file, the log, what else it is read with.

        A file that cannot be read leaves all as it was, with why in :attr:`fault`.
        """
        async with self._changing:
            with suppress(OSError):
                await self._look_outside()
            await self._look_into_log()

    async def plan(self) -> "Plan | None":
        """Give the plan of the text as it is; None when the text has no design."""
        while True:
            async with self._planning:
                revision, reading = self.revision, self._reading
                if reading.design is None:
                    return None
                if self._planned != revision:
                    plan = await asyncio.to_thread(self._make_plan, reading)
                    self._plan, self._planned = plan, revision
                    if revision == self.revision:
                        self.publish({"event": "planned", "revision": revision})
                if revision == self.revision:
                    return self._plan

    def findings(self) -> tuple[Finding, ...]:
        """List what is known to be wrong: by the plan when there is one, else by the reading."""
        plan = self.plan_if_ready
        return plan.findings if plan else self._reading.findings

    def listen(self) -> "asyncio.Queue[dict[str, Any]]":
        """Begin to listen; what happens from now on comes into the queue."""
        queue: asyncio.Queue[dict[str, Any]] = asyncio.Queue(maxsize=200)
        self._listeners.add(queue)
        return queue

    def leave(self, queue: "asyncio.Queue[dict[str, Any]]") -> None:
        """Stop listening."""
        self._listeners.discard(queue)

    def publish(self, event: dict[str, Any]) -> None:
        """Tell everybody who listens; one who has stopped reading hears nothing more."""
        for queue in tuple(self._listeners):
            try:
                queue.put_nowait(event)
            except asyncio.QueueFull:
                self._listeners.discard(queue)

    async def _undisturbed(self, make: Callable[[], Awaitable[None]]) -> None:
        """Change the file as it is; what an editor writes meanwhile is taken up first."""
        async with self._changing:
            while True:
                await self._look_outside()
                try:
                    return await make()
                except _DisturbedError:
                    continue

    def _sound_text(self) -> str:
        if self.text is None:
            raise RefusedError(self._reading.findings)
        return self.text

    def _undoable(self) -> Change | None:
        """Give the change that led to the text as it is; None after one that nobody noted."""
        change = self._history.undoable
        return change if change and change.after == self._mark() else None

    def _redoable(self) -> Change | None:
        change = self._history.redoable
        return change if change and change.before == self._mark() else None

    def _mark(self) -> str:
        """Mark the text the history stands at, also while that is still being written and read."""
        return mark_of((self.text or "") if self._coming is None else self._coming)

    async def _become(self, text: str, *, label: str) -> None:
        """Make a new text the project's, unless nothing could be planned from it."""
        old = self.text or ""
        if text == old:
            return
        reading = await asyncio.to_thread(read_beside, text, file=self.file)
        if self._reading.design is not None and reading.design is None:
            stops = tuple(f for f in reading.findings if f.severity is Severity.STOP)
            raise RefusedError(stops or reading.findings)
        change = change_between(old, text, label=label, at=self._now())
        await self._take(text, note=lambda: self._history.record(change), reading=reading)

    async def _take(
        self, text: str, *, note: Callable[[], None], reading: Reading | None = None
    ) -> None:
        """Note a step and put its text on the disk; a disk that refuses leaves all as it was."""
        if stamp_of(self.file) != self._stamp:
            raise _DisturbedError
        self._coming = text
        try:
            note()
            await asyncio.to_thread(save, self.file, text)
        except BaseException:
            self._coming = None
            with suppress(OSError):
                self._history.agree_with(self.text or "")
            raise
        try:
            self._stamp = stamp_of(self.file)
            if reading is None:
                reading = await asyncio.to_thread(read_beside, text, file=self.file)
            self._reading = reading
        finally:
            self._coming = None
        self.publish({"event": "revision", "revision": self.revision})
        self._plan_anew()

    async def _look_outside(self) -> None:
        stamp, others = stamp_of(self.file), stamps_beside(self._reading, file=self.file)
        if (stamp, others, self.fault) == (self._stamp, self._beside, ""):
            return
        before = self.text
        try:
            reading = await asyncio.to_thread(read_project, self.file)
        except OSError as fault:
            raise self._lost(fault) from fault
        self._reading, self._stamp, self.fault = reading, stamp, ""
        if others != self._beside:
            self._again += 1
        self._beside = stamps_beside(reading, file=self.file)
        if self.text is not None and self.text != before:
            self._note_outside(before)
        self._tell_outside()

    def _lost(self, fault: OSError) -> StorageError:
        """Tell, once, that the file cannot be read."""
        gone = isinstance(fault, FileNotFoundError)
        why = "it is not there any more" if gone else (fault.strerror or str(fault)).lower()
        if self.fault != why:
            self.fault = why
            self.publish({"event": "lost"})
        return StorageError(self.file, what=f"{self.file.name}: {why}", remedy="put it back")

    async def _look_into_log(self) -> None:
        """Take up what the log says was built, which the plan follows; tell all else it says."""
        stamps = stamps_of_log(self.file)
        if stamps == self._log:
            return
        self._log = stamps
        design, text = self._reading.design, self.text
        if design is not None and text is not None:
            built, found = await asyncio.to_thread(beside, self.file, scale=design.scale)
            if _of_log(design.as_built) != built or _of_log(self._reading.findings) != found:
                self._reading = await asyncio.to_thread(read_beside, text, file=self.file)
                self._again += 1
                self._tell_outside()
        self.publish({"event": "logged", "revision": self.revision})

    def _tell_outside(self) -> None:
        self.publish({"event": "revision", "revision": self.revision, "outside": True})
        self._plan_anew()

    def _plan_anew(self) -> None:
        """Begin to plan the text as it is, where somebody waits to see what it comes to."""
        if self._listeners:
            task = asyncio.create_task(self.plan())
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)

    def _note_outside(self, before: str | None = None) -> None:
        """Put a change that somebody else made into the history, where its inverse is known."""
        text = self.text or ""
        last = self._history.undoable
        if before is None or (last and last.after != mark_of(before)):
            return
        with suppress(OSError):
            self._history.record(change_between(before, text, label=OUTSIDE, at=self._now()))

    def _make_plan(self, reading: Reading) -> "Plan":
        from lamphouse.plan import make
        from lamphouse.plan.kept import Kept

        self._kept = self._kept or Kept()
        design = reading.design
        if design is None:
            raise LookupError
        made = make.plan(design, found=reading.findings, places=reading.places, kept=self._kept)
        gc.freeze()  # or every later search for dead cycles would go through all of the plan
        return made

    def _job_changed(self, job: Job) -> None:
        self.publish({"event": "job", "job": job.shown()})


def _of_log(every: "Iterable[_Placed]") -> "tuple[_Placed, ...]":
    return tuple(one for one in every if one.where.item.startswith(BENCH_LOG))
