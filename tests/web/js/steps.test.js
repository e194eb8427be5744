// Pure functions of the steps: entries as the file has them, addresses narrowed.

import assert from "node:assert/strict";
import { test } from "node:test";

import { added, entryOf, narrowed } from "../../../src/lamphouse/web/static/steps.js";

test("what is empty is left out, names are parted at commas", () => {
  const typed = [["name", "sign"], ["minutes", " 5 min "], ["after", "a/b, c "], ["before", ""], ["why", ""]];
  assert.deepEqual(entryOf(typed), { minutes: "5 min", after: ["a/b", "c"] });
});

test("a list that is not in the file comes with its first entry, a step under its name", () => {
  const entry = { part: "white 0603" };
  assert.deepEqual(added("waiting", entry, true), { do: "add", path: ["waiting"], value: entry });
  assert.deepEqual(added("waiting", entry, false), { do: "set", path: ["waiting"], value: [entry], was: "" });
  assert.deepEqual(added("steps", {}, true, "sign"), { do: "set", path: ["steps", "sign"], value: {}, was: "" });
});

test("an address keeps what is not asked anew, and loses what is emptied", () => {
  assert.equal(narrowed("?tonight=2+h&step=a%2Fb", [["tonight", " 3 h "], ["step", ""], ["where", "bay"]]), "?tonight=3+h&where=bay");
  assert.equal(narrowed("?state=gates", [["state", ""]]), "");
});
