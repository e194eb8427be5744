// The drawn panel: what the server tells of it, as SVG over the glow of its openings.

import { bounds, fitted, pathOf, zoomed } from "./panel_geometry.js";
import { WHOLE, handlesOf, idOf, isDrafted, noDraft, outlineOf, place, spotOf } from "./panel_shown.js";

/** @typedef {import("./panel_canvas.js").GlowCanvases} GlowCanvases */
/** @typedef {import("./panel_geometry.js").Port} Port */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_shown.js").Baffle} Baffle */
/** @typedef {import("./panel_shown.js").Box} Box */
/** @typedef {import("./panel_shown.js").Item} Item */
/** @typedef {import("./panel_shown.js").Led} Led */
/** @typedef {import("./panel_shown.js").Shown} Shown */
/** @typedef {import("./panel_shown.js").Strand} Strand */

const SVG = "http://www.w3.org/2000/svg";
const HIT_PX = 12;
const LEAN_PX = 44; // arrow of an LED that lies along the panel
const SIGNS = /** @type {Record<string, string>} */ ({ stop: "■", warn: "▲", note: "●" });

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {...(Node | string)} inside
 * @returns {SVGElement}
 */
function svg(name, attributes, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.append(...inside);
  return made;
}

export class Stage {
  /**
   * @param {SVGSVGElement} root
   * @param {GlowCanvases} glow
   */
  constructor(root, glow) {
    this.root = root;
    this.glow = glow;
    /** @type {Port} */
    this.port = { x: 0, y: 0, scale: 4 };
    /** @type {Shown | null} */
    this.shown = null;
    this.draft = noDraft();
    /** Id of the item in hand; empty for none. */
    this.picked = "";
    this.layers = {
      ground: svg("g", { class: "ground", "aria-hidden": "true" }),
      boxes: svg("g", {}),
      openings: svg("g", {}),
      inner: svg("g", {}),
      handles: svg("g", {}),
      guides: svg("g", { class: "guides", "aria-hidden": "true" }),
    };
    root.append(...Object.values(this.layers));
  }

  /**
   * @param {Shown} shown
   * @param {boolean} isHeld whether something is being dragged
   */
  show(shown, isHeld) {
    const isFirst = !this.shown || this.shown.panel !== shown.panel;
    this.shown = shown;
    if (!isHeld) this.draft = noDraft();
    if (isFirst) this.fit();
    this.drawGround();
    this.draw();
  }

  /** @returns {Spot} px */
  size() {
    return [this.root.clientWidth || 600, this.root.clientHeight || 400];
  }

  fit() {
    if (!this.shown) return;
    const [left, bottom, right, top] = this.shown.bounds_mm;
    this.port = fitted([left - 6, bottom - 12, right + 14, top + 8], this.size());
    this.look();
  }

  /** Fit the panel in, and draw it so. */
  showWhole() {
    this.fit();
    this.draw();
  }

  /** @returns {Spot} mm, the middle of what is seen */
  middle() {
    const [width, height] = this.size();
    const { x, y, scale } = this.port;
    return [x + width / 2 / scale, -(y + height / 2 / scale)];
  }

  /**
   * @param {number} factor
   * @param {Spot} [at] px
   */
  zoom(factor, at) {
    const [width, height] = this.size();
    this.port = zoomed(this.port, at ?? [width / 2, height / 2], factor);
    this.look();
    this.draw();
  }

  /** @param {Spot} by px */
  pan([dx, dy]) {
    this.port = { ...this.port, x: this.port.x - dx / this.port.scale, y: this.port.y - dy / this.port.scale };
    this.look();
  }

  /** Put the drawing where the port is. */
  look() {
    const [width, height] = this.size();
    const { x, y, scale } = this.port;
    this.root.setAttribute("viewBox", `${x} ${y} ${width / scale} ${height / scale}`);
    this.drawGlow();
  }

  /**
   * Turn a place of the screen into one of the panel.
   * @param {{clientX: number, clientY: number}} event
   * @returns {Spot} mm
   */
  placeOf(event) {
    const box = this.root.getBoundingClientRect();
    const { x, y, scale } = this.port;
    return [x + (event.clientX - box.left) / scale, -(y + (event.clientY - box.top) / scale)];
  }

  drawGround() {
    const ground = this.shown?.ground;
    this.layers.ground.replaceChildren();
    if (!ground) return;
    const parsed = new DOMParser().parseFromString(ground.svg, "image/svg+xml").documentElement;
    const { left_mm, bottom_mm, width_mm, height_mm } = ground;
    for (const [key, value] of Object.entries({ x: left_mm, y: -bottom_mm - height_mm, width: width_mm, height: height_mm }))
      parsed.setAttribute(key, String(value));
    for (const one of parsed.querySelectorAll("[id]")) {
      one.classList.add(`pen-${one.id}`);
      one.removeAttribute("id");
    }
    this.layers.ground.append(document.adoptNode(parsed));
  }

  /** Draw everything that can be taken hold of. */
  draw() {
    const shown = this.shown;
    if (!shown) return;
    const focused = document.activeElement instanceof SVGElement ? document.activeElement.dataset.id : undefined;
    this.root.classList.toggle("drafted", isDrafted(this.draft));
    const boxes = shown.boxes.map(({ name, depth_mm }) => this.outlined("box", name, `light box ${name}, ${depth_mm} mm deep`));
    const openings = shown.openings.map((one) => {
      const words = `opening ${one.name}, ${one.outline.words}${one.layers.length ? `, behind ${one.layers.join(", ")}` : ", open"}`;
      return this.outlined("opening", one.name, words);
    });
    const overlays = shown.overlays.map(({ name }) => this.outlined("overlay", name, `overlay ${name}`));
    const outline = this.outlined("panel", shown.panel, `outline of ${shown.panel}, ${shown.outline.words}`);
    this.layers.boxes.replaceChildren(outline, ...boxes);
    this.layers.openings.replaceChildren(...openings, ...overlays);
    this.layers.inner.replaceChildren(
      ...shown.boxes.flatMap((box) => box.pillars.map(({ name }) => this.outlined("pillar", name, `pillar ${name} in ${box.name}`, box.name))),
      ...shown.boxes.flatMap((box) => box.baffles.map((one) => this.baffle(box, one))),
      ...shown.boxes.flatMap((box) => box.leds.map((one) => this.led(one))),
      ...shown.strands.map((one) => this.strand(one)),
      ...this.flags(),
    );
    this.drawHandles();
    this.drawGlow();
    if (focused) /** @type {SVGElement | null} */ (this.root.querySelector(`[data-id="${CSS.escape(focused)}"]`))?.focus();
  }

  /**
   * @param {string} kind
   * @param {string} name
   * @param {string} words
   * @param {Node[]} inside
   */
  item(kind, name, words, inside) {
    const id = idOf({ kind, name });
    const made = svg("g", {
      class: `item ${kind === "LED" ? "led" : kind}${this.picked === id ? " picked" : ""}`,
      "data-id": id,
      tabindex: this.picked === id || (!this.picked && kind === "panel") ? 0 : -1,
      role: "button",
      "aria-label": words,
      "aria-pressed": String(this.picked === id),
    });
    made.append(...inside);
    return made;
  }

  /**
   * @param {string} kind
   * @param {string} name
   * @param {string} words
   * @param {string} [box] that it stands in
   */
  outlined(kind, name, words, box) {
    const corners = this.shown && outlineOf(this.shown, this.draft, { kind, name, box });
    const d = corners ? pathOf(corners) : "";
    return this.item(kind, name, words, [svg("path", { class: "hit", d }), svg("path", { class: "line", d })]);
  }

  /** @param {Led} led */
  led(led) {
    const [x, y] = this.draft.leds[led.name] ?? led.at_mm;
    const [length, width] = led.size_mm;
    const turn = `translate(${x} ${-y}) rotate(${-led.turn_deg})`;
    return this.item("LED", led.name, `LED ${led.name}, ${led.type}, ${place([x, y])}, ${Number(led.current_mA.toPrecision(3))} mA${led.tilt_deg ? `, tilted ${Number(led.tilt_deg.toPrecision(3))} deg` : ""}`, [
      svg("circle", { class: "hit", cx: x, cy: -y, r: HIT_PX / this.port.scale }),
      svg("rect", { class: "body", transform: turn, x: -length / 2, y: -width / 2, width: length, height: width }),
      svg("line", { class: "anode", transform: turn, x1: -length / 2, y1: -width / 2, x2: -length / 2, y2: width / 2 }),
      svg("path", { class: "rays", d: rays([x, y], 7 / this.port.scale, 11 / this.port.scale) }),
      ...(led.leans.length ? [svg("path", { class: "lean", d: arrow([x, y], led.leans, LEAN_PX / this.port.scale) })] : []),
      this.named(led.name, [x, y]),
    ]);
  }

  /** @param {Strand} strand */
  strand(strand) {
    const [x, y] = this.draft.strands[strand.name] ?? strand.at_mm;
    return this.item("strand", strand.name, `strand ${strand.name}, ${strand.group}, ${place([x, y])}`, [
      svg("circle", { class: "hit", cx: x, cy: -y, r: HIT_PX / this.port.scale }),
      svg("circle", { class: "body", cx: x, cy: -y, r: Math.max(strand.diameter_mm / 2, 2 / this.port.scale) }),
      this.named(strand.name, [x, y]),
    ]);
  }

  /**
   * @param {Box} box
   * @param {Baffle} baffle
   */
  baffle(box, baffle) {
    const { start, end } = this.draft.baffles[baffle.name] ?? { start: baffle.from_mm, end: baffle.to_mm };
    const line = { x1: start[0], y1: -start[1], x2: end[0], y2: -end[1] };
    const how = baffle.hangs ? ` hanging ${baffle.height_mm} mm down` : "";
    const made = this.item("baffle", baffle.name, `baffle ${baffle.name} in ${box.name}${how}, from ${place(start)} to ${place(end)}`, [
      svg("line", { class: "hit wide", ...line }),
      svg("line", { class: "line", ...line }),
    ]);
    made.classList.toggle("hangs", baffle.hangs);
    return made;
  }

  /**
   * @param {string} name
   * @param {Spot} at
   */
  named(name, [x, y]) {
    return svg("text", { class: "name", x: x + 9 / this.port.scale, y: -y + 15 / this.port.scale, "font-size": 12 / this.port.scale, "aria-hidden": "true" }, name);
  }

  /** Signs of findings, where they are. */
  flags() {
    const shown = this.shown;
    if (!shown) return [];
    /** @type {Map<string, string>} */
    const worst = new Map();
    for (const one of shown.findings) {
      const order = ["note", "warn", "stop"];
      if (one.stands && order.indexOf(one.severity) >= order.indexOf(worst.get(one.name) ?? "note")) worst.set(one.name, one.severity);
    }
    /** @type {SVGElement[]} */
    const made = [];
    for (const [name, severity] of worst) {
      const item = shown.items.find((one) => one.name === name || (one.member === 1 && one.path.at(-1) === name));
      const at = item && this.spotOf(item);
      if (!at) continue;
      const corners = outlineOf(shown, this.draft, item);
      const [left, , , top] = corners ? bounds(corners) : [at[0], 0, 0, at[1]];
      made.push(svg("text", { class: `flag ${severity}`, x: left, y: -top - 4 / this.port.scale, "font-size": 14 / this.port.scale, "data-flag": name, "aria-hidden": "true" }, SIGNS[severity] ?? "●"));
    }
    return made;
  }

  /**
   * Where an item, or one of its handles, is drawn now.
   * @param {Item} item
   * @param {number} [handle]
   * @returns {Spot | null}
   */
  spotOf(item, handle = WHOLE) {
    return this.shown && spotOf(this.shown, this.draft, item, handle);
  }

  /** @returns {Item | undefined} */
  pickedItem() {
    return this.shown?.items.find((one) => idOf(one) === this.picked);
  }

  /** The handles of the picked item, as they are drawn now. */
  handles() {
    const item = this.pickedItem();
    return item && this.shown ? handlesOf(this.shown, this.draft, item) : [];
  }

  drawHandles() {
    const size = 9 / this.port.scale;
    this.layers.handles.replaceChildren(
      ...this.handles().map(({ at: [x, y], words }, i) => {
        const made = svg("g", { class: "handle", "data-id": `handle:${i}`, "data-handle": i, tabindex: 0, role: "button", "aria-label": `${words}, ${place([x, y])}` });
        made.append(
          svg("circle", { class: "hit", cx: x, cy: -y, r: HIT_PX / this.port.scale }),
          svg("rect", { x: x - size / 2, y: -y - size / 2, width: size, height: size }),
        );
        return made;
      }),
    );
  }

  /**
   * Draw guides over the panel, in place of those there were.
   * @param {{x?: number, y?: number}[]} lines mm, each across the whole panel
   * @param {Spot[]} [measure] two places, the length between which is written
   */
  guide(lines, measure) {
    const [left, bottom, right, top] = this.shown?.bounds_mm ?? [0, 0, 0, 0];
    const made = lines.map(({ x, y }) =>
      x === undefined
        ? svg("line", { x1: left - 10, x2: right + 10, y1: -(y ?? 0), y2: -(y ?? 0) })
        : svg("line", { x1: x, x2: x, y1: -top - 10, y2: -bottom + 10 }),
    );
    if (measure?.length === 2) {
      const [[x1, y1], [x2, y2]] = measure;
      const words = `${Math.hypot(x2 - x1, y2 - y1).toFixed(2)} mm`;
      made.push(
        svg("line", { class: "measure", x1, y1: -y1, x2, y2: -y2 }),
        svg("text", { class: "measured", x: (x1 + x2) / 2, y: -(y1 + y2) / 2 - 6 / this.port.scale, "font-size": 14 / this.port.scale, "text-anchor": "middle" }, words),
      );
    }
    this.layers.guides.replaceChildren(...made);
  }

  drawGlow() {
    if (this.shown) this.glow.draw(this.shown, this.draft, this.port, this.size());
  }
}

/**
 * Four short rays around a lamp, as on a drawing of a light.
 * @param {Spot} at
 * @param {number} from
 * @param {number} to
 */
function rays([x, y], from, to) {
  return [45, 135, 225, 315]
    .map((angle) => {
      const [c, s] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
      return `M${x + from * c} ${-y - from * s}L${x + to * c} ${-y - to * s}`;
    })
    .join("");
}

/**
 * An arrow that shows where the beam of a tilted LED leans.
 * @param {Spot} at
 * @param {number[]} way as long as the beam is level
 * @param {number} reach
 */
function arrow([x, y], [across, up], reach) {
  const [dx, dy] = [across * reach, up * reach];
  const tip = `${x + dx} ${-y - dy}`;
  const barb = (/** @type {number} */ side) => `${x + 0.7 * dx - side * 0.2 * dy} ${-y - 0.7 * dy - side * 0.2 * dx}`;
  return `M${x} ${-y}L${tip}M${barb(1)}L${tip}L${barb(-1)}`;
}
