// What was entered and is not yet in the book. Pure over a store and a way to send.
//
// A batch is what one form wrote: it is kept before it is sent, under a key of its own, so that two tabs never write
// over each other, and it is taken away only when the server has said that it is in the book. Every entry carries an id made
// here: sent twice (two tabs, an answer lost on the way) it is written once.
import type { EntryKind } from '../api/types';
import { isRecord, readKept, type Store } from './store';
import { uuid7 } from './uuid';

export type Word = string | number | boolean;

export interface Entry {
  id: string;
  kind: EntryKind;
  /** When it happened, RFC 3339 UTC. */
  at: string;
  [word: string]: Word;
}

export interface Refusal {
  what: string;
  /** Which entry of the batch and which of its boxes; -1 and "" when the server named none. */
  entry: number;
  box: string;
  /** What the book says under the id of that entry, where it has it with other words. */
  inBook?: string;
}

export interface Batch {
  id: string;
  /** The book it belongs to: a batch for the owner's book never goes into the invented season. */
  book: string;
  /** The form it came from, and what was typed there, so that a refused one can be put right. */
  form: string;
  typed: Record<string, string>;
  /** One sentence for the list of what is kept. */
  text: string;
  entries: Entry[];
  refusal: Refusal | null;
}

/** `gone`: no answer, or one that says nothing of the batch: it stays. `refused`: it will never be taken as it is. */
export type Sent = { state: 'written'; texts: string[] } | { state: 'gone' } | { state: 'refused'; what: string; where: string; inBook?: string };
export type Send = (batch: Batch) => Promise<Sent>;

const prefix = 'headroom.outbox.';
export const isOutbox = (key: string): boolean => key.startsWith(prefix);

export type Draft = Omit<Entry, 'id' | 'at'> & { kind: EntryKind; at?: string };

export function makeBatch(
  given: { book: string; form: string; typed: Record<string, string>; text: string; entries: Draft[] },
  nowMs: number,
): Batch {
  const at = new Date(nowMs).toISOString();
  return {
    ...given,
    id: uuid7(nowMs),
    entries: given.entries.map((entry) => ({ ...entry, at: entry.at ?? at, id: uuid7(nowMs) })),
    refusal: null,
  };
}

const isBatch = (value: unknown): value is Batch =>
  isRecord(value) &&
  typeof value['id'] === 'string' &&
  typeof value['book'] === 'string' &&
  typeof value['form'] === 'string' &&
  typeof value['text'] === 'string' &&
  isRecord(value['typed']) &&
  Array.isArray(value['entries']) &&
  value['entries'].every((entry) => isRecord(entry) && typeof entry['id'] === 'string' && typeof entry['kind'] === 'string');

/** False when the browser keeps nothing: the form must then stay as it is. */
export const keep = (store: Store, batch: Batch): boolean => store.set(prefix + batch.id, JSON.stringify(batch));

export const drop = (store: Store, id: string): void => store.remove(prefix + id);

/** All that is kept, oldest first (ids sort by the time they were made). */
export function kept(store: Store): Batch[] {
  return store
    .keys()
    .filter((key) => key.startsWith(prefix))
    .sort()
    .map((key) => readKept(store, key, isBatch))
    .filter((batch): batch is Batch => batch !== null);
}

/** "entries.2.value" names the box "value" of entry 2. */
export function readWhere(where: string): { entry: number; box: string } {
  const found = /^entries[.[](\d+)\]?(?:\.(.*))?$/.exec(where);
  return found ? { entry: Number(found[1]), box: found[2] ?? '' } : { entry: -1, box: where };
}

export interface Round {
  written: { batch: Batch; texts: string[] }[];
  refused: number;
  left: number;
}

/**
 * Sends what is kept, oldest first, and stops at the first sign that the server is gone. A batch that the server refuses stays,
 * with the reason, and is not sent again until it has been put right. `changed` is called after each.
 */
export async function sendAll(store: Store, send: Send, changed: () => void = () => undefined): Promise<Round> {
  const round: Round = { written: [], refused: 0, left: 0 };
  for (const batch of kept(store)) {
    if (batch.refusal) continue;
    // Another tab may have sent it while this one waited for an answer.
    if (store.get(prefix + batch.id) === null) continue;
    const sent = await send(batch);
    if (sent.state === 'gone') break;
    if (sent.state === 'written') {
      drop(store, batch.id);
      round.written.push({ batch, texts: sent.texts });
    } else if (store.get(prefix + batch.id) !== null) {
      const inBook = sent.inBook === undefined ? {} : { inBook: sent.inBook };
      keep(store, { ...batch, refusal: { what: sent.what, ...readWhere(sent.where), ...inBook } });
      round.refused++;
    }
    changed();
  }
  round.left = kept(store).filter((batch) => !batch.refusal).length;
  return round;
}

/**
 * A batch of which one entry is in the book with other words, as it goes on: `book` leaves that entry as the book has it, `new` gives
 * it an id of its own, so that both stand there. The others stay as they are. Null when nothing is left to be sent.
 */
export function settled(batch: Batch, how: 'book' | 'new', nowMs: number): Batch | null {
  const at = batch.refusal?.entry ?? -1;
  if (batch.refusal?.inBook === undefined || !batch.entries[at]) return batch;
  const entries =
    how === 'book' ? batch.entries.filter((_, k) => k !== at) : batch.entries.map((entry, k) => (k === at ? { ...entry, id: uuid7(nowMs) } : entry));
  return entries.length === 0 ? null : { ...batch, entries, refusal: null };
}
