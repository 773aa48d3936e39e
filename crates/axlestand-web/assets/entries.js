// @ts-check
/** An entry goes into the queue first, then to the server; what came back is shown at the form. */
import { piece } from './kept.js';
import { newId, put } from './queue.js';

/** @typedef {{entry: import('./queue.js').Entry, what: string}} Entered */

/** Keeps what a form says, durable on this device when this resolves.
 * @param {HTMLFormElement} form @param {HTMLElement | null} button @param {string} job @param {Promise<string | undefined>} garage
 * @returns {Promise<Entered>} */
export async function keepForm(form, button, job, garage) {
  // The form is read before anything is waited for: it may be typed into or put away meanwhile.
  const data = new FormData(form, button);
  const id = String(data.get('id') || '') || newId();
  data.delete('id');
  /** @type {[string, string][]} */
  const fields = [...data].map(([name, value]) => [name, String(value)]);
  // Pressed twice, the id in the form tells; the form used again is another entry.
  const field = form.elements.namedItem('id');
  if (field instanceof HTMLInputElement) field.value = id;
  const entry = await put(job, fields, await garage, id);
  if (field instanceof HTMLInputElement) field.value = '';
  return { entry, what: String(data.get('do')) };
}

/** Numbers that were asked about, off gauges or read otherwise, stay in their fields, to be mended or said to be right; the others are
 * recorded and go. @param {HTMLFormElement} form @param {import('./queue.js').Reason[]} questions @param {HTMLElement} box */
function askAgain(form, questions, box) {
  for (const field of form.elements) {
    if (!(field instanceof HTMLInputElement) || !field.name.startsWith('value.')) continue;
    const place = field.name.slice('value.'.length);
    if (!questions.some((question) => question.place === place)) field.value = '';
  }
  box.append(pressed(form, 'sure', 'Looked at again and right: record it'));
}

/** A button of the form that says one thing more. @param {HTMLFormElement} form @param {string} name @param {string} text */
function pressed(form, name, text) {
  // The form's own "id" is hidden by its field of that name.
  const id = form.getAttribute('id') ?? `asked-${Date.now()}`;
  form.setAttribute('id', id);
  const button = document.createElement('button');
  Object.assign(button, { type: 'submit', name, value: 'yes', textContent: text });
  button.setAttribute('form', id);
  return button;
}

/** Shows at the form why it was not recorded. @param {HTMLFormElement} form @param {string} job
 * @param {import('./queue.js').Answer} answer @param {string} id */
export function showRefused(form, job, answer, id) {
  form.parentElement?.querySelector('.not-yet.fresh')?.remove();
  const box = document.createElement('div');
  box.className = 'not-yet fresh';
  box.setAttribute('role', 'alert');
  const list = document.createElement('ul');
  list.className = 'reasons';
  const reasons = answer.refusal?.reasons ?? answer.questions;
  for (const reason of reasons) {
    const line = document.createElement('li');
    line.textContent = reason.text + ' ';
    if (reason.first) {
      const link = document.createElement('a');
      link.className = 'do-first';
      link.href = `/job/${piece(job)}/now?step=${piece(reason.first)}`;
      link.textContent = 'Do this first';
      line.append(link);
    }
    list.append(line);
  }
  box.append(Object.assign(document.createElement('h2'), { textContent: 'Not recorded' }), list);
  if (answer.questions.length) askAgain(form, answer.questions, box);
  if (answer.refusal?.reasons.some((reason) => reason.place)) box.append(pressed(form, 'correct', 'The one before was mistyped: this was read then'));
  if (answer.refusal?.hint) box.append(Object.assign(document.createElement('p'), { textContent: answer.refusal.hint }));
  form.before(box);
  box.scrollIntoView({ block: 'center' });
  // By keys one goes on from the reasons to what comes first.
  box.tabIndex = -1;
  box.focus({ preventScroll: true });
  const headers = { 'content-type': 'application/json' };
  void fetch('/seen', { method: 'POST', headers, body: JSON.stringify({ job, id: answer.id || id }) }).catch(() => {});
}
