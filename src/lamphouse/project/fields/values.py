"""Kinds of values a field can hold: measures with units and ranges, counts, choices, names.

Each kind reads text and is used as ``Annotated[float, Measure(...)]``. A value that cannot be read
raises pydantic's own error whose type is the code of the finding and whose context holds the
problem and the remedy.
"""

import re
from datetime import date
from enum import StrEnum
from typing import Any, NoReturn

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from lamphouse.catalogue.shelf import nearest
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, parse, parse_many, parse_range, show

NOT_UNDERSTOOD = "PRJ022"
OUT_OF_RANGE = "PRJ023"
WRONG_KIND = "PRJ024"
EMPTY = "PRJ025"
UNFIT_NAME = "PRJ027"
APART = "PRJ028"

LONGEST_NAME = 60
LONGEST_LINE = 500


def refuse(code: str, problem: str, remedy: str) -> NoReturn:
    """Raise the error that becomes a finding with this code."""
    raise PydanticCustomError(
        code, "{problem}; {remedy}", {"problem": problem, "remedy": remedy}
    ) from None


def text_of(value: object, *, example: str) -> str:
    """Give a value that is a text; refuse lists, keys and nothing."""
    if not isinstance(value, str):
        given = "a list stands" if isinstance(value, list) else "keys with values stand"
        refuse(WRONG_KIND, f"{given} where one value is wanted", f"write {example}")
    if not value.strip():
        refuse(EMPTY, "there is no value", f"write {example}")
    return value


def scale_of(info: ValidationInfo) -> float | None:
    """Give the scale of the model that is being read."""
    return info.context["scale"] if info.context else None


class Kind(Record):
    """A kind of value: how it is read, and how an editor should check it."""

    def read(self, value: Any, info: ValidationInfo) -> Any:
        """Turn the text of the file into the value."""
        raise NotImplementedError

    def described(self) -> dict[str, Any]:
        """Give its JSON Schema."""
        raise NotImplementedError

    def stand_in(self) -> Any:
        """Give a sound value as the file would hold it, or None when none would do."""
        return self.described()["examples"][0]

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Let pydantic read through :meth:`read`."""
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Let pydantic describe the field by :meth:`described`."""
        return self.described()


NEEDS_UNIT = r"[\d\u00bc-\u00be\u215b-\u215e] *[^\d\s.,/x\u00d7:\u2013-]|# *\d|WG *\d|[Rr]\d"
"""Pattern for editors: somewhere a number carries a unit. Reading itself is stricter."""


class Measure(Kind):
    """A quantity with its unit, within a range that has a reason."""

    quantity: Quantity
    least: float
    most: float
    why: str
    """Why nothing outside the range makes sense, as the end of a sentence."""
    example: str

    def read(self, value: object, info: ValidationInfo) -> float:
        """Read one quantity in base units."""
        text = text_of(value, example=self.example)
        read = measured(text, self.quantity, scale=scale_of(info), example=self.example)
        return self.within(read, text)

    def within(self, number: float, text: str) -> float:
        """Refuse a number outside the range."""
        if self.least <= number <= self.most:
            return number
        bound = self.least if number < self.least else self.most
        side = "at least" if number < self.least else "at most"
        limit = show(bound, self.quantity)
        refuse(
            OUT_OF_RANGE, f"{text} is out of range: {side} {limit}, {self.why}", f"write {limit}"
        )

    def joined(self, parts: list[str]) -> str:
        """Write several measures as one value of this kind."""
        return " x ".join(parts)

    def described(self) -> dict[str, Any]:
        """Describe a text with a unit."""
        return {"type": "string", "pattern": NEEDS_UNIT, "examples": [self.example]}


def measured(text: str, quantity: Quantity, *, scale: float | None, example: str = "") -> float:
    """Read one quantity, or refuse the text; a bare number is likely in the example's unit."""
    try:
        return parse(text, quantity, scale=scale)
    except UnitError as fault:
        likely = re.fullmatch(r"[\d.]+ (\D+)", example)
        if likely and "has no unit" in fault.problem and f" {likely[1]}" not in fault.remedy:
            others = fault.remedy.removeprefix("write ")
            refuse(NOT_UNDERSTOOD, fault.problem, f"write {text} {likely[1]} or {others}")
        refuse(NOT_UNDERSTOOD, fault.problem, fault.remedy)


class Sizes(Measure):
    """Two or three lengths in one text with x between, such as ``48 x 30 mm``."""

    count: int

    def read(self, value: object, info: ValidationInfo) -> tuple[float, ...]:  # type: ignore[override]
        """Read every length, each within the range."""
        text = text_of(value, example=self.example)
        try:
            found = parse_many(text, self.quantity, count=self.count, scale=scale_of(info))
        except UnitError as fault:
            refuse(NOT_UNDERSTOOD, fault.problem, fault.remedy)
        return tuple(self.within(number, text) for number in found)


class Span(Measure):
    """A least and a most, such as ``15 to 35 degC``."""

    def read(self, value: object, info: ValidationInfo) -> tuple[float, float]:  # type: ignore[override]
        """Read both ends, each within the range."""
        text = text_of(value, example=self.example)
        try:
            low, high = parse_range(text, self.quantity, scale=scale_of(info))
        except UnitError as fault:
            refuse(NOT_UNDERSTOOD, fault.problem, fault.remedy)
        return self.within(low, text), self.within(high, text)

    def joined(self, parts: list[str]) -> str:
        """Write least and most."""
        return " to ".join(parts)


class Place(Measure):
    """A point or a step: ``[8 mm, 15 mm]``, or ``8 mm, 15 mm`` outside brackets."""

    def read(self, value: object, info: ValidationInfo) -> tuple[float, float]:  # type: ignore[override]
        """Read both coordinates, each within the range."""
        parts = value if isinstance(value, list) else self._split(value)
        if len(parts) != 2:
            given = f"{len(parts)} value{'' if len(parts) == 1 else 's'}"
            meant = self._with_points(parts) or self._with_x(value, info) or self.example
            refuse(WRONG_KIND, f"a place has two lengths, not {given}", f"write {meant}")
        texts = [text_of(part, example=self.example) for part in parts]
        scale = scale_of(info)
        x, y = (self.within(measured(text, self.quantity, scale=scale), text) for text in texts)
        return x, y

    def stand_in(self) -> list[str]:
        """Give the example as a list."""
        return self.example.strip("[]").split(", ")

    def joined(self, parts: list[str]) -> str:
        """Write both coordinates."""
        return f"[{', '.join(parts)}]"

    @staticmethod
    def _with_points(parts: list[Any]) -> str:
        """Read a decimal comma, which began a third value, as a point; empty without one."""
        for at, part in enumerate(parts[:2] if len(parts) == 3 else ()):
            after = parts[at + 1]
            if re.fullmatch(r"[-+]?[0-9]+", str(part)) and re.match(r"[0-9]", str(after)):
                return f"[{', '.join([*parts[:at], f'{part}.{after}', *parts[at + 2 :]])}]"
        return ""

    def _with_x(self, value: object, info: ValidationInfo) -> str:
        """Read ``45 x 62 mm`` as the place it means; empty when it is none."""
        try:
            sides = parse_many(str(value), self.quantity, count=2, scale=scale_of(info))
        except UnitError:
            return ""
        return f"[{', '.join(show(side, self.quantity) for side in sides)}]"

    def _split(self, value: object) -> list[str]:
        return [part.strip() for part in text_of(value, example=self.example).split(",")]

    def described(self) -> dict[str, Any]:
        """Describe a list of two texts, or one text."""
        one = {"type": "string", "pattern": NEEDS_UNIT}
        return {
            "anyOf": [{"type": "array", "items": one, "minItems": 2, "maxItems": 2}, one],
            "examples": [self.example],
        }


class Count(Kind):
    """A whole number."""

    least: int
    most: int
    why: str

    def read(self, value: object, info: ValidationInfo) -> int:  # noqa: ARG002  as for every kind
        """Read digits."""
        text = text_of(value, example=str(max(self.least, 1)))
        if not re.fullmatch(r"[0-9]{1,12}", text):
            shown = text if len(text) <= LONGEST_NAME else f"{text[:LONGEST_NAME]}..."
            refuse(NOT_UNDERSTOOD, f"'{shown}' is no whole number", "write digits only, such as 4")
        number = int(text)
        if not self.least <= number <= self.most:
            bound = self.least if number < self.least else self.most
            side = "at least" if number < self.least else "at most"
            refuse(
                OUT_OF_RANGE,
                f"{text} is out of range: {side} {bound}, {self.why}",
                f"write {bound}",
            )
        return number

    def stand_in(self) -> str:
        """Give the least number."""
        return str(self.least)

    def described(self) -> dict[str, Any]:
        """Describe a whole number."""
        return {"type": "integer", "minimum": self.least, "maximum": self.most}


class Choice(Kind):
    """One of a few words."""

    of: type[StrEnum] | tuple[str, ...]
    never: tuple[str, ...] = ()
    """Words that are refused for safety."""
    never_why: str = ""

    def read(self, value: object, info: ValidationInfo) -> str:  # noqa: ARG002  as for every kind
        """Find the word, whatever its capitals."""
        words = [str(word) for word in self.of]
        text = text_of(value, example=words[0])
        by_plain = {word.casefold(): word for word in words}
        if {*by_plain} == {"yes", "no"}:
            by_plain |= {"true": "yes", "on": "yes", "false": "no", "off": "no"}
        found = by_plain.get(text.strip().casefold())
        if found is None:
            if text.strip().casefold() in self.never:
                refuse(OUT_OF_RANGE, self.never_why, f"write one of: {', '.join(words)}")
            meant = nearest(text, words) or "one of them"
            shown = text if len(text) <= LONGEST_NAME else f"{text[:LONGEST_NAME]}..."
            refuse(
                NOT_UNDERSTOOD,
                f"'{shown}' is not one of: {', '.join(words)}",
                f"write {meant}",
            )
        return found if isinstance(self.of, tuple) else self.of(found)

    def stand_in(self) -> str:
        """Give the first word."""
        return str(next(iter(self.of)))

    def described(self) -> dict[str, Any]:
        """List the words; editors read yes and no as YAML does, which knows true and false too."""
        words: list[Any] = [str(word) for word in self.of]
        if {*words} == {"yes", "no"}:
            return {"enum": [*words, "on", "off", True, False], "examples": words}
        return {"enum": words}


class Words(Kind):
    """A text on one line."""

    example: str
    longest: int = LONGEST_LINE

    def read(self, value: object, info: ValidationInfo) -> str:  # noqa: ARG002  as for every kind
        """Take the text as it is."""
        text = text_of(value, example=self.example)
        if "\n" in text.strip():
            refuse(WRONG_KIND, "a text of several lines stands here", "write it on one line")
        if len(text) > self.longest:
            refuse(
                OUT_OF_RANGE,
                f"a text of {len(text)} characters is out of range: at most {self.longest}, "
                "so that it fits on a sheet",
                "shorten it",
            )
        return text.strip()

    def described(self) -> dict[str, Any]:
        """Describe a text that may look like a number."""
        return {"type": ["string", "number"], "examples": [self.example]}


class Reference(Words):
    """The name of something else in the file."""

    def stand_in(self) -> None:
        """Give none: any name would point at nothing, or at the wrong thing."""


class Name(Kind):
    """The name of an item: it goes into findings, onto sheets and, made safe, into file names."""

    example: str

    def read(self, value: object, info: ValidationInfo) -> str:  # noqa: ARG002  as for every kind
        """Refuse what could not be printed or found again."""
        name = text_of(value, example=self.example)
        if name != " ".join(name.split()):
            refuse(
                UNFIT_NAME,
                "a name has single blanks between its words and none around them",
                f"write {' '.join(name.split())[:LONGEST_NAME]}",
            )
        if len(name) > LONGEST_NAME:
            refuse(
                UNFIT_NAME,
                f"a name of {len(name)} characters does not fit on a label: at most {LONGEST_NAME}",
                f"write {name[:LONGEST_NAME].rstrip()}",
            )
        if "/" in name or "\\" in name:
            without = " ".join(re.split(r"[/\\ ]+", name)).strip()
            refuse(
                UNFIT_NAME,
                "a name holds no slash: findings put one between the names of items",
                f"write {without or self.example}",
            )
        return name

    def described(self) -> dict[str, Any]:
        """Describe a short text without slashes."""
        return {
            "type": ["string", "number"],
            "pattern": r"^[^/\\]+$",
            "maxLength": LONGEST_NAME,
            "examples": [self.example],
        }


class Day(Kind):
    """A date, year first."""

    example: str = "2026-11-25"

    def read(self, value: object, info: ValidationInfo) -> date:  # noqa: ARG002  as for every kind
        """Read year, month and day."""
        text = text_of(value, example=self.example)
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            try:
                return date.fromisoformat(text)
            except ValueError:
                refuse(NOT_UNDERSTOOD, f"there is no day {text}", f"write {self.example}")
        refuse(
            NOT_UNDERSTOOD,
            f"'{text[:LONGEST_NAME]}' is no date",
            f"write year-month-day, such as {self.example}",
        )

    def described(self) -> dict[str, Any]:
        """Describe a date."""
        return {"type": "string", "format": "date", "examples": [self.example]}
