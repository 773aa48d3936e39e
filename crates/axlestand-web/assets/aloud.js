// @ts-check
/** Reads the step aloud on request: number, work, side, torque, caution. */

/** @param {Element} step */
function words(step) {
  const text = (/** @type {string} */ which) =>
    [...step.querySelectorAll(which)].map((one) => one.textContent?.trim() ?? '').join('. ');
  return [text(':scope > .caution'), text(':scope > h1'), text(':scope > .place'), text('.figure .big'), text(':scope > .tool')]
    .filter(Boolean).join('. ').replaceAll('N·m', 'newton metres').replaceAll('lb·ft', 'pound feet');
}

/** @param {ParentNode} page */
export function offerSpeech(page) {
  for (const button of page.querySelectorAll('button[data-speak]')) {
    if (!('speechSynthesis' in window) || !(button instanceof HTMLButtonElement)) continue;
    button.hidden = false;
    button.onclick = () => {
      const step = button.closest('.step');
      speechSynthesis.cancel();
      if (step) speechSynthesis.speak(new SpeechSynthesisUtterance(words(step)));
    };
  }
}
