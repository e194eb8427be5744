"""Draw the artwork of the demo Saltmarsh: an invented tide chart, as a printed screen shows it.

Every line, name and number on it is made up here.
"""

from math import cos, pi, sin
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

ROOT = Path(__file__).parents[1]
INTO = ROOT / "src/lamphouse/project/scenarios/saltmarsh/tide_chart.png"
FONT = ROOT / "src/lamphouse/outputs/fonts/LamphouseSans-Bold.otf"

SIZE_MM = (48.0, 30.0)
"""Of the opening it is for."""
DPI = 400
FINER = 3
"""Drawn so many times finer and brought down, so that edges are soft."""
SCALE = DPI / 25.4 * FINER

NIGHT, DEEP, SHALLOW, MUD, LAND = "#0b1c34", "#12406e", "#2f86a8", "#7f9a62", "#c9a95c"
LINE, WHITE, AMBER, RED, GREEN = "#8fb7cf", "#ffffff", "#f5a623", "#d8262c", "#3fae5a"


def px(*places_mm):
    """Turn places in mm into pixels of the fine drawing."""
    return [place * SCALE for place in places_mm]


def coast(level):
    """Give the shore at one height above the lowest tide, as a line across the map."""
    points = []
    for step in range(61):
        x = 1.5 + step * 27.0 / 60
        bay = 3.2 * sin(x * 0.33 + 0.6) + 1.4 * sin(x * 0.9 + 2.0) + 0.5 * sin(x * 2.3)
        points.append((x, 15.5 + bay - level))
    return points


def tide(hour):
    """Give the height of the tide, in mm on the chart: two waves a day, and a third."""
    return 2.4 * cos((hour - 3.1) * 2 * pi / 12.42) + 0.8 * cos((hour - 9.0) * 2 * pi / 24.84)


def words(draw, place, text, *, height_mm, colour, anchor="mm"):
    """Set a word."""
    font = ImageFont.truetype(str(FONT), round(height_mm * SCALE * 1.375))
    draw.text(px(*place), text, font=font, fill=colour, anchor=anchor)


def chart(draw):
    """Draw the map to the left: water by depth, mud, land, soundings, a fairway."""
    draw.rectangle(px(1.5, 1.5, 28.5, 28.5), fill=DEEP)
    for level, colour in ((5.0, SHALLOW), (1.8, MUD), (-0.6, LAND)):
        shore = [tuple(px(*point)) for point in coast(level)]
        draw.polygon([*shore, tuple(px(28.5, 28.5)), tuple(px(1.5, 28.5))], fill=colour)
    for number in range(1, 6):
        draw.line(px(1.5 + 4.5 * number, 1.5, 1.5 + 4.5 * number, 28.5), fill=LINE, width=3)
        draw.line(px(1.5, 1.5 + 4.5 * number, 28.5, 1.5 + 4.5 * number), fill=LINE, width=3)
    fairway = [tuple(px(3.0 + step, 4.6 + 1.1 * sin(step / 3.4))) for step in range(24)]
    for start, end in zip(fairway[::2], fairway[1::2], strict=False):
        draw.line([start, end], fill=WHITE, width=8)
    for place, colour in (((6.2, 7.6), RED), ((12.5, 3.4), GREEN), ((19.0, 7.4), RED)):
        x, y = px(*place)
        draw.ellipse([x - 26, y - 26, x + 26, y + 26], fill=colour, outline=WHITE, width=6)
    for place, depth in (((8.6, 3.0), "7"), ((16.0, 6.3), "9"), ((24.6, 3.2), "12")):
        words(draw, place, depth, height_mm=1.1, colour=WHITE)
    words(draw, (15.0, 25.6), "SALTMARSH", height_mm=1.7, colour=NIGHT)
    draw.rectangle(px(1.5, 1.5, 28.5, 28.5), outline=LINE, width=8)


def clock(draw):
    """Draw the tide of a day to the right, with the hours when the bar is closed."""
    draw.rectangle(px(30.5, 1.5, 46.5, 18.0), fill="#10294a", outline=LINE, width=8)
    closed = [hour / 4 for hour in range(97) if tide(hour / 4) < -1.4]
    for hour in closed:
        left = 31.5 + hour * 14.0 / 24
        draw.rectangle(px(left, 4.6, left + 0.16, 16.2), fill="#8c1f2b")
    for hours in range(0, 25, 6):
        x = 31.5 + hours * 14.0 / 24
        draw.line(px(x, 4.6, x, 16.2), fill=LINE, width=4)
        words(draw, (x, 17.2), str(hours), height_mm=0.8, colour=WHITE)
    curve = [tuple(px(31.5 + step * 14.0 / 96, 10.4 - 1.5 * tide(step / 4))) for step in range(97)]
    draw.line(curve, fill=AMBER, width=22, joint="curve")
    words(draw, (38.5, 3.1), "TIDE", height_mm=1.2, colour=AMBER)


def keys(draw):
    """Draw three coloured blocks with words below the clock."""
    blocks = (("BAR SHUT", RED, WHITE), ("FLOOD", GREEN, NIGHT), ("SPRING", AMBER, NIGHT))
    for number, (word, colour, ink) in enumerate(blocks):
        top = 19.4 + 3.1 * number
        draw.rectangle(px(30.5, top, 46.5, top + 2.5), fill=colour)
        words(draw, (38.5, top + 1.25), word, height_mm=1.1, colour=ink)


def draw_chart():
    """Draw the whole, and bring it down to the fineness it is printed at."""
    fine = tuple(round(side * SCALE) for side in SIZE_MM)
    picture = Image.new("RGB", fine, NIGHT)
    draw = ImageDraw.Draw(picture)
    chart(draw)
    clock(draw)
    keys(draw)
    return picture.resize(tuple(side // FINER for side in fine), Image.Resampling.BOX)


if __name__ == "__main__":
    draw_chart().save(INTO, dpi=(DPI, DPI), optimize=True)
    print(f"wrote {INTO.relative_to(ROOT)}")
