"""The model's room: what stands where, whether it fits, how it comes out, what is reached.

- ``prisms``: what stands in the room, as footprints between two heights.
- ``bent_prisms``: prisms of bent panels, of boxes behind them, and of round walls.
- ``placed_prisms``: prisms of a sub-assembly where it stands.
- ``fixed_prisms``: prisms of floor, fixed walls and the hull.
- ``assembled``: everything in its place; what meets what.
- ``clear_mends``: shifts and depths that leave a sub-assembly clear, tried.
- ``panel_places``: light boxes behind two panels of one sub-assembly.
- ``floor_hatches``: hatches for what hangs below a table, tried.
- ``clear_rules``: rules ROM001 to ROM005, and ROM010.
- ``taking_out``: ways out, and an order in which everything comes out.
- ``way_mends``: ways, sides and places that let one out, tried.
- ``way_rules``: rules ROM006 and ROM007.
- ``plug_reach``: how plugs are reached under the floor.
- ``floor_rules``: rules ROM008 and ROM009.
- ``room_verdict``: the whole judgement.
"""
