// The chart from launch to landing: which moment was tapped, and whether the engine ran then. Times are seconds, ascending.

/** The place of the time nearest to `at`; -1 in an empty list. */
export function nearest(times: readonly number[], at: number): number {
  let low = 0;
  let high = times.length - 1;
  if (high < 0) return -1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? 0) <= at) low = middle;
    else high = middle;
  }
  return Math.abs((times[low] ?? 0) - at) <= Math.abs((times[high] ?? 0) - at) ? low : high;
}

export const runs = (spans: readonly (readonly [number, number])[], at: number): boolean => spans.some(([from, to]) => at >= from && at < to);

/** "07:31:05" on the clocks of the flight, `seconds` after its beginning. */
export function clockAt(begin: string, seconds: number, offsetMin: number): string {
  return new Date(Date.parse(begin) + seconds * 1000 + offsetMin * 60_000).toISOString().slice(11, 19);
}

/** Round steps of a time axis in seconds: about `most` of them. */
export function timeStep(length: number, most: number): number {
  return [60, 120, 300, 600, 900, 1800, 3600, 7200].find((step) => length / step <= most) ?? 14_400;
}

/** The next moment or point to be told, without a touch on the chart: from none it begins at the end it goes from. */
export function nextPlace(place: number, by: number, count: number): number {
  if (count === 0) return -1;
  if (place < 0) return by < 0 ? count - 1 : 0;
  return Math.min(count - 1, Math.max(0, place + by));
}
