// @ts-check
/** Going from page to page without loading anew: from the server, else from what is kept here.
 *
 * The address of the tab is the page's own while the server answers. Without it, and while the tab
 * is out of sight, it is that of the shell: a page that browsers keep by themselves, so that a tab
 * that was put away comes back without the server. */
import { frame, jobOf, keepSeen, keptPage, known, lastJob, piece, spelled } from './kept.js';
import { unsentRows } from './unsent.js';

/** @typedef {{path: string, kept: number | null, out: boolean}} Shown the page's own address; when it was kept, ms, or null
 * for a fresh one; whether the server did not let us in */

const SHELL = new URL('shell', import.meta.url).pathname;
/** A worker brings every address back without the server; without one only the shell comes back. */
const needsShell = () => !navigator.serviceWorker?.controller;
const inShell = () => location.pathname === SHELL;

/** The own address of the page that this tab shows. */
export function here() {
  if (!inShell()) return location.pathname + location.search;
  const path = location.hash.slice(1);
  return path.startsWith('/') && !path.startsWith('//') ? path : '/';
}

/** Sets the tab's address to the shell's, or to the page's own. @param {boolean} shell */
export function park(shell) {
  if ((shell && !needsShell()) || shell === inShell() || !/^\/(job\/|handover$)/.test(new URL(here(), location.origin).pathname)) return;
  const path = here();
  history.replaceState(history.state, '', shell ? `${SHELL}#${path}` : path);
}

/** Whether an address is shown within the tab. @param {URL | HTMLAnchorElement} at */
export const isInside = (at) =>
  at.origin === location.origin && (at.pathname.startsWith('/job/') || at.pathname === '/handover') && !/\.(pdf|svg|ics|csv|png|jpe?g)$/.test(at.pathname);

/** Puts a page in place of this one. @param {Document} next @param {HTMLElement} told */
function swap(next, told) {
  for (const part of ['header', 'main', '.bar']) {
    const [from, to] = [next.querySelector(part), document.querySelector(part)];
    if (from && to) to.replaceWith(from);
    else if (from) (part === 'header' ? told.before(from) : document.body.append(from));
    else to?.remove();
  }
  document.title = next.title;
  delete document.body.dataset.shell;
  for (const name of ['job', 'position']) {
    const value = next.body.dataset[name];
    if (value === undefined) delete document.body.dataset[name]; else document.body.dataset[name] = value;
  }
}

/** Counts visits: an answer that comes after a later visit began is not shown any more. */
let visits = 0;

/** Pages on their way that somebody asked for, and entries whose answer is awaited. */
let asked = 0;
let entering = 0;
export const isUnderWay = () => asked + entering > 0;

/** Leaves the page as it is until an entry's answer has come: the answer is shown at its form.
 * @template T @param {() => Promise<T>} work @returns {Promise<T>} */
export async function whileEntering(work) {
  entering++;
  try { return await work(); } finally { entering--; }
}

/** Whether something was typed or ticked on the page, or a question waits there to be answered. */
export function isFilledIn() {
  if (document.querySelector('.not-yet.fresh')) return true;
  for (const field of document.querySelectorAll('main input, main textarea')) {
    if (field instanceof HTMLTextAreaElement && field.value !== field.defaultValue) return true;
    if (!(field instanceof HTMLInputElement) || field.type === 'hidden') continue;
    const isTick = field.type === 'checkbox' || field.type === 'radio';
    if (isTick ? field.checked !== field.defaultChecked : field.value !== field.defaultValue) return true;
  }
  return false;
}

/** Shows an address. @param {string} path @param {HTMLElement} told @param {boolean} step whether the tab goes on to it
 * @param {boolean} [quiet] only where nothing was typed meanwhile
 * @returns {Promise<Shown | 'late' | undefined>} */
export async function visit(path, told, step, quiet = false) {
  const mine = ++visits;
  if (step) asked++;
  /** @type {Ready | undefined} */
  let ready;
  try {
    ready = await fromServer(path).catch(() => undefined) ?? await fromHere(path);
  } finally {
    if (step) asked--;
  }
  if (mine !== visits || (quiet && (isFilledIn() || entering > 0))) return 'late';
  if (!ready) return undefined;
  const { shown } = ready;
  const focus = heldFocus();
  swap(ready.next, told);
  const address = shown.kept !== null && needsShell() ? `${SHELL}#${shown.path}` : shown.path;
  if (step) {
    history.pushState(null, '', address);
    scrollTo(0, 0);
    document.getElementById('main')?.focus({ preventScroll: true });
  } else {
    history.replaceState(history.state, '', address);
    focus();
  }
  return shown;
}

/** Where the focus can stand in the page. */
const stops = () => [...document.querySelectorAll('main, main :is(a, button, input, summary, [role=button])')];

/** Remembers the focus, for a page that comes anew under somebody's hands: it stays where it was, or goes
 * to the page's begin. @returns {() => void} */
function heldFocus() {
  const at = document.activeElement ? stops().indexOf(document.activeElement) : -1;
  const held = stops()[at]?.textContent;
  return () => {
    if (at < 0) return;
    const there = stops()[at];
    const to = there?.textContent === held ? there : document.getElementById('main');
    if (to instanceof HTMLElement || to instanceof SVGElement) to.focus({ preventScroll: true });
  };
}

/** @typedef {{next: Document, shown: Shown}} Ready */

/** @param {string} path @returns {Promise<Ready | undefined>} */
async function fromServer(path) {
  const answer = await fetch(path, { headers: { accept: 'text/html' }, signal: AbortSignal.timeout(6000) });
  // A gateway's page is no page of ours.
  if (answer.status >= 502 && answer.status <= 504) return undefined;
  const next = new DOMParser().parseFromString(await answer.text(), 'text/html');
  const at = new URL(answer.url);
  const own = at.pathname + at.search;
  if (answer.ok) await keepSeen(own, next);
  return { next, shown: { path: own, kept: null, out: answer.status === 401 } };
}

/** @param {string} wanted @returns {Promise<Ready | undefined>} */
async function fromHere(wanted) {
  const path = await meant(wanted);
  const page = path && await keptPage(path);
  if (!path || !page) return undefined;
  const next = new DOMParser().parseFromString(`<main id="main" tabindex="-1">${page.main}</main>`, 'text/html');
  next.title = page.title;
  const job = jobOf(path);
  const around = job && await frame(job);
  if (job) next.body.dataset.job = job;
  if (around) {
    const parts = new DOMParser().parseFromString(around.header + around.bar, 'text/html');
    for (const link of parts.querySelectorAll('a[aria-current]')) link.removeAttribute('aria-current');
    const current = new URL(path, location.origin).pathname;
    for (const link of parts.querySelectorAll('.stages a, .bar a')) {
      if (link.getAttribute('href') === current) link.setAttribute('aria-current', 'page');
    }
    next.body.prepend(...parts.querySelectorAll('header'));
    next.body.append(...parts.querySelectorAll('.bar'));
    Object.assign(document.documentElement.dataset, { look: around.look, hand: around.hand });
  }
  if (job) await addAfter(next, job);
  return { next, shown: { path, kept: page.at, out: false } };
}

/** The kept page that is meant: "now" is the next row of the order. @param {string} wanted @returns {Promise<string | undefined>} */
async function meant(wanted) {
  let path = spelled(wanted);
  if (path === '/') {
    const job = await lastJob();
    if (!job) return undefined;
    path = `/job/${piece(job)}/now`;
  }
  const job = jobOf(path);
  if (!job || path !== `/job/${piece(job)}/now`) return path;
  return (await following(job, undefined)) ?? `/job/${piece(job)}/open`;
}

/** The rows that are still to be done, by what is known here. @param {string} job */
async function toDo(job) {
  const [order, unsent] = [(await known(job))?.order ?? [], await unsentRows(job)];
  return { order, open: order.filter((row) => !unsent.has(row.action)) };
}

/** The address of the next row after one, else of the first. @param {string} job @param {string | undefined} action
 * @returns {Promise<string | undefined>} */
export async function following(job, action) {
  const { order, open } = await toDo(job);
  const at = order.findIndex((row) => row.action === action);
  const next = open.find((row) => order.indexOf(row) > at && row.action !== action) ?? open.find((row) => row.action !== action);
  return next && `/job/${piece(job)}/now?step=${piece(next.action)}`;
}

/** Writes under a kept step what comes after it. @param {Document} page @param {string} job */
async function addAfter(page, job) {
  const step = page.querySelector('.step');
  const action = step?.getAttribute('data-action');
  if (!step || !action) return;
  const { order, open } = await toDo(job);
  const at = order.findIndex((row) => row.action === action);
  const rows = open.filter((row) => order.indexOf(row) > at).slice(0, 3);
  if (!rows.length) return;
  const section = page.createElement('section');
  section.className = 'then';
  section.append(Object.assign(page.createElement('h2'), { textContent: 'After it' }));
  const list = section.appendChild(page.createElement('ol'));
  for (const row of rows) {
    const link = Object.assign(page.createElement('a'), { className: 'row', href: `/job/${piece(job)}/now?step=${piece(row.action)}` });
    link.dataset.action = row.action;
    if (row.number !== null) link.append(Object.assign(page.createElement('b'), { className: 'number', textContent: `${row.number}` }), ' ');
    link.append(row.text, Object.assign(page.createElement('span'), { className: 'place', textContent: row.place }));
    list.appendChild(page.createElement('li')).append(link);
  }
  page.querySelector('main')?.append(section);
}
