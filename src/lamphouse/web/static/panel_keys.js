// What keys do on a drawn panel: items and handles picked, nudged and removed, the scale changed.

import { rounded } from "./panel_geometry.js";
import { handleOf } from "./panel_holding.js";
import { WHOLE, idOf, place } from "./panel_shown.js";

/** @typedef {import("./panel.js").PanelView} PanelView */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_shown.js").Item} Item */

const NUDGE_MM = 0.1;
const FAR_NUDGE_MM = 1;
const PAN_PX = 40;
const WAYS = /** @type {Record<string, Spot>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] });

export class Keys {
  /** @param {PanelView} view */
  constructor(view) {
    this.view = view;
    view.stage.root.addEventListener("keydown", (event) => this.pressed(event));
    view.stage.root.addEventListener("focusin", (event) => this.focused(event));
  }

  /** @param {KeyboardEvent} event */
  pressed(event) {
    if (event.ctrlKey || event.metaKey) return;
    const { view } = this;
    const { stage } = view;
    const handle = handleOf(event.target);
    const way = WAYS[event.key];
    if (way) {
      event.preventDefault();
      return this.arrow(way, handle, event.shiftKey ? FAR_NUDGE_MM : NUDGE_MM);
    }
    const done = /** @type {Record<string, () => void>} */ ({
      "+": () => stage.zoom(1.25),
      "-": () => stage.zoom(0.8),
      0: () => stage.showWhole(),
      Escape: () => this.escaped(),
      Delete: () => void view.remove(handle),
      PageDown: () => this.pickNext(1),
      PageUp: () => this.pickNext(-1),
      Enter: () => this.entered(handle),
    })[event.key];
    if (!done) return;
    event.preventDefault();
    event.stopPropagation();
    done();
  }

  /**
   * Nudge what is in hand; with nothing in hand, pan.
   * @param {Spot} way
   * @param {number} handle
   * @param {number} step mm
   */
  arrow(way, handle, step) {
    const { stage } = this.view;
    const item = stage.pickedItem();
    if (item && (handle !== WHOLE || item.kind !== "panel")) this.nudge(item, handle, [way[0] * step, way[1] * step]);
    else stage.pan([-way[0] * PAN_PX, way[1] * PAN_PX]);
  }

  /**
   * @param {Item} item
   * @param {number} handle
   * @param {Spot} by
   */
  nudge(item, handle, by) {
    const { view } = this;
    const why = handle === WHOLE ? view.moving.heldBy(item) : "";
    if (why) return view.status(why);
    const now = view.stage.spotOf(item, handle);
    if (!now) return;
    /** @type {Spot} */
    const to = [rounded(now[0] + by[0], 0), rounded(now[1] + by[1], 0)];
    view.moving.put(item, handle, to);
    view.status(place(to));
    view.moving.commitSoon(item, handle);
  }

  /** @param {number} handle */
  entered(handle) {
    const { view } = this;
    if (view.drawing.isOn()) return void view.drawing.placed(view.stage.middle(), null);
    if (handle !== WHOLE) return;
    const focus = document.activeElement?.getAttribute("data-id") ?? "";
    if (focus && focus !== view.stage.picked) return view.pick(focus, true);
    view.form.focusFirst();
  }

  escaped() {
    const { view } = this;
    view.letGo();
    if (view.drawing.isOn()) view.drawing.take("pick");
    else view.pick("");
  }

  /** @param {number} way */
  pickNext(way) {
    const { stage } = this.view;
    const items = stage.shown?.items ?? [];
    const now = items.findIndex((one) => idOf(one) === stage.picked);
    const next = items[(now + way + items.length) % items.length];
    if (next) this.view.pick(idOf(next), true);
  }

  /**
   * An item that Tab has come to is picked.
   * @param {FocusEvent} event
   */
  focused({ target }) {
    const { view } = this;
    if (!(target instanceof Element) || !target.matches(":focus-visible") || view.holding.hold) return;
    const id = target.closest(".item")?.getAttribute("data-id") ?? "";
    if (id && id !== view.stage.picked) view.pick(id, true);
  }
}
