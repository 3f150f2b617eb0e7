// A refusal of the server, brought back to the form and the box it belongs to.
import { boxOf } from './afterFlight';
import { boxOfFirst } from './first';
import type { Batch } from './outbox';

/** The box of the form that made the batch; "" when the server named none. */
export function boxRefused(batch: Batch): string {
  const { entry = -1, box = '' } = batch.refusal ?? {};
  const refused = batch.entries[entry];
  if (!refused) return '';
  if (batch.form === 'first') return boxOfFirst(refused, box);
  return batch.form === 'after' ? boxOf(refused.kind, box) : box;
}

/** What was typed, with the reason beside it, as a draft keeps it. */
export const markedWith = (batch: Batch): Record<string, string> => ({
  ...batch.typed,
  ...(batch.refusal ? { refusedWhat: batch.refusal.what, refusedBox: boxRefused(batch) } : {}),
});

/** Without the marks of a refusal. */
export const unmarked = (typed: Record<string, string>): Record<string, string> =>
  Object.fromEntries(Object.entries(typed).filter(([key]) => key !== 'refusedWhat' && key !== 'refusedBox'));
