// What the bench works out by itself, so that it goes on when the network is gone.

/** @typedef {{id: string, title: string, kind: string, sub_assembly: string, minutes: number, rest_hours: number, gate: boolean, reads: string, expected: string[], after: [string, string][]}} Step */
/** @typedef {{flag: string, kind: string, sub_assembly: string, lines: [string, string][]}} Flag */
/** @typedef {{key: string, at: string, kind: string, item: string, number?: number, by?: string, name?: string, value?: string, text?: string, device?: string, attachment?: string}} Entry */

/**
 * Find which steps are done: ticked, and not undone after it.
 * @param {Entry[]} entries in the order in which they were written
 * @returns {Set<string>}
 */
export function doneOf(entries) {
  /** @type {Set<string>} */
  const done = new Set();
  for (const entry of entries) {
    if (entry.kind === "step") done.add(entry.item);
    else if (entry.kind === "undone") done.delete(entry.item);
  }
  return done;
}

/**
 * Find the steps that can be done now: not done, and everything before them is.
 * @param {Step[]} steps in a valid order
 * @param {Set<string>} done
 * @param {string} [where] only of this sub-assembly
 */
export function nextSteps(steps, done, where = "") {
  return steps.filter(
    (step) =>
      !done.has(step.id) &&
      (where === "" || step.sub_assembly === where) &&
      step.after.every(([before]) => done.has(before)),
  );
}

/**
 * Put the steps that are best for the evening first, in its order; the rest follows as it was.
 * @param {Step[]} ready
 * @param {string[]} best ids
 */
export function bestFirst(ready, best) {
  const place = new Map(best.map((id, number) => [id, number]));
  const rank = (/** @type {Step} */ step) => place.get(step.id) ?? best.length;
  return [...ready].sort((one, other) => rank(one) - rank(other));
}

/**
 * Find flags by what is typed: the flag itself first, then those that begin with it, then those
 * that hold it anywhere.
 * @param {Flag[]} flags
 * @param {string} typed
 * @param {number} [most]
 */
export function search(flags, typed, most = 12) {
  const wanted = plain(typed);
  if (!wanted) return [];
  /** @type {[number, Flag][]} */
  const ranked = [];
  for (const flag of flags) {
    const name = plain(flag.flag);
    const rest = plain(`${flag.sub_assembly} ${flag.lines.map((line) => line[1]).join(" ")}`);
    const rank = name === wanted ? 0 : name.startsWith(wanted) ? 1 : name.includes(wanted) ? 2 : rest.includes(wanted) ? 3 : 9;
    if (rank < 9) ranked.push([rank, flag]);
  }
  return ranked
    .sort((one, other) => one[0] - other[0])
    .slice(0, most)
    .map(([, flag]) => flag);
}

/**
 * Put what is waiting to be sent behind what the log holds, each entry once.
 * @param {Entry[]} written
 * @param {Entry[]} waiting
 */
export function together(written, waiting) {
  const there = new Set(written.map((entry) => entry.key));
  return [...written, ...waiting.filter((entry) => !there.has(entry.key))];
}

/**
 * Write a time with its zone, as the log keeps it: `2026-03-14T20:15:00+01:00`.
 * @param {Date} time
 */
export function withZone(time) {
  const minutes = -time.getTimezoneOffset();
  const local = new Date(time.getTime() + minutes * 60000).toISOString().slice(0, 19);
  const two = (/** @type {number} */ n) => String(Math.floor(n)).padStart(2, "0");
  const size = Math.abs(minutes);
  return `${local}${minutes < 0 ? "-" : "+"}${two(size / 60)}:${two(size % 60)}`;
}

/** @param {string} words */
function plain(words) {
  return words.toLowerCase().replace(/\s+/g, " ").trim();
}
