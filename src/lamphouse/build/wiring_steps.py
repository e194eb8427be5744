"""The steps of a sub-assembly's wiring: LEDs tested, soldered, joined, tested, put in its place."""

from lamphouse import units
from lamphouse.build import step_times as times
from lamphouse.build.gate_words import looks_of, readings_at
from lamphouse.build.made_things import MadeThings
from lamphouse.build.steps import StepKind
from lamphouse.build.task_book import Level, Owner, TaskBook
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.expected import Gate
from lamphouse.circuit.phrases import counted
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup, Strand
from lamphouse.design.supply import BoardKind
from lamphouse.design.whole import Design
from lamphouse.units import Quantity


def wiring_steps(book: TaskBook, sub: SubAssembly, *, made: MadeThings) -> None:
    """Write down every step of a sub-assembly as a whole."""
    at = Owner(level=Level.SUB, sub_assembly=sub.name)
    writer = _Wiring(book, at, sub, made)
    if sub.leds():
        writer.leds()
        writer.board()
        writer.joined()
    writer.sources()
    writer.placed()


def sourced_by(sub: SubAssembly, *, design: Design) -> tuple[SourceGroup, ...]:
    """List the groups whose strands are lit by a source LED in a sub-assembly."""
    return tuple(
        group for group in design.groups if group.source and group.sub_assembly == sub.name
    )


def strands_in(group: SourceGroup, *, design: Design) -> tuple[Strand, ...]:
    """List the strands of a group, wherever they come out."""
    return tuple(
        strand
        for sub in design.sub_assemblies
        for _, strand in sub.strands
        if strand.group == group.name
    )


class _Wiring:
    """What writes the steps of one sub-assembly."""

    def __init__(self, book: TaskBook, at: Owner, sub: SubAssembly, made: MadeThings) -> None:
        self.book, self.at, self.sub, self.made = book, at, sub, made
        self.item = (sub.where.item,)
        self.all_leds = sub.leds()
        self.leds_items = tuple(led.where.item for led in self.all_leds)
        self.circuit: SubAssemblyCircuit | None = made.circuit(sub)

    def leds(self) -> None:
        """Test each LED loose, solder its leads, slide on its sleeves, test it again."""
        words, count = self.at.in_words, len(self.all_leds)
        loose = readings_at(Gate.LOOSE, sub_assembly=self.sub.name, made=self.made)
        self.book.add(
            self.at,
            verb="test LEDs",
            kind=StepKind.TEST,
            title=f"Test {counted(count, 'loose LED')} of {words}, which way round each lights",
            items=self.leds_items,
            minutes=times.LED_TEST_MIN * count,
            expected=loose or ("each lights one way round and stays dark the other",),
            parts=[led.led_type.name for led in self.all_leds],
        )
        self.book.add(
            self.at,
            verb="leads",
            kind=StepKind.SOLDER,
            title=f"Solder leads to {counted(count, 'LED')} of {words}",
            items=self.leds_items,
            minutes=times.LEADS_MIN * count,
            parts=self._wire(),
        )
        self.book.add(
            self.at,
            verb="test leads",
            kind=StepKind.TEST,
            title=f"Test the LEDs of {words} again, on their leads",
            items=self.leds_items,
            minutes=times.LED_TEST_MIN * count,
            expected=("each lights through its leads, as it did loose",),
        )
        self.book.add(
            self.at,
            verb="sleeves",
            kind=StepKind.THREAD,
            title=f"Slide shrink sleeves on the leads of {words}",
            items=self.leds_items,
            minutes=times.SLEEVE_MIN * count,
        )
        boxed = {led.name for _, box in self.sub.boxes for led in box.leds}
        sources = {group.source.name for group in self.made.design.groups if group.source}
        lamps = [led for led in self.sub.lamps if led.name not in boxed | sources]
        if lamps:
            self.book.add(
                self.at,
                verb="lamps",
                kind=StepKind.GLUE,
                title=f"Glue {counted(len(lamps), 'lamp')} into {words}",
                items=tuple(lamp.where.item for lamp in lamps),
                minutes=times.SET_LED_MIN * len(lamps),
                rest_hours=times.LED_GLUE_H,
            )

    def _wire(self) -> tuple[str, ...]:
        return (self.sub.pigtail.wire.name,) if self.sub.pigtail else ()

    def board(self) -> None:
        """Solder the board and the plug, and measure the board alone."""
        words, board = self.at.in_words, self.sub.board
        strings = self.circuit.strings if self.circuit else ()
        if strings:
            resistors = [
                f"resistor {units.show(one.resistor_ohm, Quantity.RESISTANCE)}" for one in strings
            ]
            flat = board is not None and board.kind is not BoardKind.POINT_TO_POINT
            named = [f"{board.kind} board"] if board else []
            what = f"the board of {words}" if flat else f"the resistors of {words}"
            self.book.add(
                self.at,
                verb="board",
                kind=StepKind.SOLDER,
                title=f"Solder {what}: {counted(len(strings), 'resistor')}",
                items=(board.where.item if board else self.item[0],),
                minutes=(times.BOARD_SET_MIN if flat else 0.0) + times.PART_MIN * len(strings),
                parts=[*resistors, *named],
            )
            measured = readings_at(Gate.BOARD, sub_assembly=self.sub.name, made=self.made)
            self.book.add(
                self.at,
                verb="test board",
                kind=StepKind.TEST,
                title=f"Measure {what}, no power",
                items=(board.where.item if board else self.item[0],),
                minutes=times.READING_MIN * (len(strings) + 1),
                expected=measured or ("each resistor its value, the rails open",),
            )
        if self.sub.pigtail:
            self.book.add(
                self.at,
                verb="plug",
                kind=StepKind.SOLDER,
                title=f"Make the pigtail of {words}: {self.sub.pigtail.plug.name}",
                items=(self.sub.pigtail.where.item,),
                minutes=times.PLUG_MIN,
                parts=[self.sub.pigtail.plug.name, *self._wire()],
            )

    def joined(self) -> None:
        """Join LEDs, board and pigtail; the gate before anything is closed; and after."""
        words, name = self.at.in_words, self.sub.name
        self.book.add(
            self.at,
            verb="join",
            kind=StepKind.SOLDER,
            title=f"Join LEDs, board and pigtail of {words}; shrink each sleeve",
            items=(*self.item, *self.leds_items),
            minutes=times.JOIN_MIN * (2 * len(self.all_leds) + 2),
        )
        opened = readings_at(Gate.OPEN, sub_assembly=name, made=self.made)
        looks = looks_of(self.made.glows, sub_assembly=name)
        points = max(1, len(opened))
        self.book.add(
            self.at,
            verb="test open",
            kind=StepKind.TEST,
            title=f"Light {words} while all of it is still open",
            items=(*self.item, *self.leds_items),
            minutes=times.READING_MIN * 2 * points + times.LOOK_MIN,
            expected=(*opened, *looks, "every LED lit, none flickers when its leads are moved"),
        )
        knobs = [one for one in (self.circuit.strings if self.circuit else ()) if one.knob]
        if knobs:
            self.book.add(
                self.at,
                verb="set knobs",
                kind=StepKind.SOLDER,
                title=f"Set {counted(len(knobs), 'knob')} of {words} by eye, solder the resistors",
                items=self.item,
                minutes=times.KNOB_MIN * len(knobs),
            )
        closed = readings_at(Gate.CLOSED, sub_assembly=name, made=self.made)
        self.book.add(
            self.at,
            verb="test closed",
            kind=StepKind.TEST,
            title=f"Light {words} again, now closed",
            items=(*self.item, *self.leds_items),
            minutes=times.LOOK_MIN,
            expected=(*closed, "what it read open; no light elsewhere than before"),
        )

    def sources(self) -> None:
        """Bundle the strands of each group, and couple them to the source."""
        design = self.made.design
        for group in sourced_by(self.sub, design=design):
            strands = strands_in(group, design=design)
            if not strands or group.source is None:
                continue
            items = tuple(strand.where.item for strand in strands)
            self.book.add(
                self.at,
                verb=f"bundle {group.name}",
                kind=StepKind.THREAD,
                title=f"Bundle {counted(len(strands), 'strand')} of {group.name}: glue into the "
                "ferrule, cut, polish",
                items=items,
                minutes=times.BUNDLE_MIN,
                rest_hours=times.FERRULE_H,
            )
            source = group.source.where.item
            self.book.add(
                self.at,
                verb=f"couple {group.name}",
                kind=StepKind.GLUE,
                title=f"Glue the collar of {group.name} over its source and ferrule, black it out",
                items=(source, *items),
                minutes=times.COUPLE_MIN,
                rest_hours=times.LED_GLUE_H,
                hides=(source,),
            )

    def placed(self) -> None:
        """Put it in its place; the gate in the model."""
        words, sub = self.at.in_words, self.sub
        fixed = sub.pigtail is None
        strands = tuple(strand.where.item for _, strand in sub.strands)
        self.book.add(
            self.at,
            verb="install",
            kind=StepKind.INSTALL,
            title=f"Glue {words} in its place" if fixed else f"Put {words} in its place",
            items=self.item,
            minutes=times.INSTALL_MIN,
            hides=(*self.leds_items, *strands) if fixed else (),
        )
        if sub.leds():
            seen = readings_at(Gate.IN_MODEL, sub_assembly=sub.name, made=self.made)
            self.book.add(
                self.at,
                verb="test in model",
                kind=StepKind.TEST,
                title=f"Plug {words} in and read it in the model",
                items=(*self.item, *self.leds_items),
                minutes=times.LOOK_MIN,
                expected=(*seen, "lit as it was at the bench"),
            )
