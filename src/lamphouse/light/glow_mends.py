"""Changes to a light box that would make an opening even, each tried by solving the changed box.

Every offer was solved on the mesh of an answer; the search before it uses a coarser one. At most
about twenty boxes are solved for one opening.
"""

from collections.abc import Iterator
from math import ceil, floor, hypot

from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.shelf import built_in
from lamphouse.design.box_faces import finished_faces, finishes_in, repainted
from lamphouse.design.lightbox import InnerDiffuser, Led, LightBox, Seat
from lamphouse.findings import MendEdit, sets
from lamphouse.light import front, sound_suite
from lamphouse.light.box_glow import LedCurrent
from lamphouse.light.box_scene import Drawn, draw_box, shape_of
from lamphouse.light.clearance import gap_from_mm, room_for_sheet_mm, too_near
from lamphouse.light.glow_words import (
    counted,
    in_cd_m2,
    in_current,
    in_mm,
    in_percent,
    together,
)
from lamphouse.light.scene import Rectangle
from lamphouse.light.solved_box import Sight, SolvedBox
from lamphouse.light.step_size import step_mm
from lamphouse.record import Record, replace

SEARCH_STEP = 2.0
"""Step of the search over that of the answer."""

DEEPEST = 2.0
"""A box is deepened to at most this many times its depth."""

DEPTH_STEP_MM = 0.5
MOST_LEDS_TIMES = 2.0
"""LEDs are added up to this many times their number."""

MOST_GRIDS = 8
WHITE = "matt white paint"
INNER_FILMS = ("opal film 70", "opal film 60", "opal film 40")
"""Diffusers tried inside, in the order of the light they cost; the last spreads it most."""


class Aim(Record):
    """What an opening should reach: its place in the scene and its evenness."""

    index: int
    evenness: float
    colour_factor: float = 1.0
    """What colour makes of its luminance by grey sums."""

    @property
    def most_hot(self) -> float:
        """Largest cell over the mean that is allowed: as far above as the smallest is below."""
        return 1.0 / self.evenness if self.evenness > 0.0 else float("inf")

    def met_by(self, look: front.Look) -> bool:
        """Whether an opening that looks so is even enough."""
        return look.smallest_over_mean >= self.evenness and look.largest_over_mean <= self.most_hot


class Offer(Record):
    """A change that was tried, and how the opening then looks."""

    words: str
    look: front.Look
    mean_cd_m2: float
    """In colour."""
    mend: tuple[MendEdit, ...] = ()
    """The change as values of the file; empty where it is more."""

    def __str__(self) -> str:
        """Say what to do and what comes of it."""
        return (
            f"{self.words} (evenness {in_percent(self.look.smallest_over_mean)}, "
            f"{in_cd_m2(self.mean_cd_m2)})"
        )


def _currents(solved: SolvedBox) -> dict[str, LedCurrent]:
    return {current.led: current for current in solved.currents}


def _solve(drawn: Drawn, *, index: int, coarse: bool) -> front.Look | None:
    """Solve a changed box; None when it cannot be built or computed."""
    if sound_suite.faults(drawn) or any(too_near(drawn)):
        return None
    step = step_mm(drawn.scene) * SEARCH_STEP if coarse else None
    return sound_suite.solve(drawn, step=step).looks[index]


def _promises(drawn: Drawn, *, aim: Aim) -> bool:
    """Whether a changed box meets the aim on the coarser mesh of the search."""
    look = _solve(drawn, index=aim.index, coarse=True)
    return look is not None and aim.met_by(look)


def _proved(drawn: Drawn, *, aim: Aim, words: str, mend: tuple[MendEdit, ...] = ()) -> Offer | None:
    """Offer a changed box if it meets the aim on the mesh of an answer."""
    look = _solve(drawn, index=aim.index, coarse=False)
    if look is None or not aim.met_by(look):
        return None
    return Offer(words=words, look=look, mean_cd_m2=aim.colour_factor * look.mean_cd_m2, mend=mend)


def deeper(solved: SolvedBox, *, aim: Aim) -> Offer | None:
    """Find the least depth, in half millimetres up to twice the depth, that is even enough."""
    drawn, currents = solved.drawn, _currents(solved)

    def at(steps: int) -> Drawn:
        box = replace(drawn.box, depth_mm=steps * DEPTH_STEP_MM)
        return draw_box(drawn.panel, box=box, currents=currents, beside=drawn.beside)

    short = floor(drawn.box.depth_mm / DEPTH_STEP_MM)
    enough = ceil(drawn.box.depth_mm * DEEPEST / DEPTH_STEP_MM)
    if not _promises(at(enough), aim=aim):
        return None
    while enough - short > 1:
        middle = (short + enough) // 2
        short, enough = (short, middle) if _promises(at(middle), aim=aim) else (middle, enough)
    for steps in (enough, enough + 1):
        depth = in_mm(steps * DEPTH_STEP_MM)
        mend = sets("depth", depth, item=drawn.box.where.item)
        if offer := _proved(at(steps), aim=aim, words=f"deepen the box to {depth}", mend=mend):
            return offer
    return None


def _grids(count: int, *, width_mm: float, height_mm: float) -> Iterator[tuple[int, int]]:
    """Give grids of columns and rows for at least ``count`` LEDs, the fewest and squarest first."""
    grids = []
    for total in range(count, floor(MOST_LEDS_TIMES * count) + 1):
        for rows in range(1, total + 1):
            if total % rows == 0:
                across, up = width_mm * rows / total, height_mm / rows
                stretch = max(across / up, up / across)
                grids.append((total, stretch, total // rows, rows))
    for _, stretch, columns, rows in sorted(grids):
        if stretch <= 2.0:
            yield columns, rows


def _in_grid(box: LightBox, *, columns: int, rows: int, room: Rectangle) -> tuple[Led, ...]:
    """Place LEDs in the middles of equal parts of a box, each like the first, the light shared."""
    first, total = box.leds[0], columns * rows
    share = sum(led.current_A for led in box.leds) / total
    across = (room.right_mm - room.left_mm) / columns
    up = (room.top_mm - room.bottom_mm) / rows
    return tuple(
        replace(
            first,
            name=f"{first.name} {number + 1}",
            x_mm=room.left_mm + (number % columns + 0.5) * across,
            y_mm=room.bottom_mm + (number // columns + 0.5) * up,
            current_A=share,
        )
        for number in range(total)
    )


def _off_pillars(leds: tuple[Led, ...], *, drawn: Drawn) -> bool:
    """Tell whether no package comes near a pillar, however it is turned."""
    return all(
        gap_from_mm((led.x_mm, led.y_mm), ring=ring) > hypot(*led.led_type.package_mm[:2]) / 2.0
        for led in leds
        for ring in drawn.scene.holes
    )


def regrouped(solved: SolvedBox, *, aim: Aim) -> Offer | None:
    """Find the fewest LEDs in an even grid over a rectangular box that are even enough.

    They share the light of the LEDs there are; offered where these are of one type on the back,
    square to it or all tilted alike.
    """
    drawn = solved.drawn
    box, room = drawn.box, shape_of(drawn.box.inside)
    alike = len({(led.led_type, led.seat, led.tilt_deg, led.towards_deg) for led in box.leds}) == 1
    if not alike or box.leds[0].seat is not Seat.BACK or not isinstance(room, Rectangle):
        return None
    width, height = room.right_mm - room.left_mm, room.top_mm - room.bottom_mm
    grids = _grids(len(box.leds), width_mm=width, height_mm=height)
    for _, (columns, rows) in zip(range(MOST_GRIDS), grids, strict=False):
        leds = _in_grid(box, columns=columns, rows=rows, room=room)
        if not _off_pillars(leds, drawn=drawn):
            continue
        changed = draw_box(
            drawn.panel, box=replace(box, leds=leds), currents={}, beside=drawn.beside
        )
        pitch = " and ".join(
            f"{in_mm(length / count)} apart {way}"
            for length, count, way in ((width, columns, "across"), (height, rows, "up"))
            if count > 1
        )
        words = (
            f"put {counted(columns * rows, 'LED')} of {in_current(leds[0].current_A)} in "
            f"{counted(rows, 'row')} of {columns}" + (f", {pitch}" if pitch else "")
        )
        offer = _promises(changed, aim=aim) and _proved(changed, aim=aim, words=words)
        if offer:
            return offer
    return None


def diffused(solved: SolvedBox, *, aim: Aim) -> Offer | None:
    """Find an inner diffuser from the catalogue, about half deep, that is even enough."""
    drawn = solved.drawn
    if drawn.box.inner_diffuser is not None:
        return None
    thick = max(built_in().film_types[name].thickness_mm for name in INNER_FILMS)
    half = round(drawn.box.depth_mm / 2.0, 1)
    height = room_for_sheet_mm(drawn.box, thickness_mm=thick, half_mm=half)
    if height is None:
        return None

    def under(name: str) -> Drawn:
        inner = InnerDiffuser(film=built_in().film_types[name], height_mm=height)
        box = replace(drawn.box, inner_diffuser=inner)
        return draw_box(drawn.panel, box=box, currents=_currents(solved), beside=drawn.beside)

    if not _promises(under(INNER_FILMS[-1]), aim=aim):
        return None
    for name in INNER_FILMS:
        words = f"lay '{name}' across the box {in_mm(height)} above its back"
        item = drawn.box.where.item
        mend = sets("inner_diffuser film", name, item=item)
        mend += sets("inner_diffuser height", in_mm(height), item=item)
        if offer := _proved(under(name), aim=aim, words=words, mend=mend):
            return offer
    return None


def whiter(solved: SolvedBox, *, aim: Aim) -> Offer | None:
    """Try matt white paint on all faces, baffles and pillars whose finish is darker."""
    drawn, white = solved.drawn, built_in().finishes[WHITE]
    if not is_darker(drawn.box, than=white):
        return None
    box = brightened(drawn.box, finish=white)
    changed = draw_box(drawn.panel, box=box, currents=_currents(solved), beside=drawn.beside)
    mend = _painting(box, before=drawn.box)
    words = painted_words(drawn.box, finish=white)
    return _proved(changed, aim=aim, words=words, mend=mend)


def _painting(box: LightBox, *, before: LightBox) -> tuple[MendEdit, ...]:
    """Give a change of finishes as values of the file."""
    item = box.where.item
    mend = () if box.finish == before.finish else sets("finish", box.finish.name, item=item)
    for new, old in zip(box.faces, before.faces, strict=True):
        if new != old:
            mend += sets(f"faces '{new.face}'", new.finish.name, item=item)
    for baffle, was in zip(box.baffles, before.baffles, strict=True):
        if baffle.finish and baffle.finish != was.finish:
            mend += sets("finish", baffle.finish.name, item=baffle.where.item)
    for pillar, stood in zip(box.pillars, before.pillars, strict=True):
        if pillar.finish and pillar.finish != stood.finish:
            mend += sets("finish", pillar.finish.name, item=pillar.where.item)
    return mend


def is_darker(box: LightBox, *, than: Finish) -> bool:
    """Tell whether anything inside a box throws back less than a finish."""
    return any(finish.reflectance < than.reflectance for finish in finishes_in(box))


def brightened(box: LightBox, *, finish: Finish) -> LightBox:
    """Give a box with a finish on everything inside that is darker."""
    return repainted(
        box, finish=finish, instead_of=lambda old: old.reflectance < finish.reflectance
    )


def painted_words(box: LightBox, *, finish: Finish) -> str:
    """Say what to paint: all of it, or the faces whose finish is darker."""
    faces = list(finished_faces(box))
    darker = [face for face, one in faces if one.reflectance < finish.reflectance]
    what = "it" if len(darker) == len(faces) else together(darker)
    return f"paint {what} '{finish.name}'"


def ways_to_even(solved: SolvedBox, *, sight: Sight, evenness: float) -> tuple[Offer, ...]:
    """List what would make an opening even enough, each solved; empty when nothing tried does."""
    colour = sight.glow.colour
    factor = 1.0 if colour is None else colour.factor
    aim = Aim(index=sight.index, evenness=evenness, colour_factor=factor)
    found = (way(solved, aim=aim) for way in (whiter, regrouped, deeper, diffused))
    return tuple(offer for offer in found if offer is not None)
