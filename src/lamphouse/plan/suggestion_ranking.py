"""Choices of a suggestion put in order, each with what it costs beside the box as drawn."""

from collections.abc import Iterator, Sequence

from lamphouse.build.buying import MoreToBuy
from lamphouse.design.box_faces import finished_faces, finishes_in
from lamphouse.plan.choice_bills import drawn_bill, more_to_buy
from lamphouse.plan.choosing import Desk, evenness_of
from lamphouse.plan.suggestion import Choice, Price
from lamphouse.record import replace

MOST_CHOICES, MOST_THOROUGH = 6, 14
"""Choices listed, and those of a thorough search."""


def _price(choice: Choice, *, desk: Desk, drawn: Choice | None) -> Price | None:
    if drawn is None:
        return None
    return Price(
        leds=len(choice.box.leds) - len(drawn.box.leds),
        strings=choice.strings - drawn.strings,
        current_A=choice.current_A - drawn.current_A,
        depth_mm=choice.box.depth_mm - drawn.box.depth_mm,
        evenness=evenness_of(choice) - evenness_of(drawn),
        parts=_new_parts(choice, desk=desk),
    )


def _new_parts(choice: Choice, *, desk: Desk) -> tuple[str, ...]:
    """List LEDs, films and paint that the box as drawn has not."""
    request = desk.request
    before = {layer.film.name for one in request.panel.openings for layer in one.layers}
    after = [layer.film.name for one in choice.panel.openings for layer in one.layers]
    inner, inner_before = choice.box.inner_diffuser, request.box.inner_diffuser
    if inner and inner != inner_before:
        after.append(inner.film.name)
        before -= {inner.film.name}
    before |= {finish.name for finish in finishes_in(request.box)}
    after += [finish.name for finish in finishes_in(choice.box)]
    before |= {led.led_type.name for led in request.box.leds}
    after = [*(led.led_type.name for led in choice.box.leds), *after]
    return tuple(dict.fromkeys(name for name in after if name not in before))


def _changes(choice: Choice, *, desk: Desk) -> int:
    """Count what is changed about the box besides its LEDs."""
    box, before = choice.box, desk.request.box
    return sum(
        (
            box.depth_mm != before.depth_mm,
            tuple(finished_faces(box)) != tuple(finished_faces(before)),
            box.inner_diffuser != before.inner_diffuser,
            _changed_films(choice, desk=desk),
            {led.led_type for led in box.leds} != {led.led_type for led in before.leds},
        )
    )


def _changed_films(choice: Choice, *, desk: Desk) -> int:
    """Count the kinds of film that are new; 1 where some are only gone or more."""
    before, after = (
        {layer.film.name for one in panel.openings for layer in one.layers}
        for panel in (desk.request.panel, choice.panel)
    )
    return max(len(after - before), int(choice.panel != desk.request.panel))


def ranked(choices: Sequence[Choice], *, desk: Desk, drawn: Choice | None) -> Iterator[Choice]:
    """Rank choices, and leave out those that another one beats in everything.

    First come those that reach the look; then those that change least about the box, need the
    fewest LEDs, and are the most even. Of those that are equal in all of it, the cheapest: with the
    fewest parts without a price, then by what the others cost, where that is in one currency.
    """
    rivals = [*choices, drawn] if drawn else choices

    def costs(choice: Choice) -> tuple[float, ...]:
        return (
            not choice.reaches,
            _changes(choice, desk=desk),
            len(choice.box.leds),
            choice.box.depth_mm,
            choice.current_A,
            -evenness_of(choice),
        )

    def is_beaten(choice: Choice) -> bool:
        own = costs(choice)
        return any(
            other is not choice
            and (costs(other) != own or other is drawn)
            and all(a <= b for a, b in zip(costs(other), own, strict=True))
            for other in rivals
        )

    bill = drawn_bill(desk.design)
    left = [
        (choice, more_to_buy(choice, desk=desk, drawn=bill))
        for choice in choices
        if not is_beaten(choice)
    ]
    in_one_currency = len({currency for _, more in left for currency, _ in more.totals}) <= 1

    def order(one: tuple[Choice, MoreToBuy]) -> tuple[float, ...]:
        choice, more = one
        reached, changes, leds, *_, evenness = costs(choice)
        paid = sum(total for _, total in more.totals) if in_one_currency else 0
        return reached, changes, leds, evenness, len(more.unpriced), paid

    most = MOST_THOROUGH if desk.request.thorough else MOST_CHOICES
    for choice, more in sorted(left, key=order)[:most]:
        yield replace(choice, price=_price(choice, desk=desk, drawn=drawn), to_buy=more)
