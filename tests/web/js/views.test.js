// Pure functions of the views: lengths as typed, turns, lists of names, prices, steps of light.

import assert from "node:assert/strict";
import { test } from "node:test";

const at = "../../../src/lamphouse/web/static/";

test("lengths as the maker types them", async () => {
  const { millimetres, inMm } = await pure("sheets.js");
  assert.equal(millimetres("12.5 mm"), 12.5);
  assert.equal(millimetres("1/2"), NaN);
  assert.equal(millimetres(" .5 in "), 12.7); // 25.4 mm to the inch, exactly
  assert.ok(Math.abs(millimetres("20 thou") - 0.508) < 1e-12);
  assert.equal(millimetres("soon"), NaN);
  assert.equal(inMm(0.1 + 0.2), "0.3 mm");
});

test("a quarter turn keeps the middle of a piece", async () => {
  const { quarterTurned } = await pure("sheets.js");
  const turned = quarterTurned({ x: 10, y: 20, turn: 270 }, 30, 10);
  assert.deepEqual(turned, { x: 20, y: 10, turn: 0 });
  // middle before: 25, 25; after, 10 wide and 30 high: 25, 25
});

test("names part at commas", async () => {
  const { namesIn } = await pure("circuit.js");
  assert.deepEqual(namesIn(" W1, W2 ,, desk lamp "), ["W1", "W2", "desk lamp"]);
});

test("a price is written as the file has it", async () => {
  const { priceEntry } = await pure("parts.js");
  assert.deepEqual(priceEntry("white 0603", "6.00 EUR ", "100"), { part: "white 0603", price: "6.00 EUR", pack: "100" });
  assert.deepEqual(priceEntry("M2", "1 EUR", "1"), { part: "M2", price: "1 EUR" });
});

test("room light in steps of a quarter decade", async () => {
  const { inSteps } = await pure("glows.js");
  assert.equal(inSteps(0), 0);
  assert.equal(inSteps(50), 56); // 10^1.75
  assert.equal(inSteps(1000), 1000);
  assert.equal(inSteps(inSteps(3)), inSteps(3));
});

/**
 * Take the module's functions without a page: modules that listen do so only where there is one.
 * @param {string} name
 */
async function pure(name) {
  return import(at + name);
}
