"""What the page is told after a change: how the project stands now, or why nothing was changed."""

from collections.abc import Awaitable
from typing import Any

from starlette.responses import JSONResponse, Response

from lamphouse.findings import Finding, Severity
from lamphouse.project.write import ChangeError
from lamphouse.storage.refusal import StorageError
from lamphouse.web.edits import ConflictError
from lamphouse.web.showing import told
from lamphouse.web.workbench import NothingError, RefusedError, Workbench


async def answered(bench: Workbench, work: Awaitable[None]) -> Response:
    """Wait for a change and say what came of it."""
    try:
        await work
    except ConflictError as fault:
        return told(
            f"{fault}. Nothing was changed.",
            status=409,
            path=list(fault.path),
            was=fault.was,
            stands=fault.stands,
            wanted=fault.wanted,
        )
    except RefusedError as fault:
        found = [_shown(one) for one in fault.findings[:20]]
        return told(str(found[0]["words"]), status=422, findings=found)
    except NothingError:
        return told("There is nothing to take back or make again.", status=409)
    except (LookupError, TypeError, ChangeError) as fault:
        return told(f"This cannot be written into the file: {fault.args[0]}.", status=422)
    except StorageError as fault:
        return told(f"Not saved: {fault.what}; {fault.remedy}.", status=507)
    except OSError as fault:
        return told(f"Not saved: {fault.strerror or fault}.", status=507)
    except ValueError as fault:
        return told(f"Not done: {fault}.", status=409)
    return JSONResponse(state(bench))


def state(bench: Workbench) -> dict[str, Any]:
    """Give what the frame shows of a project."""
    return {
        "revision": bench.revision,
        "fault": f"{bench.file.name} cannot be read: {bench.fault}; put it back."
        if bench.fault
        else "",
        "undo": bench.undo_label,
        "redo": bench.redo_label,
        "counts": counts(bench.findings()),
        "planned": bench.plan_if_ready is not None,
    }


def _shown(finding: Finding) -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": str(finding.severity),
        "item": finding.where.item,
        "line": finding.where.line,
        "words": f"{finding.message}; {finding.remedy}",
    }


def counts(found: tuple[Finding, ...]) -> dict[str, int]:
    """Count the findings that stand, by severity."""
    return {
        str(severity): sum(one.severity is severity and one.stands for one in found)
        for severity in Severity
    }
