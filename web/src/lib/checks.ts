// How far a group of checks has come.
export interface CheckLike {
  state: string | null;
}

export interface Told {
  done: number;
  undone: number;
  notHere: number;
  all: number;
  /** Every one is done or does not apply. */
  finished: boolean;
}

export function toldOf(checks: readonly CheckLike[]): Told {
  const count = (state: string): number => checks.filter((check) => check.state === state).length;
  const [done, undone, notHere] = [count('done'), count('not_done'), count('not_applicable')];
  return { done, undone, notHere, all: checks.length, finished: done + notHere === checks.length };
}

/** The first group that is not finished; -1 when all are. */
export const firstOpen = (groups: readonly (readonly CheckLike[])[]): number => groups.findIndex((group) => !toldOf(group).finished);

/** What was touched in this browser, while the brief that is shown does not hold it yet. */
export interface Mark<S extends string = string> {
  check: string;
  state: S;
  at: string;
  /** It is still on its way. */
  waits: boolean;
}

interface BatchLike {
  entries: readonly { kind: string; at: string; [word: string]: unknown }[];
}

/**
 * The marks of what waits in the outbox, and of what the book has taken (`at`: when that was heard) but the brief shown, asked for at
 * `askedAt`, cannot know yet. A newer brief says it itself, and a mark must never stand against it for ever.
 */
export function marksOf<S extends string>(waiting: readonly BatchLike[], taken: readonly { batch: BatchLike; at: number }[], askedAt: number): Mark<S>[] {
  const read = (batch: BatchLike, waits: boolean): Mark<S>[] =>
    batch.entries
      .filter((entry) => entry.kind === 'check')
      .map((entry) => ({ check: String(entry['check']), state: String(entry['state']) as S, at: entry.at, waits }));
  return [...taken.filter((one) => one.at > askedAt).flatMap((one) => read(one.batch, false)), ...waiting.flatMap((one) => read(one, true))];
}

/** The flight that somebody was told of: where, from when, until when. */
export interface Plan {
  field: string;
  startMs: number;
  endMs: number;
}

/** Who waits is told a time, not a minute, and waits for 45 minutes beyond the landing. */
const sameTimeMs = 30 * 60_000;

/** The check that holds for one flight only: its field and its times. */
export const ofOneFlight = 'who_knows';

/**
 * Whether it was done for another flight than is planned now. `told` is what this browser knows of the flight it was done for; where
 * another device did it, all that is known is when the plan was typed last (`typedMs`).
 */
export function lapsed(at: string | null, told: (Plan & { at: string }) | null, now: Plan, typedMs: number): boolean {
  if (at === null) return false;
  // The book may write the same instant otherwise.
  if (!told || Math.abs(Date.parse(told.at) - Date.parse(at)) > 1000) return typedMs > Date.parse(at);
  return told.field !== now.field || Math.abs(told.startMs - now.startMs) > sameTimeMs || Math.abs(told.endMs - now.endMs) > sameTimeMs;
}

/** The book's own measure: what was checked more than 12 h before the start is of another day. */
const countsMs = 12 * 3600 * 1000;

/** How a check stands: the newest of what the brief says and what was touched here. A mark too old to count is told, but is no state. */
export function heldOf<S extends string>(
  check: { key: string; state: S | null; at: string | null },
  marks: readonly Mark<S>[],
  startMs: number,
): { state: S | null; at: string | null; said: S | null; waits: boolean } {
  const mark = marks.filter((one) => one.check === check.key).reduce<Mark<S> | null>((last, one) => (last && last.at > one.at ? last : one), null);
  if (!mark || (check.at !== null && Date.parse(mark.at) <= Date.parse(check.at))) return { state: check.state, at: check.at, said: check.state, waits: false };
  const counts = startMs - Date.parse(mark.at) <= countsMs;
  return { state: counts ? mark.state : null, at: mark.at, said: mark.state, waits: mark.waits };
}
