// The form after a flight: which boxes were filled, and the entries they make.
import type { Draft } from './outbox';
import { readTyped, withUnit } from './number';

export type Typed = Record<string, string>;

/** Which box of the form a word of an entry came from, so that a refusal is shown beside it. */
const boxes: Record<string, string> = { hours: 'hours', head: 'head', left: 'left', plug: 'plug', note: 'seen', finding: 'seen' };

export interface Problem {
  box: string;
  what: 'sayWhich' | 'noNumber' | 'nothingTyped';
}

/** What keeps the form from being written; none when all is well. Figures that are odd but figures are for the server to judge. */
export function problemsOf(typed: Typed): Problem[] {
  const problems: Problem[] = [];
  const text = (key: string): string => (typed[key] ?? '').trim();
  if (!['hours', 'head', 'left', 'plug', 'seen'].some((key) => text(key) !== '')) return [{ box: '', what: 'nothingTyped' }];
  for (const box of ['head', 'left']) if (text(box) !== '' && !readTyped(text(box))) problems.push({ box, what: 'noNumber' });
  if (text('hours') !== '' && !/^\d/.test(text('hours'))) problems.push({ box: 'hours', what: 'noNumber' });
  if (text('seen') !== '' && text('seenAs') === '') problems.push({ box: 'seenAs', what: 'sayWhich' });
  return problems;
}

export function entriesOf(typed: Typed, units: { temperature: string; volume: string }): Draft[] {
  const text = (key: string): string => (typed[key] ?? '').trim();
  const entries: Draft[] = [];
  if (text('hours') !== '') entries.push({ kind: 'hours', value: text('hours').replace(',', '.') });
  if (text('head') !== '') entries.push({ kind: 'head', value: withUnit(text('head'), units.temperature) });
  if (text('left') !== '') entries.push({ kind: 'left', value: withUnit(text('left'), units.volume) });
  if (text('plug') !== '') {
    const entry: Draft = { kind: 'plug', colour: text('plug') };
    if (text('wet') !== '') entry['wet'] = text('wet') === 'wet';
    entries.push(entry);
  }
  if (text('seen') !== '') {
    if (text('seenAs') === 'note') entries.push({ kind: 'note', text: text('seen') });
    else entries.push({ kind: 'finding', text: text('seen'), grounding: text('seenAs') === 'grounding' });
  }
  return entries;
}

/** The box of this form that a refused entry came from. */
export const boxOf = (kind: string, word: string): string => (word === 'wet' ? 'wet' : (boxes[kind] ?? ''));
