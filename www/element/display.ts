/**
 * How the visitor's display wants things drawn: light or dark, how much contrast, how many pixels, how much movement.
 *
 * In: the browser's settings; a probe element whose colour the styles set by `light-dark()`, so that it follows the
 * page's own `color-scheme` as well as the visitor's setting. Out: the scheme, and a word when it changes; the pixel
 * ratio; whether less movement is asked for. Left to others: the colours.
 */
import type { Scheme } from "./protocol.ts";

const MORE_CONTRAST = "(prefers-contrast: more)";

/** Tells the scheme now and on each change until the signal ends. */
export function watchScheme(
  probe: HTMLElement,
  signal: AbortSignal,
  changed: (scheme: Scheme) => void,
): Scheme {
  let last = read(probe);
  const look = (): void => {
    const now = read(probe);
    if (now === last) return;
    last = now;
    changed(now);
  };
  // A change of the page's `color-scheme` runs the probe's transition; that is the only event it causes.
  probe.addEventListener("transitionend", look, { signal });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", look, { signal });
  return last;
}

/** The probe is white where the scheme is dark. */
function read(probe: HTMLElement): Scheme {
  return getComputedStyle(probe).color === "rgb(255, 255, 255)" ? "dark" : "light";
}

/** Whether the visitor asks for more contrast. */
export function wantsContrast(): boolean {
  return matchMedia(MORE_CONTRAST).matches;
}

/** Tells each change of that wish until the signal ends. */
export function watchContrast(signal: AbortSignal, changed: () => void): void {
  matchMedia(MORE_CONTRAST).addEventListener("change", changed, { signal });
}

/** Device pixels to a CSS pixel, in quarters, so that a tile's side is a whole number of pixels; at most two. */
export function pixelRatio(): number {
  const ratio = Math.round((globalThis.devicePixelRatio || 1) * 4) / 4;
  return Math.max(1, Math.min(2, ratio));
}

/** Whether the visitor asks for less movement. */
export function prefersStill(): boolean {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}
