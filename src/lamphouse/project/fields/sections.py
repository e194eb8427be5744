"""What all sections of the project file share: unknown keys refused, empty ones left out."""

from typing import Annotated, Any, TypeVar

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
)
from pydantic_core import CoreSchema, core_schema

from lamphouse.project.fields.values import WRONG_KIND, Name, refuse
from lamphouse.record import Record

T = TypeVar("T")


class Section(BaseModel):
    """Keys with values; no key but these."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True
    )


def _keys_or_nothing(value: object) -> object:
    if value == "":
        return {}
    if not isinstance(value, dict):
        given = "a list stands" if isinstance(value, list) else "one value stands"
        refuse(WRONG_KIND, f"{given} where keys with values are wanted", "write name: {...}")
    return value


def _rows_or_nothing(value: object) -> object:
    if value == "":
        return []
    if not isinstance(value, list):
        given = "keys with values stand" if isinstance(value, dict) else "one value stands"
        refuse(
            WRONG_KIND, f"{given} where a list is wanted", "begin each line with a dash, or use [ ]"
        )
    return value


def _section_or_nothing(value: object) -> object:
    if value == "":
        return None
    if isinstance(value, str | list):
        given = "a list stands" if isinstance(value, list) else "one value stands"
        refuse(WRONG_KIND, f"{given} where keys with values are wanted", "write {key: value, ...}")
    return value


class OrAlone(Record):
    """Lets one text stand for a section that holds nothing but the value of this key."""

    key: str

    def wrapped(self, value: object) -> object:
        """Put a text under the key."""
        return {self.key: value} if isinstance(value, str) else value

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Let pydantic wrap a text before the section is checked."""
        return core_schema.no_info_before_validator_function(self.wrapped, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Describe both ways to write it."""
        return {"anyOf": [{"type": "string"}, handler(schema)]}


ItemName = Annotated[str, Name(example="screen")]
Named = Annotated[dict[ItemName, T], BeforeValidator(_keys_or_nothing)]
"""Items by name; an empty value is no items."""
Rows = Annotated[list[T], BeforeValidator(_rows_or_nothing)]
"""Items in a list; an empty value is no items."""
Maybe = Annotated[T | None, BeforeValidator(_section_or_nothing)]
"""A section that may be left out or empty."""
