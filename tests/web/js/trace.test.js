// Pure functions of the tracing view: windows onto a picture, and ways between pixels and mm.

import assert from "node:assert/strict";
import { test } from "node:test";

const at = "../../../src/lamphouse/web/static/";
const geometry = await import(`${at}trace_geometry.js`);
const near = (/** @type {number[]} */ is, /** @type {number[]} */ should) =>
  is.forEach((one, place) => assert.ok(Math.abs(one - (should[place] ?? NaN)) < 1e-9, `${is} is not ${should}`));

test("a scan at 600 dpi: 600 columns to the right are an inch, 600 rows down an inch down", () => {
  const [right, up] = [[600 / 25.4, 0], [0, -600 / 25.4]];
  near(geometry.inMm([600, 0], right, up), [25.4, 0]);
  near(geometry.inMm([0, 600], right, up), [0, -25.4]);
});

test("a picture turned by 30 degrees: cos and sin as in a table", () => {
  const [c, s] = [0.8660254037844386, 0.5];
  const [right, up] = [[10 * c, -10 * s], [-10 * s, -10 * c]];
  near(geometry.inMm([10 * c, -10 * s], right, up), [1, 0]);
  near(geometry.inPixels([0, 2], right, up), [-10, -20 * c]);
});

test("a picture that shows no difference moves nothing", () => {
  near(geometry.inMm([3, 4], [1, 1], [2, 2]), [0, 0]);
});

test("what lies under the pointer stays there", () => {
  const whole = { x: 0, y: 0, w: 1000, h: 500 };
  const port = geometry.zoomed(whole, 2, [750, 250], whole);
  assert.deepEqual(port, { x: 375, y: 125, w: 500, h: 250 }); // 75 % across before and after
});

test("a view neither vanishes nor leaves its picture", () => {
  const whole = { x: 0, y: 0, w: 1000, h: 500 };
  assert.ok(geometry.zoomed(whole, 1e9, [0, 0], whole).w >= 8);
  assert.ok(geometry.zoomed(whole, 1e-9, [0, 0], whole).w <= 1500);
  const far = geometry.panned({ x: 0, y: 0, w: 100, h: 50 }, [1e6, -1e6], whole);
  assert.deepEqual([far.x + 50, far.y + 25], [1000, 0]);
});

test("arrow keys: 0.1 mm, with Shift 1 mm", () => {
  assert.deepEqual(geometry.stepOf("ArrowUp", false), [0, 0.1]);
  assert.deepEqual(geometry.stepOf("ArrowLeft", true), [-1, 0]);
  assert.equal(geometry.stepOf("a", false), null);
});

test("a closed line ends where it began", () => {
  assert.equal(geometry.closed([[0, 0], [1, 0], [1, 2]]), "M0 0L1 0L1 2Z");
  assert.equal(geometry.closed([]), "");
});

test("a form becomes what the server is asked; the card's resolution is its own", async () => {
  const { askedOf } = await import(`${at}trace.js`);
  const typed = new FormData();
  for (const [name, value] of [["pictures", "a.jpg"], ["pictures", "b.jpg"], ["reference", "card"], ["card_dpi", " 600 "], ["dpi", "300"], ["unsnapped", "on"]])
    typed.append(name ?? "", value ?? "");
  const asked = askedOf(typed, [1, 2, 3, 4]);
  assert.deepEqual([asked.pictures, asked.dpi, asked.snapped, asked.marks], [["a.jpg", "b.jpg"], "600", false, [1, 2, 3, 4]]);
  assert.equal(asked.paper, "A4");
});
