"""Bodies of requests read as what a view expects."""

from typing import TypeVar

from pydantic import BaseModel, ValidationError
from starlette.responses import Response

from lamphouse.web.showing import told

T = TypeVar("T", bound=BaseModel)


def understood(kind: type[T], body: bytes) -> T | Response:
    """Read a body of JSON; a refusal in words where it is not what is expected."""
    try:
        return kind.model_validate_json(body or b"{}")
    except ValidationError as fault:
        first = fault.errors(include_url=False, include_input=False, include_context=False)[0]
        at = ".".join(str(step) for step in first["loc"])
        return told(f"This is not understood: {at}: {first['msg']}.", status=400)
