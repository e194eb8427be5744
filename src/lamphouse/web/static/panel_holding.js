// What pointers hold of a drawn panel: an item, a handle or the sheet dragged, two fingers pinching.

import { both } from "./panel_geometry.js";
import { WHOLE, isDrafted, place } from "./panel_shown.js";

/** @typedef {import("./panel.js").PanelView} PanelView */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_shown.js").Item} Item */
/** @typedef {{item: Item | null, handle: number, from: Spot, stood: Spot, pointer: number, isMoved: boolean}} Hold no item: the sheet */

const STILL_PX = 3;

export class Holding {
  /** @param {PanelView} view */
  constructor(view) {
    this.view = view;
    /** @type {Hold | null} */
    this.hold = null;
    /** @type {Map<number, Spot>} */
    this.touches = new Map();
    const stage = view.stage.root;
    stage.addEventListener("pointerdown", (event) => this.pressed(event));
    stage.addEventListener("pointermove", (event) => this.dragged(event));
    stage.addEventListener("pointerup", (event) => void this.released(event));
    stage.addEventListener("pointercancel", () => view.letGo());
    stage.addEventListener("wheel", (event) => this.wheeled(event), { passive: false });
  }

  isDragging() {
    return this.hold?.isMoved ?? false;
  }

  /** @param {PointerEvent} event */
  pressed(event) {
    const { view } = this;
    const { stage } = view;
    if (event.button > 1) return;
    this.touches.set(event.pointerId, [event.clientX, event.clientY]);
    stage.root.setPointerCapture(event.pointerId);
    if (this.touches.size === 2) return view.letGo();
    const from = stage.placeOf(event);
    if (view.drawing.isOn()) {
      this.touches.delete(event.pointerId);
      return void view.drawing.placed(from, event);
    }
    const target = event.target instanceof Element ? event.target : null;
    const handle = handleOf(target);
    if (handle !== WHOLE) {
      this.hold = { item: stage.pickedItem() ?? null, handle, from, stood: stage.handles()[handle].at, pointer: event.pointerId, isMoved: false };
      return;
    }
    if (event.button === 0) view.pick(target?.closest(".item")?.getAttribute("data-id") ?? "", true);
    const picked = stage.pickedItem();
    const item = picked && picked.kind !== "panel" ? picked : null;
    this.hold = { item, handle: WHOLE, from, stood: (item && stage.spotOf(item)) ?? [0, 0], pointer: event.pointerId, isMoved: false };
  }

  /** @param {PointerEvent} event */
  dragged(event) {
    const { view, hold } = this;
    const { stage } = view;
    const at = stage.placeOf(event);
    view.at("#panel-where").textContent = `${both(at[0])} right, ${both(at[1])} up`;
    if (this.touches.has(event.pointerId) && this.touches.size === 2) return this.pinched(event);
    if (this.touches.has(event.pointerId)) this.touches.set(event.pointerId, [event.clientX, event.clientY]);
    if (view.drawing.isOn() && !hold) return view.drawing.moved(at, event);
    if (!hold || hold.pointer !== event.pointerId) return;
    if (!hold.isMoved && Math.hypot(at[0] - hold.from[0], at[1] - hold.from[1]) * stage.port.scale < STILL_PX) return;
    hold.isMoved = true;
    if (!hold.item) return stage.pan([event.movementX, event.movementY]);
    const why = view.moving.heldBy(hold.item);
    if (why && hold.handle === WHOLE) return view.status(why);
    /** @type {Spot} */
    const to = [hold.stood[0] + at[0] - hold.from[0], hold.stood[1] + at[1] - hold.from[1]];
    const { at: snappedTo, on } = view.snap(to, event, hold.item.kind);
    stage.guide([...(on[0] ? [{ x: snappedTo[0] }] : []), ...(on[1] ? [{ y: snappedTo[1] }] : [])]);
    view.status(place(snappedTo));
    view.moving.put(hold.item, hold.handle, snappedTo);
  }

  /** @param {PointerEvent} event */
  pinched(event) {
    const { stage } = this.view;
    const before = [...this.touches.values()];
    this.touches.set(event.pointerId, [event.clientX, event.clientY]);
    const after = [...this.touches.values()];
    const [was, is] = [before, after].map(([[ax, ay], [bx, by]]) => Math.hypot(bx - ax, by - ay));
    const [wx, wy] = [(before[0][0] + before[1][0]) / 2, (before[0][1] + before[1][1]) / 2];
    const [ix, iy] = [(after[0][0] + after[1][0]) / 2, (after[0][1] + after[1][1]) / 2];
    const box = stage.root.getBoundingClientRect();
    stage.pan([ix - wx, iy - wy]);
    if (was > 0) stage.zoom(is / was, [ix - box.left, iy - box.top]);
  }

  /** @param {PointerEvent} event */
  async released(event) {
    this.touches.delete(event.pointerId);
    const { view, hold } = this;
    if (!hold || hold.pointer !== event.pointerId) return;
    this.hold = null;
    view.stage.guide([]);
    if (!hold.isMoved || !hold.item || !isDrafted(view.stage.draft)) return;
    await view.moving.commit(hold.item, hold.handle);
  }

  /** @param {WheelEvent} event */
  wheeled(event) {
    event.preventDefault();
    const { stage } = this.view;
    const box = stage.root.getBoundingClientRect();
    if (event.shiftKey) return stage.pan([-event.deltaY, 0]);
    return stage.zoom(Math.exp(-event.deltaY / 400), [event.clientX - box.left, event.clientY - box.top]);
  }
}

/**
 * Which handle something on the page belongs to.
 * @param {EventTarget | null} target
 */
export function handleOf(target) {
  const handle = target instanceof Element ? target.closest("[data-handle]") : null;
  return handle ? Number(handle.getAttribute("data-handle")) : WHOLE;
}
