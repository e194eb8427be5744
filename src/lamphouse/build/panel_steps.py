"""The steps of a panel: cut, drilled, bent, painted, its films laid, its strands threaded."""

from collections.abc import Sequence

from lamphouse.build import step_times as times
from lamphouse.build.made_things import (
    MadeThings,
    decalled,
    under_decals,
)
from lamphouse.build.steps import StepKind
from lamphouse.build.task_book import Level, Owner, TaskBook
from lamphouse.circuit.phrases import counted, listed
from lamphouse.cutting.mask_plan import Mask, MaskPlan
from lamphouse.design.box_faces import PANEL, finish_of
from lamphouse.design.panel import Layer, LayerKind, Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import Head, Strand


def panel_steps(book: TaskBook, panel: Panel, *, sub: SubAssembly, made: MadeThings) -> None:
    """Write down every step of a panel."""
    at = Owner(level=Level.PANEL, sub_assembly=sub.name, name=panel.name)
    writer = _Panel(book, at, panel, sub, made)
    writer.shape()
    writer.paint()
    writer.layers()
    writer.strands()
    writer.finish()


class _Panel:
    """What writes the steps of one panel."""

    def __init__(
        self, book: TaskBook, at: Owner, panel: Panel, sub: SubAssembly, made: MadeThings
    ) -> None:
        self.book, self.at, self.panel, self.sub, self.made = book, at, panel, sub, made
        self.item = (panel.where.item,)
        self.openings = tuple(opening.where.item for opening in panel.openings)

    def shape(self) -> None:
        """Cut, drill, bend."""
        pieces = self.made.pieces_of(self.panel, sub=self.sub)
        words, curve = self.at.in_words, self.panel.curve
        cut_outs = sum(len(piece.cutouts) for piece in pieces)
        self.book.add(
            self.at,
            verb="cut",
            kind=StepKind.CUT,
            title=f"Cut {words}",
            items=(*self.item, *self.openings),
            minutes=times.CUT_MIN * max(1, len(pieces)) + times.CUT_OUT_MIN * cut_outs,
            parts=[piece.sheet.name for piece in pieces] or [self.panel.sheet.name],
        )
        holes = [hole for piece in pieces for hole in piece.holes]
        if holes:
            self.book.add(
                self.at,
                verb="drill",
                kind=StepKind.DRILL,
                title=f"Drill {counted(len(holes), 'hole')} in {words}",
                items=(*self.item, *(hole.where.item for hole in holes)),
                minutes=times.DRILL_SET_MIN + times.HOLE_MIN * len(holes),
            )
        former = self.made.formers_of(self.panel, sub=self.sub)
        if former:
            self.book.add(
                self.at,
                verb="former",
                kind=StepKind.GLUE,
                title=f"Cut and glue the former of {words}",
                items=self.item,
                minutes=(times.CUT_MIN + times.FORMER_MIN) * sum(one.count for one in former),
                rest_hours=times.GLUE_H,
                parts=[piece.sheet.name for piece in former],
            )
        if curve:
            layers = len(curve.layers)
            over = f"over its former, {counted(layers, 'layer')}" if former else "to its curve"
            self.book.add(
                self.at,
                verb="bend",
                kind=StepKind.BEND,
                title=f"Bend {words} {over}",
                items=self.item,
                minutes=times.LAMINATE_MIN * layers,
                rest_hours=times.LAMINATE_H if layers > 1 else times.GLUE_H,
            )
        if self.panel.overlays:
            self.book.add(
                self.at,
                verb="overlays",
                kind=StepKind.GLUE,
                title=f"Glue {counted(len(self.panel.overlays), 'overlay')} on {words}",
                items=(*self.item, *(one.where.item for one in self.panel.overlays)),
                minutes=times.JOINT_MIN * len(self.panel.overlays),
                rest_hours=times.GLUE_H,
            )

    def paint(self) -> None:
        """Block light behind, prime, then coats and masks in turn."""
        words = self.at.in_words
        coated = [box for box in self.sub.boxes_of(self.panel.name) if box.coats]
        coats = [coat for box in coated for coat in box.coats or ()]
        if coats:
            most = max(coat.count for coat in coats)
            over: dict[str, list[str]] = {}
            for box in coated:
                if not finish_of(box, PANEL).is_bare:
                    over.setdefault(finish_of(box, PANEL).name, []).append(box.name)
            inside = f", then {listed(tuple(over))} over it inside the boxes" if over else ""
            if len(over) > 1:
                each = [f"{paint} inside {listed(names)}" for paint, names in over.items()]
                inside = f", then over it {listed(each)}"
            self.book.add(
                self.at,
                verb="block light",
                kind=StepKind.BLOCK_LIGHT,
                title=f"Block light on the rear of {words}, round its openings{inside}",
                items=self.item,
                minutes=times.BLACK_MIN * (most + bool(over)),
                rest_hours=times.BLACK_H,
                parts=[*(coat.coat.name for coat in coats), *over],
            )
        self.book.add(
            self.at,
            verb="prime",
            kind=StepKind.PRIME,
            title=f"Clean and prime the face of {words}",
            items=self.item,
            minutes=times.PRIME_MIN,
            rest_hours=times.PRIMER_H,
        )
        painting = self.made.painting(self.panel, sub=self.sub)
        if painting:
            self._masked(painting)
            return
        self.book.add(
            self.at,
            verb="coat",
            kind=StepKind.PAINT,
            title=f"Paint the face of {words}",
            items=self.item,
            minutes=times.COAT_MIN,
            rest_hours=times.PAINT_H,
        )

    def _masked(self, painting: MaskPlan) -> None:
        words = self.at.in_words
        masked = False
        for step in painting.steps:
            if isinstance(step, Mask):
                masked = True
                behind = " behind" if step.behind else ""
                self.book.add(
                    self.at,
                    verb=f"mask {step.letter}",
                    kind=StepKind.MASK,
                    title=f"Lay mask {step.letter} on {words}{behind}, over {step.covers}",
                    items=self.item,
                    minutes=times.MASK_MIN * len(step.pieces),
                    parts=[painting.masks.film.name],
                )
            else:
                self.book.add(
                    self.at,
                    verb=f"coat {step.number}",
                    kind=StepKind.PAINT,
                    title=f"Coat {step.number} on {words}: {step.paint}",
                    items=self.item,
                    minutes=times.COAT_MIN,
                    rest_hours=times.PAINT_H,
                    parts=[step.paint],
                )
        if masked:
            self.book.add(
                self.at,
                verb="unmask",
                kind=StepKind.MASK,
                title=f"Take all masks off {words}, last one first",
                items=self.item,
                minutes=times.UNMASK_MIN,
            )

    def layers(self) -> None:
        """Coat tints, print films, lay what stands in front of the light."""
        words = self.at.in_words
        tints = self._layers(LayerKind.TINT)
        if tints:
            self.book.add(
                self.at,
                verb="tint",
                kind=StepKind.PAINT,
                title=f"Coat the tints for {words}: {_names(tints)}",
                items=self.openings,
                minutes=times.TINT_MIN * sum(layer.count for layer in tints),
                rest_hours=times.TINT_H,
                parts=[layer.film.name for layer in tints],
            )
        prints = self._layers(LayerKind.PRINT)
        if prints:
            self.book.add(
                self.at,
                verb="print",
                kind=StepKind.FILM,
                title=f"Print {counted(sum(one.count for one in prints), 'film')} for {words}",
                items=self.openings,
                minutes=times.PRINT_MIN * sum(layer.count for layer in prints),
                rest_hours=times.INK_H,
                parts=[layer.film.name for layer in prints],
            )
        films = [*self._layers(LayerKind.DIFFUSER), *self._layers(LayerKind.GEL), *prints, *tints]
        if films:
            self.book.add(
                self.at,
                verb="films",
                kind=StepKind.FILM,
                title=f"Lay the films behind {words}: {_names(films)}",
                items=self.openings,
                minutes=times.FILM_MIN * sum(layer.count for layer in films),
                parts=[layer.film.name for layer in films],
            )

    def _layers(self, kind: LayerKind) -> list[Layer]:
        return [
            layer
            for opening in self.panel.openings
            for layer in opening.layers
            if layer.kind is kind
        ]

    def strands(self) -> None:
        """Thread strands, see that each tip lights, trim them."""
        strands = self.sub.strands_of(self.panel.name)
        if not strands:
            return
        words, items = self.at.in_words, tuple(strand.where.item for strand in strands)
        melted = [strand for strand in strands if strand.head is Head.MUSHROOM]
        if melted:
            self.book.add(
                self.at,
                verb="heads",
                kind=StepKind.THREAD,
                title=f"Melt the heads of {counted(len(melted), 'strand')} for {words}",
                items=tuple(strand.where.item for strand in melted),
                minutes=times.HEAD_MIN * len(melted),
                parts=[strand.fibre.name for strand in melted],
            )
        self.book.add(
            self.at,
            verb="thread",
            kind=StepKind.THREAD,
            title=f"Thread and glue {counted(len(strands), 'strand')} in {words}",
            items=items,
            minutes=times.STRAND_MIN * len(strands),
            rest_hours=times.STRAND_GLUE_H,
            parts=[strand.fibre.name for strand in strands],
        )
        trimmed = [strand for strand in strands if strand.head is not Head.MUSHROOM]
        if trimmed:
            self.book.add(
                self.at,
                verb="trim",
                kind=StepKind.THREAD,
                title=f"Trim {counted(len(trimmed), 'tip')} on {words}",
                items=tuple(strand.where.item for strand in trimmed),
                minutes=times.HEAD_MIN * len(trimmed),
            )
        self.book.add(
            self.at,
            verb="test strands",
            kind=StepKind.TEST,
            title=f"Light every strand of {words} from its tail",
            items=items,
            minutes=times.READING_MIN * len(strands) / 2.0,
            expected=tuple(_points(strands, panel=self.panel)),
        )

    def finish(self) -> None:
        """Decals, and what seals them."""
        covered = under_decals(self.panel, strands=self.sub.strands_of(self.panel.name))
        openings = decalled(self.panel)
        if not covered and not openings:
            return
        words, hidden = self.at.in_words, tuple(one.where.item for one in covered)
        self.book.add(
            self.at,
            verb="decals",
            kind=StepKind.DECAL,
            title=f"Lay the decals on {words}",
            items=(*self.item, *(one.where.item for one in openings), *hidden),
            minutes=times.DECAL_MIN * max(1, len(openings)),
            rest_hours=times.DECAL_H,
            hides=hidden,
            parts=[layer.film.name for layer in self._layers(LayerKind.DECAL)],
        )
        self.book.add(
            self.at,
            verb="clear coat",
            kind=StepKind.CLEAR_COAT,
            title=f"Clear coat over the decals on {words}",
            items=self.item,
            minutes=times.CLEAR_MIN,
            rest_hours=times.CLEAR_H,
        )


def _names(layers: Sequence[Layer]) -> str:
    return ", ".join(dict.fromkeys(layer.film.name for layer in layers))


def _points(strands: Sequence[Strand], *, panel: Panel) -> list[str]:
    """Say group by group which tips must light."""
    groups: dict[str, list[str]] = {}
    for strand in strands:
        groups.setdefault(strand.group, []).append(strand.name)
    return [
        f"{group or 'no group yet'}: {counted(len(names), 'point')} on {panel.name}: "
        f"{', '.join(names)}"
        for group, names in groups.items()
    ]
