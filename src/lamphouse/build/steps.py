"""The records of the order of work: steps, which must come before which and why, and gates.

Terminology
-----------
step
    What one does in one go, at one thing.
edge
    That one step must be done before another, with the reason.
gate
    A test that must pass before the next step hides something.
hides
    Puts out of reach for good: behind glue, under a decal, in a wall without a plug.
"""

from enum import StrEnum

from lamphouse.record import Record


class StepKind(StrEnum):
    """What one does; the value is the maker's word for it."""

    CUT = "cut"
    DRILL = "drill"
    BEND = "bend"
    PRIME = "prime"
    BLOCK_LIGHT = "block light"
    PAINT = "paint"
    MASK = "mask"
    FILM = "film"
    THREAD = "thread"
    GLUE = "glue"
    SOLDER = "solder"
    TEST = "test"
    CLOSE = "close"
    INSTALL = "install"
    DECAL = "decal"
    CLEAR_COAT = "clear coat"
    PROGRAM = "program"
    BUY = "buy"
    OWN = "own"


class Step(Record):
    """One step of the build."""

    id: str
    """What it is about and what is done, such as ``bay/window box/close``; the same design gives
    the same names."""
    kind: StepKind
    title: str
    sub_assembly: str
    """Empty for the whole model."""
    items: tuple[str, ...]
    """Items of the project it touches, as :class:`lamphouse.findings.Where` names them."""
    minutes: float
    """Hands on."""
    rest_hours: float = 0.0
    """Drying or curing afterwards."""
    hides: tuple[str, ...] = ()
    """Items nobody can reach afterwards."""
    gate: str = ""
    """Id of the gate that must pass before this step; empty where there is none."""
    expected: tuple[str, ...] = ()
    """Of a gate: what the meter and the eye should see."""
    parts: tuple[str, ...] = ()
    """Parts it uses, as the parts list names them."""

    @property
    def is_gate(self) -> bool:
        """Whether it is a test that must pass."""
        return self.kind is StepKind.TEST


class StepEdge(Record):
    """That one step must be done before another."""

    before: str
    after: str
    why: str


class WorkOrder(Record):
    """Every step of a model, in one valid order."""

    steps: tuple[Step, ...]
    edges: tuple[StepEdge, ...]

    def step(self, name: str) -> Step:
        """Find a step by its id.

        Raises
        ------
        KeyError
            When there is none.
        """
        for step in self.steps:
            if step.id == name:
                return step
        raise KeyError(name)
