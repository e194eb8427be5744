// Light that plays: the curve of sRGB, layers added up, and the rule about flashing on a page.

import assert from "node:assert/strict";
import { test } from "node:test";

import { addUp, curve, flashingPx, heldGroups, meanLight, MOST_FLASHING_PX, readLayers } from "../../../src/lamphouse/web/static/play_light.js";

test("the curve is that of IEC 61966-2-1 at points of its own table", () => {
  const table = curve();
  // sRGB 128 of 255 is linear 0.21586, and the straight part ends at 0.0031308 for 0.04045
  assert.equal(table[Math.round(0.21586 * 65535)], 128);
  assert.equal(table[Math.round(0.0031308 * 65535)], 10);
  assert.deepEqual([table[0], table[65535]], [0, 255]);
});

test("a packed panel comes apart as it was put together", () => {
  const head = JSON.stringify({ rows: 1, columns: 2, per_mm: 1, groups: ["mast"], dots: [], white: 1 });
  const words = new TextEncoder().encode(head.padEnd(Math.ceil(head.length / 4) * 4));
  const data = new Uint8Array(4 + words.length + 24 + 2);
  new DataView(data.buffer).setUint32(0, words.length, true);
  data.set(words, 4);
  const numbers = new DataView(data.buffer);
  [1, 2, 3, 4, 5, 6, 10, 20, 30, 40, 50, 60].forEach((value, place) => numbers.setUint16(4 + words.length + 2 * place, value, true));
  data.set([255, 7], 4 + words.length + 24);
  const made = readLayers(data.buffer);
  assert.deepEqual([...made.steady], [1, 2, 3, 4, 5, 6]);
  assert.deepEqual([...(made.layers[0] ?? [])], [10, 20, 30, 40, 50, 60]);
  assert.deepEqual([...made.shown], [255, 7]);
});

test("layers add up by their light, and never past white", () => {
  const pixels = new Uint8ClampedArray(4);
  const table = curve();
  addUp(Uint16Array.of(0, 30000, 65535), [Uint16Array.of(65535, 30000, 65535)], [0.5], table, Uint8Array.of(255), pixels);
  assert.deepEqual([...pixels], [table[32768], table[45000], 255, 255]);
});

test("what flashes too often is held where it would be large on the page, and only then", () => {
  assert.equal(MOST_FLASHING_PX, 21824); // a quarter of 341 x 256, WCAG 2.2, 2.3.1
  const often = { strobe: 5 };
  assert.deepEqual(heldGroups(often, { strobe: 100, slow: 1e6 }, true), []);
  assert.deepEqual(heldGroups(often, { strobe: 30000 }, true), ["strobe"]);
  assert.deepEqual(heldGroups(often, { strobe: 100 }, false), ["strobe"]);
  assert.deepEqual(heldGroups({ a: 4, b: 4 }, { a: 12000, b: 12000 }, true), ["a", "b"]);
});

test("only what is bright enough counts as flashing", () => {
  const head = { rows: 1, columns: 2, per_mm: 1, groups: ["g"], dots: [["tip", 1, 1, 1, 1, 0, 0]], white: 1 };
  const layers = { head, steady: new Uint16Array(6), layers: [Uint16Array.of(0, 0, 6000, 0, 0, 7000)], shown: new Uint8Array(2) };
  // 10 % of 65535 is 6554: one pixel of two, 3 px to the mm
  const areas = flashingPx(/** @type {any} */ (layers), 3);
  assert.equal(areas.g, 9);
  assert.ok(Math.abs((areas.tip ?? 0) - (Math.PI / 4) * 9) < 1e-9);
});

test("mean light is over frames, group by group", () => {
  assert.deepEqual(meanLight(Uint8Array.of(0, 1, 1, 1), 2, [0, 0.5]), [0.25, 0.5]);
});
