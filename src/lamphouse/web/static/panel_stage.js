// The drawn panel: what the server tells of it, as SVG over the glow of its openings.

import { bounds, fitted, middle, nearestCorner, pathOf, shiftOf, zoomed } from "./panel_geometry.js";
import { DIMMEST, paint, rgbAt, whiteOf } from "./panel_field.js";

/** @typedef {import("./panel_geometry.js").Corner} Corner */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_geometry.js").Port} Port */
/** @typedef {import("./panel_field.js").OpeningField} OpeningField */
/** @typedef {{d: string, corners: Corner[], words: string, diameter_mm: number | null}} Outline */
/** @typedef {{name: string, at_mm: Spot, type: string, size_mm: Spot, turn_deg: number, seat: string, current_mA: number}} Led */
/** @typedef {{name: string, from_mm: Spot, to_mm: Spot, thickness_mm: number}} Baffle */
/** @typedef {{name: string, outline: Outline, depth_mm: number, leds: Led[], baffles: Baffle[]}} Box */
/** @typedef {{kind: string, name: string, path: (string | number)[], member: number, of: number, shape: string, shape_key: string, along: string, is_turned: boolean, box: string, keys: string[], points_mm: Spot[]}} Item */
/** @typedef {{box: string, mean_cd_m2: number, bar_cd_m2: number, low_cd_m2: number, high_cd_m2: number, evenness: number, evenness_bar: number, hot_spot: number, room_cd_m2: number, look: string, colour: string, dark_rgb: number[], room_rgb: number[]}} Glow */
/**
 * @typedef {object} Shown
 * @property {string} revision
 * @property {boolean} planned
 * @property {string} sub_assembly
 * @property {string} panel
 * @property {string} sheet
 * @property {boolean} is_curved
 * @property {boolean} is_cone
 * @property {[number, number, number, number]} bounds_mm
 * @property {number} room_lx
 * @property {Record<string, string>} free_names
 * @property {Record<string, string>} usual
 * @property {number} face_reflectance
 * @property {number} gluing_mm
 * @property {Outline} outline
 * @property {{name: string, outline: Outline, layers: string[]}[]} openings
 * @property {{name: string, outline: Outline}[]} overlays
 * @property {Box[]} boxes
 * @property {{name: string, at_mm: Spot, diameter_mm: number, group: string}[]} strands
 * @property {Item[]} items
 * @property {{openings: Record<string, Glow>} | null} glow
 * @property {{svg: string, left_mm: number, bottom_mm: number, width_mm: number, height_mm: number} | null} ground
 * @property {{code: string, severity: string, item: string, name: string, stands: boolean, words: string}[]} findings
 */
/**
 * What is dragged and not yet in the file.
 * @typedef {object} Draft
 * @property {Record<string, Spot>} leds
 * @property {Record<string, Spot>} strands
 * @property {Record<string, Corner[]>} openings
 * @property {Record<string, Corner[]>} insides
 * @property {Record<string, {box: string, start: Spot, end: Spot}>} baffles
 * @property {Corner[] | null} outline
 */

const SVG = "http://www.w3.org/2000/svg";
const HIT_PX = 12;
const SEEN_MARGIN_PX = 24;
const SEEN_HIGH_PX = 300;
const SIGNS = /** @type {Record<string, string>} */ ({ stop: "■", warn: "▲", note: "●" });

/** @returns {Draft} */
export function noDraft() {
  return { leds: {}, strands: {}, openings: {}, insides: {}, baffles: {}, outline: null };
}

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {...(Node | string)} inside
 * @returns {SVGElement}
 */
export function svg(name, attributes, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.append(...inside);
  return made;
}

/**
 * Name an item so that it can be found on the page.
 * @param {{kind: string, name: string}} item
 */
export function idOf(item) {
  return `${item.kind}:${item.name}`;
}

export class Stage {
  /**
   * @param {SVGSVGElement} root
   * @param {HTMLCanvasElement} canvas beneath it
   * @param {HTMLCanvasElement} seen the panel as the eye sees it
   */
  constructor(root, canvas, seen) {
    this.root = root;
    this.canvas = canvas;
    this.seen = seen;
    /** @type {Port} */
    this.port = { x: 0, y: 0, scale: 4 };
    /** @type {Shown | null} */
    this.shown = null;
    /** @type {Map<string, OpeningField>} */
    this.fields = new Map();
    /** @type {Map<string, {image: ImageData, canvas: HTMLCanvasElement}>} */
    this.painted = new Map();
    this.draft = noDraft();
    this.picked = "";
    this.lux = 300;
    this.isFresh = true;
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

  /** @param {string} name @param {Corner[]} corners */
  cornersOf(name, corners) {
    return this.draft.openings[name] ?? corners;
  }

  /** Draw everything that can be taken hold of. */
  draw() {
    const shown = this.shown;
    if (!shown) return;
    const focused = document.activeElement instanceof SVGElement ? document.activeElement.dataset.id : undefined;
    const isDragging = this.isDrafted();
    this.root.classList.toggle("drafted", isDragging);
    const boxes = shown.boxes.map((box) => {
      const corners = this.draft.insides[box.name] ?? box.outline.corners;
      return this.outlined("box", box.name, corners, `light box ${box.name}, ${box.depth_mm} mm deep`);
    });
    const openings = shown.openings.map((one) => {
      const words = `opening ${one.name}, ${one.outline.words}${one.layers.length ? `, behind ${one.layers.join(", ")}` : ", open"}`;
      return this.outlined("opening", one.name, this.cornersOf(one.name, one.outline.corners), words);
    });
    const overlays = shown.overlays.map((one) =>
      this.outlined("overlay", one.name, one.outline.corners, `overlay ${one.name}`),
    );
    const outline = this.outlined("panel", shown.panel, this.draft.outline ?? shown.outline.corners, `outline of ${shown.panel}, ${shown.outline.words}`);
    this.layers.boxes.replaceChildren(outline, ...boxes);
    this.layers.openings.replaceChildren(...openings, ...overlays);
    this.layers.inner.replaceChildren(
      ...shown.boxes.flatMap((box) => box.baffles.map((one) => this.baffle(box, one))),
      ...shown.boxes.flatMap((box) => box.leds.map((one) => this.led(one))),
      ...shown.strands.map((one) => this.strand(one)),
      ...this.flags(),
    );
    this.drawHandles();
    this.drawGlow();
    if (focused) /** @type {SVGElement | null} */ (this.root.querySelector(`[data-id="${CSS.escape(focused)}"]`))?.focus();
  }

  isDrafted() {
    const { leds, strands, openings, insides, baffles, outline } = this.draft;
    return outline !== null || [leds, strands, openings, insides, baffles].some((one) => Object.keys(one).length > 0);
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
   * @param {Corner[]} corners
   * @param {string} words
   */
  outlined(kind, name, corners, words) {
    const d = pathOf(corners);
    return this.item(kind, name, words, [svg("path", { class: "hit", d }), svg("path", { class: "line", d })]);
  }

  /** @param {Led} led */
  led(led) {
    const [x, y] = this.draft.leds[led.name] ?? led.at_mm;
    const [length, width] = led.size_mm;
    const turn = `translate(${x} ${-y}) rotate(${-led.turn_deg})`;
    return this.item("LED", led.name, `LED ${led.name}, ${led.type}, ${place([x, y])}, ${Number(led.current_mA.toPrecision(3))} mA`, [
      svg("circle", { class: "hit", cx: x, cy: -y, r: HIT_PX / this.port.scale }),
      svg("rect", { class: "body", transform: turn, x: -length / 2, y: -width / 2, width: length, height: width }),
      svg("line", { class: "anode", transform: turn, x1: -length / 2, y1: -width / 2, x2: -length / 2, y2: width / 2 }),
      svg("path", { class: "rays", d: rays([x, y], 7 / this.port.scale, 11 / this.port.scale) }),
      this.named(led.name, [x, y]),
    ]);
  }

  /** @param {{name: string, at_mm: Spot, diameter_mm: number, group: string}} strand */
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
    const drafted = this.draft.baffles[baffle.name];
    const [[x1, y1], [x2, y2]] = drafted ? [drafted.start, drafted.end] : [baffle.from_mm, baffle.to_mm];
    const line = { x1, y1: -y1, x2, y2: -y2 };
    return this.item("baffle", baffle.name, `baffle ${baffle.name} in ${box.name}, from ${place([x1, y1])} to ${place([x2, y2])}`, [
      svg("line", { class: "hit wide", ...line }),
      svg("line", { class: "line", ...line }),
    ]);
  }

  /**
   * @param {string} name
   * @param {Spot} at
   */
  named(name, [x, y]) {
    return svg("text", { class: "name", x: x + 9 / this.port.scale, y: -y - 7 / this.port.scale, "font-size": 12 / this.port.scale, "aria-hidden": "true" }, name);
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
      const at = item ? this.stands(item) : null;
      if (!item || !at) continue;
      const corner = this.isOutlined(item) ? this.upperLeft(item) : at;
      made.push(svg("text", { class: `flag ${severity}`, x: corner[0], y: -corner[1] - 4 / this.port.scale, "font-size": 14 / this.port.scale, "data-flag": name, "aria-hidden": "true" }, SIGNS[severity] ?? "●"));
    }
    return made;
  }

  /** @param {Item} item */
  isOutlined(item) {
    return ["panel", "opening", "box", "overlay"].includes(item.kind);
  }

  /**
   * @param {Item} item
   * @returns {Spot}
   */
  upperLeft(item) {
    const [left, , , top] = bounds(this.outlineOf(item) ?? [[0, 0, 0]]);
    return [left, top];
  }

  /**
   * The corners of an item as they are drawn now.
   * @param {Item} item
   * @returns {Corner[] | null}
   */
  outlineOf(item) {
    const shown = this.shown;
    if (!shown) return null;
    if (item.kind === "panel") return this.draft.outline ?? shown.outline.corners;
    if (item.kind === "opening") return this.draft.openings[item.name] ?? shown.openings.find((one) => one.name === item.name)?.outline.corners ?? null;
    if (item.kind === "box") return this.draft.insides[item.name] ?? shown.boxes.find((one) => one.name === item.name)?.outline.corners ?? null;
    if (item.kind === "overlay") return shown.overlays.find((one) => one.name === item.name)?.outline.corners ?? null;
    return null;
  }

  /**
   * The corners of an item as the file has them.
   * @param {Item} item
   */
  keptOutline(item) {
    const draft = this.draft;
    this.draft = noDraft();
    const kept = this.outlineOf(item);
    this.draft = draft;
    return kept;
  }

  /**
   * Where the middle of an item is now.
   * @param {Item} item
   * @returns {Spot | null}
   */
  stands(item) {
    const shown = this.shown;
    if (!shown) return null;
    if (item.kind === "LED") {
      const led = shown.boxes.flatMap((box) => box.leds).find((one) => one.name === item.name);
      return led ? (this.draft.leds[led.name] ?? led.at_mm) : null;
    }
    if (item.kind === "strand") {
      const strand = shown.strands.find((one) => one.name === item.name);
      return strand ? (this.draft.strands[strand.name] ?? strand.at_mm) : null;
    }
    if (item.kind === "baffle") {
      const baffle = shown.boxes.find((one) => one.name === item.box)?.baffles.find((one) => one.name === item.name);
      const ends = baffle && (this.draft.baffles[item.name] ?? { start: baffle.from_mm, end: baffle.to_mm });
      return ends ? [(ends.start[0] + ends.end[0]) / 2, (ends.start[1] + ends.end[1]) / 2] : null;
    }
    const corners = this.outlineOf(item);
    return corners ? middle(corners) : null;
  }

  /** @returns {Item | undefined} */
  pickedItem() {
    return this.shown?.items.find((one) => idOf(one) === this.picked);
  }

  /**
   * The places by which the picked item is reshaped: corners, ends of a baffle, the rim of a circle.
   * @returns {{at: Spot, words: string}[]}
   */
  handles() {
    const item = this.pickedItem();
    const shown = this.shown;
    if (!item || !shown || item.is_turned) return [];
    if (item.kind === "baffle") {
      const baffle = shown.boxes.find((one) => one.name === item.box)?.baffles.find((one) => one.name === item.name);
      if (!baffle) return [];
      const { start, end } = this.draft.baffles[item.name] ?? { start: baffle.from_mm, end: baffle.to_mm };
      return [
        { at: start, words: "where it begins" },
        { at: end, words: "where it ends" },
      ];
    }
    const corners = this.outlineOf(item);
    if (!corners || item.kind === "overlay" || shown.is_cone || (item.kind === "panel" && shown.is_curved)) return [];
    if (item.shape === "points") {
      const kept = this.keptOutline(item) ?? corners;
      const [dx, dy] = shiftOf(item.points_mm, kept);
      return item.points_mm.map(([x, y], i) => {
        const [cx, cy] = corners[nearestCorner(kept, [x + dx, y + dy])];
        return { at: [cx, cy], words: `corner ${i + 1}` };
      });
    }
    const [left, bottom, right, top] = bounds(corners);
    if (item.shape === "round") return [{ at: [right, (bottom + top) / 2], words: "rim" }];
    if (!["rectangle", "rounded", "slot"].includes(item.shape)) return [];
    if (item.kind === "panel") return [{ at: [right, top], words: "upper right corner" }];
    return [
      { at: [left, bottom], words: "lower left corner" },
      { at: [right, bottom], words: "lower right corner" },
      { at: [right, top], words: "upper right corner" },
      { at: [left, top], words: "upper left corner" },
    ];
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
   * @param {{x?: number, y?: number}[]} lines mm
   * @param {Spot[]} [measure]
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

  /** @param {OpeningField[]} fields */
  take(fields) {
    for (const field of fields) this.fields.set(field.name, field);
    this.drawGlow();
  }

  /** The brightest light of any opening by any of the screen's colours, the room's on it. */
  white() {
    const share = this.roomShare();
    let most = 0;
    for (const field of this.fields.values()) {
      const glow = this.shown?.glow?.openings[field.name];
      const rgb = glow ? rgbAt(glow, this.lux) : [1, 1, 1];
      most = Math.max(most, field.brightest * Math.max(...rgb, DIMMEST) + share * (glow?.room_cd_m2 ?? 0));
    }
    return whiteOf(this.lux, most);
  }

  /** The room's light as it is set, over that for which the figures say what it adds. */
  roomShare() {
    const lx = this.shown?.room_lx ?? 0;
    return lx > 0 ? this.lux / lx : 0;
  }

  /** Paint every opening for the eye in the room's light. */
  paintFields() {
    const white = this.white();
    const share = this.roomShare();
    for (const field of this.fields.values()) {
      const glow = this.shown?.glow?.openings[field.name];
      let kept = this.painted.get(field.name);
      if (!kept || kept.image.width !== field.columns || kept.image.height !== field.rows) {
        const canvas = document.createElement("canvas");
        canvas.width = field.columns;
        canvas.height = field.rows;
        kept = { canvas, image: new ImageData(field.columns, field.rows) };
        this.painted.set(field.name, kept);
      }
      paint(field, { white, room: share * (glow?.room_cd_m2 ?? 0), rgb: glow ? rgbAt(glow, this.lux) : [1, 1, 1] }, kept.image.data);
      kept.canvas.getContext("2d")?.putImageData(kept.image, 0, 0);
    }
    return white;
  }

  drawGlow() {
    const shown = this.shown;
    if (!shown) return;
    const white = this.paintFields();
    const [width, height] = this.size();
    const ratio = window.devicePixelRatio || 1;
    const context = sized(this.canvas, width, height, ratio);
    if (context) {
      const scale = this.port.scale * ratio;
      context.setTransform(scale, 0, 0, scale, -this.port.x * scale, -this.port.y * scale);
      const style = getComputedStyle(this.root);
      context.fillStyle = style.getPropertyValue("--sheet");
      context.fill(new Path2D(pathOf(this.draft.outline ?? shown.outline.corners)));
      this.fillOpenings(context, style.getPropertyValue("--paper"));
    }
    this.drawSeen(white, ratio);
  }

  /**
   * @param {number} white cd/m2
   * @param {number} ratio
   */
  drawSeen(white, ratio) {
    const shown = this.shown;
    if (!shown) return;
    const [left, bottom, right, top] = shown.bounds_mm;
    const width = (this.seen.parentElement?.clientWidth ?? 320) - SEEN_MARGIN_PX;
    const per = Math.min(width / (right - left), SEEN_HIGH_PX / (top - bottom));
    const context = sized(this.seen, (right - left) * per, (top - bottom) * per, ratio);
    if (!context) return;
    const scale = per * ratio;
    context.setTransform(scale, 0, 0, scale, -left * scale, top * scale);
    const face = CSSgrey((shown.face_reflectance * this.lux) / Math.PI / white);
    context.save();
    context.clip(new Path2D(pathOf(this.draft.outline ?? shown.outline.corners)));
    context.fillStyle = face;
    context.fillRect(left - 1, -top - 1, right - left + 2, top - bottom + 2);
    this.fillOpenings(context, "#000");
    for (const overlay of shown.overlays) {
      context.fillStyle = face;
      context.fill(new Path2D(overlay.outline.d));
    }
    context.restore();
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {string} bare colour of an opening without a glow
   */
  fillOpenings(context, bare) {
    for (const one of this.shown?.openings ?? []) {
      const corners = this.cornersOf(one.name, one.outline.corners);
      const field = this.fields.get(one.name);
      const painted = this.painted.get(one.name);
      context.save();
      context.clip(new Path2D(pathOf(corners)));
      const [left, bottom, right, top] = bounds(corners);
      context.fillStyle = bare;
      context.fillRect(left, -top, right - left, top - bottom);
      if (field && painted) {
        const [wide, high] = [field.columns * field.pixel_mm, field.rows * field.pixel_mm];
        context.drawImage(painted.canvas, field.left_mm, -field.bottom_mm - high, wide, high);
      }
      context.restore();
    }
  }
}

/** @param {number} ratio */
function CSSgrey(ratio) {
  const linear = Math.min(Math.max(ratio, 0), 1);
  const curved = linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
  const grey = Math.round(255 * curved);
  return `rgb(${grey} ${grey} ${grey})`;
}

/**
 * @param {HTMLCanvasElement} canvas
 * @param {number} width px
 * @param {number} height px
 * @param {number} ratio
 */
function sized(canvas, width, height, ratio) {
  const [wide, high] = [Math.max(1, Math.round(width * ratio)), Math.max(1, Math.round(height * ratio))];
  if (canvas.width !== wide || canvas.height !== high) {
    canvas.width = wide;
    canvas.height = high;
    canvas.style.width = `${width}px`;
    canvas.style.height = `${height}px`;
  }
  const context = canvas.getContext("2d");
  context?.setTransform(1, 0, 0, 1, 0, 0);
  context?.clearRect(0, 0, wide, high);
  return context;
}

/** @param {Spot} at */
export function place([x, y]) {
  return `${Number(x.toFixed(3))} mm right, ${Number(y.toFixed(3))} mm up`;
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
