"""A finding's mend made by a button, where the mend is a value of the file."""

import asyncio
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.findings import Finding
from lamphouse.project.mending import can_mend, mended
from lamphouse.project.write import ChangeError
from lamphouse.web.answering import answered
from lamphouse.web.showing import told
from lamphouse.web.workbench import Workbench


class Wanted(BaseModel):
    """Which finding is to be mended."""

    model_config = ConfigDict(extra="forbid")
    code: Annotated[str, Field(max_length=10)]
    item: Annotated[str, Field(max_length=500)]
    message: Annotated[str, Field(max_length=4000)]
    """As it was shown: two findings of one code may be about the same item."""


def by_button(bench: Workbench, found: tuple[Finding, ...]) -> dict[int, bool]:
    """Tell of which of some findings, by place, the mend is a button."""
    tree, everything = bench.reading.tree, bench.findings()
    return {
        number: tree is not None and one.stands and can_mend(tree, finding=one, found=everything)
        for number, one in enumerate(found)
    }


async def mend(request: Request, bench: Workbench) -> Response:
    """Make a finding's mend."""
    try:
        wanted = Wanted.model_validate_json(await request.body())
    except ValidationError:
        return told("This is not understood.", status=400)
    await bench.plan()
    for one in bench.findings():
        if (one.code, one.where.item, one.message) == (wanted.code, wanted.item, wanted.message):
            return await answered(bench, _made(bench, one))
    return told("This finding is no longer there.", status=404)


async def _made(bench: Workbench, finding: Finding) -> None:
    text, tree = bench.text or "", bench.reading.tree
    if finding.mend and tree and not can_mend(tree, finding=finding, found=bench.findings()):
        shared = "the value is that of a whole row, of which not all ask for it; write it by hand"
        raise ChangeError(shared)
    new = await asyncio.to_thread(mended, text, finding=finding)
    await bench.write(new, of=text, label=f"Mend {finding.code} at {finding.where.item}"[:180])
