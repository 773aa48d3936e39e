// @ts-check
/** Tells when the garage changed, by whichever device or command line. */

/** @param {(position: number) => void} changed @param {(up: boolean) => void} reachable */
export function listen(changed, reachable) {
  const source = new EventSource('/live');
  source.addEventListener('position', (event) => changed(Number(event.data)));
  source.onopen = () => reachable(true);
  source.onerror = () => reachable(false);
}
