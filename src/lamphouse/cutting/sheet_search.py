"""Orders in which shapes are laid, tried one after another and bettered step by step.

Each order gives one layout: every item in turn goes to the first blank it fits on, there as far to
the left as it can be in any of its turns. Items are laid from the largest on by several measures,
and the best order is then changed here and there; a change that does no harm is kept. How many
orders are tried is counted, never timed, so the result is the same on every machine.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lamphouse.cutting.sheet_places import Blank, Turned, Workshop
from lamphouse.record import Record

FAR = 1 << 60


class Item(Record):
    """One thing to lay, in every turn it may take."""

    turns: tuple[Turned, ...]
    area_mm2: float
    wide_mm: float
    high_mm: float
    """Of its box, unturned."""


class Put(Record):
    """Where an item was laid."""

    item: int
    blank: int
    turned: Turned
    x: int
    y: int
    """Cell of its corner."""


Cost = tuple[float, float, int, float]
"""What is worse comes first: area not laid, cost of the blanks used, the last one's length, and
how far to the right all lie."""
WORST: Cost = (float("inf"), 0.0, 0, 0.0)


class Found(Record):
    """One layout."""

    cost: Cost
    puts: tuple[Put, ...]
    unlaid: tuple[int, ...]


@dataclass(slots=True, kw_only=True)
class _State:
    """A layout on its way."""

    blanks: list[Blank]
    puts: list[Put]
    unlaid: list[int]

    def copy(self) -> "_State":
        return _State(blanks=self.blanks.copy(), puts=self.puts.copy(), unlaid=self.unlaid.copy())


class Search:
    """Items, blanks and the best layout so far."""

    def __init__(
        self,
        items: Sequence[Item],
        *,
        blanks: Sequence[Blank],
        costs: Sequence[float],
        shop: Workshop,
        seed: int,
    ) -> None:
        """Make ready; ``costs`` says how dear it is to use each blank, in order of their use."""
        self.items, self.blanks, self.costs, self.shop = items, blanks, costs, shop
        self._chance = np.random.default_rng(seed)
        self._order: list[int] = []
        self._states: list[_State] = []
        self.best = Found(cost=WORST, puts=(), unlaid=tuple(range(len(items))))

    def orders(self) -> tuple[list[int], ...]:
        """Give the first orders: by area, longest side, height, width and rim."""

        def by(measure: "list[tuple[float, ...]]") -> list[int]:
            return sorted(range(len(self.items)), key=lambda index: measure[index], reverse=True)

        sizes = [(item.area_mm2, item.wide_mm, item.high_mm) for item in self.items]
        return (
            by([(area, max(w, h), -index) for index, (area, w, h) in enumerate(sizes)]),
            by([(max(w, h), area, -index) for index, (area, w, h) in enumerate(sizes)]),
            by([(w * h, area, -index) for index, (area, w, h) in enumerate(sizes)]),
            by([(w + h, area, -index) for index, (area, w, h) in enumerate(sizes)]),
            by([(min(w, h), area, -index) for index, (area, w, h) in enumerate(sizes)]),
        )

    def run(self, *, tries: int, patience: int | None = None) -> Found:
        """Try so many orders in all.

        Parameters
        ----------
        tries
            Orders at most.
        patience
            Changed orders in a row without a better layout that end the search; None for no end.

        Returns
        -------
        Found
            The best; the same for the same items, seed and number of tries.
        """
        if not self.items:
            return Found(cost=(0.0, 0.0, 0, 0.0), puts=(), unlaid=())
        firsts = self.orders()
        for order in firsts[:tries]:
            self._try(order, kept=0, bound=self.best.cost)
        idle = 0
        for _ in range(tries - len(firsts)):
            if idle == patience:
                break
            before = self.best.cost
            order, kept = self._changed()
            self._try(order, kept=kept, bound=before)
            idle = 0 if self.best.cost < before else idle + 1
        return self.best

    def _try(self, order: list[int], *, kept: int, bound: Cost) -> None:
        state = (
            self._states[kept].copy()
            if kept
            else _State(blanks=list(self.blanks), puts=[], unlaid=[])
        )
        states = self._states[: kept + 1] if kept else [state.copy()]
        for item in order[kept:]:
            self._lay(item, state)
            if self._cost(state, last=False) > bound:
                return
            states.append(state.copy())
        cost = self._cost(state, last=True)
        if cost <= bound:
            self._order, self._states = order, states
            self.best = Found(cost=cost, puts=tuple(state.puts), unlaid=tuple(state.unlaid))

    def _lay(self, item: int, state: _State) -> None:
        stride, shapes = self.shop.stride, self.shop.shapes
        for number, blank in enumerate(state.blanks):
            best, chosen, where = (FAR, FAR, FAR), None, -1
            for turned in self.items[item].turns:
                place = blank.first_place(turned.shape, shop=self.shop)
                if place < 0:
                    continue
                x, y = divmod(place, stride)
                mark = (x + shapes[turned.shape].wide, x, y)
                if mark < best:
                    best, chosen, where = mark, turned, place
            if chosen:
                state.blanks[number] = blank.laid(chosen.shape, place=where)
                x, y = divmod(where, stride)
                state.puts.append(Put(item=item, blank=number, turned=chosen, x=x, y=y))
                return
        state.unlaid.append(item)

    def _cost(self, state: _State, *, last: bool) -> Cost:
        used = {put.blank for put in state.puts}
        final = max(used, default=0)
        right, spread = 0, 0.0
        for put in state.puts:
            edge = put.x + self.shop.shapes[put.turned.shape].wide
            if put.blank == final:
                right = max(right, edge)
            spread += edge * self.items[put.item].area_mm2
        return (
            sum(self.items[item].area_mm2 for item in state.unlaid),
            sum(self.costs[number] for number in used),
            right,
            spread if last else 0.0,
        )

    def _changed(self) -> tuple[list[int], int]:
        """Change the best order in one place; also give how much of its start is as it was."""
        order = self._order.copy()
        count = len(order)
        if count < 2:
            return order, 0
        one, other = sorted(self._chance.choice(count, size=2, replace=False).tolist())
        if self._chance.random() < 0.5:
            order[one], order[other] = order[other], order[one]
        elif self._chance.random() < 0.5:
            order.insert(one, order.pop(other))
        else:
            order.insert(other, order.pop(one))
        return order, one
