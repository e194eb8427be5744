"""The JSON answers of the command line, given for the open project."""

import asyncio
import json
from collections.abc import Awaitable, Callable, Mapping
from datetime import date
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.web.page_views.long_work import PackMade, ProofMade
from lamphouse.web.page_views.view import Address
from lamphouse.web.spread_work import read_asked, spread
from lamphouse.web.workbench import Workbench

Answer = dict[str, Any]


async def give(request: Request, bench: Workbench) -> Response:
    """Give one answer, as the command of this name prints it with ``--json``."""
    name = request.path_params["name"]
    if name not in ANSWERS:
        raise HTTPException(404, f"There are answers to: {', '.join(ANSWERS)}.")
    await bench.look()
    made = await ANSWERS[name](request, bench)
    text = json.dumps(made, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    return Response(text, media_type="application/json")


async def _check(_request: Request, bench: Workbench) -> Answer:
    from lamphouse.outputs import answer

    plan = await bench.plan()
    return await asyncio.to_thread(answer.check, plan, findings=bench.findings())


async def _glow(request: Request, bench: Workbench) -> Answer:
    from lamphouse.outputs import answer
    from lamphouse.outputs.glow_lines import chosen

    plan = await bench.plan()
    if plan is None:
        return answer.glow(None, findings=bench.findings())
    try:
        some = chosen(plan, box=request.query_params.get("box", ""))
    except LookupError as fault:
        raise HTTPException(404, f"{fault.args[0]}.") from fault
    return await asyncio.to_thread(answer.glow, plan, glows=some.glows, findings=some.findings)


async def _pack(_request: Request, bench: Workbench) -> Answer:
    """Answer for the pack that was written last; nothing is written for this."""
    from lamphouse.outputs import answer

    if await bench.plan() is None:
        return answer.pack((), findings=bench.findings(), folder=None)
    jobs = (job.outcome for job in bench.jobs.all())
    written = (one for one in jobs if isinstance(one, PackMade) and one.folder)
    made = next(written, None)
    if made is None:
        raise HTTPException(404, "No pack has been written from the page yet.")
    return answer.pack(tuple(made.files), findings=made.plan.findings, folder=made.folder)


async def _prove(_request: Request, bench: Workbench) -> Answer:
    from lamphouse.outputs import answer

    if await bench.plan() is None:
        return answer.prove(None, findings=bench.findings())
    jobs = (job.outcome for job in bench.jobs.all())
    made = next((one for one in jobs if isinstance(one, ProofMade)), None)
    if made is None:
        raise HTTPException(404, "No program has been run from the page yet.")
    return answer.prove(
        made.plan,
        findings=made.plan.findings,
        runs=made.runs,
        not_run=made.not_run,
        file=made.file,
    )


async def _steps(request: Request, bench: Workbench) -> Answer:
    """Answer as the command line does: past evenings count, unless a day is asked for."""
    from lamphouse.outputs import answer

    asked = request.query_params
    today = date.fromisoformat(request.app.state.now()[:10])
    try:
        found = await spread(
            bench, read_asked(asked, done=tuple(asked.getlist("done"))), today=today
        )
    except ValueError as fault:
        raise HTTPException(400, f"Hours tonight: {fault}.") from fault
    if found is None:
        return answer.steps(None, findings=bench.findings())
    names = {step.id for step in found.order.steps}
    for name in (*asked.getlist("done"), *([asked["why"]] if asked.get("why") else [])):
        if name not in names:
            raise HTTPException(404, f"There is no step '{name[:60]}'.")
    result = await asyncio.to_thread(found.result, why=asked.get("why", ""))
    return answer.steps(result, findings=found.findings)


ANSWERS: Mapping[str, Callable[[Request, Workbench], Awaitable[Answer]]] = {
    "check": _check,
    "glow": _glow,
    "pack": _pack,
    "prove": _prove,
    "steps": _steps,
}
ADDRESSES = (Address(path="answer/{name}", handler=give),)
