// @ts-check
/** A durable queue of entries on this device. An entry is shown as recorded only once it is written
 * here; it is sent until the server acknowledges it; the server records each id once. So each entry
 * reaches the ledger exactly once, through lost answers, reloads and restarts.
 *
 * @typedef {{id: string, number: number, job: string, made: number, fields: [string, string][]}} Entry
 * @typedef {{id: string, recorded: boolean, repeated: boolean, entries: string[], questions: string[],
 *   refusal: null | {reasons: {text: string, first: string | null}[], hint: string | null}}} Answer */

/** @returns {Promise<IDBDatabase>} */
function open() {
  return new Promise((ok, no) => {
    const asked = indexedDB.open('axlestand', 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore('queue', { keyPath: 'number' });
      asked.result.createObjectStore('kept');
      asked.result.createObjectStore('pages');
    };
    asked.onsuccess = () => ok(asked.result);
    asked.onerror = () => no(asked.error);
  });
}

/** @template T @param {IDBRequest<T>} asked @returns {Promise<T>} */
const got = (asked) => new Promise((ok, no) => {
  asked.onsuccess = () => ok(asked.result);
  asked.onerror = () => no(asked.error);
});

/** @param {IDBTransaction} work @returns {Promise<void>} */
const durable = (work) => new Promise((ok, no) => {
  work.oncomplete = () => ok();
  work.onabort = work.onerror = () => no(work.error);
});

/** @template T @param {string[]} stores @param {IDBTransactionMode} mode
 * @param {(work: IDBTransaction) => Promise<T>} inner @returns {Promise<T>} */
async function within(stores, mode, inner) {
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

/** 128 random bits. crypto.randomUUID is missing on plain http, getRandomValues is not. */
export const newId = () =>
  [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** Resolves only once the entry is durable on this device.
 * @param {string} job @param {[string, string][]} fields @param {string} [id] @returns {Promise<Entry>} */
export const put = (job, fields, id = newId()) => within(['queue', 'kept'], 'readwrite', async (work) => {
  const kept = work.objectStore('kept');
  const number = ((await got(kept.get('number'))) ?? 0) + 1;
  const entry = { id, number, job, made: Date.now(), fields };
  kept.put(number, 'number');
  work.objectStore('queue').add(entry);
  return entry;
});

/** Entries that the server has not acknowledged, the oldest first. @returns {Promise<Entry[]>} */
export const pending = () => within(['queue'], 'readonly', (work) => got(work.objectStore('queue').getAll()));

/** This device's name as a queue, made once. @returns {Promise<string>} */
export const queueName = () => within(['kept'], 'readwrite', async (work) => {
  const kept = work.objectStore('kept');
  const known = await got(kept.get('queue'));
  if (known) return known;
  const name = newId();
  kept.put(name, 'queue');
  return name;
});

/** @param {Set<string>} ids */
const forget = (ids) => within(['queue'], 'readwrite', async (work) => {
  const queue = work.objectStore('queue');
  for (const entry of await got(queue.getAll())) if (ids.has(entry.id)) queue.delete(entry.number);
});

/** Sends what is pending, once. Gives the answers, and how many entries remain. Safe to run in two
 * places at once: the server records each id once. @returns {Promise<{answers: Answer[], left: number}>} */
export async function flush() {
  const run = async () => {
    const entries = (await pending()).slice(0, 50);
    if (!entries.length) return { answers: [], left: 0 };
    const response = await fetch('/deliver', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ queue: await queueName(), sent: Date.now(), entries }),
      signal: AbortSignal.timeout(15000),
    });
    if (!response.ok) throw new Error(`the server answered ${response.status}`);
    /** @type {{answers: Answer[], later: string | null}} */
    const told = await response.json();
    await forget(new Set(told.answers.map((answer) => answer.id)));
    return { answers: told.answers, left: (await pending()).length };
  };
  return navigator.locks ? navigator.locks.request('axlestand-flush', run) : run();
}

/** Keeps a page for the time without the server. @param {string} path @param {string} html */
export const keepPage = (path, html) => within(['pages'], 'readwrite', async (work) => {
  work.objectStore('pages').put({ html, at: Date.now() }, path);
});

/** A page that was kept. @param {string} path @returns {Promise<{html: string, at: number} | undefined>} */
export const keptPage = (path) => within(['pages'], 'readonly', (work) => got(work.objectStore('pages').get(path)));
