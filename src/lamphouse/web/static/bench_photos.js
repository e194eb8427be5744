// Photographs that a phone keeps until the computer has them on its disk.

/** @typedef {{key: string, project: string, at: string, by: string, name: string, type: string, data: ArrayBuffer}} Photograph */

const STORE = "photographs";

/** @returns {Promise<IDBDatabase>} */
function opened() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("lamphouse bench", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(STORE, { keyPath: "key" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

/**
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore) => IDBRequest} work
 * @returns {Promise<any>} what was asked for, when it stands on the disk
 */
async function within(mode, work) {
  const base = await opened();
  try {
    return await new Promise((done, failed) => {
      const turn = base.transaction(STORE, mode);
      const asked = work(turn.objectStore(STORE));
      turn.oncomplete = () => done(asked.result);
      turn.onabort = () => failed(turn.error);
    });
  } finally {
    base.close();
  }
}

/** @param {Photograph} photograph */
export const keepPhotograph = (photograph) => within("readwrite", (store) => store.put(photograph));

/** @param {string} key */
export const dropPhotograph = (key) => within("readwrite", (store) => store.delete(key));

/**
 * List what waits for one project, the first taken first.
 * @param {string} project
 * @returns {Promise<Photograph[]>}
 */
export async function photographsOf(project) {
  /** @type {Photograph[]} */
  const every = await within("readonly", (store) => store.getAll());
  return every.filter((one) => one.project === project).sort((one, other) => one.at.localeCompare(other.at));
}
