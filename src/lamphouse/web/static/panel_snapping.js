// Where a place on a panel snaps to: sides and middles of its items, else the grid the maker has set.

import { bounds, rounded, snapped } from "./panel_geometry.js";
import { outlineOf } from "./panel_shown.js";

/** @typedef {import("./panel_geometry.js").Marks} Marks */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_stage.js").Stage} Stage */

const REACH_PX = 7;

/**
 * @param {Stage} stage
 * @param {Spot} at
 * @param {{grid: string, isFree: boolean, kind: string}} how the grid in mm or ``off``; whether it is
 *   passed over this once; the kind of item that is put there
 * @returns {{at: Spot, on: [boolean, boolean]}} where it goes, and which of its lengths met a mark
 */
export function snap(stage, at, { grid, isFree, kind }) {
  if (isFree || grid === "off") return { at: [rounded(at[0], 0), rounded(at[1], 0)], on: [false, false] };
  // an LED is put by hand: a grid finer than that is no use
  const step = kind === "LED" ? Math.max(stage.shown?.gluing_mm ?? 0.5, Number(grid)) : Number(grid);
  return snapped(at, { marks: marksOf(stage), grid: step, reach: REACH_PX / stage.port.scale });
}

/**
 * The sides and middles of all items but the one in hand.
 * @param {Stage} stage
 */
function marksOf(stage) {
  const { shown, draft } = stage;
  /** @type {Marks} */
  const marks = { x: [], y: [] };
  const own = stage.pickedItem();
  for (const item of shown?.items ?? []) {
    if (own && JSON.stringify(item.path) === JSON.stringify(own.path)) continue;
    if (own?.kind === "box" && item.box === own.name) continue;
    const at = stage.spotOf(item);
    if (at) {
      marks.x.push(at[0]);
      marks.y.push(at[1]);
    }
    const corners = shown && outlineOf(shown, draft, item);
    if (!corners) continue;
    const [left, bottom, right, top] = bounds(corners);
    marks.x.push(left, right);
    marks.y.push(bottom, top);
  }
  return marks;
}
