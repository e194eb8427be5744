"""Light inside a closed box: how every opening glows, whether that is what was wanted, and why not.

The solver
----------
- ``scene``: the solver's own records of a box.
- ``sound_box``: what the solver refuses.
- ``uprights``: walls and baffles as directed foot lines.
- ``turning``: a box turned along the axes of its grid.
- ``plan_blocks``: rectangles of a grid, joined where it is finer than it need be.
- ``plan_cells``: the plan cut into cells.
- ``mesh``: cells, columns and layers, fine and coarse.
- ``box_mesh``: the meshes of a box, and the faces they come to.
- ``edge_integrals``: exchange between faces from integrals over their edges.
- ``grid_sums``: the same for faces that lie in a grid.
- ``viewers``: faces as they look about, and what may stand between them.
- ``crossed_baffles``: baffles parted where they cross.
- ``crossings``: which faces the foot line of a screen comes between.
- ``sight``: what faces see of one another.
- ``factors``: the exchange of all faces of a cavity.
- ``equal_boxes``: boxes that are alike, solved once.
- ``evening``: an exchange scaled until its rows add up.
- ``cover``: how much of a cell an opening takes up.
- ``emitter``: light straight from a lamp.
- ``lamp_shadows``: how much of it screens let by.
- ``step_size``: how finely a box is cut.
- ``interior``: the faces of a box, their paint and exchange.
- ``first_bounce``: the first reflection off faces right beside a lamp.
- ``cavity``: the balance of light that settles.
- ``haze``: diffusers that do not spread light evenly.
- ``hole``: light lost through a thick panel.
- ``strips``: level shapes cut into strips.
- ``opening_spots``: the equal parts an opening is judged by.
- ``views``: the openings as the solver sees them.
- ``front``: luminance, evenness and hot spot.
- ``glow``: the front door.
- ``face_rays``: which face of a box many rays meet.
- ``chambers``: boxes that share openings, made ready; rays from one to another.
- ``through``: what comes through the openings boxes share.
- ``beyond``: lamps of other boxes seen straight from an opening.
- ``suite_ready``: boxes that share openings and how light goes between them, kept.
- ``suite_glow``: the front door for boxes that share openings.
- ``suite_live``: one of them kept solved while its lamps move.
- ``live``: a box kept solved while lamps move.
- ``live_picture``: its pictures, likewise.
- ``picture``: the glow as pixels.
- ``spot_picture``: the same from spots alone, for boxes that share openings.

The second opinion
------------------
- ``verify``: its front door: random walks that share nothing with the solver.
- ``account``: where the light of a box goes, by random walks.
- ``walks``: walks from an opening backwards to the lamps.
- ``rays``: what rays meet, what hides one point from another.
- ``starts``: patches that walks start from.
- ``even_points``: random points that fill a square evenly.
- ``verify_suite``: the same for boxes that share openings.
- ``suite_walks``: walks from box to box.
- ``walkers``: threads that share walks out.
- ``walkable``: what stops a walk.
- ``arrays``: a box as plain arrays.
- ``distinct``: the different values of an array.
- ``compiled``: the one door to the compiler.

The judgement
-------------
- ``judging``: the front door: a box of the design goes in, its glow and findings come out.
- ``box_glow``: records of a judged box.
- ``box_scene``: a box of the design drawn as the solver's box.
- ``shared_walls``: where two boxes stand wall to wall, and passages that fit there.
- ``box_suite``: boxes that share openings, put together as a suite.
- ``sound_suite``: what is refused of them, and their answer.
- ``layer_stack``: the layers of an opening folded into one sheet.
- ``opening_colour``: the colour of an opening, at each wavelength.
- ``room_light``: what the room's light adds to an opening.
- ``solved_box``: a solved box with the figures the rules look at.
- ``clearance``: how near LEDs lie to diffusers and walls.
- ``solvable_rules``: boxes that have no figures.
- ``passage_rules``: passages that do not lie where they must.
- ``figure_rules``: openings that have none.
- ``sightline_rules``: LEDs that can be seen as they are.
- ``strand_posts``: strands in a box as upright posts.
- ``strand_shade``: the shadow of a post on an opening.
- ``strand_dimming``: what a dark post takes up of the light thrown about.
- ``strand_rules``: strands in the way of the light.
- ``evenness_rules``: hot spots, dark corners, uneven openings.
- ``colour_rules``: the colour a look wants, LEDs held back, unknown films.
- ``colour_trials``: every gel and tint, and pairs of them, before every lamp.
- ``colour_mends``: LEDs, gels and coats that bring an opening to a wanted colour.
- ``mate_rules``: openings that should match: colours, batches, types of LED.
- ``mate_mends``: what makes one opening match another.
- ``luminance_rules``: class of luminance, room light, mates, waste.
- ``glow_mends``: changes that make an opening even, each solved.
- ``dimming``: currents and films that bring openings to their luminance.
- ``glow_words``: luminances and lists in a builder's words.

The leaks
---------
- ``leak_paths``: how much light gets through sheet, coats, slits and tubes.
- ``eye``: what an eye just sees in the dark.
- ``leaks``: where light leaves a box that should not.
- ``leak_rules``: what of it is told, with the coats that mend it.

The placing of lamps
--------------------
- ``equal_boxes``: boxes that are alike, solved once.
- ``placing``: where to put the lamps of a box, and how many.
- ``wishes``: what is wanted of the openings of a box.
- ``gluing_grid``: places where an LED can be glued.
- ``unit_light``: what one lamp of 1 lm gives at the openings.
- ``fewest``: the fewest lamps, with a proof.
- ``moving``: lamps moved about on the grid.
- ``lamp_currents``: currents of their own for lamps that stay.
"""
