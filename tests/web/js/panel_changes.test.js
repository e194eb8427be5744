// Items of a panel dragged, and the commands that come of it, against plain geometry.

import assert from "node:assert/strict";
import { test } from "node:test";

import { addCornerCommand, moveCommand, removeCommand, reshapeCommand, strayOf, takeOutCommand } from "../../../src/lamphouse/web/static/panel_commands.js";
import { draftOf } from "../../../src/lamphouse/web/static/panel_draft.js";
import { messageOf } from "../../../src/lamphouse/web/static/panel_live.js";
import { nearestPiece } from "../../../src/lamphouse/web/static/panel_geometry.js";
import { WHOLE, handlesOf, isDrafted, membersOf, middleOf, noDraft } from "../../../src/lamphouse/web/static/panel_shown.js";

const alone = { member: 0, of: 1, shape: "", shape_key: "", along: "", is_turned: false, box: "", keys: [], points_mm: [] };
const box = { ...alone, kind: "box", name: "b", path: ["boxes", "b"], shape: "rectangle", shape_key: "inside" };
const baffle = { ...alone, kind: "baffle", name: "f", path: ["boxes", "b", "baffles", "f"], box: "b" };
const pillar = { ...alone, kind: "pillar", name: "p", path: ["boxes", "b", "pillars", "p"], shape: "rectangle", shape_key: "shape", box: "b" };
const row = [1, 2].map((member) => ({ ...alone, kind: "LED", name: `W${member}`, path: ["boxes", "b", "leds", "W"], member, of: 2, box: "b" }));
// a triangle that the file writes about its own middle, and that stands 10 mm right and 20 mm up
const opening = { ...alone, kind: "opening", name: "o", path: ["openings", "o"], shape: "points", shape_key: "shape", points_mm: [[-1, -1], [1, -1], [-1, 1]] };
const triangle = [[9, 19, 0], [11, 19, 0], [9, 21, 0]];
const shown = {
  items: [box, baffle, ...row, opening],
  is_cone: false,
  openings: [{ name: "o", outline: { corners: triangle } }],
  overlays: [],
  strands: [],
  boxes: [
    {
      name: "b",
      outline: { corners: [[0, 0, 0], [10, 0, 0], [10, 8, 0], [0, 8, 0]] },
      leds: [{ name: "W1", at_mm: [2, 4] }, { name: "W2", at_mm: [6, 4] }],
      baffles: [{ name: "f", from_mm: [4, 1], to_mm: [4, 7] }],
      pillars: [{ name: "p", outline: { corners: [[7, 1, 0], [9, 1, 0], [9, 3, 0], [7, 3, 0]] } }],
    },
  ],
};

test("a light box takes along what stands in it", () => {
  const draft = draftOf(shown, box, WHOLE, [6, 4.5]); // its middle is at 5 mm, 4 mm
  assert.deepEqual(draft.insides.b[2], [11, 8.5, 0]);
  assert.deepEqual(draft.leds, { W1: [3, 4.5], W2: [7, 4.5] });
  assert.deepEqual(draft.baffles.f, { box: "b", start: [5, 1.5], end: [5, 7.5] });
  assert.deepEqual(draft.pillars.p, { box: "b", corners: [[8, 1.5, 0], [10, 1.5, 0], [10, 3.5, 0], [8, 3.5, 0]] });
  assert.deepEqual(middleOf(shown, draft, box), [6, 4.5]);
});

test("a pillar is dragged, reshaped and told to the server with its box", () => {
  const draft = draftOf(shown, pillar, WHOLE, [5, 5]); // its middle is at 8 mm, 2 mm
  assert.deepEqual(draft.pillars.p.corners[0], [4, 4, 0]);
  assert.deepEqual(strayOf(shown, draft, pillar, WHOLE), { now: [5, 5], by: [-3, 3] });
  assert.deepEqual(messageOf(draft, { seq: 1, sub: "s", panel: "t" }).pillars, [{ name: "p", ...draft.pillars.p }]);
  const { size, path } = reshapeCommand(shown, pillar, 2, [10, 5]);
  assert.deepEqual([size, path], [[3, 4], [...pillar.path, "shape"]]);
});

test("a corner of a light box is dragged, the one across from it stays", () => {
  const draft = draftOf(shown, box, 2, [12, 9]);
  assert.deepEqual(handlesOf(shown, draft, box).map((one) => one.at), [[0, 0], [12, 0], [12, 9], [0, 9]]);
  assert.deepEqual(strayOf(shown, draft, box, 2), { now: [12, 9], by: [2, 1] });
  const { size, by } = reshapeCommand(shown, box, 2, [12, 9]);
  assert.deepEqual([size, by], [[12, 9], [1, 0.5]]);
});

test("what is back where the file has it has not strayed", () => {
  assert.equal(strayOf(shown, draftOf(shown, row[0], WHOLE, [2.0001, 4]), row[0], WHOLE), null);
  assert.equal(isDrafted(noDraft()), false);
});

test("an end of a baffle moves alone", () => {
  const draft = draftOf(shown, baffle, 1, [5, 6]);
  assert.deepEqual(draft.baffles.f, { box: "b", start: [4, 1], end: [5, 6] });
  assert.deepEqual(reshapeCommand(shown, baffle, 1, [5, 6]).edit, [{ do: "set", path: [...baffle.path, "to"], value: ["5 mm", "6 mm"] }]);
});

test("a corner is written in the coordinates of its own shape", () => {
  const draft = draftOf(shown, opening, 1, [12, 18]);
  assert.deepEqual(draft.openings.o, [[9, 19, 0], [12, 18, 0], [9, 21, 0]]);
  assert.deepEqual(reshapeCommand(shown, opening, 1, [12, 18]).to, [2, -2]);
  const added = addCornerCommand(shown, opening, { near: [10.1, 20.1], reach: 0.5, to: [10.5, 20.5] });
  assert.deepEqual([added.corner, added.to], [2, [0.5, 0.5]]);
  assert.equal(addCornerCommand(shown, opening, { near: [15, 25], reach: 0.5, to: [15, 25] }), null);
});

test("a member leaves its row with the places of all", () => {
  assert.deepEqual(membersOf(shown, row[1]), row);
  const draft = draftOf(shown, row[1], WHOLE, [7, 5]);
  const { now, by } = strayOf(shown, draft, row[1], WHOLE);
  assert.deepEqual([now, by], [[7, 5], [1, 1]]);
  const command = takeOutCommand(shown, row[1], now);
  assert.deepEqual([command.member, command.places, command.to], [2, [[2, 4], [6, 4]], [7, 5]]);
  assert.equal(removeCommand(shown, row[1], WHOLE).to, null);
});

test("a thing that stands alone is moved from where it stood", () => {
  const command = moveCommand(opening, { now: [12, 20], by: [2, 0] });
  assert.deepEqual([command.by, command.stands, command.label], [[2, 0], [10, 20], "Move opening o"]);
});

test("Delete on a corner takes the corner, elsewhere the item, and never the panel", () => {
  assert.equal(removeCommand(shown, opening, 1).do, "remove corner");
  assert.equal(removeCommand(shown, opening, WHOLE).do, "remove");
  assert.equal(removeCommand(shown, { ...alone, kind: "panel", name: "p", path: ["p"] }, WHOLE), null);
});

test("the piece of a square nearest to a place", () => {
  const square = [[0, 0, 0], [4, 0, 0], [4, 4, 0], [0, 4, 0]];
  assert.deepEqual(nearestPiece(square, [5, 1]), { gap: 1, piece: 1 });
  assert.deepEqual(nearestPiece(square, [-3, 8]), { gap: 5, piece: 2 }); // 3, 4, 5 to a corner
});
