// Edits sent to the server, which owns the project; what it refuses is told and nothing is lost.

/** @typedef {{do: string, path?: (string | number)[], value?: unknown, key?: string, was?: string, code?: string, item?: string, reason?: string}} Edit */
/** @typedef {{revision: string, fault: string, undo: string, redo: string, counts: Record<string, number>, planned: boolean}} State */
/** @typedef {{ok: boolean, status: number, answer: any}} Outcome */

export const LOST = "The page has lost its server. Start lamphouse open again; nothing saved is lost.";

/** @returns {string} Address of the open project. */
export function projectAddress() {
  return `/p/${document.body.dataset.project}`;
}

/**
 * Ask the server for something that changes the project.
 * @param {string} address below the project's
 * @param {unknown} [content]
 * @returns {Promise<Outcome>}
 */
export function send(address, content) {
  const body = content === undefined ? "" : JSON.stringify(content);
  return asked(address, { method: "POST", headers: { "Content-Type": "application/json" }, body }, (answer) =>
    answer.json().catch(() => ({ message: answer.statusText })),
  );
}

/**
 * Ask the server for something to show.
 * @param {string} address below the project's
 * @param {(answer: Response) => Promise<unknown>} read
 * @returns {Promise<Outcome>}
 */
export function get(address, read) {
  return asked(address, {}, read);
}

/**
 * @param {string} address
 * @param {RequestInit} how
 * @param {(answer: Response) => Promise<unknown>} read what is asked for; it may fail
 * @returns {Promise<Outcome>} its answer has the ``message`` why, when it is not ok
 */
async function asked(address, how, read) {
  try {
    const answer = await fetch(`${projectAddress()}/${address}`, how);
    const said = answer.ok ? await read(answer) : await answer.json().catch(() => ({ message: answer.statusText }));
    return { ok: answer.ok, status: answer.status, answer: said };
  } catch {
    return { ok: false, status: 0, answer: { message: LOST } };
  }
}

/** What was begun last. @type {Promise<unknown>} */
let before = Promise.resolve();

/**
 * Change the project when all that was begun before is done: what is done next is measured from it.
 * @template T
 * @param {() => Promise<T>} change
 * @returns {Promise<T>}
 */
export function inTurn(change) {
  document.dispatchEvent(new CustomEvent("changing"));
  const done = before.then(change);
  before = done.catch(() => undefined);
  return done;
}

/**
 * Make edits that come and go together, in their turn.
 * @param {string} label what is done, in the maker's words
 * @param {Edit[]} edits
 * @returns {Promise<Outcome>}
 */
export function edit(label, edits) {
  return inTurn(() => editNow(label, edits));
}

/**
 * Make edits whose turn it is.
 * @param {string} label
 * @param {Edit[]} edits
 * @returns {Promise<Outcome>}
 */
export async function editNow(label, edits) {
  const outcome = await send("edit", { label, edits, seen: document.body.dataset.revision ?? "" });
  if (outcome.ok) show(outcome.answer);
  else if (outcome.status === 409 && "stands" in outcome.answer) return conflict(label, edits, outcome);
  return outcome;
}

/**
 * Show how the project stands.
 * @param {State} state
 */
export function show(state) {
  document.body.dataset.revision = state.revision;
  for (const [id, label] of [["undo", state.undo], ["redo", state.redo]]) {
    const button = /** @type {HTMLButtonElement | null} */ (document.getElementById(id));
    if (!button) continue;
    button.disabled = !label;
    button.title = label;
  }
  for (const [severity, count] of Object.entries(state.counts)) {
    const at = document.querySelector(`[data-count="${severity}"]`);
    if (at) at.textContent = String(count);
  }
  document.dispatchEvent(new CustomEvent("projectstate", { detail: state }));
}

/**
 * Say something that went wrong, until the next thing is done.
 * @param {string} words empty to take it back
 */
export function say(words) {
  const at = document.getElementById("said");
  if (at) at.textContent = words;
}

/**
 * Show both values of a conflict and let the maker choose.
 * @param {string} label
 * @param {Edit[]} edits
 * @param {Outcome} outcome
 * @returns {Promise<Outcome>}
 */
async function conflict(label, edits, outcome) {
  const dialog = /** @type {HTMLDialogElement | null} */ (document.getElementById("conflict"));
  if (!dialog) return outcome;
  const { message, stands, wanted } = outcome.answer;
  put("conflict-words", message);
  put("conflict-stands", stands || "nothing");
  put("conflict-wanted", typeof wanted === "string" ? wanted : JSON.stringify(wanted));
  dialog.returnValue = "theirs";
  dialog.showModal();
  await new Promise((done) => dialog.addEventListener("close", done, { once: true }));
  if (dialog.returnValue !== "mine") {
    document.dispatchEvent(new CustomEvent("viewstale"));
    return outcome;
  }
  return editNow(label, edits.map(({ was: _, ...rest }) => rest));
}

/**
 * @param {string} id
 * @param {string} words
 */
function put(id, words) {
  const at = document.getElementById(id);
  if (at) at.textContent = words;
}
