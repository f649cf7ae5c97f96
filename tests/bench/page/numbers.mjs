/*
 * Numbers of several runs, and how they are written. In: numbers, those of failed runs not among them or not finite.
 */
export function median(numbers) {
  const sorted = numbers
    .filter(Number.isFinite)
    .sort((one, other) => one - other);
  return sorted.length === 0
    ? Number.NaN
    : sorted[Math.floor(sorted.length / 2)];
}

/** Whole milliseconds, or a dash for what was not measured. */
export function ms(value) {
  return value !== null && Number.isFinite(value)
    ? Math.round(value).toLocaleString("en")
    : "-";
}
