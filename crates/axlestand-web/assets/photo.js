// @ts-check
/** Photos: kept on this device until the server has them, then named by an entry of the queue. */
import { newId, put } from './queue.js';
import { got, within } from './store.js';

/** @typedef {{id: string, job: string, garage?: string, fields: [string, string][], picture: Blob}} Photo */

/** Resolves once the photo of a form is durable on this device.
 * @param {HTMLFormElement} form @param {string} job @param {Promise<string | undefined>} garage */
export async function enterPhoto(form, job, garage) {
  const data = new FormData(form);
  const picture = data.get('file');
  if (!(picture instanceof Blob) || !picture.size) return;
  /** @type {[string, string][]} */
  const fields = [['do', 'photo'], ['step', String(data.get('step') ?? '')], ['note', String(data.get('note') ?? '')]];
  /** @type {Photo} */
  const photo = { id: String(data.get('id') || newId()), job, fields, picture };
  const of = await garage;
  if (of) photo.garage = of;
  await within(['photo'], 'readwrite', async (work) => { work.objectStore('photo').put(photo); });
}

/** Photos that the server does not have yet. @returns {Promise<Photo[]>} */
export const unsentPhotos = () => within(['photo'], 'readonly', (work) => got(work.objectStore('photo').getAll()));

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
    await within(['photo'], 'readwrite', async (work) => { work.objectStore('photo').delete(photo.id); });
  }
  return refused;
}
