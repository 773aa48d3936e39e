// @ts-check
/** The pages of a job that are kept on this device for the time without the server, and the order of
 * its rows, by which the work goes on meanwhile.
 *
 * @typedef {{path: string, title: string, mark: string, main: string, at: number}} Page
 * @typedef {{number: number | null, action: string, text: string, place: string}} Row
 * @typedef {{garage: string, order: Row[], at: number, cut: boolean}} Known
 * @typedef {{header: string, bar: string, look: string, hand: string}} Frame */
import { got, recall, remember, within } from './store.js';

/** Pages that were seen and are not part of a job's set, at most. */
const SEEN = 60;

/** A text as one piece of an address, spelled as the server does. @param {string} text */
export const piece = (text) =>
  encodeURIComponent(text).replace(/[!'()*]/g, (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`);

/** One spelling for each address. @param {string} path */
export function spelled(path) {
  const at = new URL(path, location.origin);
  const again = (/** @type {string} */ text) => { try { return piece(decodeURIComponent(text)); } catch { return text; } };
  const pathname = at.pathname.split('/').map(again).join('/');
  const wanted = pathname.endsWith('/corner') ? ['side', 'view', 'end'] : ['step'];
  const usual = new Map([['side', 'left'], ['view', 'oblique']]);
  const asked = wanted.map((name) => [name, at.searchParams.get(name) ?? usual.get(name)]).filter(([, value]) => value);
  return pathname + (asked.length ? '?' + asked.map(([name, value]) => `${name}=${piece(value ?? '')}`).join('&') : '');
}

/** The job of an address. @param {string} path @returns {string | undefined} */
export function jobOf(path) {
  const name = /^\/job\/([^/?#]+)/.exec(path)?.[1];
  try { return name && decodeURIComponent(name); } catch { return undefined; }
}

/** @param {string} path @returns {Promise<Page | undefined>} */
export const keptPage = (path) => within(['page'], 'readonly', (work) => got(work.objectStore('page').get(spelled(path))));

/** What is known of a job's order. @param {string} job @returns {Promise<Known | undefined>} */
export const known = (job) => recall(`order:${job}`);

/** Head and bar as they were seen last. @param {string} job @returns {Promise<Frame | undefined>} */
export const frame = (job) => recall(`frame:${job}`);

/** The job that was worked on last. @returns {Promise<string | undefined>} */
export const lastJob = () => recall('job');

/** Keeps a page that the server just answered, with its head and bar. @param {string} path @param {Document} page */
export async function keepSeen(path, page) {
  const main = page.querySelector('main');
  const root = page.documentElement;
  if (!main) return;
  const job = page.body.dataset.job;
  if (job) {
    const part = (/** @type {string} */ which) => page.querySelector(which)?.outerHTML ?? '';
    await remember(`frame:${job}`, { header: part('header'), bar: part('.bar'), look: root.dataset.look, hand: root.dataset.hand });
    await remember('job', job);
  }
  const copy = /** @type {HTMLElement} */ (main.cloneNode(true));
  for (const passing of copy.querySelectorAll('.then, .told, .fresh, .unsent-here')) passing.remove();
  for (const id of copy.querySelectorAll('input[name=id]')) id.setAttribute('value', '');
  const own = { path: spelled(path), title: page.title, mark: '', main: copy.innerHTML, at: Date.now() };
  await within(['page'], 'readwrite', async (work) => {
    const pages = work.objectStore('page');
    /** @type {Page[]} */
    const all = await got(pages.getAll());
    // Pages of the job's set are brought up to date together.
    if (all.some((one) => one.path === own.path && one.mark)) return;
    pages.put(own);
    const seen = all.filter((one) => !one.mark && one.path !== own.path).sort((a, b) => b.at - a.at);
    for (const old of seen.slice(SEEN)) pages.delete(old.path);
  });
}

/** Asks for what changed in a job's pages, one answer after the other, gently.
 * @param {string} job @param {() => boolean} goOn asked before each question */
export async function refresh(job, goOn) {
  const prefix = `/job/${piece(job)}/`;
  for (let more = true; more && goOn();) {
    const mine = await within(['page'], 'readonly', (work) => got(work.objectStore('page').getAll()));
    const have = Object.fromEntries(mine.filter((/** @type {Page} */ one) => one.mark).map((/** @type {Page} */ one) => [one.path, one.mark]));
    const response = await fetch(`${prefix}kept`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ have }),
      signal: AbortSignal.timeout(60000),
    });
    if (!response.ok) return false;
    /** @type {{garage: string, order: Row[], all: string[], pages: Omit<Page, 'at'>[], more: boolean, cut: boolean}} */
    const told = await response.json();
    await remember(`order:${job}`, { garage: told.garage, order: told.order, at: Date.now(), cut: told.cut });
    const all = new Set(told.all.map(spelled));
    await within(['page'], 'readwrite', async (work) => {
      const pages = work.objectStore('page');
      for (const page of told.pages) pages.put({ ...page, title: text(page.title), path: spelled(page.path), at: Date.now() });
      for (const old of mine) if (old.mark && old.path.startsWith(prefix) && !all.has(old.path)) pages.delete(old.path);
    });
    more = told.more;
    if (more) await new Promise((ok) => setTimeout(ok, 250));
  }
  return true;
}

/** A title as it stands in the page's source, as text. @param {string} source */
const text = (source) => new DOMParser().parseFromString(source, 'text/html').body.textContent ?? '';
