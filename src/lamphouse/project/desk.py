"""The desk at which checked fields become records: the shelf, what was found, what is named."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from itertools import count
from typing import TypeVar

from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.catalogue.shelf import TABLES, Shelf
from lamphouse.design.artwork import Artwork
from lamphouse.findings import Finding, Where
from lamphouse.project import artwork_rules, reference_rules
from lamphouse.project.artwork_file import ArtworkError, artwork_of
from lamphouse.project.fields.project_fields import ProjectFields
from lamphouse.project.naming import item_and_key
from lamphouse.project.tree import Path, Tree

Row = TypeVar("Row")


@dataclass(slots=True, kw_only=True)
class Desk:
    """What the builder works with, and what it has found so far."""

    tree: Tree
    shelf: Shelf
    fields: ProjectFields
    complete: bool
    """Whether the fields hold all that the maker wrote; else nothing is said about the whole."""
    lost: frozenset[str]
    """Kinds of items that were left out for a fault; names of that kind are not checked."""
    found: list[Finding] = field(default_factory=list)
    places: dict[str, Where] = field(default_factory=dict)
    """Every item with its place."""
    named: dict[tuple[str, str, str], Where] = field(default_factory=dict)
    """First use of every name that must be unique, by kind, surroundings and name."""
    open_picture: Callable[[str], bytes] | None = None
    """Reads a picture beside the project by its name; raises OSError. None: there are none."""
    pictures: dict[str, Artwork | None] = field(default_factory=dict)
    """Pictures read so far; None for one that could not be."""
    used: set[tuple[str, str]] = field(default_factory=set)
    """Looks and groups that something refers to, by kind and name."""

    def where(self, path: Path, *, name: str = "") -> Where:
        """Give the place of the item at a path, and warn when another item is called the same.

        ``name`` replaces the last word, for a member of a row.
        """
        return self._put(self._spot(path, name=name))

    def member(self, path: Path, *, name: str, kind: str, within: str) -> Where:
        """Give the place of an LED or a strand, whose name must be unique where it is."""
        where = self._spot(path, name=name)
        return self._put(where) if self.claim(where, name=name, kind=kind, within=within) else where

    def claim(self, where: Where, *, name: str, kind: str, within: str) -> bool:
        """Take a name that must be unique within its surroundings; tell when it is taken."""
        first = self.named.setdefault((kind, within, name), where)
        if first is where:
            return True
        stem = name.rstrip("0123456789")
        free = next(
            f"{stem}{number}"
            for number in count(1)
            if (kind, within, f"{stem}{number}") not in self.named
        )
        self.found += reference_rules.name_twice(
            where, kind=kind, name=name, within=within, first=first, free=free
        )
        return False

    def _spot(self, path: Path, *, name: str) -> Where:
        item, _ = item_and_key(path)
        if name:
            item = " / ".join([*item.split(" / ")[:-1], name])
        return self.tree.where(path, item=item)

    def _put(self, where: Where) -> Where:
        first = self.places.setdefault(where.item, where)
        if (first.line, first.column) != (where.line, where.column):
            self.found += reference_rules.item_twice(where, first=first)
        return where

    def row(self, rows: Mapping[str, Row], name: str, path: Path) -> Row:
        """Take a part from the shelf by name.

        A name that is not there is told and stood in for by another row of the table, so that
        the rest can be built and checked; with such a finding there is no design.
        """
        if name in rows:
            return rows[name]
        table = next(table for table in TABLES if getattr(self.shelf, table) is rows)
        item, key = item_and_key(path)
        self.found += reference_rules.not_on_shelf(
            self.tree.where(path, item=item),
            key=key or "it",
            name=name,
            kind=table,
            names=list(rows),
        )
        return next(iter(rows.values()))

    def artwork(self, name: str, path: Path) -> Artwork | None:
        """Read a picture once; tell what is wrong with it, or what was assumed."""
        if name in self.pictures:
            return self.pictures[name]
        where = self._spot(path, name="")
        self.pictures[name] = None
        try:
            if not self.open_picture:
                raise FileNotFoundError
            self.pictures[name] = artwork_of(self.open_picture(name), file=name)
        except OSError as fault:
            self.found += artwork_rules.no_picture(where, name=name, why=fault.strerror or "")
        except ArtworkError as fault:
            self.found += artwork_rules.unusable(
                where, name=name, what=fault.what, remedy=fault.remedy
            )
        if artwork := self.pictures[name]:
            self.found += artwork_rules.assumed(where, artwork=artwork)
        return artwork

    def resistor_package(self) -> ResistorPackage:
        """Take the size of resistor that holds where a board names none."""
        path: Path = ("circuit", "resistor_size")
        return self.row(self.shelf.resistor_packages, self.fields.circuit.resistor_size, path)

    def refer(self, kind: str, name: str, path: Path, *, names: Iterable[str]) -> None:
        """Note that something refers to a look, group or sub-assembly, and check that it is there.

        ``kind`` is the key the names stand under.
        """
        self.used.add((kind, name))
        known = list(names)
        if name in known or kind in self.lost:
            return
        item, key = item_and_key(path)
        self.found += reference_rules.points_nowhere(
            self.tree.where(path, item=item),
            key=key or "it",
            name=name,
            kind={"looks": "look", "groups": "group", "scenes": "scene", "charts": "chart"}.get(
                kind, "sub-assembly"
            ),
            names=known,
        )
