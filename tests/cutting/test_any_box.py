"""Any box, however odd: sound pieces, closed bodies, findings with mends, and a picture."""

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.cutting.box_frame import as_built
from lamphouse.cutting.shell_mesh import faults_of, mesh_of
from lamphouse.design.lightbox import (
    BaffleJoint,
    Blocks,
    Build,
    Fixing,
    Lid,
    RoundWalls,
    Seat,
    StrandExit,
)
from lamphouse.drawings.exploded import exploded
from lamphouse.shapes import outline
from lamphouse.shapes.soundness import flaw_of

PANEL = s.panel(corners=s.box_shape(80, 60, x=30, y=20))
STAR = outline.polygon(
    (30 + (12 if i % 2 else 5) * math.cos(i * math.pi / 8),
     20 + (12 if i % 2 else 5) * math.sin(i * math.pi / 8))
    for i in range(16)
)  # fmt: skip
INSIDES = (
    s.box_shape(20, 16, x=30, y=20),
    s.box_shape(0.5, 0.5, x=30, y=20),
    s.box_shape(2, 60, x=30, y=20),
    outline.circle(20, x_mm=30, y_mm=20),
    outline.slot(30, width_mm=8, x_mm=30, y_mm=20),
    outline.polygon([(10, 5), (50, 5), (50, 18), (30, 18), (30, 34), (10, 34)]),
    outline.polygon([(10, 5), (50, 5), (30, 9)]),
    outline.polygon([(20, 12), (40, 28), (40, 12), (20, 28)]),
    outline.polygon([(0, 0), (30, 0), (30, 30), (20, 30), (20, 10), (10, 10), (10, 30), (0, 30)]),
    ((16, 14, 0.0), (44, 14, 1.0)),
    STAR,
)
SPOTS = st.tuples(st.floats(5, 55), st.floats(0, 40))
FIXINGS = st.builds(
    Fixing,
    where=st.just(s.where("sample / plate / box")),
    screw=st.sampled_from(["M1.6", "M3"]),
    blocks=st.sampled_from(Blocks),
    count=st.sampled_from([2, 5]),
)


@settings(max_examples=40)
@given(data=st.data())
def test_any_box_is_built_or_refused_with_a_mend(data):
    draw = data.draw
    baffles = tuple(
        s.baffle(f"b{number}", draw(SPOTS), draw(SPOTS), height_mm=draw(st.sampled_from([0, 1, 5])))
        for number in range(draw(st.integers(0, 4)))
    )
    leds = tuple(
        s.led(f"L{number}", *draw(SPOTS), seat=draw(st.sampled_from(Seat)),
              height_mm=draw(st.floats(-1, 12)), turn_deg=draw(st.floats(0, 360)))
        for number in range(draw(st.integers(0, 3)))
    )  # fmt: skip
    strands = [s.strand(f"S{number}", *draw(SPOTS)) for number in range(draw(st.integers(0, 9)))]
    box = s.box(
        draw(st.sampled_from(INSIDES)),
        build=draw(st.sampled_from(Build)),
        round_walls=draw(st.sampled_from(RoundWalls)),
        baffle_joint=draw(st.sampled_from(BaffleJoint)),
        lid=draw(st.sampled_from(Lid)),
        fixing=draw(st.none() | FIXINGS),
        strand_exit=draw(st.none() | st.sampled_from(StrandExit)),
        inner_diffuser=draw(st.none() | st.builds(s.diffuser, st.sampled_from([0.3, 1, 5, 9]))),
        thickness_mm=draw(st.sampled_from([0.25, 0.5, 1, 3])),
        depth_mm=draw(st.sampled_from([0.5, 2, 6, 12, 40])),
        wire_exit_mm=draw(st.sampled_from([0, 1, 2, 8])),
        baffles=baffles,
        leds=leds,
    )
    cut = s.cut(PANEL, boxes=[box], strands=strands)
    assert all(finding.remedy for finding in cut.findings)
    for made in cut.boxes:
        assert [flaw_of(piece.outline.corners) for piece in made.pieces].count(None) == len(
            made.pieces
        )
        for body in made.bodies:
            assert faults_of(mesh_of(body), body=body) == ()
        if made.standing or made.bodies:
            drawn = exploded(made, box=as_built(box), panel=PANEL, paper="A4").drawing
            assert drawn.items
