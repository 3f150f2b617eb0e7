// Which margins stand as rows at once. The order is the server's and is kept within each group.
import type { Margin } from '../api/types';

type Told = Pick<Margin, 'state' | 'deadly'>;

export interface Groups<T> {
  first: T[];
  unknown: T[];
  ample: T[];
}

/** So few unknown ones are not worth folding away. */
const few = 3;

/** What is short or thin, and what is unknown and can kill, is always a row; an unknown one is never among the ample. */
export function toShow<T extends Told>(margins: readonly T[]): Groups<T> {
  const others = margins.filter((margin) => margin.state === 'unknown' && !margin.deadly);
  const unknown = others.length > few ? others : [];
  const ample = margins.filter((margin) => margin.state === 'ample');
  const first = margins.filter((margin) => margin.state !== 'ample' && !unknown.includes(margin));
  return { first, unknown, ample };
}
