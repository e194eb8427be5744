"""Makes one choice of a suggestion: its circuit designed, its glow solved, its price counted."""

from collections import Counter
from collections.abc import Mapping, Sequence

from lamphouse.balance.led_currents import led_currents
from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.verdict import judge_sub_assembly
from lamphouse.cutting.cutlist import cut_panel
from lamphouse.design.lightbox import Led, LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import StringWish
from lamphouse.design.whole import Design, Look
from lamphouse.findings import RULES, Finding, Severity
from lamphouse.light.box_glow import LedCurrent, OpeningGlow
from lamphouse.light.box_scene import Drawn, draw_box
from lamphouse.light.clearance import too_near
from lamphouse.light.gluing_grid import Floor
from lamphouse.light.solved_box import solve_box
from lamphouse.light.sound_suite import faults
from lamphouse.light.wishes import FluxSpan, Wish
from lamphouse.plan.coloured_starts import is_in_colour
from lamphouse.plan.led_rows import rows_of
from lamphouse.plan.resistor_stock import stock_for
from lamphouse.plan.suggestion import Choice, Request
from lamphouse.plan.under_floor import run_ohm_of
from lamphouse.record import Record, replace


class Desk(Record):
    """What every choice is made with."""

    design: Design
    request: Request
    led: Led
    """The LED to be placed; its place plays no part."""
    wishes: tuple[Wish, ...]
    looks: tuple[Look, ...]
    span: FluxSpan
    base: Floor
    """The back of the box; the same for every variation."""
    lead_mm: float
    circuit: SubAssemblyCircuit | None
    """Of the sub-assembly as drawn."""
    stem: str
    taken: frozenset[str]
    """Names of the sub-assembly's other LEDs."""
    faults: Counter[str]
    """Stops and warnings of the sub-assembly as drawn, by code."""
    beside: tuple[LightBox, ...]
    """The other boxes behind the panel; they stay as they are."""
    neighbours: Mapping[str, LedCurrent]
    """The currents of their LEDs as drawn, by name."""
    passages: int
    """Through which light of the box goes to and fro; none may be lost."""


def lit_sub(desk: Desk, *, panel: Panel, box: LightBox) -> tuple[SubAssembly, tuple[str, ...]]:
    """Put a changed panel and box into the sub-assembly; give it, and the strings that are freed.

    A string of the maker's is freed when it names an LED that is no longer there, when its LEDs now
    want different currents, or when its resistor was chosen for another current.
    """
    request = desk.request
    sub, old = request.sub, {led.name: led for led in request.box.leds}
    boxes = tuple(
        (name, box if one.name == request.box.name and name == panel.name else one)
        for name, one in sub.boxes
    )
    panels = tuple(panel if one.name == panel.name else one for one in sub.panels)
    changed = replace(sub, panels=panels, boxes=boxes)
    now = {led.name: led for led in changed.leds()}

    def is_kept(wish: StringWish) -> bool:
        if not old.keys() & set(wish.leds):
            return True
        if not all(name in now for name in wish.leds):
            return False
        currents = {now[name].current_A for name in wish.leds}
        as_before = all(now[n].current_A == old[n].current_A for n in wish.leds if n in old)
        return len(currents) == 1 and (as_before or wish.resistor_ohm is None)

    kept = tuple(wish for wish in sub.strings if is_kept(wish))
    freed = tuple(wish.name for wish in sub.strings if wish not in kept)
    return replace(changed, strings=kept), freed


def judged(
    design: Design, *, sub: SubAssembly, panel: Panel, box: LightBox, lead_mm: float
) -> tuple[SubAssemblyCircuit | None, tuple[Finding, ...]]:
    """Design the circuit of a sub-assembly and cut one of its boxes; give circuit and findings."""
    circuit, told = judge_sub_assembly(
        sub,
        supply=at_terminals(design.supply, subs=design.sub_assemblies),
        habits=design.habits,
        package=sub.board.resistor_package if sub.board else design.resistor_package,
        groups=design.groups,
        run_ohm=run_ohm_of(sub, design=design),
        drawer=stock_for(sub, design=design),
    )
    cut = cut_panel(
        panel,
        strands=sub.strands_of(panel.name),
        boxes=(box,),
        sub_assembly=sub.name,
        drills=design.drills,
        lead_mm=lead_mm,
    )
    return circuit, (*told, *cut.findings)


def strings_of(circuit: SubAssemblyCircuit | None) -> tuple[StringDesign, ...]:
    """Give the strings of a circuit; none where there is no circuit."""
    return circuit.strings if circuit else ()


def troubles(found: Sequence[Finding]) -> Counter[str]:
    """Count stops and warnings by code."""
    return Counter(one.code for one in found if one.severity is not Severity.NOTE)


def choose(desk: Desk, *, words: str, panel: Panel, box: LightBox) -> tuple[Choice | None, str]:
    """Design the circuit of a changed box and solve its glow at the currents that come out.

    Parameters
    ----------
    desk
        What choices are made with.
    words
        The choice in the maker's words.
    panel, box
        As changed, the box with its LEDs at the currents wanted.

    Returns
    -------
    tuple
        The choice, None where it cannot be solved; and the stops and warnings that it would trip
        beyond those of the sub-assembly as drawn, empty when there are none.
    """
    rows = rows_of(box.leds, stem=desk.stem, taken=desk.taken)
    lit = replace(box, leds=tuple(led for row in rows for led in row.leds()))
    sub, freed = lit_sub(desk, panel=panel, box=lit)
    circuit, found = judged(desk.design, sub=sub, panel=panel, box=lit, lead_mm=desk.lead_mm)
    more = troubles(found) - desk.faults
    choice = solved(desk, words=words, panel=panel, box=lit, strings=strings_of(circuit))
    spoilt = "; ".join(f"{RULES[code].title} [{code}]" for code in more)
    return choice and replace(choice, rows=rows, freed=freed, circuit=circuit), spoilt


def passages_of(drawn: Drawn) -> int:
    """Count the passages of a box and of those whose light can reach it."""
    return 0 if drawn.suite is None else len(drawn.suite.passages)


def solved(
    desk: Desk, *, words: str, panel: Panel, box: LightBox, strings: Sequence[StringDesign]
) -> Choice | None:
    """Solve a box at full accuracy with its LEDs at the currents of their strings.

    Returns
    -------
    Choice or None
        None where the solver refuses it, or an LED lies too near to something for a figure.
    """
    own = {led.name for led in box.leds}
    ours = [string for string in strings if own & {led.name for led in string.leds}]
    currents = led_currents(strings, boxes=(box, *desk.beside))
    drawn = draw_box(panel, box=box, currents=currents, beside=desk.beside)
    if passages_of(drawn) != desk.passages or faults(drawn) or any(True for _ in too_near(drawn)):
        return None
    seen = solve_box(
        drawn,
        currents=tuple(currents.values()),
        looks=(),
        room=desk.design.room,
        without=frozenset(),
    )
    wanted = {wish.opening: look for wish, look in zip(desk.wishes, desk.looks, strict=True)}
    openings = tuple(
        replace(sight.glow, look=wanted.get(sight.glow.opening)) for sight in seen.sights
    )
    current_A = sum(string.current_A.nominal for string in ours)
    first = next(one for one in openings if one.look)
    return Choice(
        words=words,
        panel=panel,
        box=box,
        openings=openings,
        reaches=all(map(is_reached, openings)),
        strings=len(ours),
        current_A=current_A,
        cd_m2_per_mA=first.mean_cd_m2 / (1e3 * current_A) if current_A else 0.0,
    )


def is_reached(opening: OpeningGlow) -> bool:
    """Tell whether an opening has the class, evenness and colour wanted, and no hot spot."""
    look = opening.look
    return look is None or (
        is_in_colour(opening)
        and look.least_cd_m2 <= opening.mean_cd_m2 <= look.most_cd_m2
        and opening.evenness >= look.evenness
        and opening.hot_spot <= 1.0 / look.evenness
    )


def evenness_of(choice: Choice) -> float:
    """Evenness of the least even opening with a wish."""
    return min(one.evenness for one in choice.openings if one.look)
