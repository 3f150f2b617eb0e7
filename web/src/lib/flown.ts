// What is said above the list of flights. A list that was not heard just now is never told as if it were.
import { sentences } from './sentences';
import { clockOrDay, keptAsOf } from './time';

/** `at`: when the server said it; `live`: it was heard by the view that shows it. */
export interface HeldList {
  total: number;
  at: number;
  live: boolean;
}

export function flownTold(list: HeldList | null, asking: boolean, zone: string, nowMs: number): string {
  if (!list) return asking ? sentences.flightsAsked : sentences.flightsNotLoaded;
  const asOf = list.total === 0 ? clockOrDay(new Date(list.at).toISOString(), zone, nowMs) : keptAsOf(list.at, zone, nowMs);
  return list.live || asOf === '' ? sentences.flightCount(list.total) : sentences.flightsAsOf(asOf, list.total);
}
