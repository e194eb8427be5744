// What a phone works out by itself: what is done, what can be done next, what a flag is.

import assert from "node:assert/strict";
import { test } from "node:test";

import { bestFirst, doneOf, nextSteps, search, together, withZone } from "../../../src/lamphouse/web/static/bench_data.js";

const entry = (kind, item, key = `${kind} ${item}`) => ({ key, at: "", kind, item });
const step = (id, after = [], sub_assembly = "bay") => ({ id, after: after.map((one) => [one, "why"]), sub_assembly });

test("a step is done when it was ticked and not undone after it", () => {
  const log = [entry("step", "a"), entry("step", "b"), entry("undone", "a"), entry("note", "c")];
  assert.deepEqual([...doneOf(log)], ["b"]);
  assert.deepEqual([...doneOf([...log, entry("step", "a")])].sort(), ["a", "b"]);
});

test("only steps can be done before which everything is done", () => {
  const steps = [step("a"), step("b", ["a"]), step("c", ["a", "b"]), step("d", [], "console")];
  const ids = (done, where) => nextSteps(steps, new Set(done), where).map((one) => one.id);
  assert.deepEqual(ids([]), ["a", "d"]);
  assert.deepEqual(ids(["a"], "bay"), ["b"]);
  assert.deepEqual(ids(["a", "b", "d"]), ["c"]);
});

test("what is best for the evening comes first, in its order; the rest stays as it was", () => {
  const ready = ["a", "b", "c", "d"].map((id) => step(id));
  assert.deepEqual(bestFirst(ready, ["d", "gone", "b"]).map((one) => one.id), ["d", "b", "a", "c"]);
  assert.deepEqual(bestFirst(ready, []).map((one) => one.id), ["a", "b", "c", "d"]);
});

test("the flag itself comes before what begins with it, and that before what holds it", () => {
  const flags = ["R12", "R1", "AR1", "G1"].map((flag) => ({ flag, kind: "fibre", sub_assembly: "console", lines: [["hole", "r1 of it"]] }));
  assert.deepEqual(search(flags, " r1 ").map((one) => one.flag), ["R1", "R12", "AR1", "G1"]);
  assert.deepEqual(search(flags, ""), []);
  assert.equal(search(flags, "r", 2).length, 2);
});

test("what waits stands once beside what is written", () => {
  const a = entry("note", "", "1");
  assert.deepEqual(together([a], [a, entry("note", "", "2")]).map((one) => one.key), ["1", "2"]);
});

test("a time carries its zone", () => {
  const time = new Date(Date.UTC(2026, 2, 14, 19, 15, 0));
  assert.match(withZone(time), /^2026-03-1[345]T\d\d:\d\d:00[+-]\d\d:\d\d$/);
  assert.equal(new Date(withZone(time)).getTime(), time.getTime());
});
