// @ts-check
/** What is kept on this device, in IndexedDB: the queue, entries set aside, pages, small things.
 * Works in pages and in the worker, on plain http too. */

/** Stores are only ever added, so that an older and a newer build can use the same database. */
const STORES = { queue: 'number', aside: 'number', page: 'path', photo: 'id', kept: undefined };

/** @param {number} [version] @returns {Promise<IDBDatabase>} */
function openAs(version) {
  return new Promise((ok, no) => {
    const asked = indexedDB.open('axlestand', version);
    asked.onupgradeneeded = () => {
      for (const [name, keyPath] of Object.entries(STORES)) {
        if (!asked.result.objectStoreNames.contains(name)) asked.result.createObjectStore(name, keyPath ? { keyPath } : undefined);
      }
    };
    asked.onsuccess = () => {
      // Another tab that adds a store does not have to wait for this one.
      asked.result.onversionchange = () => asked.result.close();
      ok(asked.result);
    };
    asked.onerror = () => no(asked.error);
  });
}

/** @returns {Promise<IDBDatabase>} */
async function open() {
  const base = await openAs();
  if (Object.keys(STORES).every((name) => base.objectStoreNames.contains(name))) return base;
  const { version } = base;
  base.close();
  // Another tab may have added them meanwhile: then this version is too low, and the base is as it should be.
  return openAs(version + 1).catch(() => openAs());
}

/** @template T @param {IDBRequest<T>} asked @returns {Promise<T>} */
export const got = (asked) => new Promise((ok, no) => {
  asked.onsuccess = () => ok(asked.result);
  asked.onerror = () => no(asked.error);
});

/** @param {IDBTransaction} work @returns {Promise<void>} */
const durable = (work) => new Promise((ok, no) => {
  work.oncomplete = () => ok();
  work.onabort = work.onerror = () => no(work.error);
});

/** One transaction; what is written in it is durable when this resolves.
 * @template T @param {string[]} stores @param {IDBTransactionMode} mode
 * @param {(work: IDBTransaction) => Promise<T>} inner @returns {Promise<T>} */
export async function within(stores, mode, inner) {
  const base = await open();
  try {
    const work = base.transaction(stores, mode, { durability: 'strict' });
    const end = durable(work);
    const value = await inner(work);
    await end;
    return value;
  } finally {
    base.close();
  }
}

/** A small thing that is kept under a name. @param {string} name @returns {Promise<any>} */
export const recall = (name) => within(['kept'], 'readonly', (work) => got(work.objectStore('kept').get(name)));

/** @param {string} name @param {unknown} value @returns {Promise<void>} */
export const remember = (name, value) => within(['kept'], 'readwrite', async (work) => {
  work.objectStore('kept').put(value, name);
});
