"""A schematic read back into nets from its lines alone, as an eye would read it.

A wire is a path of ``Pen.MARK``. Two wires are one where an end of one lies on the other; where
three ways meet there must be a dot. A crossing joins nothing. Symbols are known by their outlines:
a rectangle three times as long as high is a resistor, a triangle a diode, a ring of ``Pen.CUT`` a
contact; each has the nearest of the names it is given below, beside or above it.
"""

from shapely import LineString, Point, STRtree

from lamphouse.drawings.drawing import Circle, Path, Pen, Text

NEAR_MM = 1e-6


def wires_of(drawing):
    return [
        LineString([(x, y) for x, y, _ in item.corners])
        for item in drawing.items
        if isinstance(item, Path) and item.pen is Pen.MARK and not item.filled
    ]


def dots_of(drawing):
    return [
        Point(item.x_mm, item.y_mm)
        for item in drawing.items
        if isinstance(item, Circle) and item.pen is Pen.MARK and item.filled
    ]


def ends_of(wire):
    return [Point(wire.coords[0]), Point(wire.coords[-1])]


def touches(wire, other):
    return any(wire.distance(end) < NEAR_MM for end in ends_of(other)) or any(
        other.distance(end) < NEAR_MM for end in ends_of(wire)
    )


def pairs_of(wires):
    """List the pairs of wires that come near each other."""
    pairs = STRtree(wires).query(wires, predicate="dwithin", distance=NEAR_MM).T.tolist()
    return [(one, other) for one, other in pairs if one < other]


def joined(wires):
    """Group wires that touch at an end; give the group of each."""
    group = list(range(len(wires)))

    def root(number):
        while group[number] != number:
            number = group[number]
        return number

    for number, other in pairs_of(wires):
        if touches(wires[number], wires[other]):
            group[root(number)] = root(other)
    return [root(number) for number in range(len(wires))]


def crossings(wires):
    """Places where wires meet without an end of either, or lie on each other."""
    found = []
    for number, other in pairs_of(wires):
        met = wires[number].intersection(wires[other])
        ends = (*ends_of(wires[number]), *ends_of(wires[other]))
        at_end = met.geom_type == "Point" and any(met.distance(end) < NEAR_MM for end in ends)
        if not met.is_empty and not at_end:
            found.append(met)
    return found


def meetings(wires):
    """Places where three ways meet: an end of one wire within another, or three ends."""
    found = set()
    for wire in wires:
        for end in ends_of(wire):
            ways = sum(
                (1 if any(end.distance(e) < NEAR_MM for e in ends_of(other)) else 2)
                for other in wires
                if other.distance(end) < NEAR_MM
            )
            if ways > 2:
                found.add((round(end.x, 6), round(end.y, 6)))
    return found


def symbols_of(drawing):
    """Give the kind of each symbol, its middle, and its ends: a diode's anode first."""
    for item in drawing.items:
        if item.pen is not Pen.CUT:
            continue
        if isinstance(item, Circle):
            yield "contact", (item.x_mm, item.y_mm), None
        elif isinstance(item, Path) and item.closed and not item.filled:
            xs, ys = [c[0] for c in item.corners], [c[1] for c in item.corners]
            middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
            if len(item.corners) == 3:
                (tip,) = [x for x in xs if xs.count(x) == 1]
                (base,) = {x for x in xs if x != tip}
                yield "diode", middle, ((base, middle[1]), (tip, middle[1]))
            else:
                ends = ((min(xs), middle[1]), (max(xs), middle[1]))
                yield "resistor", middle, ends


def nearest(drawing, place, names):
    """Give the name that stands nearest to a place."""
    texts = [
        (Point(place).distance(Point(text.x_mm, text.y_mm)), name)
        for text in drawing.items
        if isinstance(text, Text)
        for name in names
        if text.words == name or text.words.startswith(f"{name} ")
    ]
    return min(texts)[1]


def nets_of(drawing, *, leds, resistors, knobs, plug):
    """Read the nets as sets of ``(part, pin)``, and the net of each test point."""
    wires = wires_of(drawing)
    groups = joined(wires)
    nets = {group: set() for group in groups}

    def reach(place):
        return {g for w, g in zip(wires, groups, strict=True) if w.distance(Point(place)) < NEAR_MM}

    for kind, middle, ends in symbols_of(drawing):
        if kind == "contact":
            around = {
                group
                for wire, group in zip(wires, groups, strict=True)
                if abs(min(Point(middle).distance(e) for e in ends_of(wire)) - 1.0) < NEAR_MM
            }
            pins = [str(number) for number in range(1, 40)]
            number = int(nearest(drawing, middle, pins)) if plug else 0
            for group in around:
                if plug:
                    nets[group].add((plug, number))
            continue
        names = leds if kind == "diode" else [*resistors, *knobs]
        name = nearest(drawing, middle, names)
        for pin, end in enumerate(ends, start=1):
            (group,) = reach(end)
            # A resistor has no sign: its first pin is the one on the common, drawn on the left.
            nets[group].add((name, pin))
            if pin == 2 and name in knobs:
                # The wiper is joined to the far end.
                nets[group].add((name, 3))
    probes = {}
    for item in drawing.items:
        if isinstance(item, Circle) and item.pen is Pen.SIZE and not item.filled:
            (group,) = reach((item.x_mm, item.y_mm))
            names = [
                text.words
                for text in drawing.items
                if isinstance(text, Text) and text.words.startswith("TP")
            ]
            probes[nearest(drawing, (item.x_mm, item.y_mm), names)] = group
    return nets, probes
