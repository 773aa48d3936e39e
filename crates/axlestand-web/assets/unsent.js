// @ts-check
/** Shows what is only on this device: how many entries, how old, and where on the page they belong. */
import { keptPhotos, unsentPhotos } from './photo.js';
import { pending, setAside } from './queue.js';

const DAY = 24 * 3600 * 1000;

/** The rows that an entry says are done with. @param {import('./queue.js').Entry} entry @returns {string[]} */
export function rowsOf(entry) {
  const all = (/** @type {string} */ name) => entry.fields.filter(([field]) => field === name).map(([, value]) => value);
  switch (all('do')[0]) {
    case 'done': case 'skip': return all('rows');
    case 'read': return all('reading').flatMap((reading) => [`read:${reading}`, `again:${reading}`]);
    default: return [];
  }
}

/** What was not sent yet and is still meant. */
const waiting = async () => (await pending()).filter((entry) => !entry.takenBack);

/** The rows that are done with by what was not sent yet. @param {string} job @returns {Promise<Set<string>>} */
export async function unsentRows(job) {
  return new Set((await waiting()).filter((entry) => entry.job === job).flatMap(rowsOf));
}

/** An entry in a line for people. @param {import('./queue.js').Entry} entry @param {Map<string, string>} texts of rows, by action */
export function inWords(entry, texts) {
  const [first, ...rest] = entry.fields;
  return [first?.[1] ?? '?', ...rest.filter(([, value]) => value).map(([, value]) => texts.get(value) ?? value)].join(' · ');
}

/** @typedef {'yes' | 'no' | 'out'} Reach whether the server answers, or does not let this device in */

/** What the banner says. @param {import('./queue.js').Entry[]} entries @param {number} aside @param {Reach} reach @param {boolean} installed @param {number} [photos] @param {number} [refused] photos that the server did not keep */
export function banner(entries, aside, reach, installed, photos = 0, refused = 0) {
  const said = [];
  const count = entries.length + photos;
  if (count) {
    const old = entries.some((entry) => Date.now() - entry.made > DAY);
    said.push(`${count} not sent yet: kept on this phone only.`);
    if (reach === 'no' && !installed) said.push('Do not reload this page.');
    if (old) said.push('Older than a day: bring this phone back to the server, or hand it over as a file.');
  }
  if (reach === 'out') said.push('The server does not let this phone in. Let it in again with a new code; nothing here is lost.');
  if (aside) said.push(`The server cannot read ${aside} ${aside > 1 ? 'entries' : 'entry'}: hand ${aside > 1 ? 'them' : 'it'} over as a file.`);
  if (refused) said.push(`${refused} photo${refused > 1 ? 's' : ''} that the server did not keep.`);
  return said.join(' ');
}

/** Marks rows and shows the banner. @param {HTMLElement} told @param {string | undefined} job @param {Reach} reach @param {boolean} installed */
export async function showUnsent(told, job, reach, installed) {
  const [entries, aside] = [await waiting(), (await setAside()).length];
  const own = entries.filter((entry) => entry.job === job);
  const rows = new Set(own.flatMap(rowsOf));
  for (const one of document.querySelectorAll('[data-action]')) {
    const action = one.getAttribute('data-action') ?? '';
    const waits = rows.has(action);
    if (one.matches('.step')) markStep(one, own.findLast((entry) => rowsOf(entry).includes(action)));
    else one.toggleAttribute('data-unsent', waits);
  }
  const refused = (await keptPhotos()).filter((photo) => photo.refused).length;
  const text = banner(entries, aside, reach, installed, (await unsentPhotos()).length, refused);
  const before = told.querySelector('.unsent');
  if (before?.getAttribute('data-text') === text) return;
  before?.remove();
  if (!text) return;
  const line = document.createElement('p');
  line.className = 'unsent';
  line.dataset.text = text;
  line.append(`${text} `, Object.assign(document.createElement('a'), { href: '/handover', textContent: 'Show it' }));
  told.append(line);
}

/** The step in hand: done here, but not sent; it can be taken back here. @param {Element} step
 * @param {import('./queue.js').Entry | undefined} entry */
function markStep(step, entry) {
  const before = step.querySelector('.unsent-here');
  for (const button of document.querySelectorAll('button[form=answer]')) {
    if (button instanceof HTMLButtonElement && (entry || before)) button.hidden = Boolean(entry);
  }
  if (before?.querySelector('button')?.dataset.takeBack === entry?.id && Boolean(before) === Boolean(entry)) return;
  before?.remove();
  if (!entry) return;
  const line = document.createElement('div');
  line.className = 'unsent-here';
  line.append(Object.assign(document.createElement('p'), { className: 'state', textContent: '✓ done, not sent yet' }), takeBackButton(entry.id));
  step.querySelector('h1')?.after(line);
}

/** A button that takes an entry or a photo back that was not sent. @param {string} id @param {boolean} [photo] */
export function takeBackButton(id, photo = false) {
  const button = Object.assign(document.createElement('button'), { type: 'button', className: 'small', textContent: 'Take it back' });
  button.dataset[photo ? 'takePhotoBack' : 'takeBack'] = id;
  return button;
}
