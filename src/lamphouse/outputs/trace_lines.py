"""The answer of ``trace`` as records."""

from lamphouse.record import Record


class CornerLine(Record):
    """A corner of a traced outline."""

    x_mm: float
    y_mm: float
    bulge: float
    """Of the piece that follows: tangent of a quarter of its arc, 0 when straight."""


class HoleLine(Record):
    """A traced hole."""

    is_round: bool
    x_mm: float
    """Its middle."""
    y_mm: float
    diameter_mm: float | None
    """That of the drill when one fits, else as measured; None when the hole is not round."""
    measured_mm: float | None
    uncertain_mm: float | None
    """Of the measured diameter, two standard deviations."""
    drill: str
    """The one drill that fits; empty when none does, or more than one."""
    near: tuple[str, ...]
    """The two nearest drills, when more than one fits."""
    corners: tuple[CornerLine, ...]


class OffLine(Record):
    """How far points lie from an outline."""

    rms_mm: float
    p95_mm: float
    """95 of 100 points are nearer."""
    max_mm: float
    points: int


class HoleOffLine(Record):
    """A hole of the part against the opening it should be."""

    x_mm: float
    """Where it should be."""
    y_mm: float
    right_mm: float
    """How far the part's hole lies to the right of it."""
    up_mm: float
    larger_mm: float | None
    """How much larger its diameter is; None when either is not round."""


class AgainstLine(Record):
    """The part against the panel it should be."""

    panel: str
    edge: OffLine
    worst_x_mm: float
    """Where the outer edge is farthest off."""
    worst_y_mm: float
    holes: tuple[HoleOffLine, ...]
    missing: int
    """Openings that the part has not."""
    extra: int
    """Holes that only the part has."""
    map: str
    """The picture of it."""


class TraceResult(Record):
    """The result of ``trace``."""

    picture: str
    """The first one, over which the overlay is drawn."""
    pictures: tuple[str, ...]
    scale: str
    """Where the scale comes from."""
    pixel_mm: float
    edge_rule: str
    part_is: str
    """``lighter`` or ``darker`` than the ground."""
    contrast_levels: float
    """Between part and ground, of 255."""
    width_mm: float
    height_mm: float
    turned_deg: float
    """How far the part was turned to lie level."""
    uncertain_mm: float
    """Of any place on the outline, two standard deviations."""
    fit: OffLine
    """How far the edge lies from the lines and arcs fitted to it."""
    outline: tuple[CornerLine, ...]
    holes: tuple[HoleLine, ...]
    notes: tuple[str, ...]
    """What the findings say."""
    overlay: str
    """The picture to judge it by."""
    against: AgainstLine | None
    """When it was compared with a panel."""
    written_into: str
    """The panel it was written into; empty when none was named."""
