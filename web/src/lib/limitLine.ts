// Where the marks of one margin stand on the common scale left / need: 0 is the limit, 0.5 half again, 1 double.
// Pure geometry in per cent of the row's width; the drawing is parts/MarginRow.svelte.

export interface Line {
  low: number;
  mid: number;
  high: number;
}

export interface Marks {
  /** What lies past the limit, drawn as a solid block. */
  block: { from: number; to: number } | null;
  /** What lies before it, drawn as a line; null when nothing does. */
  bar: { from: number; to: number } | null;
  /** The median, or null when it lies outside the row: then `beyond` says so instead of a mark in a wrong place. */
  middle: number | null;
  /** The interval leaves the row on this side: an arrow stands at that end. */
  runsOut: { left: boolean; right: boolean };
  /** The median leaves the row. */
  beyond: 'double' | 'limit' | null;
}

/** Per cent of the row's width at which the limit stands. */
export const limitAt = 22;
/** Per cent of the row's width for one whole need. */
export const perNeed = 58;
/** The marks keep this far from the row's ends, so that nothing is drawn over a neighbour. */
export const firstAt = 2;
export const lastAt = 97;

/** Per cent of the row's width for a value of left / need, not clamped. */
export const placeOf = (value: number): number => limitAt + value * perNeed;

const clamp = (x: number): number => Math.min(lastAt, Math.max(firstAt, x));

/** The marks of one margin; null for an unknown one, or for figures that are none (they are drawn dotted). */
export function marksOf(line: Line | null): Marks | null {
  if (!line) return null;
  if (![line.low, line.mid, line.high].every(Number.isFinite)) return null;
  if (line.low > line.mid || line.mid > line.high) return null;
  const low = placeOf(line.low);
  const mid = placeOf(line.mid);
  const high = placeOf(line.high);
  const from = clamp(low);
  const to = clamp(high);
  const inside = mid >= firstAt && mid <= lastAt;
  return {
    block: low < limitAt ? { from, to: Math.min(to, limitAt) } : null,
    bar: high > limitAt ? { from: Math.max(from, limitAt), to } : null,
    middle: inside ? mid : null,
    runsOut: { left: low < firstAt, right: high > lastAt },
    beyond: inside ? null : mid > lastAt ? 'double' : 'limit',
  };
}
