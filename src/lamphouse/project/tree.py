"""The project file as a tree: every value stays text and knows its place in the file.

Terminology
-----------
spot
    A place in the text: index from 0, line and column from 1.
path
    Keys and numbers from the outside in: ``("supply", "voltage")``, ``("stock", 0, "count")``.
node
    A text, a list or a mapping, with the spots where it starts and ends.

Nothing is guessed at: ``1:24``, ``no``, ``0603`` and dates are texts here. Reading is bounded in
depth, number and length, and stops at the first thing beyond a bound.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

from lamphouse.findings import Finding, Where
from lamphouse.project import text_rules
from lamphouse.project.yaml_events import pure_events, quick_events
from lamphouse.project.yaml_faults import DEEPEST, faults_from
from lamphouse.record import Record

MOST_BYTES = 4 * 2**20
MOST_NODES = 100_000
LONGEST_SCALAR = 10_000
MOST_FAULTS = 50
"""YAML faults and doubled keys told at once; a file with more has one cause for most of them."""

Path: TypeAlias = tuple[str | int, ...]

UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff"
    "\ufffe\uffff\ud800-\udfff]"
)
"""Control characters, line marks that editors disagree on, and marks that reorder text."""


class Spot(Record):
    """A place in the text."""

    index: int
    line: int
    column: int


class Text(Record):
    """A single value."""

    text: str
    start: Spot
    end: Spot
    quote: str = ""
    """The quote or block sign it is written with; empty when plain."""


class Listing(Record):
    """Values in a row."""

    items: tuple["Node", ...]
    start: Spot
    end: Spot
    """Behind the closing bracket, or behind the last item."""
    in_brackets: bool


class Entry(Record):
    """A key with its value."""

    key: Text
    value: "Node"


class Keyed(Record):
    """Values by key, in the order of the file."""

    entries: Mapping[str, Entry]
    start: Spot
    end: Spot
    """Behind the closing brace, or behind the last value."""
    in_brackets: bool


Node: TypeAlias = Text | Listing | Keyed


class Tree(Record):
    """A whole file, read."""

    text: str
    file: str
    root: Keyed

    def find(self, path: Path) -> Node | None:
        """Give the node at a path; None when there is none."""
        node: Node | None = self.root
        for step in path:
            node = _child(node, step)
        return node

    def spot(self, path: Path) -> Spot:
        """Give the place of a path: of its key, or of its value in a list.

        Where the path leaves the tree, the last place on it that exists is given.
        """
        node: Node = self.root
        spot = node.start
        for step in path:
            below = _child(node, step)
            if below is None:
                break
            spot = node.entries[str(step)].key.start if isinstance(node, Keyed) else below.start
            node = below
        return spot

    def where(self, path: Path, *, item: str) -> Where:
        """Give the place of a path under the item's name."""
        spot = self.spot(path)
        return Where(item=item, file=self.file, line=spot.line, column=spot.column)


def _child(node: Node | None, step: str | int) -> Node | None:
    if isinstance(node, Keyed) and isinstance(step, str):
        entry = node.entries.get(step)
        return entry.value if entry else None
    if isinstance(node, Listing) and isinstance(step, int) and step < len(node.items):
        return node.items[step]
    return None


def plain(node: Node) -> Any:
    """Give a node as nested dictionaries and lists of texts."""
    match node:
        case Text():
            return node.text
        case Listing():
            return [plain(item) for item in node.items]
        case Keyed():
            return {key: plain(entry.value) for key, entry in node.entries.items()}


def decode(data: bytes, *, file: str) -> tuple[str, tuple[Finding, ...]]:
    """Turn the bytes of a file into text, or say why they are none.

    Returns
    -------
    str
        Empty when there are findings. A byte order mark is kept, so that the text can be
        written back as it was.
    tuple of Finding
        PRJ001 or PRJ002.
    """
    where = Where(item="file", file=file)
    if len(data) > MOST_BYTES:
        return "", text_rules.too_large(where, size=len(data), most=MOST_BYTES)
    try:
        return data.decode("utf-8"), ()
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        column = fault.start - (data.rfind(b"\n", 0, fault.start) + 1) + 1
        spot = Where(item="file", file=file, line=line, column=column)
        return "", text_rules.not_utf8(spot, looks_like=_encoding_of(data, at=fault.start))


def _encoding_of(data: bytes, *, at: int) -> str:
    """Say in words which encoding bytes look like that are not UTF-8."""
    marks = {b"\xff\xfe\x00\x00": "UTF-32", b"\xff\xfe": "UTF-16", b"\xfe\xff": "UTF-16"}
    for mark, name in marks.items():
        if data.startswith(mark):
            return f"{name} (it begins with the byte order mark of {name})"
    if b"\x00" in data[:1000]:
        return "a file of bytes, not of text"
    line = data.count(b"\n", 0, at) + 1
    sign = data[at : at + 1].decode("latin-1")
    shown = f" ('{sign}')" if sign.isprintable() else ""
    return f"Latin-1: byte 0x{data[at]:02X}{shown} in line {line}"


def grow(text: str, *, file: str) -> tuple[Tree | None, tuple[Finding, ...]]:
    """Read YAML text into a tree.

    Parameters
    ----------
    text
        The whole file, line ends as they are.
    file
        Its name, for findings.

    Returns
    -------
    Tree or None
        None when the text cannot be read as one set of keys.
    tuple of Finding
        PRJ003 to PRJ008, in the order of the file.
    """
    if len(text) > MOST_BYTES:
        where = Where(item="file", file=file)
        return None, text_rules.too_large(where, size=len(text), most=MOST_BYTES)
    hidden = _unseen_signs(text, file=file)
    if hidden:
        return None, hidden
    root = _quick_root(text, file=file)
    found: tuple[Finding, ...] = ()
    if root is None:
        root, found = _pure_root(text, file=file)
    tree = Tree(text=text, file=file, root=root) if root else None
    return tree, found


def _quick_root(text: str, *, file: str) -> Keyed | None:
    """Read with the quick parser; None where the pure one must read, or tell what is wrong."""
    events = quick_events(text)
    if events is None:
        return None
    builder = _Builder(text, events, file=file)
    try:
        root = builder.build()
    except _Stopped:
        return None
    return None if builder.found else root


def _pure_root(text: str, *, file: str) -> tuple[Keyed | None, tuple[Finding, ...]]:
    """Read with the pure parser, and tell what is wrong."""
    builder = _Builder(text, pure_events(text), file=file)
    root = None
    try:
        root = builder.build()
    except _Broken as broken:
        builder.tell_faults(broken.fault)
    except _Stopped:
        pass
    return root, tuple(builder.found)


def _unseen_signs(text: str, *, file: str) -> tuple[Finding, ...]:
    """Look for signs that cannot be seen; a byte order mark may begin the text."""
    signs = UNSEEN.finditer(text, 1 if text.startswith("\ufeff") else 0)
    first = next(signs, None)
    if first is None:
        return ()
    at = first.start()
    line = text.count("\n", 0, at) + 1
    where = Where(item="file", file=file, line=line, column=at - text.rfind("\n", 0, at))
    return text_rules.unseen_sign(where, sign=first[0], more=sum(1 for _ in signs))


_COLON = re.compile(r" *:?")


class _Stopped(Exception):
    """The rest of the text cannot be read."""


class _Broken(_Stopped):
    """The parser cannot read on."""

    def __init__(self, fault: Exception) -> None:
        super().__init__(str(fault))
        self.fault = fault


class _Builder:
    """Turns the parser's events into nodes, bounded in depth, number and length."""

    def __init__(self, text: str, events: Iterator[Any], *, file: str) -> None:
        self.text = text
        self.file = file
        self.found: list[Finding] = []
        self._count = 0
        self._events = events

    def build(self) -> Keyed | None:
        """Read the one document of the text."""
        self._next()  # the stream starts
        if _ends(self._next(), "Stream"):
            self._tell_shape("the file holds no keys", "begin with the lines lamphouse new writes")
            return None
        root = self._node(self._next(), depth=1, after=None)
        self._next()  # the document ends
        more = self._next()
        if not _ends(more, "Stream"):
            self._tell_shape(
                "a second document begins here with ---",
                "keep one model in a file, and no line of three dashes",
                event=more,
            )
            return None
        if not isinstance(root, Keyed):
            self._tell_shape(
                "the outermost lines are not keys with values",
                "begin with lines such as name: My model",
            )
            return None
        return root

    def _next(self) -> Any:
        try:
            return next(self._events)
        except Exception as fault:  # the libraries have more ways to fail than they name
            raise _Broken(fault) from fault

    def tell_faults(self, fault: Exception) -> None:
        """Put what the pure parser raised into words, with the faults behind it."""
        for (line, column), problem, remedy in faults_from(self.text, fault, most=MOST_FAULTS):
            where = self._where(line=line, column=column)
            self.found += text_rules.not_yaml(where, problem=problem, remedy=remedy)

    def _where(self, *, line: int, column: int) -> Where:
        return Where(item="file", file=self.file, line=line, column=column)

    def _at(self, spot: Spot) -> Where:
        return self._where(line=spot.line, column=spot.column)

    def _tell_shape(self, problem: str, remedy: str, *, event: Any = None) -> None:
        spot = _spot(event.start_mark) if event else Spot(index=0, line=1, column=1)
        self.found += text_rules.not_one_set(self._at(spot), problem=problem, remedy=remedy)

    def _stop_at(self, spot: Spot, what: str, most: int, why: str) -> None:
        self.found += text_rules.beyond_limit(self._at(spot), what=what, most=most, why=why)
        raise _Stopped

    def _node(self, event: Any, *, depth: int, after: Spot | None) -> Node:
        """Build the node an event begins; ``after`` is where its key ends."""
        start = _spot(event.start_mark)
        kind = type(event).__name__
        self._count += 1
        if self._count > MOST_NODES:
            self._stop_at(start, "too many keys and values", MOST_NODES, "are read")
        if depth > DEEPEST:
            self._stop_at(start, "lists in lists in lists", DEEPEST, "may lie in one another")
        if kind == "AliasEvent" or event.anchor or event.tag is not None:
            self._refuse_reference(start, is_alias=kind == "AliasEvent")
        if kind == "ScalarEvent":
            return self._scalar(event, start, after)
        if kind == "SequenceStartEvent":
            return self._listing(event, start, depth)
        return self._keyed(event, start, depth)

    def _refuse_reference(self, start: Spot, *, is_alias: bool) -> None:
        written = self.text[start.index : start.index + 40].split(maxsplit=1)[0]
        self.found += text_rules.yaml_reference(self._at(start), written=written)
        if is_alias or len(self.found) >= MOST_FAULTS:
            raise _Stopped

    def _scalar(self, event: Any, start: Spot, after: Spot | None) -> Text:
        if len(event.value) > LONGEST_SCALAR:
            what = f"a text of {len(event.value)} characters"
            self._stop_at(start, what, LONGEST_SCALAR, "are read")
        end = _spot(event.end_mark)
        if start == end and not event.style and after is not None:
            start = end = self._behind_colon(after)
        hidden = UNSEEN.search(event.value) if event.style == '"' else None
        if hidden:
            self.found += text_rules.unseen_sign(self._at(start), sign=hidden[0], more=0)
        return Text(text=event.value, start=start, end=end, quote=event.style or "")

    def _behind_colon(self, after: Spot) -> Spot:
        """Give the place of a value that is not there: right behind its key's colon."""
        blanks = _COLON.match(self.text, after.index)
        length = len(blanks[0]) if blanks else 0
        return Spot(index=after.index + length, line=after.line, column=after.column + length)

    def _listing(self, event: Any, start: Spot, depth: int) -> Listing:
        items: list[Node] = []
        while not _ends(inner := self._next(), "Sequence"):
            items.append(self._node(inner, depth=depth + 1, after=None))
        flow = bool(event.flow_style)
        end = _spot(inner.end_mark) if flow or not items else items[-1].end
        return Listing(items=tuple(items), start=start, end=end, in_brackets=flow)

    def _keyed(self, event: Any, start: Spot, depth: int) -> Keyed:
        entries: dict[str, Entry] = {}
        end = start
        while not _ends(inner := self._next(), "Mapping"):
            key = self._node(inner, depth=depth + 1, after=None)
            value = self._node(self._next(), depth=depth + 1, after=key.end)
            end = value.end
            if not isinstance(key, Text):
                problem = "a list or braces stand where a key is wanted"
                self._tell_shape(problem, "write a word before the colon", event=inner)
            elif key.text in entries:
                self._tell_twice(key, entries[key.text].key)
            else:
                entries[key.text] = Entry(key=key, value=value)
        flow = bool(event.flow_style)
        end = _spot(inner.end_mark) if flow else end
        return Keyed(entries=entries, start=start, end=end, in_brackets=flow)

    def _tell_twice(self, key: Text, first: Text) -> None:
        self.found += text_rules.key_twice(
            self._at(key.start), key=key.text[:60], first_line=first.start.line
        )
        if len(self.found) >= MOST_FAULTS:
            raise _Stopped


def _ends(event: Any, what: str) -> bool:
    """Tell whether an event ends the stream, a sequence or a mapping; both parsers name it so."""
    return type(event).__name__ == f"{what}EndEvent"


def _spot(mark: Any) -> Spot:
    return Spot(index=mark.index, line=mark.line + 1, column=mark.column + 1)
