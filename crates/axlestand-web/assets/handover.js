// @ts-check
/** The page that shows what waits on this phone: each can be taken back, all can be handed over by hand, as
 * files or as text to copy. */
import { known } from './kept.js';
import { keptPhotos } from './photo.js';
import { asDocument, pending, setAside } from './queue.js';
import { inWords, takeBackButton } from './unsent.js';

/** Pictures in one file, characters: the garage reads files of 32 MB. */
const MOST = 20_000_000;
/** A file that is longer than this is not offered as text to copy, characters. */
const MOST_TEXT = 200_000;

/** @typedef {import('./queue.js').Entry} Entry */
/** @typedef {import('./photo.js').Photo} Photo */

/** @param {string} kind @param {string} text @param {string} [className] */
const element = (kind, text, className = '') => Object.assign(document.createElement(kind), { textContent: text, className });

/** @param {number | undefined} ms */
const time = (ms) => (ms ? `${new Date(ms).toLocaleString()}: ` : '');

/** A picture as text. @param {Blob} picture @returns {Promise<string>} */
const asText = (picture) => new Promise((ok, no) => {
  const reader = new FileReader();
  reader.onload = () => ok(String(reader.result).replace(/^[^,]*,/, ''));
  reader.onerror = () => no(reader.error);
  reader.readAsDataURL(picture);
});

/** The documents in which all of it travels: the entries and photos as fit, then further photos.
 * @param {Entry[]} entries @param {Photo[]} photos @returns {Promise<string[]>} */
async function documents(entries, photos) {
  /** @type {unknown[][]} */
  const pieces = [[]];
  let room = MOST;
  for (const { id, job, garage, made, fields, picture } of photos) {
    const text = await asText(picture);
    if (text.length > room && pieces.at(-1)?.length) { pieces.push([]); room = MOST; }
    room -= text.length;
    pieces.at(-1)?.push({ id, job, garage, made: made ?? Date.now(), fields, picture: text });
  }
  return Promise.all(pieces.map(async (some, at) => JSON.stringify(await asDocument(at ? [] : entries, some))));
}

/** Links that save the documents as files. @param {string[]} all */
function links(all) {
  const stamp = new Date().toISOString().slice(0, 16).replaceAll(':', '');
  return all.map((text, at) => {
    const part = all.length > 1 ? ` ${at + 1} of ${all.length}` : '';
    const link = element('a', `Hand it over as a file${part}`, 'button');
    link.setAttribute('download', `axlestand-not-sent-${stamp}${all.length > 1 ? `-${at + 1}` : ''}.json`);
    link.setAttribute('href', URL.createObjectURL(new Blob([text], { type: 'application/json' })));
    const line = document.createElement('p');
    line.append(link);
    return line;
  });
}

/** An entry in the list, with what can be done to it. @param {Entry} entry @param {Map<string, string>} texts */
function entryLine(entry, texts) {
  const line = element('li', `${time(entry.made)}${entry.takenBack ? 'taken back: ' : ''}${inWords(entry, texts)} `);
  if (entry.takenBack) {
    const again = Object.assign(element('button', 'Undo', 'small'), { type: 'button' });
    again.dataset.makeAgain = entry.id;
    line.append(again);
  } else line.append(takeBackButton(entry.id));
  return line;
}

/** A photo that the server did not keep: why, the picture to be saved, and a button that puts it away.
 * @param {Photo} photo @param {string} said */
function refusedLine(photo, said) {
  const line = element('li', `${time(photo.made)}photo ${said}, not kept: ${photo.refused} `);
  const save = element('a', 'Save the picture');
  save.setAttribute('download', 'photo');
  save.setAttribute('href', URL.createObjectURL(photo.picture));
  const away = Object.assign(element('button', 'Put it away', 'small'), { type: 'button' });
  away.dataset.putPhotoAway = photo.id;
  line.append(save, away);
  return line;
}

/** @param {Photo} photo */
function photoLine(photo) {
  const said = photo.fields.filter(([name, value]) => name !== 'do' && value).map(([, value]) => value).join(' · ');
  if (photo.refused) return refusedLine(photo, said);
  const line = element('li', `${time(photo.made)}${photo.takenBack ? 'taken back: ' : ''}photo ${said} `);
  if (photo.takenBack) {
    const again = Object.assign(element('button', 'Undo', 'small'), { type: 'button' });
    again.dataset.photoAgain = photo.id;
    line.append(again);
  } else line.append(takeBackButton(photo.id, true));
  return line;
}

/** @param {ParentNode} page */
export async function offerHandover(page) {
  const place = page.querySelector('[data-handover]');
  if (!(place instanceof HTMLElement)) return;
  const [queued, aside, photos] = [(await pending()).filter((entry) => !entry.again), await setAside(), await keptPhotos()];
  const meant = [...aside, ...queued.filter((entry) => !entry.takenBack)];
  const unsent = photos.filter((photo) => !photo.takenBack && !photo.refused);
  const count = meant.length + unsent.length;
  /** @type {HTMLElement[]} */
  const parts = [];
  if (!count) parts.push(element('p', photos.some((photo) => photo.refused) ? 'Everything else was sent.' : 'Nothing waits on this phone: everything was sent.'));
  else {
    const oldest = Math.min(...meant.map((one) => one.made), ...unsent.map((one) => one.made ?? Date.now()));
    parts.push(element('p', `${count} not sent yet, the oldest from ${new Date(oldest).toLocaleString()}.`));
  }
  if (count || queued.length || photos.length) {
    const orders = await Promise.all([...new Set(meant.map((one) => one.job))].map(known));
    const texts = new Map(orders.flatMap((one) => one?.order ?? []).map((row) => [row.action, row.text]));
    const list = document.createElement('ol');
    for (const entry of aside) list.append(element('li', `${time(entry.made)}${inWords(entry, texts)}`));
    list.append(...queued.map((entry) => entryLine(entry, texts)), ...photos.map(photoLine));
    parts.push(list);
  }
  if (count) {
    const all = await documents([...aside, ...await pending()], unsent);
    parts.push(...links(all));
    const [only] = all;
    if (all.length === 1 && only && only.length <= MOST_TEXT) {
      const copy = document.createElement('details');
      const field = Object.assign(document.createElement('textarea'), { value: only, readOnly: true, rows: 6 });
      field.setAttribute('aria-label', 'The same as text');
      copy.append(element('summary', 'The same as text, to copy'), field);
      parts.push(copy);
    }
    parts.push(element('p', 'It stays here until the server has it. If it is both handed over and sent, it is still recorded only once.'));
  }
  const shell = new URL('shell', import.meta.url).href;
  const bookmark = element('p', 'For a bookmark that opens without the server: ', 'quiet');
  bookmark.append(Object.assign(document.createElement('a'), { href: shell, textContent: 'the kept pages' }), '.');
  parts.push(bookmark);
  place.replaceChildren(...parts);
}
