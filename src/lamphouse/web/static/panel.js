// The panel view: the parts of it put together; the server owns the file and the sums.

import { editNow, get, inTurn, projectAddress, say, send, show } from "./edits.js";
import { GlowCanvases } from "./panel_canvas.js";
import { addCornerCommand, pointsCommand, removeCommand } from "./panel_commands.js";
import { Drawing } from "./panel_drawing.js";
import { decode } from "./panel_field.js";
import { Form } from "./panel_form.js";
import { Holding } from "./panel_holding.js";
import { Keys } from "./panel_keys.js";
import { Live } from "./panel_live.js";
import { Moving } from "./panel_moving.js";
import { WHOLE, idOf, noDraft } from "./panel_shown.js";
import { fetchPicturesSeen, fetchSide, showFigures } from "./panel_side.js";
import { snap } from "./panel_snapping.js";
import { Stage } from "./panel_stage.js";
import "./panel_suggest.js";
import { roomLight } from "./room_light.js";

/** @typedef {import("./panel_commands.js").Command} Command */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_shown.js").Item} Item */
/** @typedef {import("./panel_shown.js").Shown} Shown */

const CORNER_REACH_PX = 12;

/**
 * One panel on the page, for as long as its element is there. Its parts hold it, and ask of it what
 * concerns them all: what is in hand, and changes of the file.
 */
export class PanelView {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    const { sub = "", panel = "" } = root.dataset;
    this.query = `sub=${encodeURIComponent(sub)}&panel=${encodeURIComponent(panel)}`;
    this.glow = new GlowCanvases(
      /** @type {HTMLCanvasElement} */ (this.at("#panel-glow")),
      /** @type {HTMLCanvasElement} */ (this.at("#panel-seen")),
    );
    this.glow.lux = roomLight();
    this.stage = new Stage(/** @type {SVGSVGElement} */ (/** @type {unknown} */ (this.at("#panel-stage"))), this.glow);
    this.live = new Live({ sub, panel }, (fields) => this.glowCame(fields));
    this.form = new Form(this, this.at("#panel-form"));
    this.moving = new Moving(this);
    this.drawing = new Drawing(this);
    this.holding = new Holding(this);
    this.keys = new Keys(this);
    this.isAlive = true;
    /** Why what is drawn could not be fetched last; empty when it could. */
    this.lacking = "";
    /** How often it was asked for, and which of these is drawn. */
    this.asked = this.drawn = 0;
    this.listen();
    void Promise.all([this.refresh(), this.refreshField()]).then(() => this.refreshSide());
  }

  /**
   * @param {string} selector
   * @returns {HTMLElement}
   */
  at(selector) {
    return /** @type {HTMLElement} */ (this.root.querySelector(selector));
  }

  listen() {
    this.stage.root.addEventListener("dblclick", (event) => void this.addCorner(event));
    this.root.addEventListener("click", (event) => this.clicked(event));
    this.root.addEventListener("change", (event) => this.chosen(event));
    new ResizeObserver(() => this.stage.look()).observe(this.at(".stage"));
    new ResizeObserver(() => this.stage.drawGlow()).observe(this.at(".seen"));
    fetchPicturesSeen(this.root);
    const onStale = () => (this.isAlive && document.body.contains(this.root) ? void this.stale() : undefined);
    document.addEventListener("viewstale", onStale);
    document.addEventListener("projectstate", () => (this.lacking ? onStale() : undefined));
    document.addEventListener("roomlight", (event) => {
      this.glow.lux = /** @type {CustomEvent<number>} */ (event).detail;
      this.stage.drawGlow();
      showFigures(this.root, this.glow);
    });
  }

  /** The file or the plan has changed. */
  async stale() {
    await this.refresh();
    await this.refreshField();
    this.refreshSide();
    await this.form.refresh();
  }

  /**
   * Ask what is drawn, and draw it. Where it is not to be had the page says why, what is drawn stays,
   * and the next that is heard from the server asks again.
   * @returns {Promise<boolean>} whether it is drawn
   */
  async refresh() {
    const turn = ++this.asked;
    const outcome = await get(`panel/shown?${this.query}`, (answer) => answer.json());
    if (turn < this.drawn) return true; // what was asked for later has come before
    this.lack(outcome.ok ? "" : outcome.answer.message);
    if (!outcome.ok) return false;
    this.drawn = turn;
    const shown = /** @type {Shown} */ (outcome.answer);
    if (!shown.planned && this.stage.shown) {
      // until the new plan is there the old light and the old drawing serve, the drawing faint
      shown.glow = this.stage.shown.glow;
      shown.ground = this.stage.shown.ground;
    }
    this.stage.root.classList.toggle("stale", !shown.planned);
    // what is being dragged has its place by itself; all it is measured from is the new file's
    this.stage.show(shown, this.holding.isDragging() || this.moving.isWaiting());
    document.body.dataset.revision = shown.revision;
    this.listItems(shown);
    this.root.dataset.state = shown.planned ? "planned" : "planning";
    showFigures(this.root, this.glow);
    return true;
  }

  /**
   * Say why what is drawn is not to be had, and take that back once it is.
   * @param {string} words empty when it is
   */
  lack(words) {
    if (words || document.getElementById("said")?.textContent === this.lacking) say(words);
    this.lacking = words;
  }

  /** Ask for what stands below the glow, when that is there: nothing moves away from under a hand. */
  refreshSide() {
    if (this.root.dataset.state === "planned") fetchSide(this.query);
  }

  /** Ask for the glow as the file has it. */
  async refreshField() {
    const outcome = await get(`panel/field?${this.query}`, async (answer) => decode(await answer.arrayBuffer()));
    if (!outcome.ok || this.holding.hold) return;
    const fields = /** @type {import("./panel_field.js").Fields} */ (outcome.answer);
    this.glow.fields.clear();
    this.showGlow(fields.openings);
    this.root.dataset.field = String(document.body.dataset.revision);
  }

  /**
   * The glow of what is dragged has come.
   * @param {import("./panel_field.js").Fields} fields
   */
  glowCame(fields) {
    this.showGlow(fields.openings);
    this.status(fields.unknown.map((one) => one.why).join("; "));
    this.root.dispatchEvent(new CustomEvent("glowpainted", { bubbles: true, detail: fields.seq }));
  }

  /** @param {import("./panel_field.js").OpeningField[]} openings */
  showGlow(openings) {
    this.glow.take(openings);
    this.stage.drawGlow();
    showFigures(this.root, this.glow);
  }

  /** @param {Shown} shown */
  listItems(shown) {
    const list = /** @type {HTMLSelectElement} */ (this.at("#panel-item"));
    const options = shown.items.map((item) => new Option(`${item.kind} ${item.name}`, idOf(item)));
    list.replaceChildren(new Option("nothing", ""), ...options);
    list.value = this.stage.picked;
    if (list.selectedIndex < 0) this.pick("");
  }

  /** @param {string} words */
  status(words) {
    this.at("#panel-status").textContent = words;
  }

  /**
   * Take an item in hand.
   * @param {string} id empty for none
   * @param {boolean} [isToFocus]
   */
  pick(id, isToFocus = false) {
    if (this.stage.picked !== id) this.moving.rowWay = "";
    this.stage.picked = id;
    this.stage.draw();
    /** @type {HTMLSelectElement} */ (this.at("#panel-item")).value = id;
    this.form.refreshSoon();
    if (isToFocus) /** @type {SVGElement | null} */ (this.stage.root.querySelector(`[data-id="${CSS.escape(id)}"]`))?.focus();
    const item = this.stage.pickedItem();
    /** @type {HTMLButtonElement} */ (this.at("#panel-remove")).disabled = !item || item.kind === "panel";
    /** @type {HTMLButtonElement} */ (this.at("#panel-points")).disabled = !item?.shape || item.shape === "points" || item.kind === "overlay";
  }

  /** Let go of what is dragged; it is where the file has it. */
  letGo() {
    this.holding.hold = null;
    this.stage.draft = noDraft();
    this.stage.guide([]);
    this.live.stop();
    this.stage.draw();
  }

  /**
   * Snap a place as the maker has set it.
   * @param {Spot} at
   * @param {{altKey: boolean}} event
   * @param {string} kind of the item that is put there
   */
  snap(at, event, kind) {
    const grid = /** @type {HTMLSelectElement} */ (this.at("#panel-grid")).value;
    return snap(this.stage, at, { grid, isFree: event.altKey, kind });
  }

  /**
   * Change the file in its turn, and draw what it then says.
   * @param {() => Command | null | Promise<Command | null>} compose gives what to do, measured from what is drawn by then
   * @returns {Promise<Command | null>} what was done; the page says why when nothing was
   */
  carryOut(compose) {
    return inTurn(async () => {
      if (document.body.dataset.revision !== this.stage.shown?.revision && !(await this.refresh())) return null;
      const command = await compose();
      return command && (await this.carriedOutNow(command)) ? command : null;
    });
  }

  /**
   * @param {Command} command one whose turn it is
   * @returns {Promise<boolean>} whether it was done
   */
  async carriedOutNow(command) {
    const { edit: edits, ...rest } = command;
    const outcome = edits
      ? await editNow(String(command.label), /** @type {import("./edits.js").Edit[]} */ (edits))
      : await send("panel/do", { command: { ...rest, seen: document.body.dataset.revision ?? "" } });
    say(outcome.ok ? "" : outcome.answer.message);
    if (!outcome.ok) return false;
    if (!edits) show(outcome.answer);
    this.live.stop();
    await this.refresh();
    await this.form.refresh();
    void this.refreshField().then(() => this.refreshSide());
    return true;
  }

  /**
   * Remove what is in hand, or the corner of it that a handle stands for.
   * @param {number} handle
   */
  async remove(handle) {
    const { picked } = this.stage;
    const done = await this.carryOut(() => this.ofItem(picked, (shown, item) => removeCommand(shown, item, handle)));
    if (done && done.do !== "remove corner") this.pick("");
  }

  async makePoints() {
    const { picked } = this.stage;
    await this.carryOut(() => this.ofItem(picked, pointsCommand));
  }

  /**
   * Compose a command of an item as the file has it now.
   * @param {string} id
   * @param {(shown: Shown, item: Item) => Command | null} compose
   * @returns {Command | null} null when the item is not there
   */
  ofItem(id, compose) {
    const { shown } = this.stage;
    const item = shown?.items.find((one) => idOf(one) === id);
    return shown && item ? compose(shown, item) : null;
  }

  /** @param {MouseEvent} event */
  async addCorner(event) {
    const { picked, port } = this.stage;
    if (this.drawing.isOn()) return;
    const near = this.stage.placeOf(event);
    const to = this.snap(near, event, "").at;
    const where = { near, reach: CORNER_REACH_PX / port.scale, to };
    await this.carryOut(() => this.ofItem(picked, (shown, item) => addCornerCommand(shown, item, where)));
  }

  /** @param {MouseEvent} event */
  clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    const { tool, port, move } = button.dataset;
    if (tool) this.drawing.take(tool);
    else if (port === "in") this.stage.zoom(1.25);
    else if (port === "out") this.stage.zoom(0.8);
    else if (port === "fit") this.stage.showWhole();
    else if (button.id === "panel-remove") void this.remove(WHOLE);
    else if (button.id === "panel-points") void this.makePoints();
    else if (move) void this.form.listEdit(button);
  }

  /** @param {Event} event */
  chosen(event) {
    const field = event.target;
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) return;
    if (field.id === "panel-choose") location.assign(`${projectAddress()}/panel?${field.value}`);
    else if (field.id === "panel-item") this.pick(field.value);
    else if (field.dataset.newEntry) void this.form.listEdit(field);
    else if (field.dataset.alone) void this.form.unfold(field);
  }
}

/** @type {PanelView | null} */
let current = null;
const view = /** @type {HTMLElement} */ (document.getElementById("view"));

function begin() {
  const root = /** @type {HTMLElement | null} */ (view.querySelector("#panel"));
  if (!root || current?.root === root) return;
  if (current) current.isAlive = false;
  current = new PanelView(root);
}
// Said before anything is told of the plan: nobody but this module changes what it has drawn.
view.dataset.live = "";
new MutationObserver(begin).observe(view, { childList: true });
begin();
