"""Scans and photographs of a part made into an outline in mm; the only user of the image library.

- ``picture_header``: size, fineness and turn of a picture, read before anything is unpacked.
- ``picture_file``: a PNG, JPEG or TIFF file as grey levels, refused when it cannot be trusted.
- ``scales``: from pixels to mm and back, with what is uncertain in it.
- ``camera``: one lens over a flat card in one or several pictures, and where it stands.
- ``references``: things of known size in a picture, and the scale that follows from them.
- ``frame_card``: the printed frame card.
- ``checkerboard``: a plain checkerboard.
- ``quadrilateral``: four straight sides of a sheet or card, to a fraction of a pixel.
- ``paper_sheet``: a sheet of paper of standard size.
- ``id_card``: an identity or bank card.
- ``side_walls``: edges of a thick part seen at a slant, told from the feet of its walls.
- ``half_level``: what is part and what is ground, and the local half level between them.
- ``edges``: edges to a fraction of a pixel.
- ``edge_checks``: whether edges are really seen.
- ``dents``: small holes that show their wall and hardly any ground.
- ``pen_line``: a line drawing, followed along the middle of its lines.
- ``sight``: what one picture tells of a part.
- ``merged``: what several pictures tell, made one.
- ``fit``: edges as lines and arcs within a stated error.
- ``round_holes``: which edges are round holes, and the drill each was made with.
- ``traced``: the front door: a picture and its scale in, a traced part out.
- ``overlay``: the traced outline over its picture, to be judged by eye.
- ``against``: a traced part laid over the outline it should have.
- ``refused``: the one error of this room, and findings about a picture.
- ``picture_rules``: codes of picture files.
- ``scale_rules``: codes of references and scales.
- ``part_rules``: codes of parts in a picture.
"""
