// @ts-check
/** Photos: kept on this device until the server has them, then named by an entry of the queue. */
import { put } from './queue.js';

/** @typedef {{id: string, job: string, garage?: string, fields: [string, string][], picture: Blob}} Photo */

/** @returns {Promise<IDBDatabase>} */
const open = () => new Promise((ok, no) => {
  const asked = indexedDB.open('axlestand-photos', 1);
  asked.onupgradeneeded = () => asked.result.createObjectStore('photos', { keyPath: 'id' });
  asked.onsuccess = () => ok(asked.result);
  asked.onerror = () => no(asked.error);
});

/** @template T @param {IDBTransactionMode} mode @param {(photos: IDBObjectStore) => IDBRequest<T>} inner @returns {Promise<T>} */
async function within(mode, inner) {
  const base = await open();
  try {
    return await new Promise((ok, no) => {
      const work = base.transaction('photos', mode, { durability: 'strict' });
      const asked = inner(work.objectStore('photos'));
      work.oncomplete = () => ok(asked.result);
      work.onabort = work.onerror = () => no(work.error);
    });
  } finally {
    base.close();
  }
}

/** Resolves once the photo is durable on this device. @param {Photo} photo */
export const keepPhoto = (photo) => within('readwrite', (photos) => photos.put(photo));

/** Photos that the server does not have yet. @returns {Promise<Photo[]>} */
export const unsentPhotos = () => within('readonly', (photos) => photos.getAll());

/** Sends photos that the server does not have, and queues the entry that names each. Under the same id
 * the server keeps a photo once and records its entry once, so that doing it twice does no harm.
 * Gives what the server refused. @returns {Promise<string[]>} */
export async function sendPhotos() {
  const refused = [];
  for (const photo of await unsentPhotos()) {
    const answer = await fetch(`/photo/${photo.id}`, { method: 'POST', body: photo.picture, signal: AbortSignal.timeout(60000) });
    if (answer.ok) await put(photo.job, [...photo.fields, ['file', await answer.text()]], photo.garage, photo.id);
    else if (answer.status === 422 || answer.status === 413) refused.push((await answer.text()).replace(/<[^>]*>/g, ' '));
    else throw new Error(`the server answered ${answer.status}`);
    await within('readwrite', (photos) => photos.delete(photo.id));
  }
  return refused;
}
