"""Scans and photographs of a part made into an outline in mm; the only user of the image library.

- ``picture_header``: size, fineness and turn of a picture, read before anything is unpacked.
- ``picture_file``: a PNG, JPEG or TIFF file as grey levels, refused when it cannot be trusted.
- ``scales``: from pixels to mm and back, with what is uncertain in it.
- ``camera``: a camera over a flat card: where it stands and how far it bends lines.
- ``frame_card``: the frame card found in a picture, and the scale that follows from it.
- ``side_walls``: edges of a thick part seen at a slant, told from the feet of its walls.
- ``half_level``: what is part and what is ground, and the local half level between them.
- ``edges``: edges to a fraction of a pixel.
- ``fit``: edges as lines and arcs within a stated error.
- ``round_holes``: which edges are round holes, and the drill each was made with.
- ``traced``: the front door: a picture and its scale in, a traced part out.
- ``overlay``: the traced outline over its picture, to be judged by eye.
- ``against``: a traced part laid over the outline it should have.
- ``refused``: the one error of this room.
"""
