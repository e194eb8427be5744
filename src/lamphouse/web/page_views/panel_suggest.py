"""Ways to light a box, found as long work, compared side by side, and one of them applied."""

import asyncio
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lamphouse import units
from lamphouse.design.whole import Design
from lamphouse.project.applying import applied
from lamphouse.project.write import ChangeError
from lamphouse.record import Record
from lamphouse.units.digits import whole_number
from lamphouse.web.answering import answered
from lamphouse.web.jobs import BusyError, Tell
from lamphouse.web.page_views.panel_live import message
from lamphouse.web.showing import page, told
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.outputs.suggest_lines import SuggestResult
    from lamphouse.plan.suggestion import Choice, Suggestion
    from lamphouse.plan.suggestion import Request as Wish


class Asked(BaseModel):
    """What ways are asked for."""

    model_config = ConfigDict(extra="forbid")
    sub: Annotated[str, Field(max_length=200)]
    box: Annotated[str, Field(max_length=200)]
    deepest: Annotated[str, Field(max_length=40)] = ""
    thorough: bool = False


class Chosen(BaseModel):
    """Which of the ways found is to be written into the file."""

    model_config = ConfigDict(extra="forbid")
    job: Annotated[int, Field(ge=1)]
    number: Annotated[int, Field(ge=1, le=1000)]


class Found(Record):
    """What a search came to, and the text it was made from."""

    wish: "Wish"
    design: Design
    revision: str
    suggestion: "Suggestion | None"
    refusal: str = ""
    kind: str = ""
    """Nothing of it is shown in the list of long work."""

    def choice(self, number: int) -> "Choice | None":
        """Give a choice by its rank; 0 is the box as drawn."""
        if self.suggestion is None:
            return None
        if number == 0:
            return self.suggestion.drawn
        choices = self.suggestion.choices
        return choices[number - 1] if 1 <= number <= len(choices) else None


async def suggest(request: Request, bench: Workbench) -> Response:
    """Begin to look for ways to light a box."""
    from lamphouse.plan.asking import asked
    from lamphouse.plan.suggest import suggest as find
    from lamphouse.plan.suggestion import Refusal

    try:
        wanted = Asked.model_validate_json(await request.body())
        deepest = units.parse(wanted.deepest, units.Quantity.LENGTH) if wanted.deepest else None
    except ValidationError:
        return told("This is not understood.", status=400)
    except units.UnitError as fault:
        return told(f"Deepest: {fault}.", status=400)
    design, revision = bench.reading.design, bench.revision
    if design is None:
        return told("The file must be mended first.", status=409)
    try:
        wish = asked(
            design,
            shelf=bench.reading.shelf,
            box=f"{wanted.sub} / {wanted.box}",
            deepest_mm=deepest,
            thorough=wanted.thorough,
        )
    except LookupError as fault:
        return told(str(fault.args[0]), status=404)

    def work(tell: Tell) -> Found:
        found = find(design, request=wish, tell=tell)
        if isinstance(found, Refusal):
            why = f"{found.reason}; {found.remedy}"
            return Found(wish=wish, design=design, revision=revision, suggestion=None, refusal=why)
        return Found(wish=wish, design=design, revision=revision, suggestion=found)

    try:
        job = bench.jobs.start(f"Ways to light {wanted.box}", work)
    except BusyError:
        return told("Too much is waiting already; stop something first.", status=429)
    return JSONResponse({"job": job.number})


def _found(bench: Workbench, number: str) -> Found | None:
    given = whole_number(number)
    job = bench.jobs.job(given) if given is not None else None
    return job.outcome if job and isinstance(job.outcome, Found) else None


async def choices(request: Request, bench: Workbench) -> Response:
    """Show the ways side by side."""
    from lamphouse.outputs.page_panel import opening_rgb, thrown_rgb
    from lamphouse.outputs.suggest_lines import result_of

    number = request.query_params.get("job", "")[:9]
    found = _found(bench, number)
    if found is None:
        return told("Nothing was found yet.", status=404)
    result: SuggestResult | None = None
    if found.suggestion:
        result = result_of(found.suggestion, applied=None)
    room = found.design.room
    glow: dict[int, dict[str, Any]] = {}
    for one in range(len(result.choices) + 1) if result else ():
        choice = found.choice(one)
        glow[one] = {
            opening.opening: {
                "dark_rgb": opening_rgb(opening, room=None),
                "room_rgb": opening_rgb(opening, room=room),
                "thrown_rgb": thrown_rgb(opening, room=room),
            }
            for opening in (choice.openings if choice else ())
        }
    return page(
        "panel_choices.html",
        bench=bench,
        found=found,
        result=result,
        job=number,
        glow=glow,
        is_old=found.revision != bench.revision,
    )


async def choice_field(request: Request, bench: Workbench) -> Response:
    """Give the openings of one way as fields to be painted."""
    from lamphouse.plan.choice_fields import choice_fields

    found = _found(bench, request.query_params.get("job", ""))
    number = whole_number(request.query_params.get("number", ""))
    choice = found.choice(number) if found and number is not None else None
    if found is None or choice is None:
        return told("There is no such choice.", status=404)
    data = await asyncio.to_thread(lambda: message(choice_fields(found.wish, choice=choice), seq=0))
    return Response(data, media_type="application/octet-stream")


async def apply(request: Request, bench: Workbench) -> Response:
    """Write one way into the file."""
    try:
        chosen = Chosen.model_validate_json(await request.body())
    except ValidationError:
        return told("This is not understood.", status=400)
    found = _found(bench, str(chosen.job))
    choice = found.choice(chosen.number) if found else None
    if found is None or choice is None:
        return told("There is no such choice.", status=404)
    return await answered(bench, _write(bench, found, choice))


async def _write(bench: Workbench, found: Found, choice: "Choice") -> None:
    from lamphouse.plan.suggestion_words import reason

    await bench.look()
    text = bench.text or ""
    if bench.revision != found.revision:
        changed = "the file has changed since these ways were found; look for them again"
        raise ChangeError(changed)
    new = await asyncio.to_thread(
        lambda: applied(text, request=found.wish, choice=choice, reason=reason(choice))
    )
    await bench.write(new, of=text, label=f"Light {found.wish.box.name}: {choice.words}"[:180])
