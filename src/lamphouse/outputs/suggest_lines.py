"""The answer of ``suggest``: choices with their places, figures and prices, as records."""

from lamphouse.design.box_faces import in_words
from lamphouse.outputs.answer_records import PartsTotal
from lamphouse.plan import suggestion_words
from lamphouse.plan.suggestion import Choice, Suggestion
from lamphouse.record import Record


class PlacedLed(Record):
    """One LED of a choice."""

    name: str
    type: str
    x_mm: float
    y_mm: float
    current_mA: float
    """Wanted through it; the strings set it as nearly as resistors are sold."""
    tilt_deg: float
    """How far it leans from the square to the back."""
    towards_deg: float
    """The way it leans, anticlockwise from the right; nothing for one that stands straight."""


class PromisedOpening(Record):
    """How an opening will look under a choice, solved at full accuracy."""

    opening: str
    mean_cd_m2: float
    bar_cd_m2: float
    """Half the width of the solver's own band for the mean."""
    evenness: float
    hot_spot: float
    look: str
    """Name of the wanted look; empty when there is none."""
    wanted_cd_m2: tuple[float, float] | None
    wanted_evenness: float | None
    colour: str
    """Of its light, in words; empty when it is not known."""
    wanted_colour: str


class ChoiceSummary(Record):
    """One way to light the box."""

    number: int
    """Rank, from 1; 0 for the box as drawn."""
    words: str
    reaches: bool
    """Whether every opening has its wanted look."""
    leds: tuple[PlacedLed, ...]
    depth_mm: float
    finish: str
    """Of its inside, and of faces that have another."""
    inner_diffuser: str
    """Its film; empty without one."""
    strings: int
    plug_mA: float
    """At the plug for this box."""
    cd_m2_per_mA: float
    """Of the first opening with a wish."""
    openings: tuple[PromisedOpening, ...]
    parts: tuple[str, ...]
    """LEDs, films and paint that the box as drawn has not."""
    price: str
    """Beside the box as drawn, in words; empty for itself."""
    to_buy: str
    """Beyond the model as drawn, in words; empty for the box as drawn."""
    cost: tuple[PartsTotal, ...]
    """Of what is to be bought beyond the model as drawn; below 0 where less is."""
    unpriced: tuple[str, ...]
    """Parts of which more is to be bought, and that have no price."""
    freed_strings: tuple[str, ...]
    """Strings of the maker's that it takes apart; the circuit groups their LEDs anew."""


class SuggestResult(Record):
    """The result of ``suggest``."""

    sub_assembly: str
    panel: str
    box: str
    drawn: ChoiceSummary | None
    """None when the box has no LEDs yet."""
    choices: tuple[ChoiceSummary, ...]
    """Best first."""
    proof: str
    """What is proved about the number of LEDs; empty when nothing is."""
    left_out: tuple[str, ...]
    """Choices that would trip a stop or a warning or lose a wanted colour, and colours that nothing
    gives."""
    note: str
    """What becomes of the tilts of LEDs that do not lean alike; empty where they do."""
    applied: int | None
    """Number of the choice that was written into the project file."""


def result_of(suggestion: Suggestion, *, applied: int | None) -> SuggestResult:
    """Put a suggestion into the shape answers carry."""
    return SuggestResult(
        sub_assembly=suggestion.sub_assembly,
        panel=suggestion.panel,
        box=suggestion.box,
        drawn=_summary(suggestion.drawn, number=0) if suggestion.drawn else None,
        choices=tuple(
            _summary(choice, number=number)
            for number, choice in enumerate(suggestion.choices, start=1)
        ),
        proof=suggestion.proof,
        left_out=suggestion.left_out,
        note=suggestion.note,
        applied=applied,
    )


def _summary(choice: Choice, *, number: int) -> ChoiceSummary:
    inner, more = choice.box.inner_diffuser, choice.to_buy
    return ChoiceSummary(
        number=number,
        words=choice.words,
        reaches=choice.reaches,
        leds=tuple(
            PlacedLed(
                name=led.name,
                type=led.led_type.name,
                x_mm=led.x_mm,
                y_mm=led.y_mm,
                current_mA=led.current_A * 1e3,
                tilt_deg=led.tilt_deg,
                towards_deg=led.towards_deg,
            )
            for led in choice.box.leds
        ),
        depth_mm=choice.box.depth_mm,
        finish=in_words(choice.box),
        inner_diffuser=inner.film.name if inner else "",
        strings=choice.strings,
        plug_mA=choice.current_A * 1e3,
        cd_m2_per_mA=choice.cd_m2_per_mA,
        openings=tuple(
            PromisedOpening(
                opening=one.opening,
                mean_cd_m2=one.mean_cd_m2,
                bar_cd_m2=one.bar_cd_m2,
                evenness=one.evenness,
                hot_spot=one.hot_spot,
                look=one.look.name if one.look else "",
                wanted_cd_m2=(one.look.least_cd_m2, one.look.most_cd_m2) if one.look else None,
                wanted_evenness=one.look.evenness if one.look else None,
                colour=one.colour.name if one.colour else "",
                wanted_colour=one.look.colour if one.look else "",
            )
            for one in choice.openings
        ),
        parts=choice.price.parts if choice.price else (),
        price=suggestion_words.price(choice.price) if choice.price else "",
        to_buy=suggestion_words.to_buy(more) if more else "",
        cost=tuple(
            PartsTotal(currency=currency, cost=total / 100)
            for currency, total in (more.totals if more else ())
        ),
        unpriced=more.unpriced if more else (),
        freed_strings=choice.freed,
    )
