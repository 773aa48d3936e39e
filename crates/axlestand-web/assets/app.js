// @ts-check
/** What script adds to the pages: entries go through the queue, pages change without a reload, the
 * picture can be tapped, the step can be read aloud. Without script all pages still work.
 * This file wires; each thing has a module of its own. */
import { offerSpeech } from './aloud.js';
import { stayAwake } from './awake.js';
import { keepForm, showRefused } from './entries.js';
import { offerHandover } from './handover.js';
import { install } from './install.js';
import { jobOf, keepSeen, known, piece, refresh } from './kept.js';
import { listen } from './live.js';
import { following, here, isFilledIn, isInside, isUnderWay, park, visit, whileEntering } from './places.js';
import { enterPhoto, putPhotoAway, sendPhotos, takePhotoBack, unsentPhotos } from './photo.js';
import { ShutOut, answerAgain, flush, makeAgain, pending, takeBack } from './queue.js';
import { showUnsent } from './unsent.js';

const told = /** @type {HTMLElement} */ (document.getElementById('told'));
/** @type {import('./unsent.js').Reach} */
let reach = 'yes';
let installed = Boolean(navigator.serviceWorker?.controller);
/** The garage that answers now; without an answer, the one whose pages are shown. @type {string | undefined} */
let garage;

/** @param {string} text */
function tellChanged(text) {
  told.querySelector('.changed')?.remove();
  if (text) told.append(Object.assign(document.createElement('p'), { className: 'changed', textContent: text }));
}

const show = () => showUnsent(told, document.body.dataset.job, reach, installed);

/** Goes to a page; without the server to the one that was kept. @param {string} path @param {boolean} [step] @param {boolean} [quiet] */
async function go(path, step = true, quiet = false) {
  const shown = await visit(path, told, step, quiet);
  if (shown === 'late') return;
  if (!shown) {
    up('no');
    tellChanged('This page was not kept on this phone, and the server does not answer.');
    return;
  }
  if (shown.kept === null) up(shown.out ? 'out' : 'yes'); else if (reach === 'yes') up('no');
  tellChanged(shown.kept ? `The server does not answer: this page is as it was ${new Date(shown.kept).toLocaleTimeString([], { timeStyle: 'short' })}.` : '');
  await ready();
}

/** @param {import('./unsent.js').Reach} now */
function up(now) {
  const before = reach;
  reach = now;
  park(now === 'no' || document.visibilityState === 'hidden');
  if (now === 'yes' && before !== 'yes') void send();
  if (now !== before) void show();
}

/** Sends what is pending; gives the answer to one entry, where it came. @param {import('./queue.js').Entry} [entry] */
async function send(entry) {
  let mine;
  try {
    const refused = await sendPhotos();
    if (refused.length) tellChanged(`A photo was not kept: ${refused.join('; ')} It stays on this phone until you put it away.`);
    for (let more = true; more;) {
      const flushed = await flush();
      mine ??= flushed.answers.get(entry?.id ?? '');
      more = flushed.more;
    }
    if (entry) mine ??= await answerAgain(entry);
    if (reach === 'out') up('yes');
  } catch (why) { up(why instanceof ShutOut ? 'out' : 'no'); }
  await show();
  return mine;
}

/** The garage that an entry is made for. @param {string} job */
const whose = async (job) => garage ?? (await known(job))?.garage;

const STAYS = ['note', 'state', 'stuck', 'broken', 'replaced', 'choose', 'take-back', 'gauge', 'turned', 'keep-alignment'];

/** @param {HTMLFormElement} form @param {HTMLElement | null} button */
async function enter(form, button) {
  const job = document.body.dataset.job;
  if (!job) return;
  const step = form.closest('.step')?.getAttribute('data-action') ?? undefined;
  const press = button instanceof HTMLButtonElement ? button : undefined;
  if (press) press.disabled = true;
  let entered;
  try {
    entered = await keepForm(form, button, job, whose(job));
  } catch {
    tellChanged('Not kept: this phone has no room or its browser keeps nothing. Write it down, and press again.');
    return;
  } finally {
    if (press) press.disabled = false;
  }
  tellUndo();
  await show();
  const answer = await send(entered.entry);
  const stays = STAYS.includes(entered.what);
  if (!answer || answer.outcome !== 'taken') {
    form.reset();
    const next = stays ? undefined : await following(job, step);
    if (next) await go(next);
    return;
  }
  if (answer.recorded && !answer.questions.length) {
    const last = answer.entries.at(-1);
    await go(stays ? here() : `/job/${piece(job)}/now${last ? `?told=${last}` : ''}`, !stays);
    if (entered.what === 'done' && answer.repeated && !last) tellChanged('It was recorded already, from another device: nothing was added.');
    return;
  }
  showRefused(form, job, answer, entered.entry.id);
}

/** Offers to undo that an entry was taken back, until the next one is entered. @param {string} [id] */
function tellUndo(id) {
  told.querySelector('.undo')?.remove();
  if (!id) return;
  const line = Object.assign(document.createElement('p'), { className: 'undo', textContent: 'Taken back before it was sent. ' });
  const undo = Object.assign(document.createElement('button'), { type: 'button', className: 'small', textContent: 'Undo' });
  undo.dataset.makeAgain = id;
  line.append(undo);
  told.append(line);
}

/** What was taken back on this page, to be made again. @type {Map<string, import('./queue.js').Entry>} */
const takenBack = new Map();

/** Takes back what was not sent, or undoes that: buttons of the step and of the page "Not sent yet".
 * @param {HTMLButtonElement} button */
async function unsentPressed(button) {
  const { takeBack: id, makeAgain: again, takePhotoBack: photo, photoAgain, putPhotoAway: away } = button.dataset;
  if (id) {
    const entry = await takeBack(id);
    if (!entry) { tellChanged('It was sent a moment ago: take it back in the ledger.'); return; }
    takenBack.set(id, entry);
    tellUndo(id);
  }
  if (again) {
    const entry = takenBack.get(again) ?? (await pending()).find((one) => one.id === again);
    takenBack.delete(again);
    if (entry) await makeAgain(entry);
    tellUndo();
  }
  if (photo && !(await takePhotoBack(photo, true))) tellChanged('It was sent a moment ago: take it back in the ledger.');
  if (photoAgain) await takePhotoBack(photoAgain, false);
  if (away) await putPhotoAway(away);
  await Promise.all([show(), offerHandover(document)]);
  void send();
}

async function ready() {
  offerSpeech(document);
  await Promise.all([show(), stayAwake(), offerHandover(document)]);
}

let refreshing = 0;
/** Brings the kept pages up to date once nothing has changed for a while. @param {number} wait ms */
function keepSoon(wait) {
  clearTimeout(refreshing);
  refreshing = setTimeout(async () => {
    const job = jobOf(here());
    if (!job || reach !== 'yes' || document.visibilityState === 'hidden') return;
    const whole = await refresh(job, () => reach === 'yes').catch(() => false);
    if (!whole) return;
    document.documentElement.dataset.kept = 'yes';
    // The shell lands in the browser's own cache; the others are kept as they are seen.
    await fetch(new URL('shell', import.meta.url)).catch(() => undefined);
    const stages = ['prepare', 'set', 'prove'].map((stage) => `/job/${piece(job)}/${stage}`);
    for (const path of ['/handover', ...stages]) {
      const answer = await fetch(path).catch(() => undefined);
      if (answer?.ok) await keepSeen(path, new DOMParser().parseFromString(await answer.text(), 'text/html'));
    }
  }, wait);
}

/** A photo is kept on this device first, then sent. @param {HTMLFormElement} form @param {HTMLElement | null} button */
async function photograph(form, button) {
  const job = document.body.dataset.job;
  if (!job) return;
  if (button instanceof HTMLButtonElement) button.disabled = true;
  try {
    await enterPhoto(form, job, whose(job));
  } catch {
    tellChanged('Photo not kept: this phone has no room or its browser keeps nothing. Free some room and take it again.');
    return;
  } finally {
    if (button instanceof HTMLButtonElement) button.disabled = false;
  }
  form.reset();
  await send();
  await go(here(), false);
}

document.addEventListener('submit', (event) => {
  const form = event.target;
  if (form instanceof HTMLFormElement && form.dataset.photo !== undefined) {
    event.preventDefault();
    void photograph(form, event.submitter);
    return;
  }
  if (!(form instanceof HTMLFormElement) || !form.dataset.entry) return;
  event.preventDefault();
  void whileEntering(() => enter(form, event.submitter));
});

document.addEventListener('click', (event) => {
  const from = event.target instanceof Element ? event.target : null;
  const pressed = from?.closest('[data-take-back], [data-make-again], [data-take-photo-back], [data-photo-again], [data-put-photo-away]');
  if (pressed instanceof HTMLButtonElement) { void unsentPressed(pressed); return; }
  const pin = from?.closest('.picture [role=button]');
  const job = document.body.dataset.job;
  if (pin?.id && job) { void go(`/job/${piece(job)}/item/${piece(pin.id)}`); return; }
  const link = from?.closest('a');
  const plain = !event.defaultPrevented && event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey;
  if (!link || !plain || link.target || link.hasAttribute('download') || link.hash) return;
  // The start is a page of its own; without the server it is the work.
  if (!isInside(link) && !(reach === 'no' && link.pathname === '/' && link.origin === location.origin)) return;
  event.preventDefault();
  void go(link.pathname + link.search);
});

document.addEventListener('keydown', (event) => {
  const pin = event.target instanceof Element ? event.target.closest('.picture [role=button]') : null;
  if (pin && (event.key === 'Enter' || event.key === ' ')) { event.preventDefault(); pin.dispatchEvent(new MouseEvent('click', { bubbles: true })); }
});

addEventListener('popstate', () => void go(here(), false));
addEventListener('online', () => void send());
document.addEventListener('visibilitychange', () => park(reach === 'no' || document.visibilityState === 'hidden'));

const secret = document.querySelector('form[data-pair] input[name=secret]');
if (secret instanceof HTMLInputElement && location.hash.length > 1) {
  secret.value = location.hash.slice(1);
  history.replaceState(null, '', location.pathname);
}

async function start() {
  if ('shell' in document.body.dataset) await go(here(), false);
  else {
    if (document.body.dataset.job) await keepSeen(here(), document);
    await ready();
  }
  if (document.querySelector('form[data-pair]')) return;
  listen({
    up: (is) => up(is ? 'yes' : reach === 'out' ? 'out' : 'no'),
    hello: (hello) => {
      garage = hello.garage;
      if (hello.app) void install().then((is) => { installed = is; document.documentElement.dataset.level = is ? 'app' : 'page'; });
    },
    changed: (position) => {
      up('yes');
      keepSoon(document.documentElement.dataset.kept ? 5000 : 1500);
      if (!document.body.dataset.job || position === Number(document.body.dataset.position)) return;
      if (isUnderWay()) return;
      if (isFilledIn()) tellChanged('Changed on another device: shown when you go on.');
      else void go(here(), false, true);
    },
  });
  setInterval(async () => { if ((await pending()).length + (await unsentPhotos()).length) await send(); }, 5000);
  await send();
}

void start();
