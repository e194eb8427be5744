"""A finding's mend made in the maker's file, where the mend is a value."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from shlex import split

from lamphouse.findings import Finding, MendEdit
from lamphouse.project.naming import ALONE, GROUPED, SPOKEN, is_row, item_and_key, row_names
from lamphouse.project.splice import Value
from lamphouse.project.tree import Keyed, Listing, Node, Path, Tree, grow
from lamphouse.project.write import ChangeError, add_item, remove_item, set_value
from lamphouse.units.digits import whole_number

MOST_MEMBERS = 500


def path_of(tree: Tree, item: str) -> Path | None:
    """Find where an item stands in the file by the name findings give it.

    A member of a row is found at its row. None where nothing in the file has this name.
    """
    if item == "project":
        return ()
    return next((path for name, path in _items(tree.root, ()) if name == item), None)


def can_mend(tree: Tree, *, finding: Finding, found: Iterable[Finding]) -> bool:
    """Tell whether a finding's mend is a value whose item the file has.

    A row has one value for all its members, so a mend of one of them is the row's only when all
    of them ask for it.

    Parameters
    ----------
    tree
        The file.
    finding
        One of ``found``.
    found
        All findings.
    """
    paths = [path_of(tree, edit.item or finding.where.item) for edit in finding.mend]
    own = path_of(tree, finding.where.item)
    if not paths or None in paths:
        return False
    mates = set(_members(item_and_key(own)[0], tree.find(own))) if own in paths and own else set()
    if finding.where.item not in mates:
        return True
    wish = (finding.code, finding.mend)
    return mates <= {one.where.item for one in found if one.stands and (one.code, one.mend) == wish}


def mended(text: str, *, finding: Finding) -> str:
    """Give the text with the mend of a finding made.

    Raises
    ------
    ChangeError
        If it has none, or the file no longer has what it is about.
    """
    if not finding.mend:
        wordy = "this mend is no single value; make it by hand"
        raise ChangeError(wordy)
    for edit in finding.mend:
        text = _made(text, edit, item=edit.item or finding.where.item)
    return text


def _made(text: str, edit: MendEdit, *, item: str) -> str:
    tree, found = grow(text, file="")
    path = path_of(tree, item) if tree and not found else None
    if tree is None or path is None:
        lost = f"the file has no '{item}'"
        raise ChangeError(lost)
    steps = tuple(int(step) if step.isdigit() else step for step in split(edit.key))
    whole: Path = (*path, *steps)
    if edit.value is None:
        return text if tree.find(whole) is None else remove_item(text, whole)
    if tree.find(whole) is not None:
        return set_value(text, whole, edit.value)
    there = next(count for count in range(len(steps), -1, -1) if _holds(tree, path, steps, count))
    value: Value = edit.value
    for step in reversed(steps[there + 1 :]):
        value = {str(step): value}
    return add_item(text, (*path, *steps[:there]), value, key=str(steps[there]))


def _holds(tree: Tree, path: Path, steps: Sequence[str | int], count: int) -> bool:
    return count < len(steps) and isinstance(tree.find((*path, *steps[:count])), Keyed)


def _items(node: Node, path: Path) -> Iterator[tuple[str, Path]]:
    """Go through the items of a file with the names findings give them."""
    if isinstance(node, Listing):
        for number, inner in enumerate(node.items):
            here: Path = (*path, number)
            if len(path) == 1 and path[0] in SPOKEN:
                yield item_and_key(here)[0], here
            yield from _items(inner, here)
        return
    if not isinstance(node, Keyed):
        return
    for key, entry in node.entries.items():
        here = (*path, key)
        is_item = bool(path) and (path[-1] in GROUPED or (len(path) == 1 and path[0] in SPOKEN))
        if is_item or key in ALONE:
            name = item_and_key(here)[0]
            yield name, here
            if is_item and is_row(entry.value):
                yield from ((member, here) for member in _members(name, entry.value))
        yield from _items(entry.value, here)


def _members(name: str, node: Node | None) -> Iterator[str]:
    if not isinstance(node, Keyed):
        return
    before, _, last = name.rpartition(" / ")
    for member in row_names(last, count=_count(node.entries)):
        yield f"{before} / {member}" if before else member


def _count(entries: Mapping[str, object]) -> int:
    total = 1
    for key in ("count", "rows"):
        entry = entries.get(key)
        text = str(getattr(getattr(entry, "value", None), "text", "1"))
        total *= whole_number(text) or 1
    return min(total, MOST_MEMBERS)
