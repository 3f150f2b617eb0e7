// Which lines of what is due are far enough to be folded away.
interface DueLike {
  state: string;
  /** The day the server looks ahead to, and the chance of falling due by then. */
  by: string;
  chance_by: number | null;
  date?: unknown;
}

/** The server tells a chance up to this as "1 in 20 or less". */
const slight = 0.05;

/** Ample, and even the early end of its date is after the day looked ahead to. What is not known is never far. */
export function foldsAway(due: DueLike): boolean {
  const early = Date.parse(String((due.date as { low?: unknown } | undefined)?.low ?? ''));
  return due.state === 'ample' && due.chance_by !== null && due.chance_by <= slight && early > Date.parse(due.by);
}
