// New items of a panel, as edits of the maker's file.

import { bounds, rounded } from "./panel_geometry.js";

/** @typedef {import("./panel_shown.js").Shown} Shown */
/** @typedef {import("./panel_shown.js").Item} Item */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {{edit: object[], label: string, picks: string}} Addition */

const SIZE_MM = 10;
const BOX_ROUND_MM = 4;
const DEPTH_MM = 12;
const PILLAR_MM = 4;

/**
 * What a tool adds at a place.
 * @param {string} tool
 * @param {{shown: Shown, at: Spot, points: Spot[]}} where
 * @returns {Addition | string} or why it cannot be added
 */
export function additionOf(tool, { shown, at, points }) {
  const { free_names: free, usual } = shown;
  const panel = shown.items.find((one) => one.kind === "panel");
  if (!panel) return "There is no panel.";
  if (tool === "rectangle") return added(panel, "openings", free.opening, { shape: `rectangle ${SIZE_MM} x ${SIZE_MM} mm`, at: place(at) }, "opening");
  if (tool === "round") return added(panel, "openings", free.opening, { shape: `round ${SIZE_MM / 2} mm`, at: place(at) }, "opening");
  if (tool === "polygon") {
    const corners = points.length > 2 ? points : square(at);
    const [left, bottom, right, top] = bounds(corners.map(([x, y]) => [x, y, 0]));
    /** @type {Spot} */
    const middle = [(left + right) / 2, (bottom + top) / 2];
    const own = corners.map(([x, y]) => place([x - middle[0], y - middle[1]]));
    return added(panel, "openings", free.opening, { shape: { points: own }, at: place(middle) }, "opening");
  }
  if (tool === "strand") {
    if (!usual.group) return "A strand is lit by a source group, and the file has none yet.";
    return added(panel, "strands", free.strand, { fibre: usual.fibre, at: place(at), group: usual.group }, "strand");
  }
  if (tool === "box") {
    const { middle, size } = behind(shown, at);
    const box = { inside: `rectangle ${size[0]} x ${size[1]} mm`, at: place(middle), depth: `${DEPTH_MM} mm`, sheet: usual.sheet, finish: usual.finish };
    return added(panel, "boxes", free.box, box, "box");
  }
  const box = boxAt(shown, at);
  if (!box) return "There is no light box here; add one first.";
  if (tool === "led") return added(box, "leds", free.LED, { type: usual.led_type, at: place(at), current: usual.current }, "LED");
  if (tool === "pillar") return added(box, "pillars", free.pillar, { shape: `round ${PILLAR_MM} mm`, at: place(at) }, "pillar");
  if (tool === "baffle") {
    const [x, y] = points[0] ?? [at[0], at[1] - SIZE_MM / 2];
    const to = points[0] ? at : /** @type {Spot} */ ([at[0], at[1] + SIZE_MM / 2]);
    const depth = shown.boxes.find((one) => one.name === box.name)?.depth_mm ?? DEPTH_MM;
    return added(box, "baffles", free.baffle, { from: place([x, y]), to: place(to), height: `${rounded(depth * 0.6, 0)} mm`, sheet: usual.sheet }, "baffle");
  }
  return "There is no such tool.";
}

/**
 * @param {Item} owner
 * @param {string} group
 * @param {string} name
 * @param {object} value
 * @param {string} kind
 * @returns {Addition}
 */
function added(owner, group, name, value, kind) {
  const edit = owner.keys.includes(group)
    ? [{ do: "add", path: [...owner.path, group], key: name, value }]
    : [{ do: "add", path: owner.path, key: group, value: { [name]: value } }];
  return { edit, label: `Add ${kind} ${name}`, picks: `${kind}:${name}` };
}

/** @param {Spot} at @returns {string[]} */
function place([x, y]) {
  return [`${rounded(x, 0)} mm`, `${rounded(y, 0)} mm`];
}

/** @param {Spot} at @returns {Spot[]} */
function square([x, y]) {
  const half = SIZE_MM / 2;
  return [
    [x - half, y - half],
    [x + half, y - half],
    [x + half, y + half],
    [x - half, y + half],
  ];
}

/**
 * @param {Shown} shown
 * @param {Spot} at
 * @returns {Item | undefined}
 */
function boxAt(shown, [x, y]) {
  const box = shown.boxes.find((one) => {
    const [left, bottom, right, top] = bounds(one.outline.corners);
    return x >= left && x <= right && y >= bottom && y <= top;
  });
  return box && shown.items.find((one) => one.kind === "box" && one.name === box.name);
}

/**
 * Room for a box: behind the opening at a place, or around the place.
 * @param {Shown} shown
 * @param {Spot} at
 * @returns {{middle: Spot, size: Spot}}
 */
function behind(shown, [x, y]) {
  for (const one of shown.openings) {
    const [left, bottom, right, top] = bounds(one.outline.corners);
    if (x < left || x > right || y < bottom || y > top) continue;
    return {
      middle: [(left + right) / 2, (bottom + top) / 2],
      size: [rounded(right - left + 2 * BOX_ROUND_MM, 0), rounded(top - bottom + 2 * BOX_ROUND_MM, 0)],
    };
  }
  return { middle: [x, y], size: [2 * SIZE_MM, 2 * SIZE_MM] };
}
