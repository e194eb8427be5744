"""Times the reading of a project: Saltmarsh, and a generated model of 1,000 LEDs.

Usage: ``python benchmarks/project_read.py``. The same text is composed by the YAML library alone
in the same run, so that the ratio holds on any machine.
"""

import time
from collections.abc import Callable

from ruamel.yaml import YAML

from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text

RUNS = 5
SALTMARSH_S = 0.25
THOUSAND_S = 1.5


def thousand() -> str:
    """Write a model of 50 sub-assemblies with 20 LEDs each, every LED on a line of its own."""
    subs = []
    for number in range(50):
        leds = "\n".join(
            f"              L{led}: {{type: white 0603, at: [{10 + led % 5 * 20} mm, "
            f"{10 + led // 5 * 15} mm], current: 1.5 mA}}   # LED {led}"
            for led in range(20)
        )
        subs.append(f"""\
  wall {number}:
    stands: {{at: [{number * 5} mm, 60 mm]}}
    pigtail: {{plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 160 mm}}
    panels:
      face:
        outline: rectangle 120 x 80 mm
        sheet: styrene 1.0 mm
        openings:
          screen: {{shape: rectangle 90 x 50 mm, at: [50 mm, 32 mm], layers: [opal film 60]}}
        boxes:
          box:
            inside: rectangle 98 x 58 mm
            at: [50 mm, 32 mm]
            depth: 20 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            leds:
{leds}
""")
    head = (
        "lamphouse: 1\nname: Thousand\nscale: 1:50\nroom: {size: 2400 x 900 x 300 mm}\n"
        "supply: {kind: plug-in supply, voltage: 12 V, max_current: 5 A}\nsub_assemblies:\n"
    )
    return head + "".join(subs)


def best_s(work: Callable[[], object]) -> float:
    """Give the shortest process time of a few runs."""
    times = []
    for _ in range(RUNS):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


def main() -> int:
    """Print one line for each text."""
    slow = False
    texts = (
        ("saltmarsh", demo_text("saltmarsh"), SALTMARSH_S),
        ("1000 LEDs", thousand(), THOUSAND_S),
    )
    for name, text, most_s in texts:
        begin = time.process_time()
        reading = read_text(text, file=name)
        first_s = time.process_time() - begin
        if reading.design is None:
            print(f"{name}: {reading.in_the_way[0]}")
            return 1
        leds = sum(len(sub.leds()) for sub in reading.design.sub_assemblies)
        read_s = best_s(lambda text=text: read_text(text, file=""))
        compose_s = best_s(lambda text=text: YAML(typ="safe", pure=True).compose(text))
        slow = slow or first_s > most_s
        print(
            f"{name}: {leds} LEDs, {len(text) / 1024:.0f} KiB; first {first_s:.3f} s of "
            f"{most_s} s allowed, again {read_s:.3f} s; the YAML library alone {compose_s:.3f} s, "
            f"ratio {read_s / compose_s:.2f}"
        )
    return 1 if slow else 0


if __name__ == "__main__":
    raise SystemExit(main())
