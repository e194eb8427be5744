"""The steps of the model as a whole: controllers, the loom under the floor, the rehearsal, own."""

from lamphouse.build import step_times as times
from lamphouse.build.gate_words import whole_readings
from lamphouse.build.made_things import MadeThings
from lamphouse.build.steps import StepKind
from lamphouse.build.task_book import MODEL, OWN, Level, Owner, TaskBook
from lamphouse.circuit.loom_runs import Loom
from lamphouse.circuit.phrases import counted
from lamphouse.design.controller import Controller, ControllerKind
from lamphouse.design.whole import Design


def controller_steps(book: TaskBook, controller: Controller) -> None:
    """Write down the steps of a controller."""
    at = Owner(level=Level.CONTROLLER, sub_assembly=controller.sub_assembly, name=controller.name)
    words, item = at.in_words, (controller.where.item,)
    kind = controller.controller_type
    part = kind.name if kind else controller.chip.name if controller.chip else ""
    book.add(
        at,
        verb="solder",
        kind=StepKind.SOLDER,
        title=f"Solder {words} with its drivers",
        items=item,
        minutes=times.CONTROLLER_MIN,
        parts=[part] if part else [],
    )
    if controller.kind is ControllerKind.PROGRAM:
        book.add(
            at,
            verb="load",
            kind=StepKind.PROGRAM,
            title=f"Load the program into {words}",
            items=item,
            minutes=times.PROGRAM_MIN,
        )
    groups = f"{', '.join(controller.groups)} do" if controller.groups else "every group does"
    book.add(
        at,
        verb="prove",
        kind=StepKind.TEST,
        title=f"Watch {words} play every pattern, an LED on each of its outputs",
        items=item,
        minutes=times.PROVE_MIN,
        expected=(
            f"{groups} what the sheet 'Time line' shows, through every scene and button",
            "nothing else lights, and nothing gets warm",
        ),
    )
    book.add(
        at,
        verb="close",
        kind=StepKind.CLOSE,
        title=f"Fix {words} in its place and cover it",
        items=item,
        minutes=times.CLOSE_MIN,
        hides=item,
    )


def model_steps(book: TaskBook, design: Design, *, made: MadeThings) -> None:
    """Write down the loom's steps, and those of everything plugged together."""
    loom = made.loom
    if loom:
        _loom(book, loom)
    if any(made.circuit(sub) for sub in design.sub_assemblies):
        book.add(
            MODEL,
            verb="rehearse",
            kind=StepKind.TEST,
            title="Plug everything together outside the model and let it burn for an evening",
            items=(design.supply.where.item,),
            minutes=2 * times.LOOK_MIN + times.READING_MIN * (1 + len(whole_readings(made))),
            expected=(
                *whole_readings(made),
                "nothing warm after an hour; photograph every wire as it lies",
            ),
        )
    if loom:
        book.add(
            MODEL,
            verb="close floor",
            kind=StepKind.CLOSE,
            title="Close the floor over the loom",
            items=(loom_item(design),),
            minutes=times.CLOSE_MIN,
            hides=(loom_item(design),),
        )


def loom_item(design: Design) -> str:
    """Name the loom as an item."""
    return design.loom.where.item if design.loom else "loom"


def _loom(book: TaskBook, loom: Loom) -> None:
    item = ("loom",)
    most = f"{max(run.ohm for run in loom.runs):.2g} ohm"
    holes = {socket.hole for socket in loom.sockets}
    book.add(
        MODEL,
        verb="drill floor",
        kind=StepKind.DRILL,
        title=f"Drill {counted(len(holes), 'hole')} in the floor",
        items=item,
        minutes=times.DRILL_SET_MIN + times.FLOOR_HOLE_MIN * len(holes),
    )
    book.add(
        MODEL,
        verb="splitters",
        kind=StepKind.SOLDER,
        title=f"Solder {counted(len(loom.feeds), 'splitter board')}",
        items=item,
        minutes=times.SPLITTER_MIN * len(loom.feeds),
    )
    book.add(
        MODEL,
        verb="runs",
        kind=StepKind.SOLDER,
        title=f"Cut, flag and lay {counted(len(loom.runs), 'run')} of the loom, sleeves on first",
        items=item,
        minutes=times.RUN_MIN * len(loom.runs),
        parts=[run.wire.name for run in loom.runs],
    )
    book.add(
        MODEL,
        verb="test loom",
        kind=StepKind.TEST,
        title="Measure the loom: first each run, no power, then the voltage at each socket",
        items=item,
        minutes=times.READING_MIN * (len(loom.runs) + len(loom.sockets)),
        expected=(
            f"each run {most} at most from end to end, and what the meter's own leads read",
            "plus to minus open at each socket",
            "at each socket the supply's voltage, plus on the pin the sheet 'Loom' says",
        ),
    )


def own_steps(book: TaskBook, design: Design) -> None:
    """Write down the maker's own steps."""
    for own in design.work.steps:
        book.add(
            OWN if not own.sub_assembly else Owner(level=Level.OWN, sub_assembly=own.sub_assembly),
            verb=own.name,
            kind=StepKind(own.kind),
            title=own.name[:1].upper() + own.name[1:],
            items=(own.where.item, *own.hides),
            minutes=own.minutes,
            rest_hours=own.rest_hours,
            hides=own.hides,
        )
