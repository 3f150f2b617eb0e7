// Sends what is kept, one tab at a time where the browser has locks; without them two tabs may send the same entry, which is
// written once because of its id.
import * as routes from '../api/routes';
import type { BookName } from '../api/types';
import { drop, keep, kept, makeBatch, readWhere, sendAll, settled, type Batch, type Draft, type Round, type Sent } from '../lib/outbox';
import { store } from './kept';
import { page } from './page.svelte';

async function send(batch: Batch): Promise<Sent> {
  const answer = page.heard(await routes.write(batch.book as BookName, batch.entries));
  if (answer.ok) return { state: 'written', texts: answer.body.written.map((one) => one.text) };
  const waits = answer.gone || [401, 403, 408, 423, 429].includes(answer.status) || answer.problem.kind === 'locked';
  if (waits) return { state: 'gone' };
  const refused = { state: 'refused', what: answer.problem.what, where: answer.problem.where } as const;
  const id = answer.problem.kind === 'conflict' ? batch.entries[readWhere(answer.problem.where).entry]?.id : undefined;
  if (id === undefined) return refused;
  // In the book with other words: what it says there is asked for, so that the owner can choose.
  const there = page.heard(await routes.entry(batch.book as BookName, id));
  if (there.ok) return { ...refused, inBook: there.body.text };
  return there.gone ? { state: 'gone' } : refused;
}

const nothing: Round = { written: [], refused: 0, left: 0 };

async function withLock(work: () => Promise<Round>): Promise<Round> {
  if (!('locks' in navigator)) return work();
  return navigator.locks.request('headroom.outbox', work);
}

class Sending {
  batches: Batch[] = $state.raw([]);
  /** Sentences of what was written last; gone when the owner goes on to another place. */
  told: string[] = $state([]);
  private toldAt = 0;
  /** What the book has taken lately, and when that was heard: the brief that is shown may be older. */
  taken: { batch: Batch; at: number }[] = $state.raw([]);
  private busy = false;

  constructor() {
    this.look();
    window.addEventListener('storage', () => this.look());
    window.addEventListener('hashchange', () => {
      if (Date.now() - this.toldAt > 1500) this.told = [];
    });
    window.addEventListener('online', () => void this.flush());
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') void this.flush();
    });
    setInterval(() => {
      if (this.waiting.length > 0) void this.flush();
    }, 5_000);
  }

  get waiting(): Batch[] {
    return this.batches.filter((batch) => !batch.refusal);
  }
  get refused(): Batch[] {
    return this.batches.filter((batch) => batch.refusal !== null);
  }

  look(): void {
    const now = kept(store);
    // Gone from what is kept, by this tab or another: it is in the book.
    for (const batch of this.batches) if (!now.some((one) => one.id === batch.id)) this.took(batch);
    this.batches = now;
  }

  private took(batch: Batch): void {
    this.taken = [...this.taken, { batch, at: Date.now() }].slice(-100);
  }

  /** Keeps, then sends. `kept` is false when this browser keeps nothing and the server did not take it either. */
  async put(given: { form: string; typed: Record<string, string>; text: string; entries: Draft[] }): Promise<{ kept: boolean; batch: Batch }> {
    const batch = makeBatch({ ...given, book: page.book }, Date.now());
    if (keep(store, batch)) {
      this.look();
      void this.flush();
      return { kept: true, batch };
    }
    const sent = await send(batch);
    if (sent.state === 'written') {
      this.took(batch);
      this.tell(sent.texts);
      void page.refresh();
    }
    return { kept: sent.state === 'written', batch };
  }

  async flush(): Promise<Round> {
    if (this.busy) return nothing;
    this.busy = true;
    try {
      const round = await withLock(() => sendAll(store, send, () => this.look()));
      if (round.written.length > 0) this.tell(round.written.flatMap((one) => one.texts));
      this.look();
      if (round.written.length > 0) void page.refresh();
      return round;
    } finally {
      this.busy = false;
    }
  }

  private tell(texts: string[]): void {
    this.told = texts;
    this.toldAt = Date.now();
  }

  /** The entry that the book has with other words: as the book has it, or as one more. */
  settle(batch: Batch, how: 'book' | 'new'): void {
    const next = settled(batch, how, Date.now());
    if (!next) return this.leaveOut(batch.id);
    keep(store, next);
    this.look();
    void this.flush();
  }

  leaveOut(id: string): void {
    drop(store, id);
    this.batches = this.batches.filter((batch) => batch.id !== id);
    this.look();
  }
}

export const sending = new Sending();
