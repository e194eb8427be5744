"""Sources of circuits: parts, wires, boards, supplies, controllers, faults."""

from lamphouse.sources.source_entry import Source

WIRING_SOURCES: dict[str, Source] = {
    "IEC60063": Source(
        citation="IEC 60063, Preferred number series for resistors and capacitors.",
        note="Lists read from an open package; the standard itself was not bought.",
    ),
    "IEC60062": Source(
        citation="IEC 60062, Marking codes for resistors and capacitors.",
        note="Read through data sheets that quote it.",
    ),
    "IEC60115-8": Source(
        citation="IEC 60115-8, Fixed surface mount resistors: sizes, rated dissipation, derating.",
        note="Read through data sheets; the dissipation of 0402 is from memory.",
    ),
    "ASTM-B258": Source(
        citation="ASTM B258, Standard nominal diameters of solid round wires: "
        "d = 0.127 mm x 92^((36-n)/39).",
    ),
    "IACS": Source(
        citation="International Annealed Copper Standard: 1.7241e-8 ohm m at 20 degC.",
        note="The number IEC 60028 for it is from memory.",
    ),
    "SHOCKLEY": Source(
        citation="Shockley's diode equation with series resistance; thermal voltage k/q T from "
        "the exact SI constants.",
    ),
    "STAR-MESH": Source(
        citation="Rosen, A new network theorem, Journal of the IEE 62, 1924: a star of n "
        "conductances equals a mesh of n (n - 1) / 2.",
        note="From memory; proved against other solvers in the tests.",
    ),
    "BAYES": Source(
        citation="Bayes, An essay towards solving a problem in the doctrine of chances, "
        "Philosophical Transactions 53, 1763.",
    ),
    "SHANNON": Source(
        citation="Shannon, A mathematical theory of communication, Bell System Technical Journal "
        "27, 1948: entropy, and the rate of what is told.",
        note="From memory; proved by counting in the tests.",
    ),
    "MAHALANOBIS": Source(
        citation="Mahalanobis, On the generalised distance in statistics, Proceedings of the "
        "National Institute of Sciences of India 2, 1936.",
        note="From memory.",
    ),
    "SPICE3": Source(
        citation="Quarles, Newton, Pederson and Sangiovanni-Vincentelli, SPICE 3 version 3f3 "
        "user's manual, University of California, Berkeley, 1993: elements, models, options.",
        note="From memory; decks are read by another solver in the tests.",
    ),
    "NAGEL": Source(
        citation="Nagel, SPICE2: a computer program to simulate semiconductor circuits, "
        "memorandum ERL-M520, University of California, Berkeley, 1975: junction limiting.",
        note="From memory; proved against other solvers in the tests.",
    ),
    "SELV": Source(
        citation="IEC 61140 and IEC 60364-4-41: safety extra-low voltage is at most 120 V d.c.; "
        "touchable without basic protection in the dry at most 60 V d.c.",
        note="This tool's own ceiling is 24 V, well below both.",
    ),
    "USB": Source(
        citation="USB 2.0 and 3.x, Battery Charging 1.2, Type-C: port currents and voltages.",
        note="The voltages 4.75 V, 5.25 V and 4.40 V and the 10 uF at plugging in are from memory.",
    ),
    "BS3737": Source(
        citation="BS 3737 (withdrawn), Standard wire gauge: a table in inches.",
        note="Read through public tables that agree.",
    ),
    "WIRE-TO-BOARD": Source(
        citation="1.25 mm, 2.0 mm and 2.54 mm crimp wire-to-board plugs as their data sheets read.",
        note="From memory. Currents are for the thickest wire the contact takes; those of three "
        "and more pins are reduced to 80 percent, as all may carry at once.",
    ),
    "IEC60757": Source(
        citation="IEC 60757:2021, Code for designation of colours: two letters each.",
        note="Read through pages that quote it; red and black for plus and minus are common "
        "practice, no source.",
    ),
    "WIRE-AWG": Source(
        citation="Diameters [ASTM-B258]; resistance of solid copper [IACS]; enamel as for the next "
        "size up in IEC 60317-0-1, grade 1 (largest overall diameter).",
        note="Insulated outside diameters are typical. Current: 10 A/mm2, this tool's own limit "
        "for wires bundled in a closed model; a handbook's chassis-wiring column allows about "
        "17 A/mm2 in open air, its power-transmission column 2.8 A/mm2.",
    ),
    "WIRE-SWG": Source(
        citation="Diameters [BS3737]; resistance of solid copper [IACS]; largest overall diameter "
        "of grade 1 enamel: IS 13730-0-1 (the text of IEC 60317-0-1).",
        note="Enamel read from a cable maker's table. Current: 10 A/mm2, see [WIRE-AWG].",
    ),
    "WIRE-ENAMELLED": Source(
        citation="IEC 60317-0-1, grade 1: nominal copper and largest overall diameters; "
        "resistance of solid copper [IACS].",
        note="0.1 mm read from a winding-wire maker's page, others from memory beside the table "
        "of [WIRE-SWG]. Current: 10 A/mm2, see [WIRE-AWG].",
    ),
    "WIRE-BUNCHED": Source(
        citation="IEC 60228 class 5, and VDE 0295 below 0.5 mm2: largest resistance of plain "
        "bunched copper at 20 degC.",
        note="Read through catalogue pages. Outside diameters are typical; current: 6 A/mm2, "
        "common practice for equipment wire.",
    ),
    "STRINGS": Source(
        citation="H. C. Hottel's crossed strings: exchange of diffuse light between faces that run "
        "on without end.",
        note="The name is from memory; checked against the closed form for two opposite strips.",
    ),
    "LED-CLASS": Source(
        citation="Typical of the class: forward curves of a diode with series resistance through "
        "readings published for small LEDs (white 2.70 V at 2.5 mA, red 1.90 V at 3.3 mA) and "
        "data-sheet values of 0603 parts (white 2.8 V, red 40 mcd, green 120 mcd, blue 50 mcd at "
        "5 mA).",
        note="White flux lies between a data sheet (0.8 lm at 5 mA) and a good part (2 lm). "
        "Luminous flux differs by a factor of two from part to part: measure yours and put "
        "the figures into the project's parts folder. Sizes of domes are from memory.",
    ),
    "AXIAL-RESISTORS": Source(
        citation="Axial film resistors of 1/8, 1/4 and 1/2 W as their data sheets read.",
        note="From memory.",
    ),
    "IEC60097": Source(
        citation="IEC 60097, Grid systems for printed circuits: a pitch of 2.54 mm.",
        note="Read through pages that quote it.",
    ),
    "LEAD-FORMING": Source(
        citation="Lead forming of axial parts: straight from the body for one lead diameter and at "
        "least 0.8 mm, then bent with a radius of one diameter for leads thinner than 0.8 mm.",
        note="Read from the public notes of a college's soldering course, after IPC-A-610.",
    ),
    "IPC2221": Source(
        citation="IPC-2221, Generic standard on printed board design: electrical clearance, outer "
        "conductors, uncoated, up to 30 V: 0.1 mm.",
        note="The clearance is from memory.",
    ),
    "CROSSING-RATE": Source(
        citation="Handbooks of highway-rail grade crossings: lights flash 45 to 65 times a minute.",
    ),
    "AVR-TIMER": Source(
        citation="Data sheets of 8-bit AVRs, the 16-bit timer and its compare interrupt.",
    ),
    "MICROPYTHON-PWM": Source(
        citation="MicroPython documentation, machine.PWM: duty_u16 from 0 to 65535, freq in Hz.",
        note="From memory, and as its interpreter takes it.",
    ),
    "CONTROLLERS": Source(
        citation="Typical small controllers and switching transistors, as their data sheets read.",
        note="Memory and pins as the compiler's device files have them; the rest from memory: "
        "inner oscillators within 10 % as they leave the factory, crystals within 50 ppm.",
    ),
    "TIMER-CHIP": Source(
        citation="Data books of 555-type timers: high for 0.693 (RA + RB) C, low for 0.693 RB C; "
        "as a monostable high for 1.1 R C.",
        note="0.693 is ln 2, and 1.1 ln 3; the figures of the rows are typical, from memory.",
    ),
    "IEC61558-2-6": Source(
        citation="IEC 61558-2-6, Safety isolating transformers and supplies with them.",
        note="Number and title from memory.",
    ),
    "IEC60086": Source(
        citation="IEC 60086-2, Primary batteries: sizes and designations.",
        note="Diameters and heights read in Linden's Handbook of Batteries, table 4.9a; the "
        "coin's from its code.",
    ),
    "CELLS": Source(
        citation="Typical cells of their class: sizes of IEC 60086-2 where it has one, capacity as "
        "a band over several general pages.",
        note="Open voltages over discharge and resistances are from memory, of the class and of no "
        "maker: measure yours, or read its data sheet.",
    ),
    "LI-ION": Source(
        citation="Practice of single lithium-ion cells: charged to 4.20 V, cut off above 4.25 to "
        "4.28 V and below 2.5 to 3.0 V by a protection circuit of their own.",
        note="Read on a data page of protection boards.",
    ),
    "PEUKERT": Source(
        citation="W. Peukert, 1897: t = H (C / (I H))^k for a lead battery of capacity C at the "
        "H-hour rate.",
        note="Read through general pages with worked cases.",
    ),
    "FUSES": Source(
        citation="Typical fuses of their class: hold and trip current in still air, trip about "
        "twice the hold current; a melting fuse opens at 2.1 times its rating (IEC 60127).",
        note="Two rows of resettable fuses read on data pages; resistances, the loss of some 1 % "
        "per kelvin (83 % left at 40 degC, 65 % at 60 degC) and the 2.1 are from memory.",
    ),
    "PROTECTORS": Source(
        citation="Typical forward drops of 1 A diodes and resistance of a small transistor.",
        note="From memory; read the data sheet of yours.",
    ),
}
