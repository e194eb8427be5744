// An item of a panel put elsewhere, by pointer or by keys: drafted first, then a change of the file.

import { draftOf } from "./panel_draft.js";
import { moveCommand, moveRowCommand, reshapeCommand, strayOf, takeOutCommand } from "./panel_commands.js";
import { WHOLE, idOf, isDrafted, noDraft } from "./panel_shown.js";

/** @typedef {import("./panel.js").PanelView} PanelView */
/** @typedef {import("./panel_commands.js").Command} Command */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_shown.js").Item} Item */

const WAIT_MS = 600;

export class Moving {
  /** @param {PanelView} view */
  constructor(view) {
    this.view = view;
    this.timer = 0;
    /** @type {Promise<void>} */
    this.last = Promise.resolve();
    /** What the maker answered of the row in hand: ``whole``, ``out``, or empty before. */
    this.rowWay = "";
  }

  /** Whether a draft waits to be made a change. */
  isWaiting() {
    return this.timer !== 0;
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
    this.timer = window.setTimeout(() => void this.commit(item, handle), WAIT_MS);
  }

  /**
   * Make what is drafted a change of the file.
   * @param {Item} item
   * @param {number} handle
   */
  commit(item, handle) {
    // one after the other: each is measured from the file that the one before has left
    this.last = this.last.then(async () => {
      this.timer = 0;
      const command = isDrafted(this.view.stage.draft) ? await this.commandOf(this.latest(item), handle) : null;
      if (!command || !(await this.view.carryOut(command))) this.view.letGo();
    });
    return this.last;
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
   * @returns {Promise<Command | null>}
   */
  async commandOf(item, handle) {
    const { shown, draft } = this.view.stage;
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
