// Long work: begun by a button, followed in a list, its results used.

import { edit, say, send } from "./edits.js";

/** Let the list of jobs fetch itself again. */
export function freshenJobs() {
  document.body.dispatchEvent(new CustomEvent("joblist", { bubbles: true }));
}

/**
 * Begin work and say what stands against it.
 * @param {string} address below the project's
 * @param {unknown} [content]
 */
export async function start(address, content) {
  const outcome = await send(address, content);
  say(outcome.ok ? "" : outcome.answer.message);
  freshenJobs();
  return outcome;
}

/** @param {HTMLElement} button with what it asks for, or the name of a list that says for what */
function askedOf(button) {
  const list = document.getElementById(button.dataset.purposeIn ?? "");
  if (list instanceof HTMLSelectElement) return { purpose: list.value };
  return button.dataset.asked ? JSON.parse(button.dataset.asked) : {};
}

function listen() {
  document.addEventListener("job", (event) => {
    const job = /** @type {CustomEvent} */ (event).detail;
    const line = document.querySelector(`[data-job="${job.number}"][data-state="running"] progress`);
    if (job.state === "running" && line instanceof HTMLProgressElement && line.max === job.of) {
      line.value = job.done;
      return;
    }
    freshenJobs();
  });
  document.addEventListener("click", (event) => {
    const at = event.target instanceof Element ? event.target.closest("button") : null;
    if (!at) return;
    if (at.dataset.start) void start(`start/${at.dataset.start}`, askedOf(at));
    else if (at.dataset.writePack !== undefined) void start("pack/folder");
    else if (at.dataset.use && at.dataset.path) {
      const { use, path, words } = at.dataset;
      void edit(`${words}: ${use}`.slice(0, 180), [{ do: "set", path: JSON.parse(path), value: use }]).then((outcome) =>
        say(outcome.ok ? "" : outcome.answer.message),
      );
    }
  });
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.dataset.sweep === undefined) return;
    event.preventDefault();
    const typed = new FormData(form);
    void start("start/sweep", {
      path: JSON.parse(String(typed.get("path"))),
      low: String(typed.get("low")),
      high: String(typed.get("high")),
      steps: Number(typed.get("steps")),
    });
  });
}

if (typeof document !== "undefined") listen();
