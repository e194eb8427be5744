"""The maker's text file: read with every fault named, written with comments and order kept.

- ``tree``: the file as a tree of texts that know their places.
- ``yaml_faults``: what is wrong with broken YAML, in a builder's words.
- ``text_rules``: rules about the file as text, PRJ001 on.
- ``field_rules``: rules about single values, PRJ020 on.
- ``reference_rules``: rules about names, PRJ040 on.
- ``fields``: every key with its unit, range, default and help.
- ``checked``: from the tree to checked fields, all faults at once.
- ``naming``: how findings call an item, and the names of a row.
- ``outlines``: shapes in words made into outlines in their place.
- ``shape_rules``: rules about shapes made from others, PRJ050 on.
- ``panel_shapes``: the shapes and rows of one panel: like others, changed, in patterns.
- ``painting``: how a panel is painted, from checked fields.
- ``panel_face``: the face places are put on: flat, bent to a cylinder, or to a cone.
- ``desk``: where checked fields become records: the shelf, what was found, what is named.
- ``sub_assembly``: sub-assemblies from checked fields.
- ``loom_wishes``: wishes for the loom from checked fields.
- ``whole_design``: the whole design from checked fields.
- ``read``: the front door: a file or text in, a design and findings out.
- ``splice``: one change in the text, everything else byte for byte as it was.
- ``write``: values changed, items added and removed, findings accepted, files saved.
- ``balance_written``: new resistors and currents written into the file.
- ``remark``: a comment of the program's own above a key.
- ``trace_written``: a traced outline and its holes written into a panel.
- ``applying``: a suggestion written into the file, with its reason.
- ``upgrade``: older layouts brought to the newest, comments kept.
- ``schema``: a JSON Schema of the file, for editors.
- ``starter``: the commented project that ``lamphouse new`` writes, and the demos.
"""
