// @ts-check
/** Keeps the screen on in the work view where the browser can, and says so where it cannot. */

/** @type {WakeLockSentinel | undefined} */
let held;

async function hold() {
  if (document.visibilityState !== 'visible' || !document.querySelector('.step') || (held && !held.released)) return;
  held = await navigator.wakeLock.request('screen').catch(() => undefined);
}

/** Called with every page. */
export async function stayAwake() {
  const step = document.querySelector('.step');
  if ('wakeLock' in navigator) {
    await hold();
    if (!step) { await held?.release().catch(() => {}); held = undefined; }
  }
  const line = document.querySelector('main .awake');
  if (!step || held) { line?.remove(); return; }
  if (line) return;
  const said = Object.assign(document.createElement('p'), { className: 'quiet awake' });
  said.textContent = 'The screen may go dark: set the phone’s screen time-out to its longest.';
  document.getElementById('main')?.append(said);
}

document.addEventListener('visibilitychange', () => { if ('wakeLock' in navigator) void hold(); });
