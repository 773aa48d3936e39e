// @ts-check
/** A durable queue of entries on this device. An entry is shown as kept only once it is written here;
 * it is sent until the server acknowledges it; the server records each id once. So each entry reaches
 * the ledger exactly once, through lost answers, reloads and restarts. Works in pages and in the worker.
 *
 * @typedef {{id: string, number: number, job: string, garage?: string, made: number, fields: [string, string][],
 *   takenBack?: boolean, again?: boolean}} Entry taken back before it was known to be sent; made again after that
 * @typedef {{text: string, first: string | null, place?: string}} Reason with the place of the number asked about
 * @typedef {{outcome: 'taken' | 'taken-back' | 'elsewhere', id: string, recorded: boolean, repeated: boolean, entries: string[],
 *   questions: Reason[], refusal: null | {reasons: Reason[], hint: string | null}}} Answer
 * @typedef {{answers: Map<string, Answer>, more: boolean}} Flushed */
import { got, within } from './store.js';

/** Entries and characters that are sent at once; the server takes more of both. */
const MOST = 50;
const LONGEST = 150_000;

/** The server does not let this device in: it was shut out, or never let in. */
export class ShutOut extends Error {}

/** Entries that the server said are for another garage: not tried again until the page is loaded anew.
 * @type {Set<string>} */
const elsewhere = new Set();

/** 128 random bits. crypto.randomUUID is missing on plain http, getRandomValues is not. */
export const newId = () =>
  [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** Half of a sign (a lone surrogate) cannot be sent. @param {string} text */
const whole = (text) => text.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd');

/** Resolves only once the entry is durable on this device. The same id is kept once.
 * @param {string} job @param {[string, string][]} fields @param {string | undefined} garage @param {string} [id] @param {number} [made] @returns {Promise<Entry>} */
export const put = (job, fields, garage, id = newId(), made = Date.now()) => within(['queue', 'kept'], 'readwrite', async (work) => {
  const queue = work.objectStore('queue');
  const kept = work.objectStore('kept');
  /** @type {Entry | undefined} */
  const before = (await got(queue.getAll())).find((/** @type {Entry} */ one) => one.id === id);
  if (before) return before;
  const number = ((await got(kept.get('number'))) ?? 0) + 1;
  /** @type {Entry} */
  const entry = { id, number, job, made, fields: fields.map(([name, value]) => [name, whole(value)]) };
  if (garage) entry.garage = garage;
  kept.put(number, 'number');
  queue.add(entry);
  return entry;
});

/** Entries that the server has not acknowledged, the oldest first. @returns {Promise<Entry[]>} */
export const pending = () => within(['queue'], 'readonly', (work) => got(work.objectStore('queue').getAll()));

/** Entries that the server cannot even read: never sent again, handed over or read by a person.
 * @returns {Promise<(Entry & {why: string})[]>} */
export const setAside = () => within(['aside'], 'readonly', (work) => got(work.objectStore('aside').getAll()));

/** This device's name as a queue, made once. @returns {Promise<string>} */
export const queueName = () => within(['kept'], 'readwrite', async (work) => {
  const kept = work.objectStore('kept');
  const known = await got(kept.get('queue'));
  if (known) return known;
  const name = newId();
  kept.put(name, 'queue');
  return name;
});

/** The document in which entries travel, whichever way; an older server does not know the second version.
 * @param {Entry[]} entries @param {unknown[]} [photos] */
export const asDocument = async (entries, photos = []) => ({
  format: 'axlestand-queue',
  version: photos.length || entries.some((entry) => entry.takenBack) ? 2 : 1,
  queue: await queueName(),
  sent: Date.now(),
  entries: entries.map(({ id, number, job, garage, made, fields, takenBack }) =>
    ({ id, number, job, garage, made, fields, ...(takenBack ? { 'taken-back': true } : {}) })),
  ...(photos.length ? { photos } : {}),
});

/** Takes an entry back that was not sent as far as this device knows. It may have arrived all the same, its
 * answer lost: so it stays in the queue, marked, and the server sees to it that nothing of it stands.
 * @param {string} id @returns {Promise<Entry | undefined>} the entry, where it still waited */
export const takeBack = (id) => within(['queue'], 'readwrite', async (work) => {
  const queue = work.objectStore('queue');
  /** @type {Entry | undefined} */
  const entry = (await got(queue.getAll())).find((/** @type {Entry} */ one) => one.id === id);
  if (entry) queue.put({ ...entry, takenBack: true });
  return entry;
});

/** Makes an entry again that was taken back: as a new one, since the server takes the old one no more.
 * @param {Entry} entry */
export async function makeAgain(entry) {
  await within(['queue'], 'readwrite', async (work) => {
    const queue = work.objectStore('queue');
    const before = await got(queue.get(entry.number));
    if (before?.id === entry.id) queue.put({ ...before, again: true });
  });
  return put(entry.job, entry.fields, entry.garage, newId(), entry.made);
}

/** Forgets entries that were answered, or sets them aside for a reason. One that was taken back while it
 * was on its way stays, to be sent once more with that mark.
 * @param {Entry[]} entries @param {string} [why] */
const forget = (entries, why) => within(['queue', 'aside'], 'readwrite', async (work) => {
  const queue = work.objectStore('queue');
  for (const { number, takenBack } of entries) {
    /** @type {Entry | undefined} */
    const entry = await got(queue.get(number));
    if (!entry || Boolean(entry.takenBack) !== Boolean(takenBack)) continue;
    if (why && !takenBack) work.objectStore('aside').put({ ...entry, why });
    queue.delete(number);
  }
});

/** @param {Entry[]} entries */
const send = async (entries) => fetch('/deliver', {
  method: 'POST',
  headers: { 'content-type': 'application/json' },
  body: JSON.stringify(await asDocument(entries)),
  signal: AbortSignal.timeout(15000),
});

/** The oldest entries, as many as are sent at once. @param {Entry[]} entries */
function batch(entries) {
  let room = LONGEST;
  const end = entries.slice(0, MOST).findIndex((entry) => (room -= JSON.stringify(entry).length) < 0);
  return entries.slice(0, end < 0 ? MOST : Math.max(end, 1));
}

/** @returns {Promise<Flushed>} */
async function flushOnce() {
  /** @type {Map<string, Answer>} */
  const answers = new Map();
  const all = (await pending()).filter((entry) => !elsewhere.has(entry.id));
  let sent = batch(all);
  if (!sent.length) return { answers, more: false };
  let response = await send(sent);
  // Unreadable or too big: one entry must not hold up the others.
  const spoiled = () => response.status === 400 || response.status === 413;
  if (spoiled() && sent.length > 1) {
    sent = sent.slice(0, 1);
    response = await send(sent);
  }
  if (spoiled()) {
    await forget(sent, `the server cannot read it (${response.status})`);
    return { answers, more: all.length > 1 };
  }
  if (response.status === 401) throw new ShutOut('not let in');
  if (!response.ok) throw new Error(`the server answered ${response.status}`);
  /** @type {{answers: Answer[], later: string | null}} */
  const told = await response.json();
  /** @type {Entry[]} */
  const taken = [];
  for (const [at, answer] of told.answers.entries()) {
    const entry = sent[at];
    if (!entry) continue;
    answers.set(entry.id, answer);
    if (answer.outcome === 'elsewhere') elsewhere.add(entry.id);
    else taken.push(entry);
  }
  await forget(taken);
  return { answers, more: told.answers.length > 0 && all.length > told.answers.length };
}

/** The answer to an entry that went out with somebody else's sending: of this page, another tab or the
 * worker. The server answers the same id as it did before. Undefined while the entry still waits.
 * @param {Entry} entry @returns {Promise<Answer | undefined>} */
export async function answerAgain(entry) {
  if ((await pending()).some((one) => one.id === entry.id)) return undefined;
  if ((await setAside()).some((one) => one.id === entry.id)) return undefined;
  const response = await send([entry]);
  if (!response.ok) return undefined;
  /** @type {{answers: Answer[]}} */
  const told = await response.json();
  return told.answers[0];
}

/** Sends what is pending, once. Safe to run in two places at once: the server records each id once.
 * @returns {Promise<Flushed>} */
export const flush = () => navigator.locks ? navigator.locks.request('axlestand-flush', flushOnce) : flushOnce();
