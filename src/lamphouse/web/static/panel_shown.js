// What the server tells of a panel, with what is dragged laid over it: outlines, places, handles.

import { bounds, middle, nearestCorner, shiftOf } from "./panel_geometry.js";

/** @typedef {import("./panel_geometry.js").Corner} Corner */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {{d: string, corners: Corner[], words: string, diameter_mm: number | null}} Outline */
/** @typedef {{name: string, at_mm: Spot, type: string, size_mm: Spot, turn_deg: number, seat: string, tilt_deg: number, leans: number[], current_mA: number}} Led */
/** @typedef {{name: string, from_mm: Spot, to_mm: Spot, thickness_mm: number, height_mm: number, hangs: boolean}} Baffle */
/** @typedef {{name: string, at_mm: Spot, diameter_mm: number, group: string}} Strand */
/** @typedef {{name: string, outline: Outline, depth_mm: number, leds: Led[], baffles: Baffle[], pillars: {name: string, outline: Outline}[]}} Box */
/**
 * A thing that can be picked. Of a row that the file writes in one line, each member is an item.
 * @typedef {object} Item
 * @property {string} kind panel, opening, overlay, box, LED, baffle, pillar or strand
 * @property {string} name
 * @property {(string | number)[]} path where it stands in the file
 * @property {number} member which of its row it is, from 1; 0 outside a row
 * @property {number} of how many its row has
 * @property {string} shape kind of its shape: rectangle, round, points ...; empty where it has none
 * @property {string} shape_key key of the file that holds its shape
 * @property {string} along outline that its row follows
 * @property {boolean} is_turned
 * @property {string} box light box that it stands in
 * @property {string[]} keys those the file has for it
 * @property {Spot[]} points_mm of a shape of points, as the file lists them, in the shape's own coordinates
 */
/** @typedef {{box: string, mean_cd_m2: number, bar_cd_m2: number, low_cd_m2: number, high_cd_m2: number, evenness: number, evenness_bar: number, hot_spot: number, room_cd_m2: number, look: string, colour: string, dark_rgb: number[], room_rgb: number[], thrown_rgb: number[]}} Glow */
/**
 * @typedef {object} Shown
 * @property {string} revision
 * @property {boolean} planned
 * @property {string} sub_assembly
 * @property {string} panel
 * @property {string} sheet
 * @property {boolean} is_curved
 * @property {boolean} is_cone
 * @property {[number, number, number, number]} bounds_mm left, bottom, right, top
 * @property {number} room_lx
 * @property {Record<string, string>} free_names
 * @property {Record<string, string>} usual
 * @property {number} face_reflectance
 * @property {number} gluing_mm
 * @property {Outline} outline
 * @property {{name: string, outline: Outline, layers: string[]}[]} openings
 * @property {{name: string, outline: Outline}[]} overlays
 * @property {Box[]} boxes
 * @property {Strand[]} strands
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
 * @property {Record<string, Corner[]>} insides of light boxes
 * @property {Record<string, {box: string, start: Spot, end: Spot}>} baffles
 * @property {Record<string, {box: string, corners: Corner[]}>} pillars
 * @property {Corner[] | null} outline of the panel
 */

/** Number of a handle that stands for the item itself. */
export const WHOLE = -1;

/** @returns {Draft} */
export function noDraft() {
  return { leds: {}, strands: {}, openings: {}, insides: {}, baffles: {}, pillars: {}, outline: null };
}

/** @param {Draft} draft */
export function isDrafted({ leds, strands, openings, insides, baffles, pillars, outline }) {
  return outline !== null || [leds, strands, openings, insides, baffles, pillars].some((one) => Object.keys(one).length > 0);
}

/**
 * Name an item so that it can be found on the page.
 * @param {{kind: string, name: string}} item
 */
export function idOf(item) {
  return `${item.kind}:${item.name}`;
}

/**
 * The items that the file writes in the same place: the members of a row.
 * @param {Shown} shown
 * @param {Item} item
 */
export function membersOf(shown, item) {
  return shown.items.filter((one) => one.kind === item.kind && JSON.stringify(one.path) === JSON.stringify(item.path));
}

/**
 * Where a baffle begins and ends.
 * @param {Shown} shown
 * @param {Draft} draft
 * @param {{name: string, box: string}} baffle
 * @returns {{start: Spot, end: Spot} | null}
 */
export function endsOf(shown, draft, { name, box }) {
  const kept = shown.boxes.find((one) => one.name === box)?.baffles.find((one) => one.name === name);
  return kept ? (draft.baffles[name] ?? { start: kept.from_mm, end: kept.to_mm }) : null;
}

/**
 * The corners of an item; null for one without an outline.
 * @param {Shown} shown
 * @param {Draft} draft
 * @param {{kind: string, name: string, box?: string}} item
 * @returns {Corner[] | null}
 */
export function outlineOf(shown, draft, { kind, name, box }) {
  const kept = (/** @type {{name: string, outline: Outline}[]} */ among) => among.find((one) => one.name === name)?.outline.corners ?? null;
  if (kind === "panel") return draft.outline ?? shown.outline.corners;
  if (kind === "opening") return draft.openings[name] ?? kept(shown.openings);
  if (kind === "box") return draft.insides[name] ?? kept(shown.boxes);
  if (kind === "overlay") return kept(shown.overlays);
  if (kind === "pillar") return draft.pillars[name]?.corners ?? kept(shown.boxes.filter((one) => !box || one.name === box).flatMap((one) => one.pillars));
  return null;
}

/**
 * Where the middle of an item is.
 * @param {Shown} shown
 * @param {Draft} draft
 * @param {Item} item
 * @returns {Spot | null}
 */
export function middleOf(shown, draft, item) {
  const { kind, name } = item;
  if (kind === "LED") {
    const led = shown.boxes.flatMap((box) => box.leds).find((one) => one.name === name);
    return led ? (draft.leds[name] ?? led.at_mm) : null;
  }
  if (kind === "strand") {
    const strand = shown.strands.find((one) => one.name === name);
    return strand ? (draft.strands[name] ?? strand.at_mm) : null;
  }
  if (kind === "baffle") {
    const ends = endsOf(shown, draft, item);
    return ends ? [(ends.start[0] + ends.end[0]) / 2, (ends.start[1] + ends.end[1]) / 2] : null;
  }
  const corners = outlineOf(shown, draft, item);
  return corners ? middle(corners) : null;
}

/**
 * The places by which an item is reshaped: corners, ends of a baffle, the rim of a circle.
 * @param {Shown} shown
 * @param {Draft} draft
 * @param {Item} item
 * @returns {{at: Spot, words: string}[]}
 */
export function handlesOf(shown, draft, item) {
  if (item.is_turned) return [];
  if (item.kind === "baffle") {
    const ends = endsOf(shown, draft, item);
    if (!ends) return [];
    return [
      { at: ends.start, words: "where it begins" },
      { at: ends.end, words: "where it ends" },
    ];
  }
  const corners = outlineOf(shown, draft, item);
  if (!corners || item.kind === "overlay" || shown.is_cone || (item.kind === "panel" && shown.is_curved)) return [];
  if (item.shape === "points") {
    const kept = outlineOf(shown, noDraft(), item) ?? corners;
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

/**
 * Where an item, or one of its handles, is.
 * @param {Shown} shown
 * @param {Draft} draft
 * @param {Item} item
 * @param {number} handle
 * @returns {Spot | null}
 */
export function spotOf(shown, draft, item, handle) {
  return handle === WHOLE ? middleOf(shown, draft, item) : (handlesOf(shown, draft, item)[handle]?.at ?? null);
}

/**
 * Say where a place is.
 * @param {Spot} at
 */
export function place([x, y]) {
  return `${Number(x.toFixed(3))} mm right, ${Number(y.toFixed(3))} mm up`;
}
