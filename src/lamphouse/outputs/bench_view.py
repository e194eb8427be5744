"""What a phone at the bench needs of a plan: steps, flags and readings, as records."""

from collections.abc import Iterator

from lamphouse import units
from lamphouse.circuit.loom_runs import Run, Socket
from lamphouse.cutting.wedges import tilt_words
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.fibres.strand_table import StrandRow
from lamphouse.outputs import reading_sheets
from lamphouse.outputs.gate_readings import GATE_OF_VERB, gate_of
from lamphouse.plan.ordered import with_order
from lamphouse.plan.result import Plan
from lamphouse.record import Record
from lamphouse.units import Quantity


class BenchStep(Record):
    """One step of the build, as a phone shows it."""

    id: str
    title: str
    kind: str
    sub_assembly: str
    minutes: float
    rest_hours: float
    gate: bool
    """Whether it is a test that must pass."""
    expected: tuple[str, ...]
    reads: str
    """Of a gate with readings: its word in ``BenchGate.gate``; else empty."""
    after: tuple[tuple[str, str], ...]
    """Ids of the steps that come before it, each with the reason."""


class BenchFlag(Record):
    """What a flag or a name on a drawing stands for."""

    flag: str
    kind: str
    """``fibre``, ``wire``, ``LED`` or ``socket``."""
    sub_assembly: str
    lines: tuple[tuple[str, str], ...]
    """Words and what stands beside them."""


class BenchGate(Record):
    """The readings of one gate of one sub-assembly."""

    sub_assembly: str
    gate: str
    """Word by which the log names it; see ``plan.judged_readings.GATES``."""
    title: str
    how: str
    rows: tuple[tuple[str, ...], ...]
    """Name, where the probe goes, range, as designed, band."""


class BenchView(Record):
    """All that a phone keeps of a project."""

    project: str
    revision: str
    sub_assemblies: tuple[str, ...]
    steps: tuple[BenchStep, ...]
    """In an order in which they can be done."""
    flags: tuple[BenchFlag, ...]
    gates: tuple[BenchGate, ...]


def bench_view(plan: Plan) -> BenchView:
    """Put together what a phone at the bench shows, also when it has lost the network."""
    full = with_order(plan)
    design = full.design
    return BenchView(
        project=design.name,
        revision=design.revision,
        sub_assemblies=tuple(sub.name for sub in design.sub_assemblies),
        steps=tuple(_steps(full)),
        flags=tuple(_flags(full)),
        gates=tuple(gate for sub in design.sub_assemblies for gate in _gates(full, sub)),
    )


def _steps(plan: Plan) -> Iterator[BenchStep]:
    if plan.order is None:
        return
    before: dict[str, list[tuple[str, str]]] = {}
    for edge in plan.order.edges:
        before.setdefault(edge.after, []).append((edge.before, edge.why))
    for step in plan.order.steps:
        yield BenchStep(
            id=step.id,
            title=step.title,
            kind=str(step.kind),
            sub_assembly=step.sub_assembly,
            minutes=step.minutes,
            rest_hours=step.rest_hours,
            gate=step.is_gate,
            expected=step.expected,
            reads=gate_of(step),
            after=tuple(before.get(step.id, ())),
        )


def _flags(plan: Plan) -> Iterator[BenchFlag]:
    yield from (_strand(row) for row in (plan.strands.rows if plan.strands else ()))
    for sub in plan.design.sub_assemblies:
        yield from (_led(led, sub=sub) for led in sub.leds())
    if plan.loom:
        yield from map(_run, plan.loom.runs)
        yield from map(_socket, plan.loom.sockets)


def _strand(row: StrandRow) -> BenchFlag:
    place = f"{units.show(row.x_mm, Quantity.LENGTH)}, {units.show(row.y_mm, Quantity.LENGTH)}"
    lines = (
        ("hole", f"{row.hole or 'not drilled'} of {row.panel}, at {place}"),
        ("drill", row.drill),
        ("fibre", f"{row.fibre}, cut {units.show_both(row.cut_mm)}, stop {row.stop}"),
        ("head", str(row.head)),
        ("group", row.group),
        ("source", row.source),
        ("switched by", row.pin),
        ("threaded", f"number {row.thread}"),
        ("formed to", units.show_both(row.formed_mm) if row.formed_mm else ""),
    )
    return BenchFlag(
        flag=row.flag,
        kind="fibre",
        sub_assembly=row.sub_assembly,
        lines=tuple(line for line in lines if line[1]),
    )


def _led(led: Led, *, sub: SubAssembly) -> BenchFlag:
    current = units.show(led.current_A, Quantity.CURRENT)
    return BenchFlag(
        flag=led.name,
        kind="LED",
        sub_assembly=sub.name,
        lines=(
            ("what it is", led.led_type.name),
            ("wanted current", current),
            *(("tilted", words) for words in tilt_words((led,))),
        ),
    )


def _run(run: Run) -> BenchFlag:
    return BenchFlag(
        flag=str(run.number),
        kind="wire",
        sub_assembly=run.sub_assembly,
        lines=(
            ("on its flags", run.flag),
            ("from", run.start),
            ("to", run.end),
            ("wire", f"{run.wire.name}, {run.colour}, cut {units.show_both(run.length_mm)}"),
        ),
    )


def _socket(socket: Socket) -> BenchFlag:
    pins = [(f"pin {pin.pin}", f"{pin.means}, {pin.colour}, wire {pin.run}") for pin in socket.pins]
    return BenchFlag(
        flag=f"{socket.sub_assembly} plug",
        kind="socket",
        sub_assembly=socket.sub_assembly,
        lines=(("under", socket.hole), ("feed", socket.feed), *pins),
    )


def _gates(plan: Plan, sub: SubAssembly) -> Iterator[BenchGate]:
    data = reading_sheets.readings(plan, sub)
    for word, gate in zip(GATE_OF_VERB.values(), data["gates"] if data else (), strict=False):
        yield BenchGate(
            sub_assembly=sub.name,
            gate=word,
            title=gate["name"],
            how=gate["how"],
            rows=tuple(tuple(row) for row in gate["rows"]),
        )
