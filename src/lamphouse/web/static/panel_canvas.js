// The glow of a panel on canvases: under its drawing, and beside it as an eye in the room sees it.

import { bounds, pathOf } from "./panel_geometry.js";
import { DIMMEST, encoded, paint, rgbAt, whiteOf } from "./panel_field.js";
import { noDraft, outlineOf } from "./panel_shown.js";

/** @typedef {import("./panel_field.js").OpeningField} OpeningField */
/** @typedef {import("./panel_geometry.js").Port} Port */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_shown.js").Draft} Draft */
/** @typedef {import("./panel_shown.js").Shown} Shown */

const SEEN_MARGIN_PX = 24;
const SEEN_HIGH_PX = 300;

export class GlowCanvases {
  /**
   * @param {HTMLCanvasElement} under the drawing of the panel
   * @param {HTMLCanvasElement} seen the panel as the eye sees it
   */
  constructor(under, seen) {
    this.under = under;
    this.seen = seen;
    /** @type {Shown | null} */
    this.shown = null;
    /** @type {Draft} */
    this.draft = noDraft();
    /** @type {Map<string, OpeningField>} */
    this.fields = new Map();
    /** @type {Map<string, {image: ImageData, canvas: HTMLCanvasElement}>} */
    this.painted = new Map();
    this.lux = 300;
  }

  /** @param {OpeningField[]} fields */
  take(fields) {
    for (const field of fields) this.fields.set(field.name, field);
  }

  /**
   * @param {Shown} shown
   * @param {Draft} draft
   * @param {Port} port of the drawing above
   * @param {Spot} size of it, px
   */
  draw(shown, draft, port, size) {
    this.shown = shown;
    this.draft = draft;
    const white = this.paintFields();
    const ratio = window.devicePixelRatio || 1;
    this.drawUnder(port, size, ratio);
    this.drawSeen(white, ratio);
  }

  /**
   * What an opening throws back of the room's light, as it is set.
   * @param {string} opening
   * @returns {number[]} cd/m2 of each colour of the screen
   */
  thrownBy(opening) {
    const thrown = this.shown?.glow?.openings[opening]?.thrown_rgb ?? [0, 0, 0];
    return thrown.map((part) => this.roomShare() * part);
  }

  /**
   * What the room's light adds to the mean of an opening.
   * @param {string} opening
   * @returns {number} cd/m2
   */
  roomOn(opening) {
    return this.roomShare() * (this.shown?.glow?.openings[opening]?.room_cd_m2 ?? 0);
  }

  /** The room's light, as it is set, over that at which the figures say what it adds. */
  roomShare() {
    const judged = this.shown?.room_lx ?? 0;
    return judged > 0 ? this.lux / judged : 0;
  }

  /**
   * Colour of an opening's own light at a luminance of 1.
   * @param {string} opening
   */
  rgbOf(opening) {
    const glow = this.shown?.glow?.openings[opening];
    return glow ? rgbAt(glow, this.lux) : [1, 1, 1];
  }

  /** The brightest light of any opening by any of the screen's colours, the room's on it. */
  white() {
    let most = 0;
    for (const { name, brightest } of this.fields.values())
      most = Math.max(most, brightest * Math.max(...this.rgbOf(name), DIMMEST) + Math.max(...this.thrownBy(name)));
    return whiteOf(this.lux, most);
  }

  /**
   * Paint every opening for the eye in the room's light.
   * @returns {number} white, cd/m2
   */
  paintFields() {
    const white = this.white();
    for (const field of this.fields.values()) {
      let kept = this.painted.get(field.name);
      if (!kept || kept.image.width !== field.columns || kept.image.height !== field.rows) {
        const canvas = document.createElement("canvas");
        canvas.width = field.columns;
        canvas.height = field.rows;
        kept = { canvas, image: new ImageData(field.columns, field.rows) };
        this.painted.set(field.name, kept);
      }
      paint(field, { white, thrown: this.thrownBy(field.name), rgb: this.rgbOf(field.name) }, kept.image.data);
      kept.canvas.getContext("2d")?.putImageData(kept.image, 0, 0);
    }
    return white;
  }

  /**
   * @param {Port} port
   * @param {Spot} size px
   * @param {number} ratio pixels of the screen for each px
   */
  drawUnder(port, [width, height], ratio) {
    const context = sized(this.under, width, height, ratio);
    if (!context) return;
    const scale = port.scale * ratio;
    context.setTransform(scale, 0, 0, scale, -port.x * scale, -port.y * scale);
    const style = getComputedStyle(this.under);
    context.fillStyle = style.getPropertyValue("--sheet");
    context.fill(this.face());
    this.fillOpenings(context, style.getPropertyValue("--paper"));
  }

  /**
   * @param {number} white cd/m2
   * @param {number} ratio pixels of the screen for each px
   */
  drawSeen(white, ratio) {
    if (!this.shown) return;
    const { bounds_mm, face_reflectance, overlays } = this.shown;
    const [left, bottom, right, top] = bounds_mm;
    const width = (this.seen.parentElement?.clientWidth ?? 320) - SEEN_MARGIN_PX;
    const per = Math.min(width / (right - left), SEEN_HIGH_PX / (top - bottom));
    const context = sized(this.seen, (right - left) * per, (top - bottom) * per, ratio);
    if (!context) return;
    const scale = per * ratio;
    context.setTransform(scale, 0, 0, scale, -left * scale, top * scale);
    const face = grey((face_reflectance * this.lux) / Math.PI / white);
    context.save();
    context.clip(this.face());
    context.fillStyle = face;
    context.fillRect(left - 1, -top - 1, right - left + 2, top - bottom + 2);
    this.fillOpenings(context, "#000");
    for (const overlay of overlays) {
      context.fillStyle = face;
      context.fill(new Path2D(overlay.outline.d));
    }
    context.restore();
  }

  /** The whole face of the panel, as it is drawn now. */
  face() {
    return new Path2D(this.shown ? pathOf(this.draft.outline ?? this.shown.outline.corners) : "");
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {string} bare colour of an opening without a glow
   */
  fillOpenings(context, bare) {
    const { shown, draft } = this;
    for (const { name } of shown?.openings ?? []) {
      const corners = shown && outlineOf(shown, draft, { kind: "opening", name });
      if (!corners) continue;
      const field = this.fields.get(name);
      const painted = this.painted.get(name);
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

/** @param {number} ratio to white */
function grey(ratio) {
  const part = encoded(ratio);
  return `rgb(${part} ${part} ${part})`;
}

/**
 * Make a canvas as large as it is shown, and wipe it.
 * @param {HTMLCanvasElement} canvas
 * @param {number} width px
 * @param {number} height px
 * @param {number} ratio pixels of the screen for each px
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
