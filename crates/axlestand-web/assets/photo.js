// @ts-check
/** Photos: kept on this device until the server has them, then named by an entry of the queue. */
import { newId, put } from './queue.js';
import { got, within } from './store.js';

/** @typedef {{id: string, job: string, garage?: string, made?: number, fields: [string, string][], picture: Blob, takenBack?: number, refused?: string}} Photo
 * `takenBack` says when it was taken back before it was sent, `refused` why the server did not keep it */

/** The longest side of a photo as it is kept on the phone: the server keeps no more. */
const LONGEST_SIDE = 1600;
/** How long a photo that was taken back can be had again, ms. */
const AGAIN = 10 * 60 * 1000;

/** The picture made small, without anything but the picture: it is sent over a bad signal in a moment. As it
 * is where the browser cannot read it; the server says then what is wrong.
 * @param {Blob} picture @returns {Promise<Blob>} */
async function smaller(picture) {
  try {
    const image = await createImageBitmap(picture, { imageOrientation: 'from-image' });
    const scale = Math.min(1, LONGEST_SIDE / Math.max(image.width, image.height));
    const canvas = Object.assign(document.createElement('canvas'), { width: Math.max(1, Math.round(image.width * scale)), height: Math.max(1, Math.round(image.height * scale)) });
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
    image.close();
    const small = await new Promise((/** @type {(made: Blob | null) => void} */ ok) => canvas.toBlob(ok, 'image/jpeg', 0.85));
    return small?.size ? small : picture;
  } catch {
    return picture;
  }
}

/** Resolves once the photo of a form is durable on this device.
 * @param {HTMLFormElement} form @param {string} job @param {Promise<string | undefined>} garage */
export async function enterPhoto(form, job, garage) {
  const data = new FormData(form);
  const picture = data.get('file');
  if (!(picture instanceof Blob) || !picture.size) return;
  /** @type {[string, string][]} */
  const fields = [['do', 'photo'], ['step', String(data.get('step') ?? '')], ['note', String(data.get('note') ?? '')]];
  /** @type {Photo} */
  const photo = { id: String(data.get('id') || newId()), job, made: Date.now(), fields, picture: await smaller(picture) };
  const of = await garage;
  if (of) photo.garage = of;
  await within(['photo'], 'readwrite', async (work) => { work.objectStore('photo').put(photo); });
}

/** All photos that are kept here. @returns {Promise<Photo[]>} */
export const keptPhotos = () => within(['photo'], 'readonly', (work) => got(work.objectStore('photo').getAll()));

/** Photos that the server does not have yet. @returns {Promise<Photo[]>} */
export const unsentPhotos = async () => (await keptPhotos()).filter((photo) => !photo.takenBack && !photo.refused);

/** Takes a photo back that was not sent, or lets it be sent after all. @param {string} id @param {boolean} back
 * @returns {Promise<boolean>} whether it still waited */
export const takePhotoBack = (id, back) => within(['photo'], 'readwrite', async (work) => {
  const photos = work.objectStore('photo');
  /** @type {Photo | undefined} */
  const photo = await got(photos.get(id));
  if (photo) photos.put({ ...photo, takenBack: back ? Date.now() : undefined });
  return Boolean(photo);
});

/** Puts a photo away that the server did not keep. @param {string} id */
export const putPhotoAway = (id) => within(['photo'], 'readwrite', async (work) => { work.objectStore('photo').delete(id); });

/** Why the server did not keep a photo, off the page that it answers with. @param {Response} answer */
async function reason(answer) {
  const main = new DOMParser().parseFromString(await answer.text(), 'text/html').querySelector('main');
  const said = [...main?.querySelectorAll('.reasons li, .reasons + p') ?? []].map((one) => one.textContent?.trim()).filter(Boolean);
  return said.join(' ') || `the server answered ${answer.status}`;
}

/** Whether a photo still waits to be sent. @param {string} id */
const stillWaits = async (id) => (await unsentPhotos()).some((photo) => photo.id === id);

/** Sends photos that the server does not have, and queues the entry that names each. Under the same id
 * the server keeps a photo once and records its entry once, so that doing it twice does no harm.
 * What the server refuses is kept aside with the reason, until the person puts it away. Gives these reasons.
 * @returns {Promise<string[]>} */
export async function sendPhotos() {
  const refused = [];
  for (const photo of await keptPhotos()) {
    if (photo.refused) continue;
    if (photo.takenBack && Date.now() - photo.takenBack < AGAIN) continue;
    if (photo.takenBack) {
      await within(['photo'], 'readwrite', async (work) => { work.objectStore('photo').delete(photo.id); });
      continue;
    }
    const answer = await fetch(`/photo/${photo.id}`, { method: 'POST', body: photo.picture, signal: AbortSignal.timeout(60000) });
    // Taken back while it was on its way, no entry names it.
    if (!(await stillWaits(photo.id))) continue;
    if (answer.ok) await put(photo.job, [...photo.fields, ['file', await answer.text()]], photo.garage, photo.id, photo.made);
    else if (answer.status === 422 || answer.status === 413) {
      const why = await reason(answer);
      refused.push(why);
      await within(['photo'], 'readwrite', async (work) => { work.objectStore('photo').put({ ...photo, refused: why }); });
      continue;
    }
    else throw new Error(`the server answered ${answer.status}`);
    await within(['photo'], 'readwrite', async (work) => { work.objectStore('photo').delete(photo.id); });
  }
  return refused;
}
