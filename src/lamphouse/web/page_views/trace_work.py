"""The long work of tracing, and what came of it: the answer, the overlay, what was nudged."""

import asyncio
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.responses import Response

from lamphouse.findings import Finding
from lamphouse.outputs.trace_lines import AgainstLine
from lamphouse.outputs.traced_answer import against_of, result_of
from lamphouse.record import Record
from lamphouse.units.digits import whole_number
from lamphouse.web.jobs import Tell
from lamphouse.web.page_views.long_work import begun
from lamphouse.web.page_views.trace_asked import TraceAsked, UnclearError, asked_of, tolerance_mm
from lamphouse.web.showing import told
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.design.panel import Panel
    from lamphouse.design.whole import Design
    from lamphouse.trace.asked_pictures import Asked
    from lamphouse.trace.nudges import Chosen, Nudge, Nudged
    from lamphouse.trace.scales import Scale
    from lamphouse.trace.traced import TracedPart

_KEPT = 3
"""Tracings held with their pictures; older ones are made again."""
INSTALL = "pip install 'lamphouse[trace]'"


class Sight(Record):
    """The part of the first picture that is shown."""

    png: bytes
    left: float
    """First column, in pixels of the picture."""
    top: float
    columns: float
    rows: float


@dataclass(slots=True, kw_only=True)
class TraceFound:
    """What came of a tracing."""

    names: tuple[str, ...]
    findings: tuple[Finding, ...]
    part: "TracedPart | None" = None
    """None when it was refused; the findings say why."""
    scale: "Scale | None" = None
    sight: Sight | None = None
    overlay: bytes = b""
    overlay_file: str = ""
    map: bytes = b""
    against: AgainstLine | None = None
    drill_mm: Mapping[str, float] = field(default_factory=dict)
    nudges: "list[Nudge]" = field(default_factory=list)
    chosen: "dict[int, Chosen]" = field(default_factory=dict)
    written: str = ""
    asked: Mapping[str, Any] = field(default_factory=dict)
    """The form, to be shown again as it was filled in."""
    kind: str = "trace"

    @property
    def answer(self) -> dict[str, Any]:
        """Give the answer as the command line does."""
        from lamphouse.outputs import answer
        from lamphouse.trace.traced import EDGE_RULE

        if self.part is None:
            return answer.trace(None, findings=self.findings)
        result = result_of(
            self.part,
            pictures=self.names,
            edge_rule=EDGE_RULE,
            overlay=self.overlay_file,
            written=self.written,
            against=self.against,
        )
        return answer.trace(result, findings=self.findings)

    def nudged(self, more: "Sequence[Nudge]" = ()) -> "Nudged":
        """Give the part with what was moved by hand, and ``more`` of it.

        Raises
        ------
        ValueError
            As :func:`lamphouse.trace.nudges.nudged`, and when there is no part.
        """
        from lamphouse.trace.nudges import nudged

        if self.part is None:
            nothing = "nothing was traced"
            raise ValueError(nothing)
        return nudged(self.part, nudges=(*self.nudges, *more), chosen=self.chosen)


def is_installed() -> bool:
    """Tell whether the library that reads pictures is there."""
    from importlib.machinery import PathFinder

    # Asked of the disk: while another thread begins to use it, the library itself cannot say.
    return PathFinder.find_spec("cv2") is not None


def missing() -> Response:
    """Say what has to be installed before pictures can be read."""
    return told(f"Pictures are read with an image library: {INSTALL}.", status=409)


def panel_named(design: "Design | None", name: str) -> "Panel | None":
    """Find a panel by ``sub-assembly / panel``."""
    panels = {
        f"{sub.name} / {panel.name}": panel
        for sub in (design.sub_assemblies if design else ())
        for panel in sub.panels
    }
    return panels.get(name)


def begin(
    bench: Workbench, form: TraceAsked, *, then: Callable[[TraceFound], None] | None = None
) -> Response:
    """Begin to trace as a form asks; ``then`` is done to what came of it."""
    if not is_installed():
        return missing()
    try:
        asked, within_mm = asked_of(form, file=bench.file), tolerance_mm(form)
    except UnclearError as fault:
        return told(f"{str(fault)[:1].upper()}{str(fault)[1:]}.", status=422, field=fault.field)
    panel = panel_named(bench.reading.design, form.against) if form.against else None
    if form.against and panel is None:
        return told(f"There is no panel '{form.against[:80]}'.", status=422, field="against")
    drills = bench.reading.shelf.drills

    def work(tell: Tell) -> TraceFound:
        found = _traced(
            asked,
            within_mm=within_mm,
            drills=tuple(drills.values()) if form.snapped else (),
            panel=(form.against, panel) if panel else None,
            tell=tell,
        )
        steps = 2 * len(asked.pictures) + 1
        tell(steps, steps, "")
        found.asked = form.model_dump()
        found.drill_mm = {name: drill.diameter_mm for name, drill in drills.items()}
        if then:
            then(found)
        return found

    more = f" and {len(form.pictures) - 1} more" if len(form.pictures) > 1 else ""
    answered = begun(bench, f"Trace {form.pictures[0][:60]}{more}", work)
    _forget_old(bench)
    return answered


def _traced(
    asked: "Asked",
    *,
    within_mm: float,
    drills: tuple[Any, ...],
    panel: "tuple[str, Panel] | None",
    tell: Tell,
) -> TraceFound:
    """Trace, and write the overlay beside the picture as the command line does."""
    from lamphouse.storage.atomic import write_file
    from lamphouse.trace import against, overlay, traced
    from lamphouse.trace.asked_pictures import looked_at
    from lamphouse.trace.refused import TraceError

    names = tuple(one.name for one in asked.pictures)
    made = TraceFound(names=names, findings=())
    try:
        seen, scale, sight = looked_at(asked, tell=tell)
        part = traced.drawn(
            sight, finest_hole_mm=asked.finest_hole_mm, tolerance_mm=within_mm, drills=drills
        )
        laid = None
        if panel:
            _, wanted = panel
            holes = [opening.outline.corners for opening in wanted.openings]
            laid = against.compare(part, outline=wanted.outline.corners, holes=holes)
    except TraceError as fault:
        made.findings = (fault.finding,)
        return made
    made.part, made.scale, made.findings = part, scale, part.findings
    canvas, corner, zoom = overlay.window(seen, part, scale)
    made.sight = Sight(
        png=overlay.encoded(canvas),
        left=float(corner[0]),
        top=float(corner[1]),
        columns=canvas.shape[1] / zoom,
        rows=canvas.shape[0] / zoom,
    )
    made.overlay = overlay.overlay(seen, part, scale)
    first = asked.pictures[0]
    made.overlay_file = str(first.with_name(f"{first.stem}-traced.png"))
    write_file(Path(made.overlay_file), made.overlay)
    if laid and panel:
        made.map = against.deviation_map(seen, part, scale, comparison=laid)
        shown = first.with_name(f"{first.stem}-against.png")
        write_file(shown, made.map)
        made.against = against_of(laid, panel=panel[0], picture=str(shown))
    return made


def _forget_old(bench: Workbench) -> None:
    """Keep the latest tracings alone: each holds its picture."""
    held = [job for job in bench.jobs.all() if isinstance(job.outcome, TraceFound)]
    for job in held[_KEPT:]:
        job.outcome = None


def found_in(bench: Workbench, number: str) -> TraceFound:
    """Give what came of a tracing.

    Raises
    ------
    HTTPException
        404 when there is no such tracing, or it is not held any more.
    """
    given = whole_number(number)
    job = bench.jobs.job(given) if given is not None else None
    if job is None or not isinstance(job.outcome, TraceFound):
        raise HTTPException(404, "There is no such tracing any more; trace the picture again.")
    return job.outcome


def latest(bench: Workbench) -> int:
    """Give the number of the tracing made last; 0 without one."""
    jobs = (job.number for job in bench.jobs.all() if isinstance(job.outcome, TraceFound))
    return next(jobs, 0)


async def nudged_of(found: TraceFound) -> "Nudged":
    """Give the part with what was moved by hand, without holding the page up."""
    return await asyncio.to_thread(found.nudged)
