"""The steps of a light box: cut, painted inside, put together, LEDs set, closed, seen in the dark.

A box of flat pieces has its walls glued behind the panel first; its back with the LEDs closes it. A
folded or printed one is closed when it is glued on as a whole. Baffles that hang are glued to the
panel before; those with tabs are glued between the walls instead, and go on with them.
"""

from lamphouse.build import step_times as times
from lamphouse.build.made_things import MadeThings, through
from lamphouse.build.steps import StepKind
from lamphouse.build.task_book import Level, Owner, TaskBook
from lamphouse.circuit.phrases import counted, listed
from lamphouse.cutting.pillar_pieces import bars_of, is_printed
from lamphouse.cutting.wedges import tilt_words
from lamphouse.design.box_faces import PANEL, finished_faces, in_words, pillar_finish
from lamphouse.design.lightbox import BaffleJoint, Build, LightBox, Seams
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.units import Quantity, show

DARK = (
    "no light but at its openings; where a wall or seam glows, another coat or tape, with the lamp "
    "on"
)
LAID = ("aluminium foil", "silvered film")
"""Finishes that are laid and not painted."""


def box_steps(
    book: TaskBook, box: LightBox, *, panel: Panel, sub: SubAssembly, made: MadeThings
) -> None:
    """Write down every step of a light box."""
    at = Owner(level=Level.BOX, sub_assembly=sub.name, name=box.name, panel=panel.name)
    writer = _Box(book, at, box, panel=panel, sub=sub, made=made)
    writer.shape()
    writer.raise_pillars()
    writer.put_together()
    writer.equip()
    writer.close()


class _Box:
    """What writes the steps of one box."""

    def __init__(
        self,
        book: TaskBook,
        at: Owner,
        box: LightBox,
        *,
        panel: Panel,
        sub: SubAssembly,
        made: MadeThings,
    ) -> None:
        self.book, self.at, self.box, self.panel, self.sub = book, at, box, panel, sub
        pieces = made.box_pieces(box, panel=panel.name, sub=sub)
        of_pillars = {pillar.where for pillar in box.pillars}
        every = pieces.pieces if pieces else ()
        self.pieces = tuple(piece for piece in every if piece.where not in of_pillars)
        self.slices = tuple(piece for piece in every if piece.where in of_pillars)
        self.pillars = tuple(one for one in box.pillars if not is_printed(one, box=box))
        self.item = (box.where.item,)
        self.leds = tuple(led.where.item for led in box.leds)
        self.strands = through(box, strands=sub.strands_of(panel.name))
        self.hung = tuple(baffle.where.item for baffle in box.baffles if baffle.hangs)
        self.tabbed = box.build is Build.PIECES and box.baffle_joint is BaffleJoint.TABS

    def shape(self) -> None:
        """Cut and drill, or print."""
        words, printed = self.at.in_words, self.box.build is Build.PRINTED
        count = sum(piece.count for piece in self.pieces) or 6
        cut_outs = sum(len(piece.cutouts) for piece in self.pieces)
        minutes = times.CUT_MIN * count + times.CUT_OUT_MIN * cut_outs
        self.book.add(
            self.at,
            verb="cut",
            kind=StepKind.CUT,
            title=self._printed() if printed else f"Cut the pieces of {words}",
            items=self.item,
            minutes=times.PRINT_BODY_MIN if printed else minutes,
            rest_hours=times.PRINTER_H if printed else 0.0,
            parts=[piece.sheet.name for piece in self.pieces] or [self.box.sheet.name],
        )
        every = (*self.pieces, *self.slices)
        holes = sum(len(piece.holes) * piece.count for piece in every)
        if holes:
            self.book.add(
                self.at,
                verb="drill",
                kind=StepKind.DRILL,
                title=f"Drill {counted(holes, 'hole')} in {words}",
                items=self.item,
                minutes=times.DRILL_SET_MIN + times.HOLE_MIN * holes,
            )

    def _printed(self) -> str:
        """Say what is printed, and what is cut beside it."""
        more = ", and cut the baffles that hang in it" if self.hung else ""
        return f"Print and clean {self.at.in_words}{more}"

    def raise_pillars(self) -> None:
        """Make the pillars, and glue them on the back."""
        count, words = len(self.pillars), self.at.in_words
        if not count:
            return
        slices = sum(piece.count for piece in self.slices)
        bars = [bar.words for bar in bars_of(self.box, strands=self.strands)]
        finishes = dict.fromkeys(pillar_finish(self.box, one) for one in self.pillars)
        painted = [one.name for one in finishes if not one.is_bare]
        paint = f"; paint: {listed(painted)}" if painted else ""
        deep = show(self.box.depth_mm, Quantity.LENGTH)
        items = (*self.item, *(one.where.item for one in self.pillars))
        self.book.add(
            self.at,
            verb="make pillars",
            kind=StepKind.GLUE,
            title=f"Make {counted(count, 'pillar')} of {words}, {deep} high{paint}",
            items=items,
            minutes=times.SLICE_MIN * slices
            + times.BAR_MIN * len(bars)
            + times.INSIDE_MIN * len(painted),
            rest_hours=max(
                times.GLUE_H if slices > len(self.slices) else 0.0,
                times.INSIDE_H if painted else 0.0,
            ),
            parts=[*(piece.sheet.name for piece in self.slices), *bars, *painted],
        )
        self.book.add(
            self.at,
            verb="pillars",
            kind=StepKind.GLUE,
            title=f"Glue {counted(count, 'pillar')} on the back of {words}, upright",
            items=items,
            minutes=times.JOINT_MIN * count,
            rest_hours=times.GLUE_H,
        )

    def put_together(self) -> None:
        """Finish the inside, glue or fold, block light outside."""
        box, words = self.box, self.at.in_words
        self._paint_inside()
        folded = box.build is Build.FOLDED
        joints = sum(piece.count for piece in self.pieces) + len(box.baffles) or 5
        glued = [one.where.item for one in box.baffles if self.tabbed or not one.hangs]
        if box.build is not Build.PRINTED or glued:
            folds = sum(len(piece.folds) for piece in self.pieces)
            self.book.add(
                self.at,
                verb="assemble",
                kind=StepKind.BEND if folded else StepKind.GLUE,
                title=f"Fold and glue {words}" if folded else f"Glue the walls of {words}",
                items=(*self.item, *glued),
                minutes=times.FOLD_MIN * folds + times.JOINT_MIN * joints,
                rest_hours=times.GLUE_H,
            )
        coats = box.coats or ()
        if coats:
            self.book.add(
                self.at,
                verb="block light",
                kind=StepKind.BLOCK_LIGHT,
                title=f"Block light on {words}: "
                + ", ".join(f"{one.count} x {one.coat.name}" for one in coats),
                items=self.item,
                minutes=times.BLACK_MIN * sum(one.count for one in coats),
                rest_hours=times.BLACK_H,
                parts=[one.coat.name for one in coats],
            )

    def _paint_inside(self) -> None:
        """Finish the faces inside, each with its own; over coats the panel has a step of its own.

        So have pillars that are made apart.
        """
        box, words = self.box, self.at.in_words
        apart = {f"pillar {one.name}" for one in self.pillars}
        apart |= {PANEL} if box.coats else set()
        faces = [one for one in finished_faces(box) if one[0] not in apart]
        painted = [(face, finish) for face, finish in faces if not finish.is_bare]
        if not painted:
            return
        names = list(dict.fromkeys(finish.name for _, finish in painted))
        wet = [name for name in names if not name.startswith(LAID)]
        what, named = f"the inside of {words}", [face for face, _ in painted]
        if named == [PANEL]:
            what, faces = f"the rear of the panel in {words}", painted
        elif PANEL in named:
            what += ", and the rear of the panel in it"
        in_one = box.build is not Build.PIECES and len(names) > 1
        self.book.add(
            self.at,
            verb="inside",
            kind=StepKind.PAINT if wet else StepKind.FILM,
            title=f"Finish {what}: {in_words(box, faces=faces)}"
            + (", each masked from the other" if in_one else ""),
            items=(*self.item, *(one.where.item for one in box.baffles if one.finish)),
            minutes=times.INSIDE_MIN * len(names),
            rest_hours=times.INSIDE_H * (len(wet) if in_one else min(len(wet), 1)),
            parts=names,
        )

    def equip(self) -> None:
        """Glue baffles and walls to the panel, LEDs into their seats, the inner diffuser across."""
        box, words = self.box, self.at.in_words
        if self.hung and not self.tabbed:
            count = counted(len(self.hung), "baffle")
            self.book.add(
                self.at,
                verb="hang",
                kind=StepKind.GLUE,
                title=f"Glue {count} of {words} to the rear of the panel, over the marks",
                items=(*self.item, *self.hung),
                minutes=times.JOINT_MIN * len(self.hung),
                rest_hours=times.GLUE_H,
            )
        if box.build is Build.PIECES:
            self.book.add(
                self.at,
                verb="mount",
                kind=StepKind.GLUE,
                title=f"Glue the walls of {words} behind the panel, its back still off",
                items=(*self.item, *(self.hung if self.tabbed else ())),
                minutes=2 * times.JOINT_MIN,
                rest_hours=times.GLUE_H,
            )
        if box.leds:
            self.book.add(
                self.at,
                verb="set LEDs",
                kind=StepKind.GLUE,
                title=f"Glue {counted(len(box.leds), 'LED')} into {words}, leads out"
                + "".join(f"; {tilt}" for tilt in tilt_words(box.leds)),
                items=(*self.item, *self.leds),
                minutes=times.SET_LED_MIN * len(box.leds)
                + times.TILT_LED_MIN * sum(led.tilt_deg > 0.0 for led in box.leds),
                rest_hours=times.LED_GLUE_H,
            )
        if box.inner_diffuser:
            self.book.add(
                self.at,
                verb="diffuser",
                kind=StepKind.FILM,
                title=f"Lay the inner diffuser into {words}",
                items=self.item,
                minutes=times.FILM_MIN,
                parts=[box.inner_diffuser.film.name],
            )
        films = [passage.film for passage in box.passages if passage.film]
        if films:
            self.book.add(
                self.at,
                verb="passages",
                kind=StepKind.FILM,
                title=f"Close the passages of {words} with film",
                items=self.item,
                minutes=times.FILM_MIN * len(films),
                parts=[film.name for film in films],
            )

    def close(self) -> None:
        """Close the box, its seams, and look at it in the dark."""
        box, words = self.box, self.at.in_words
        opens = box.fixing is not None and box.build is Build.PIECES
        hidden = () if opens else (*self.leds, *(one.where.item for one in self.strands))
        how = {
            Build.PIECES: f"Close {words} with its back",
            Build.FOLDED: f"Close {words}: glue it behind the panel",
            Build.PRINTED: f"Close {words}: glue it behind the panel",
        }
        self.book.add(
            self.at,
            verb="close",
            kind=StepKind.CLOSE,
            title=how[box.build] + (", held so that it opens again" if opens else ""),
            items=(*self.item, *self.leds),
            minutes=times.CLOSE_MIN,
            rest_hours=0.0 if opens else times.CLOSE_H,
            hides=hidden,
        )
        if box.seams in (Seams.TAPED, Seams.FILLED):
            taped = box.seams is Seams.TAPED
            self.book.add(
                self.at,
                verb="seams",
                kind=StepKind.BLOCK_LIGHT,
                title=f"{'Tape' if taped else 'Fill'} the seams of {words} and round its wires",
                items=self.item,
                minutes=times.SEAM_MIN,
                rest_hours=0.0 if taped else times.BLACK_H,
            )
        if box.leds:
            self.book.add(
                self.at,
                verb="dark room",
                kind=StepKind.TEST,
                title=f"See {words} lit in the dark, from all sides",
                items=self.item,
                minutes=times.LOOK_MIN,
                expected=(DARK,),
            )
