// Sums of the panel view, against plain geometry and the curve of sRGB as IEC 61966-2-1 gives it.

import assert from "node:assert/strict";
import { test } from "node:test";

import { brightestOf, decode, encoded, paint, washedOut, whiteOf } from "../../../src/lamphouse/web/static/panel_field.js";
import { additionOf } from "../../../src/lamphouse/web/static/panel_adding.js";
import { bounds, fitted, moved, nearestCorner, pathOf, resized, rounded, shiftOf, snapped, stretched, zoomed } from "../../../src/lamphouse/web/static/panel_geometry.js";

test("the curve of sRGB at the values its standard lists", () => {
  // IEC 61966-2-1: 0.0031308 is where line and power meet; half of white is encoded as 188 of 255.
  assert.equal(encoded(0), 0);
  assert.equal(encoded(1), 255);
  assert.equal(encoded(0.5), 188);
  assert.equal(encoded(0.2158605), 128);
  assert.equal(encoded(0.18), 118);
  assert.equal(encoded(2), 255);
  assert.equal(encoded(0.0031308), Math.round(255 * 0.04045));
});

test("white is paper in the room's light or the brightest opening", () => {
  assert.equal(whiteOf(Math.PI * 100, 20), 100);
  assert.equal(whiteOf(10, 45), 45);
  assert.ok(whiteOf(0, 0) > 0);
});

test("an opening is painted upper row first, outside it nothing", () => {
  const field = { name: "a", rows: 2, columns: 1, left_mm: 0, bottom_mm: 0, pixel_mm: 1, mean_cd_m2: 5, bar_cd_m2: 0, evenness: 1, hot_spot: 1, values: new Float32Array([10, -1]), brightest: 10 };
  const into = new Uint8ClampedArray(8);
  paint(field, { white: 10, thrown: [0, 0, 0], rgb: [1, 0.5, 0] }, into);
  const [red, green, blue, there] = into.slice(4);
  assert.deepEqual([red, blue, there], [255, 0, 255]);
  assert.ok(Math.abs(green - 188) <= 1); // the table of the curve is fine to one of 255
  assert.equal(into[3], 0);
  paint(field, { white: 20, thrown: [10, 5, 0], rgb: [0, 0, 0] }, into); // an amber face, unlit
  assert.ok(Math.abs(into[4] - 188) <= 1);
  assert.ok(into[5] > 0 && into[5] < into[4]);
  assert.equal(into[6], 0);
});

test("a message is read as it was put together", () => {
  const header = new TextEncoder().encode(JSON.stringify({ seq: 7, openings: [{ name: "a", rows: 1, columns: 2 }], unknown: [] }).padEnd(80));
  const buffer = new ArrayBuffer(4 + header.length + 8);
  new DataView(buffer).setUint32(0, header.length, true);
  new Uint8Array(buffer, 4).set(header);
  new Float32Array(buffer, 4 + header.length).set([3, 8]);
  const read = decode(buffer);
  assert.equal(read.seq, 7);
  assert.deepEqual([...read.openings[0].values], [3, 8]);
  assert.equal(read.openings[0].brightest, 8);
  assert.equal(brightestOf(new Float32Array([-1, 0])), 0);
});

test("what the room adds is washed out", () => {
  assert.equal(washedOut(30, 10), 0.25);
  assert.equal(washedOut(0, 0), 0);
});

test("a place snaps to a mark before the grid", () => {
  const marks = { x: [10], y: [] };
  assert.deepEqual(snapped([10.3, 4.26], { marks, grid: 0.5, reach: 0.4 }), { at: [10, 4.5], on: [true, false] });
  assert.deepEqual(snapped([10.6, 4.26], { marks, grid: 0.5, reach: 0.4 }).at, [10.5, 4.5]);
  assert.equal(rounded(0.1 + 0.2, 0), 0.3);
});

test("the box around a circle of two corners and around a quarter arc", () => {
  assert.deepEqual(bounds([[-1, 0, 1], [1, 0, 1]]).map((one) => rounded(one, 0)), [-1, -1, 1, 1]);
  const quarter = Math.tan(Math.PI / 8);
  assert.deepEqual(bounds([[1, 0, quarter], [0, 1, 0], [0, 0, 0]]).map((one) => rounded(one, 0)), [0, 0, 1, 1]);
});

test("a dragged corner leaves the one across from it where it is", () => {
  const { size, by } = resized([10, 20, 30, 40], 0, [8, 15]);
  assert.deepEqual(size, [22, 25]);
  const middle = [20 + by[0], 30 + by[1]];
  assert.deepEqual([middle[0] + size[0] / 2, middle[1] + size[1] / 2], [30, 40]);
  assert.deepEqual(resized([0, 0, 10, 10], 2, [-50, 5]).size, [0.1, 5]);
});

test("shapes are moved and stretched with their arcs", () => {
  assert.deepEqual(moved([[1, 2, 0.5]], [3, 4]), [[4, 6, 0.5]]);
  assert.deepEqual(stretched([[0, 0, 0], [2, 0, 0], [2, 1, 0]], [10, 10, 14, 12]), [[10, 10, 0], [14, 10, 0], [14, 12, 0]]);
  assert.equal(pathOf([[0, 0, 0], [1, 0, 0], [1, 1, 0]]), "M0 0L1 0L1 -1L0 0Z");
  assert.match(pathOf([[0, 0, 1], [2, 0, 1]]), /^M0 0A1 1 0 0 0 2 0A1 1 0 0 0 0 0Z$/);
});

test("points of a file are found among corners in another order", () => {
  const points = [[0, 0], [0, 5], [5, 5]];
  const corners = [[15, 25, 0], [10, 25, 0], [10, 20, 0]];
  assert.deepEqual(shiftOf(points, corners), [10, 20]);
  assert.equal(nearestCorner(corners, [10, 20]), 2);
});

test("the wheel keeps the place under the pointer", () => {
  const port = { x: 3, y: -40, scale: 4 };
  const after = zoomed(port, [120, 80], 2);
  assert.equal(after.x + 120 / after.scale, port.x + 120 / port.scale);
  assert.equal(after.y + 80 / after.scale, port.y + 80 / port.scale);
  const whole = fitted([0, 0, 84, 52], [1000, 800]);
  assert.ok(84 * whole.scale <= 1000 && 52 * whole.scale <= 800);
});

test("an LED goes into the box under it, and nowhere else", () => {
  const item = { kind: "box", name: "b", path: ["boxes", "b"], keys: ["leds"], member: 0, of: 1, shape: "rectangle", shape_key: "inside", along: "", is_turned: false, box: "", points_mm: [] };
  const shown = { items: [{ ...item, kind: "panel", name: "p", path: ["p"], keys: [] }, item], boxes: [{ name: "b", outline: { corners: [[0, 0, 0], [10, 0, 0], [10, 10, 0], [0, 10, 0]] }, depth_mm: 12, leds: [], baffles: [] }], openings: [], free_names: { LED: "L1" }, usual: { led_type: "white 0603", current: "1 mA" } };
  const made = additionOf("led", { shown, at: [5, 5], points: [] });
  assert.deepEqual(made.edit, [{ do: "add", path: ["boxes", "b", "leds"], key: "L1", value: { type: "white 0603", at: ["5 mm", "5 mm"], current: "1 mA" } }]);
  assert.equal(typeof additionOf("led", { shown, at: [50, 5], points: [] }), "string");
});
