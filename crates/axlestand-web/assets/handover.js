// @ts-check
/** The page on which a queue is handed over by hand: as a file, or as text to copy. */
import { known } from './kept.js';
import { asDocument, pending, setAside } from './queue.js';
import { inWords } from './unsent.js';

/** @param {ParentNode} page */
export async function offerHandover(page) {
  const place = page.querySelector('[data-handover]');
  if (!(place instanceof HTMLElement)) return;
  const [entries, aside] = [await pending(), await setAside()];
  const all = [...aside, ...entries];
  const parts = [];
  const add = (/** @type {string} */ kind, /** @type {string} */ text) => {
    const one = Object.assign(document.createElement(kind), { textContent: text });
    parts.push(one);
    return one;
  };
  if (!all.length) add('p', 'Nothing waits on this phone: everything was sent.');
  else {
    add('p', `${all.length} not sent yet, the oldest from ${new Date(Math.min(...all.map((one) => one.made))).toLocaleString()}.`);
    const document_ = JSON.stringify(await asDocument(all.map((one) => ({ ...one, why: undefined }))));
    const link = document.createElement('a');
    link.className = 'button';
    link.download = `axlestand-not-sent-${new Date().toISOString().slice(0, 16).replaceAll(':', '')}.json`;
    link.href = URL.createObjectURL(new Blob([document_], { type: 'application/json' }));
    link.textContent = 'Hand it over as a file';
    parts.push(Object.assign(document.createElement('p'), {}));
    parts.at(-1)?.append(link);
    const orders = await Promise.all([...new Set(all.map((one) => one.job))].map(known));
    const texts = new Map(orders.flatMap((one) => one?.order ?? []).map((row) => [row.action, row.text]));
    const list = document.createElement('ol');
    for (const entry of all) list.append(Object.assign(document.createElement('li'), { textContent: `${new Date(entry.made).toLocaleString()}: ${inWords(entry, texts)}` }));
    parts.push(list);
    const copy = document.createElement('details');
    const field = Object.assign(document.createElement('textarea'), { value: document_, readOnly: true, rows: 6 });
    field.setAttribute('aria-label', 'The same as text');
    copy.append(Object.assign(document.createElement('summary'), { textContent: 'The same as text, to copy' }), field);
    parts.push(copy);
    add('p', 'It stays here until the server has it. Handed over and sent as well, it is recorded once all the same.');
  }
  const shell = new URL('shell', import.meta.url).href;
  const bookmark = document.createElement('p');
  bookmark.className = 'quiet';
  bookmark.append('For a bookmark that opens without the server: ', Object.assign(document.createElement('a'), { href: shell, textContent: 'the kept pages' }), '.');
  parts.push(bookmark);
  place.replaceChildren(...parts);
}
