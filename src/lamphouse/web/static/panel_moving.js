// An item of a panel put elsewhere, by pointer or by keys: drafted first, then a change of the file.

import { draftOf } from "./panel_draft.js";
import { moveCommand, moveRowCommand, reshapeCommand, strayOf, takeOutCommand } from "./panel_commands.js";
import { WHOLE, idOf, isDrafted, noDraft } from "./panel_shown.js";

/** @typedef {import("./panel.js").PanelView} PanelView */
/** @typedef {import("./panel_commands.js").Command} Command */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_shown.js").Draft} Draft */
/** @typedef {import("./panel_shown.js").Item} Item */

const WAIT_MS = 600;

export class Moving {
  /** @param {PanelView} view */
  constructor(view) {
    this.view = view;
    this.timer = 0;
    /** What is nudged, and may be nudged on. @type {{item: Item, handle: number} | null} */
    this.waiting = null;
    /** Drafts whose turn to be made a change has not come yet. @type {Set<Draft>} */
    this.queued = new Set();
    /** What the maker answered of the row in hand: ``whole``, ``out``, or empty before. */
    this.rowWay = "";
    document.addEventListener("changing", () => this.hurry());
  }

  /** Whether a draft waits to be made a change. */
  isWaiting() {
    return this.waiting !== null || this.queued.size > 0;
  }

  /**
   * @param {Item} item
   * @returns {string} why it cannot be moved; empty when it can
   */
  heldBy(item) {
    if (item.along && item.of > 1) return `It stands along '${item.along}'; move that outline, or change inset and count.`;
    if (this.view.stage.shown?.is_cone) return "On a cone, type its place instead.";
    return "";
  }

  /**
   * Put an item, or one of its handles, somewhere in the draft, and ask for its glow.
   * @param {Item} item
   * @param {number} handle
   * @param {Spot} to
   */
  put(item, handle, to) {
    const { stage, live } = this.view;
    if (this.waiting && (idOf(this.waiting.item) !== idOf(item) || this.waiting.handle !== handle)) this.hurry();
    const draft = stage.shown && draftOf(stage.shown, this.latest(item), handle, to);
    stage.draft = draft ?? noDraft();
    if (!draft) return;
    stage.draw();
    live.send(draft);
  }

  /**
   * Make what is drafted a change of the file when nothing more comes for a while.
   * @param {Item} item
   * @param {number} handle
   */
  commitSoon(item, handle) {
    window.clearTimeout(this.timer);
    this.waiting = { item, handle };
    this.timer = window.setTimeout(() => this.hurry(), WAIT_MS);
  }

  /** Make what is nudged a change of the file before anything else is done to it. */
  hurry() {
    if (this.waiting) void this.commit(this.waiting.item, this.waiting.handle);
  }

  /**
   * Make what is drafted a change of the file.
   * @param {Item} item
   * @param {number} handle
   */
  async commit(item, handle) {
    window.clearTimeout(this.timer);
    this.waiting = null;
    const { draft } = this.view.stage;
    this.queued.add(draft);
    const done = await this.view
      .carryOut(() => {
        this.queued.delete(draft);
        return isDrafted(draft) ? this.commandOf(this.latest(item), handle, draft) : null;
      })
      .finally(() => this.queued.delete(draft));
    if (!done && this.view.stage.draft === draft) this.view.letGo();
  }

  /**
   * An item as the file has it now.
   * @param {Item} item
   */
  latest(item) {
    return this.view.stage.shown?.items.find((one) => idOf(one) === idOf(item)) ?? item;
  }

  /**
   * @param {Item} item
   * @param {number} handle
   * @param {Draft} draft
   * @returns {Promise<Command | null>}
   */
  async commandOf(item, handle, draft) {
    const { shown } = this.view.stage;
    const stray = shown && strayOf(shown, draft, item, handle);
    if (!stray) return null;
    if (handle !== WHOLE) return reshapeCommand(shown, item, handle, stray.now);
    if (item.of <= 1) return moveCommand(item, stray);
    this.rowWay = this.rowWay || (await this.askRow(item));
    if (!this.rowWay) return null;
    return this.rowWay === "out" ? takeOutCommand(this.view.stage.shown ?? shown, item, stray.now) : moveRowCommand(item, stray.by);
  }

  /**
   * @param {Item} item
   * @returns {Promise<string>} ``whole``, ``out``, or empty to leave all as it was
   */
  askRow(item) {
    const { view } = this;
    const dialog = /** @type {HTMLDialogElement} */ (view.at("#panel-row"));
    view.at("#panel-row-words").textContent = `${item.name} is one of ${item.of} in a row that the file writes in one line.`;
    view.at("#panel-row-out").textContent = `Take ${item.name} out of the row`;
    dialog.returnValue = "";
    dialog.showModal();
    return new Promise((done) => dialog.addEventListener("close", () => done(dialog.returnValue), { once: true }));
  }
}
