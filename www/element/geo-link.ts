/**
 * A place as a `geo:` address (RFC 5870), which devices open in a program for maps.
 *
 * In: degrees east and north, and how far the place reaches. Out: the address. It names a stand's inner point, never
 * where the visitor is. Left to others: what opens it.
 */

/** Digits after the point: about a metre, which is finer than an outline is. */
const DIGITS = 5;

/** The address of a place, with its uncertainty in whole metres if one is told. */
export function geoLink([lng, lat]: readonly [number, number], uncertainty?: number): string {
  const east = ((((lng + 180) % 360) + 360) % 360) - 180;
  const written = (degrees: number): string => String(Number(degrees.toFixed(DIGITS)));
  const about = uncertainty === undefined ? "" : `;u=${String(Math.round(uncertainty))}`;
  return `geo:${written(lat)},${written(east)}${about}`;
}
