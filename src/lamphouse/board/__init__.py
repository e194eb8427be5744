"""Boards: parts and wires on perforated board or stripboard, laid out, proved, and in steps.

- ``holes``: the grid, the names of its holes, the size of a piece cut from it.
- ``legs``: bodies of parts and the postures in which their leads reach holes.
- ``soldered``: the records of a board as it is soldered.
- ``demand``: what must stand on a board.
- ``seatings``: where parts may sit, as sets of holes in bits.
- ``growing``: nets grow over the pads.
- ``annealing``: parts find their places on a board of a given size.
- ``copper_runs``: from claimed pads to bridges, tails, bare wire and cuts.
- ``link_ways``: which way a wire link goes.
- ``lay_board``: the front door of the layout.
- ``copper``: metal on the solder side as bars in mm, for the proof.
- ``blocks``: what stands above the board as boxes in mm, for the proof.
- ``proof``: the independent proof of a board.
- ``jig_card``: point to point: parts in the slots of a card, and numbered joints.
- ``planned_board``: the board as it goes into the pack, proved, or a card.
- ``solder_order``: the steps of soldering it.
- ``board_rules``: rules on boards.
"""
