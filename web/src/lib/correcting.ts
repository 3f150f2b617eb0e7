// Putting an entry of the book right: what its form begins with, and what is sent.
import type { SaidEntry } from '../api/types';
import { entryOf, type Kind } from './kinds';
import type { OwnUnits } from './number';

/** The words of an entry as its form takes them, where they stand in the book as words; figures are typed anew. */
export function wordsOf(kind: Kind, facts: Record<string, unknown>, priv: Record<string, unknown>): Record<string, string> {
  const words: Record<string, string> = {};
  for (const word of kind.words) {
    const value = [facts, priv].flatMap((one) => [one[word.key], one[`private_${word.key}`]]).find((one) => one !== undefined);
    if (word.shape === 'yes') words[word.key] = value === true ? 'yes' : '';
    else if (typeof value === 'string') words[word.key] = value;
  }
  return words;
}

export interface Amendment {
  reason: string;
  at?: string;
  entry?: SaidEntry;
}

/** Without words typed anew, only the time is put right. */
export function amendmentOf(kind: Kind | null, typed: Record<string, string>, reason: string, zone: string, units: OwnUnits = {}): Amendment {
  const withAt: Kind = { key: 'note', group: 'rest', kind: 'note', words: [{ key: 'at', label: 'at', shape: 'at' }] };
  const at = entryOf(withAt, typed, zone).at;
  const body: Amendment = { reason: reason.trim(), ...(at === undefined ? {} : { at }) };
  if (kind) {
    const entry: SaidEntry = entryOf(kind, typed, zone, units);
    delete entry.at;
    if (Object.keys(entry).length > 1) body.entry = entry;
  }
  return body;
}
