// @ts-check
/** Tells whether the server answers, and when the garage changed, by whichever device or command line.
 *
 * @typedef {{garage: string, app: boolean}} Hello who answers, and whether its certificate makes an app possible
 * @typedef {{changed: (position: number) => void, hello: (hello: Hello) => void, up: (up: boolean) => void}} Listener */

/** @param {Listener} listener */
export function listen(listener) {
  /** @type {EventSource | undefined} */
  let source;
  let again = 0;
  const start = () => {
    clearTimeout(again);
    source?.close();
    source = new EventSource('/live');
    source.addEventListener('hello', (event) => listener.hello(JSON.parse(event.data)));
    source.addEventListener('position', (event) => listener.changed(Number(event.data)));
    source.onopen = () => listener.up(true);
    source.onerror = () => {
      listener.up(false);
      // Refused with an answer, the browser does not try again by itself.
      if (source?.readyState === EventSource.CLOSED) again = setTimeout(start, 5000);
    };
  };
  start();
  // A phone freezes connections with its screen off and does not always notice that they died.
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') start(); });
  addEventListener('online', start);
  addEventListener('pageshow', (event) => { if (event.persisted) start(); });
}
