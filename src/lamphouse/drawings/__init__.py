"""Results as lines and text in mm; knows no file format.

- ``drawing``: the records every drawing is made of.
- ``pens``: line type, width and ink of every pen.
- ``lettering``: how much room text takes.
- ``strokes``: the pieces of a path and parts of them.
- ``moves``: items moved, turned, mirrored, scaled, and the box they lie in.
- ``clip``: items cut to a window.
- ``figures``: segments, rectangles, crosses and arrowheads.
- ``ground``: where a label has room.
- ``sizes``: dimension lines.
- ``seat``: the place of an LED.
- ``paper``: sheet sizes and where on them things go.
- ``ruler``: the check ruler.
- ``title``: frame, title block and rulers of a page.
- ``tiles``: a drawing larger than the paper, cut into tiles that overlap.
- ``rows``: small drawings side by side.
- ``page``: drawings laid out on pages.
- ``face``: a flat piece seen from its face or, mirrored, from behind.
- ``box``: the flat pieces of a light box.
- ``stock_sheet``: a stock sheet with the pieces to cut from it.
- ``contours``: lines of equal value through a grid.
- ``glow_map``: how even an opening glows.
- ``hatching``: cut material.
- ``section_plane``: where a light box is cut, and what the cut meets.
- ``section``: the section through a light box.
- ``symbols``: circuit symbols of IEC 60617.
- ``sketch``: a panel small, with its openings, boxes, LEDs and strands, for the bench sheet.
- ``wiring``: the strings of a sub-assembly, drawn to be followed with a finger.
"""
