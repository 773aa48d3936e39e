// @ts-check
/** The level "app": a worker that brings every address back without the server. It needs a certificate
 * that this device trusts; whether it is there is told by whether the worker runs, by nothing else. */

/** @returns {Promise<boolean>} whether the worker runs */
export async function install() {
  if (!('serviceWorker' in navigator)) return false;
  const at = (/** @type {string} */ name) => new URL(name, import.meta.url).pathname;
  try {
    await navigator.serviceWorker.register(at('sw.js'), { type: 'module', scope: '/' });
    await navigator.serviceWorker.ready;
  } catch { return false; }
  for (const [rel, name] of [['manifest', 'app.webmanifest'], ['apple-touch-icon', 'icon-180.png']]) {
    if (document.querySelector(`link[rel=${rel}]`)) continue;
    document.head.append(Object.assign(document.createElement('link'), { rel, href: at(name) }));
  }
  await navigator.storage?.persist?.().catch(() => false);
  return true;
}
