/**
 * Today's date where the forest is.
 *
 * In: an IANA time zone, and a moment. Out: an ISO day. Left to others: everything else about days.
 */

/** The ISO day of that moment in that zone; in the visitor's own zone where none is given or it is not known. */
export function today(timeZone: string | null, now: Date = new Date()): string {
  const parts = (zone: string | undefined): string =>
    new Intl.DateTimeFormat("en-CA", {
      timeZone: zone,
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
    }).format(now);
  try {
    return parts(timeZone ?? undefined);
  } catch (error) {
    console.warn(`hostwood: time zone \`${String(timeZone)}\` is not known to this browser`, error);
    return parts(undefined);
  }
}

/** Whether this is a day of the calendar, written `2026-09-26`. */
export function isDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const date = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(date.getTime()) && date.toISOString().slice(0, 10) === text;
}

/** Whether this is a time of day, written `07:30`. */
export function isClock(text: string): boolean {
  return /^([01]\d|2[0-3]):[0-5]\d$/.test(text);
}
