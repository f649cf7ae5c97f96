/**
 * Today's date where the forest is, and how far its clock runs from universal time.
 *
 * In: an IANA time zone, and a moment. Out: an ISO day, or minutes. Left to others: everything else about days.
 */

/** A locale whose parts are the numbers of ISO days and clock times. */
const PLAIN = "en-u-ca-gregory-nu-latn";

function partOf(parts: readonly Intl.DateTimeFormatPart[], type: string): string {
  return parts.find((one) => one.type === type)?.value ?? "";
}

/** The ISO day of that moment in that zone; in the visitor's own zone where none is given or it is not known. */
export function today(timeZone: string | null, now: Date = new Date()): string {
  // Put together from its parts: how a browser writes a date of any locale changes with its release.
  const parts = (zone: string | undefined): string => {
    const told = new Intl.DateTimeFormat(PLAIN, {
      timeZone: zone,
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
    }).formatToParts(now);
    return ["year", "month", "day"].map((type) => partOf(told, type)).join("-");
  };
  try {
    return parts(timeZone ?? undefined);
  } catch (error) {
    console.warn(`hostwood: time zone \`${String(timeZone)}\` is not known to this browser`, error);
    return parts(undefined);
  }
}

/**
 * Minutes by which the clock of a zone runs before universal time at a day and time on that clock; nothing where the
 * zone is not known. In the hour that a change of the clocks repeats, the first of the two counts.
 */
export function utcOffset(timeZone: string | null, day: string, time: string): number | undefined {
  const told = Date.parse(`${day}T${time === "24:00" ? "23:59" : time}:00Z`);
  if (timeZone === null || Number.isNaN(told)) return undefined;
  const at = (moment: number): number => {
    const parts = new Intl.DateTimeFormat(PLAIN, {
      timeZone,
      hourCycle: "h23",
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
      hour: "2-digit",
      minute: "2-digit",
    }).formatToParts(moment);
    const part = (type: string): string => partOf(parts, type);
    const shown = `${part("year")}-${part("month")}-${part("day")}T${part("hour")}:${part("minute")}:00Z`;
    return Math.round((Date.parse(shown) - moment) / 60_000);
  };
  try {
    // The offset of a moment too early by a day's length is the one before any change; one step finds the moment.
    const before = at(told - 86_400_000);
    const after = at(told + 86_400_000);
    return at(told - before * 60_000) === before ? before : after;
  } catch {
    // A zone that this browser does not know; `today` has warned of it.
    return undefined;
  }
}

/** Milliseconds until the clock's next full minute, at which every zone's midnight falls. */
export function untilNextMinute(now: number = Date.now()): number {
  return 60_000 - (now % 60_000);
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
