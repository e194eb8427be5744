// The room light: the slider's places and lux.

import assert from "node:assert/strict";
import { test } from "node:test";

import { BENCH_LX, luxAt, placeOf, said } from "../../../src/lamphouse/web/static/room_light.js";

test("the slider runs from dark to bench light, every place brighter than the one before", () => {
  assert.equal(luxAt(0), 0);
  assert.equal(luxAt(100), BENCH_LX);
  for (let place = 1; place <= 100; place += 1) assert.ok(luxAt(place) > luxAt(place - 1));
});

test("lux find their place again", () => {
  for (let place = 0; place <= 100; place += 1) assert.ok(Math.abs(placeOf(luxAt(place)) - place) <= 1);
  assert.equal(placeOf(1e9), 100);
});

test("no light is said in words", () => {
  assert.equal(said(0), "dark");
  assert.equal(said(300), "300 lx");
});
