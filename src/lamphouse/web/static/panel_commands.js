// What is done to the items of a panel, as commands that the server carries out on the file.

import { reshaped } from "./panel_draft.js";
import { nearestPiece, rounded, shiftOf } from "./panel_geometry.js";
import { WHOLE, membersOf, middleOf, noDraft, outlineOf, spotOf } from "./panel_shown.js";

/** @typedef {import("./panel_shown.js").Draft} Draft */
/** @typedef {import("./panel_shown.js").Item} Item */
/** @typedef {import("./panel_shown.js").Shown} Shown */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {Record<string, unknown>} Command either ``edit``, edits of the file, or ``do``, for the server to work out */

/**
 * How far a draft has taken an item, or one of its handles.
 * @param {Shown} shown
 * @param {Draft} draft
 * @param {Item} item
 * @param {number} handle
 * @returns {{now: Spot, by: Spot} | null} null when it is where the file has it
 */
export function strayOf(shown, draft, item, handle) {
  const now = spotOf(shown, draft, item, handle);
  const before = spotOf(shown, noDraft(), item, handle);
  if (!now || !before) return null;
  /** @type {Spot} */
  const by = [rounded(now[0] - before[0], 0), rounded(now[1] - before[1], 0)];
  return by[0] || by[1] ? { now, by } : null;
}

/**
 * @param {Item} item one that stands alone
 * @param {{now: Spot, by: Spot}} stray
 * @returns {Command}
 */
export function moveCommand(item, { now, by }) {
  const label = `Move ${item.kind === "LED" ? "" : `${item.kind} `}${item.name}`;
  return { do: "move", paths: [item.path], by, stands: [now[0] - by[0], now[1] - by[1]], label };
}

/**
 * @param {Item} item a member of the row
 * @param {Spot} by
 * @returns {Command}
 */
export function moveRowCommand(item, by) {
  return { do: "move", paths: [item.path], by, label: `Move the row of ${item.name}` };
}

/**
 * Take a member out of its row; the row then names each that is left.
 * @param {Shown} shown
 * @param {Item} item
 * @param {Spot | null} to null to remove it
 * @returns {Command}
 */
export function takeOutCommand(shown, item, to) {
  const places = membersOf(shown, item).map((one) => middleOf(shown, noDraft(), one));
  const label = to ? `Take ${item.name} out of its row` : `Remove ${item.name} from its row`;
  return { do: "take out", path: item.path, member: item.member, places, to, label };
}

/**
 * @param {Shown} shown
 * @param {Item} item
 * @param {number} handle
 * @param {Spot} to
 * @returns {Command | null}
 */
export function reshapeCommand(shown, item, handle, to) {
  if (item.kind === "baffle") {
    const key = handle ? "to" : "from";
    return { edit: [{ do: "set", path: [...item.path, key], value: to.map(mm) }], label: `Move an end of ${item.name}` };
  }
  const corners = outlineOf(shown, noDraft(), item);
  if (!corners) return null;
  const path = [...item.path, item.shape_key];
  if (item.shape === "points") {
    const shift = shiftOf(item.points_mm, corners);
    return { do: "move corner", path, corner: handle, to: [rounded(to[0] - shift[0], 0), rounded(to[1] - shift[1], 0)], label: `Move a corner of ${item.name}` };
  }
  const { size, by } = reshaped(item, corners, handle, to);
  return { do: "resize", path, size, by: item.kind === "panel" ? [0, 0] : by, label: `Make ${item.name} ${size[0]} x ${size[1]} mm` };
}

/**
 * Remove an item, or the corner of it that a handle stands for.
 * @param {Shown} shown
 * @param {Item} item
 * @param {number} handle
 * @returns {Command | null} null for the panel itself
 */
export function removeCommand(shown, item, handle) {
  if (handle !== WHOLE && item.shape === "points")
    return { do: "remove corner", path: [...item.path, item.shape_key], corner: handle, label: `Remove a corner of ${item.name}` };
  if (item.kind === "panel") return null;
  if (item.of > 1) return takeOutCommand(shown, item, null);
  return { do: "remove", paths: [item.path], label: `Remove ${item.kind} ${item.name}` };
}

/**
 * Write a shape as the points it consists of.
 * @param {Shown} shown
 * @param {Item} item
 * @returns {Command | null} null for what has no outline
 */
export function pointsCommand(shown, item) {
  const corners = outlineOf(shown, noDraft(), item);
  if (!corners) return null;
  const stands = item.kind === "panel" ? [0, 0] : middleOf(shown, noDraft(), item);
  return { do: "points", path: [...item.path, item.shape_key], corners, stands, label: `Make points of ${item.name}` };
}

/**
 * Add a corner to an outline of points.
 * @param {Shown} shown
 * @param {Item} item
 * @param {{near: Spot, reach: number, to: Spot}} where the outline is within reach (mm) of near
 * @returns {Command | null} null when it is not
 */
export function addCornerCommand(shown, item, { near, reach, to }) {
  const corners = outlineOf(shown, noDraft(), item);
  if (item.shape !== "points" || !corners) return null;
  const { gap, piece } = nearestPiece(corners, near);
  if (gap > reach) return null;
  const [dx, dy] = shiftOf(item.points_mm, corners);
  return { do: "add corner", path: [...item.path, item.shape_key], corner: piece + 1, to: [to[0] - dx, to[1] - dy], label: `Add a corner to ${item.name}` };
}

/** @param {number} length */
function mm(length) {
  return `${rounded(length, 0)} mm`;
}
