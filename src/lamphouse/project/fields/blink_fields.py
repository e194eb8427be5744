"""Fields of source groups, of their patterns, and of the scenes of the time line."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.design.day_scenes import Trigger
from lamphouse.design.pattern import BEATS, PatternKind
from lamphouse.project.fields.light_fields import Current, Position
from lamphouse.project.fields.sections import ItemName, Maybe, Named, Section
from lamphouse.project.fields.values import (
    APART,
    OUT_OF_RANGE,
    Choice,
    Count,
    Measure,
    Reference,
    Words,
    refuse,
)
from lamphouse.units import Quantity

Share = Annotated[
    float,
    Measure(
        quantity=Quantity.SHARE,
        least=0.0,
        most=1.0,
        why="from dark to all the light there is",
        example="60 %",
    ),
]


class PatternFields(Section):
    """What a source group does over time."""

    kind: Annotated[PatternKind, Choice(of=PatternKind)] = Field(
        PatternKind.STEADY, description="The behaviour."
    )
    period: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.DURATION,
                least=0.01,
                most=86_400.0,
                why="from a blink to a day",
                example="6 s",
            ),
        ]
        | None
    ) = Field(None, validate_default=True, description="Time from one beginning to the next.")
    fade: Annotated[
        float,
        Measure(
            quantity=Quantity.DURATION,
            least=0.0,
            most=3600.0,
            why="up to an hour's dusk",
            example="0.3 s",
        ),
    ] = Field(0.0, description="Time to come on and to go off.")
    duty: Share | None = Field(None, description="Share of the period spent lit.")
    seed: Annotated[int, Count(least=0, most=2**31 - 1, why="what a program can hold")] | None = (
        Field(None, description="Where chance begins; groups with one seed blink together.")
    )
    level: Share | None = Field(
        None,
        description="Share of the LED's full light: of flames and screens the mean over time, half "
        "without one; of the others the light while lit, all of it without one.",
    )
    phase: Share | None = Field(
        None, description="Share of the period by which it begins later; by its turn without one."
    )
    set_: Annotated[str, Words(example="runway lamps")] = Field(
        "",
        alias="set",
        description="A word shared by groups on one clock: the lamps of a chase, a crossing or a "
        "rotating alarm take turns in the order of the file.",
    )
    lag: Annotated[
        float,
        Measure(
            quantity=Quantity.DURATION,
            least=0.0,
            most=5.0,
            why="a big old lamp follows within a second or two",
            example="0.15 s",
        ),
    ] = Field(0.0, description="How slowly it follows, as an old lamp's filament does.")
    repeat: Annotated[
        float,
        Measure(
            quantity=Quantity.DURATION,
            least=1.0,
            most=3600.0,
            why="what a program can hold",
            example="60 s",
        ),
    ] = Field(60.0, description="How long chance runs before it repeats.")

    @field_validator("period")
    @classmethod
    def _period_where_needed(cls, period: float | None, info: ValidationInfo) -> float | None:
        kind = info.data.get("kind")
        if period is None and kind in BEATS:
            refuse(APART, f"a {kind} needs a period", "add the period, such as period: 2 s")
        return period

    @field_validator("fade")
    @classmethod
    def _fade_fits(cls, fade: float, info: ValidationInfo) -> float:
        period = info.data.get("period")
        if period is not None and fade > period / 2.0:
            refuse(
                OUT_OF_RANGE,
                f"a fade of {fade:g} s on and off does not fit into a period of {period:g} s",
                f"write {period / 2.0:g} s or less",
            )
        return fade


class SourceFields(Section):
    """The LED that lights a group's strands."""

    led: Annotated[str, Words(example="green 3 mm")] = Field(
        description="Its type, as the catalogue names it."
    )
    current: Current = Field(description="The current wanted through it.")
    at: Position | None = Field(
        None,
        description="Where it stands behind the panels, from the lower left corner of its "
        "sub-assembly: right, up. Left out, a free place near its holes is found.",
    )
    behind: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=0.0,
                most=1000.0,
                why="the depth of a model",
                example="45 mm",
            ),
        ]
        | None
    ) = Field(
        None,
        description="From the rear face of the panels to where its strands enter the ferrule. "
        "Left out, as near as the fibres bend.",
    )
    gap: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=0.0,
                most=50.0,
                why="the length of a collar",
                example="2 mm",
            ),
        ]
        | None
    ) = Field(
        None,
        description="From the LED to the ends of its strands. Left out, the least at which their "
        "tips look alike.",
    )
    diffuser: Annotated[str, Words(example="opal film 60")] | None = Field(
        None, description="Film between the LED and its strands, as the catalogue names it."
    )


class GroupFields(Section):
    """Strands and LEDs that blink together."""

    in_: Annotated[str, Reference(example="console")] = Field(
        alias="in", description="Sub-assembly that carries its source LED."
    )
    source: Maybe[SourceFields] = Field(
        None, description="The LED that lights its strands; none when it has only LEDs in boxes."
    )
    pattern: PatternFields = Field(
        default_factory=PatternFields, description="What it does over time."
    )


class SceneFields(Section):
    """A part of the model's time line: scenes come in turn, over and over, or at a trigger."""

    lasts: Annotated[
        float,
        Measure(
            quantity=Quantity.DURATION,
            least=0.1,
            most=86_400.0,
            why="from a blink to a day",
            example="3 min",
        ),
    ] = Field(description="How long it lasts.")
    trigger: Annotated[Trigger, Choice(of=Trigger)] = Field(
        Trigger.IN_TURN, description="What begins it; the day goes on after it."
    )
    every: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.DURATION,
                least=1.0,
                most=86_400.0,
                why="from a second to a day",
                example="5 min",
            ),
        ]
        | None
    ) = Field(None, validate_default=True, description="How often a timer begins it.")
    fade: Annotated[
        float,
        Measure(
            quantity=Quantity.DURATION,
            least=0.0,
            most=3600.0,
            why="up to an hour's dusk",
            example="10 s",
        ),
    ] = Field(0.0, description="Time in which the levels of the scene before go over into its own.")
    levels: Named[Share] = Field(
        {},
        description="Groups with a share of their light; those left out keep all of it.",
        examples=[{"beacon": "60 %"}],
    )
    patterns: dict[ItemName, PatternFields] = Field(
        {}, description="Groups that do something else in this scene."
    )

    @field_validator("every")
    @classmethod
    def _timer_has_it(cls, every: float | None, info: ValidationInfo) -> float | None:
        by_timer = info.data.get("trigger") is Trigger.TIMER
        if by_timer and every is None:
            refuse(APART, "a timer needs its time", "add how often, such as every: 5 min")
        if not by_timer and every is not None and "trigger" in info.data:
            refuse(APART, "only a timer has a time", "add trigger: timer, or remove every")
        lasts = info.data.get("lasts")
        if every is not None and lasts is not None and every <= lasts:
            refuse(
                OUT_OF_RANGE,
                f"begun every {every:g} s and lasting {lasts:g} s it never ends",
                f"write more than {lasts:g} s",
            )
        return every

    @field_validator("fade")
    @classmethod
    def _fade_within(cls, fade: float, info: ValidationInfo) -> float:
        lasts = info.data.get("lasts")
        if lasts is not None and fade > lasts:
            refuse(
                OUT_OF_RANGE,
                f"a fade of {fade:g} s does not fit into a scene of {lasts:g} s",
                f"write {lasts:g} s or less",
            )
        return fade
