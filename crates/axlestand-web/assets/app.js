// @ts-check
/** What script adds to the pages: entries go through the queue, pages change without a reload, the
 * picture can be tapped, the step can be read aloud. Without script all pages still work. */
import { offerSpeech } from './aloud.js';
import { listen } from './live.js';
import { flush, keepPage, keptPage, pending, put } from './queue.js';

const told = /** @type {HTMLElement} */ (document.getElementById('told'));
let reachable = true;

/** @param {string} html @param {string} kind */
function tell(html, kind) {
  told.querySelector(`.${kind}`)?.remove();
  if (!html) return;
  const line = document.createElement('p');
  line.className = kind;
  line.textContent = html;
  told.append(line);
}

/** Shows what is only on this device. */
async function showUnsent() {
  const entries = await pending();
  for (const one of document.querySelectorAll('[data-unsent]')) one.removeAttribute('data-unsent');
  for (const entry of entries) {
    for (const [name, value] of entry.fields) {
      if (name !== 'rows' && name !== 'item') continue;
      for (const one of document.querySelectorAll(`[data-action="${CSS.escape(value)}"]`)) one.setAttribute('data-unsent', '');
    }
  }
  const count = entries.length;
  tell(count ? `${count} not sent yet: kept on this device${reachable ? '' : ', the server does not answer. Do not reload without it.'}` : '', 'unsent');
}

/** Puts a page in place of this one. @param {string} html @param {string} path @param {boolean} step */
function show(html, path, step) {
  const next = new DOMParser().parseFromString(html, 'text/html');
  for (const part of ['header', 'main', '.bar']) {
    const [from, to] = [next.querySelector(part), document.querySelector(part)];
    if (from && to) to.replaceWith(from);
    else if (from) (part === 'header' ? told.before(from) : document.body.append(from));
    else to?.remove();
  }
  document.title = next.title;
  for (const name of ['job', 'position']) {
    const value = next.body.dataset[name];
    if (value === undefined) delete document.body.dataset[name]; else document.body.dataset[name] = value;
  }
  if (step) { history.pushState(null, '', path); scrollTo(0, 0); document.getElementById('main')?.focus({ preventScroll: true }); }
  tell('', 'changed');
  ready();
}

/** Goes to a page; without the server to the one that was kept. @param {string} path @param {boolean} [step] */
async function go(path, step = true) {
  try {
    const answer = await fetch(path, { headers: { accept: 'text/html' }, signal: AbortSignal.timeout(6000) });
    const html = await answer.text();
    const at = new URL(answer.url);
    if (answer.ok) await keepPage(at.pathname + at.search, html);
    show(html, at.pathname + at.search, step);
    up(true);
  } catch {
    up(false);
    const kept = await keptPage(path);
    if (!kept) { tell('This page was not kept on this device, and the server does not answer.', 'changed'); return; }
    show(kept.html, path, step);
    tell(`As it was ${new Date(kept.at).toLocaleTimeString()}: the server does not answer.`, 'changed');
  }
  await showUnsent();
}

/** @param {boolean} is */
function up(is) {
  const was = reachable;
  reachable = is;
  if (is && !was) void send();
  void showUnsent();
}

/** Sends what is pending; gives the answer to one entry, where it came. @param {string} [id] */
async function send(id) {
  let mine;
  try {
    for (;;) {
      const { answers, left } = await flush();
      mine ??= answers.find((answer) => answer.id === id);
      if (!left || !answers.length) break;
    }
    up(true);
  } catch { up(false); }
  await showUnsent();
  return mine;
}

/** An entry goes into the queue first, then to the server. @param {HTMLFormElement} form @param {HTMLElement | null} button */
async function enter(form, button) {
  const job = document.body.dataset.job;
  if (!job) return;
  const data = new FormData(form, button);
  const id = String(data.get('id') || '');
  data.delete('id');
  /** @type {[string, string][]} */
  const fields = [...data].map(([name, value]) => [name, String(value)]);
  const entry = await put(job, fields, id || undefined);
  if (button instanceof HTMLButtonElement) button.disabled = true;
  const answer = await send(entry.id);
  if (!answer) { await showUnsent(); await onward(); return; }
  if (answer.recorded && !answer.questions.length) {
    const last = answer.entries.at(-1);
    const base = `/job/${encodeURIComponent(job)}/`;
    const stays = ['note', 'stuck', 'broken', 'replaced', 'choose', 'take-back', 'gauge', 'turned', 'keep-alignment'].includes(String(data.get('do')));
    const path = stays ? location.pathname + location.search : `${base}now${last ? `?told=${last}` : ''}`;
    await go(path, !stays);
    return;
  }
  if (button instanceof HTMLButtonElement) button.disabled = false;
  refused(form, job, answer);
}

/** Shows at the form why it was not recorded. @param {HTMLFormElement} form @param {string} job
 * @param {import('./queue.js').Answer} answer */
function refused(form, job, answer) {
  form.parentElement?.querySelector('.not-yet.fresh')?.remove();
  const box = document.createElement('div');
  box.className = 'not-yet fresh';
  box.setAttribute('role', 'alert');
  const title = document.createElement('h2');
  title.textContent = 'Not recorded';
  const list = document.createElement('ul');
  list.className = 'reasons';
  const reasons = answer.refusal?.reasons ?? answer.questions.map((text) => ({ text, first: null }));
  for (const reason of reasons) {
    const line = document.createElement('li');
    line.textContent = reason.text + ' ';
    if (reason.first) {
      const link = document.createElement('a');
      link.className = 'do-first';
      link.href = `/job/${encodeURIComponent(job)}/now?step=${encodeURIComponent(reason.first)}`;
      link.textContent = 'Do this first';
      line.append(link);
    }
    list.append(line);
  }
  box.append(title, list);
  if (form.dataset.entry === 'gauge' && answer.questions.length) askAgain(form, answer.questions, box);
  if (answer.refusal?.hint) box.append(Object.assign(document.createElement('p'), { textContent: answer.refusal.hint }));
  form.before(box);
  box.scrollIntoView({ block: 'center' });
  const id = form.elements.namedItem('id');
  if (id instanceof HTMLInputElement) id.value = '';
  void fetch('/seen', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ job, id: answer.id }) }).catch(() => {});
}

/** Numbers that were asked about stay in their fields, to be mended or said to be right; the others are
 * recorded and go. @param {HTMLFormElement} form @param {string[]} questions @param {HTMLElement} box */
function askAgain(form, questions, box) {
  for (const field of form.elements) {
    if (!(field instanceof HTMLInputElement) || !field.name.startsWith('value.')) continue;
    const place = field.name.slice('value.'.length);
    if (!questions.some((question) => question.startsWith(`${place}: `))) field.value = '';
  }
  // The form's own "id" is hidden by its field of that name.
  const name = form.getAttribute('id') ?? `asked-${Date.now()}`;
  form.setAttribute('id', name);
  const sure = document.createElement('button');
  Object.assign(sure, { type: 'submit', name: 'sure', value: 'yes', textContent: 'Looked at again and right: record it' });
  sure.setAttribute('form', name);
  box.append(sure);
}

/** Without the server: to the next step that is known here. */
async function onward() {
  const next = document.querySelector('.then a.row');
  if (next instanceof HTMLAnchorElement) await go(next.pathname + next.search);
}

/** Whether something was typed or ticked and not sent yet. */
function isFilledIn() {
  for (const field of document.querySelectorAll('main input, main textarea')) {
    if (field instanceof HTMLTextAreaElement && field.value !== field.defaultValue) return true;
    if (!(field instanceof HTMLInputElement) || field.type === 'hidden') continue;
    const isTick = field.type === 'checkbox' || field.type === 'radio';
    if (isTick ? field.checked !== field.defaultChecked : field.value !== field.defaultValue) return true;
  }
  return false;
}

function ready() {
  offerSpeech(document);
  void showUnsent();
}

document.addEventListener('submit', (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !form.dataset.entry) return;
  event.preventDefault();
  void enter(form, event.submitter);
});

document.addEventListener('click', (event) => {
  const from = event.target instanceof Element ? event.target : null;
  const pin = from?.closest('.picture [role=button]');
  const job = document.body.dataset.job;
  if (pin?.id && job) { void go(`/job/${encodeURIComponent(job)}/item/${encodeURIComponent(pin.id)}`); return; }
  const link = from?.closest('a');
  const plain = !event.defaultPrevented && event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey;
  if (!link || !plain || link.origin !== location.origin || link.target || link.hasAttribute('download') || link.hash) return;
  if (!link.pathname.startsWith('/job/') || /\.(pdf|svg|ics|csv)$/.test(link.pathname)) return;
  event.preventDefault();
  void go(link.pathname + link.search);
});

document.addEventListener('keydown', (event) => {
  const pin = event.target instanceof Element ? event.target.closest('.picture [role=button]') : null;
  if (pin && (event.key === 'Enter' || event.key === ' ')) { event.preventDefault(); pin.dispatchEvent(new MouseEvent('click', { bubbles: true })); }
});

addEventListener('popstate', () => void go(location.pathname + location.search, false));
addEventListener('online', () => void send());

const secret = document.querySelector('form[data-pair] input[name=secret]');
if (secret instanceof HTMLInputElement && location.hash.length > 1) {
  secret.value = location.hash.slice(1);
  history.replaceState(null, '', location.pathname);
}

if (document.body.dataset.job) {
  void keepPage(location.pathname + location.search, document.documentElement.outerHTML);
  listen((position) => {
    up(true);
    if (position === Number(document.body.dataset.position)) return;
    // What was just refused or asked about stays, with what was typed.
    if (document.querySelector('.not-yet.fresh')) return;
    if (isFilledIn()) tell('Changed on another device: shown when you go on.', 'changed');
    else void go(location.pathname + location.search, false);
  }, up);
}
setInterval(() => { void pending().then((entries) => entries.length && send()); }, 5000);
ready();
void send();
