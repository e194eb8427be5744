// What is dragged on a panel: the draft of an item, or of one of its handles, put elsewhere.

import { bounds, moved, nearestCorner, resized, rounded, shiftOf, stretched } from "./panel_geometry.js";
import { WHOLE, endsOf, noDraft, outlineOf, spotOf } from "./panel_shown.js";

/** @typedef {import("./panel_shown.js").Draft} Draft */
/** @typedef {import("./panel_shown.js").Item} Item */
/** @typedef {import("./panel_shown.js").Shown} Shown */
/** @typedef {import("./panel_geometry.js").Corner} Corner */
/** @typedef {import("./panel_geometry.js").Spot} Spot */

/**
 * Put an item, or one of its handles, somewhere else than the file has it.
 * @param {Shown} shown
 * @param {Item} item
 * @param {number} handle
 * @param {Spot} to
 * @returns {Draft | null} null for what is nowhere
 */
export function draftOf(shown, item, handle, to) {
  const stood = spotOf(shown, noDraft(), item, handle);
  if (!stood) return null;
  const draft = noDraft();
  /** @type {Spot} */
  const by = [to[0] - stood[0], to[1] - stood[1]];
  const corners = outlineOf(shown, noDraft(), item);
  if (handle !== WHOLE) reshape(draft, shown, item, handle, to);
  else if (item.kind === "LED") draft.leds[item.name] = to;
  else if (item.kind === "strand") draft.strands[item.name] = to;
  else if (item.kind === "opening" && corners) draft.openings[item.name] = moved(corners, by);
  else if (item.kind === "baffle") moveBaffle(draft, shown, item, by);
  else if (item.kind === "pillar" && corners) draft.pillars[item.name] = { box: item.box, corners: moved(corners, by) };
  else if (item.kind === "box" && corners) moveBox(draft, shown, item, corners, by);
  return draft;
}

/**
 * @param {Draft} draft
 * @param {Shown} shown
 * @param {{name: string, box: string}} baffle
 * @param {Spot} by
 */
function moveBaffle(draft, shown, { name, box }, [dx, dy]) {
  const ends = endsOf(shown, noDraft(), { name, box });
  if (!ends) return;
  const { start, end } = ends;
  draft.baffles[name] = { box, start: [start[0] + dx, start[1] + dy], end: [end[0] + dx, end[1] + dy] };
}

/**
 * A light box takes along what stands in it.
 * @param {Draft} draft
 * @param {Shown} shown
 * @param {Item} item
 * @param {Corner[]} corners
 * @param {Spot} by
 */
function moveBox(draft, shown, item, corners, by) {
  draft.insides[item.name] = moved(corners, by);
  const box = shown.boxes.find((one) => one.name === item.name);
  for (const led of box?.leds ?? []) draft.leds[led.name] = [led.at_mm[0] + by[0], led.at_mm[1] + by[1]];
  for (const baffle of box?.baffles ?? []) moveBaffle(draft, shown, { name: baffle.name, box: item.name }, by);
  for (const { name, outline } of box?.pillars ?? []) draft.pillars[name] = { box: item.name, corners: moved(outline.corners, by) };
}

/**
 * @param {Draft} draft
 * @param {Shown} shown
 * @param {Item} item
 * @param {number} handle
 * @param {Spot} to
 */
function reshape(draft, shown, item, handle, to) {
  if (item.kind === "baffle") {
    const ends = endsOf(shown, noDraft(), item);
    if (ends) draft.baffles[item.name] = { box: item.box, start: handle ? ends.start : to, end: handle ? to : ends.end };
    return;
  }
  const corners = outlineOf(shown, noDraft(), item);
  if (!corners) return;
  const changed = reshaped(item, corners, handle, to).corners;
  if (item.kind === "panel") draft.outline = changed;
  else if (item.kind === "opening") draft.openings[item.name] = changed;
  else if (item.kind === "box") draft.insides[item.name] = changed;
  else if (item.kind === "pillar") draft.pillars[item.name] = { box: item.box, corners: changed };
}

/**
 * An outline with one handle elsewhere.
 * @param {Item} item
 * @param {Corner[]} corners
 * @param {number} handle
 * @param {Spot} to
 * @returns {{corners: Corner[], size: Spot, by: Spot}} by: how far its middle moves
 */
export function reshaped(item, corners, handle, to) {
  const box = bounds(corners);
  if (item.shape === "points") {
    const shift = shiftOf(item.points_mm, corners);
    const [px, py] = item.points_mm[handle] ?? [0, 0];
    const which = nearestCorner(corners, [px + shift[0], py + shift[1]]);
    const changed = corners.map((corner, i) => /** @type {Corner} */ (i === which ? [to[0], to[1], corner[2]] : corner));
    return { corners: changed, size: [0, 0], by: [0, 0] };
  }
  if (item.shape === "round") {
    const [x, y] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
    const radius = Math.max(0.1, rounded(Math.hypot(to[0] - x, to[1] - y), 0));
    return { corners: stretched(corners, [x - radius, y - radius, x + radius, y + radius]), size: [rounded(2 * radius, 0), rounded(2 * radius, 0)], by: [0, 0] };
  }
  const { size, by } = resized(box, item.kind === "panel" ? 2 : handle, to);
  const [x, y] = [(box[0] + box[2]) / 2 + by[0], (box[1] + box[3]) / 2 + by[1]];
  return { corners: stretched(corners, [x - size[0] / 2, y - size[1] / 2, x + size[0] / 2, y + size[1] / 2]), size, by };
}
