// Sends what is kept, one tab at a time where the browser has locks; without them two tabs may send the same entry, which is
// written once because of its id.
import * as routes from '../api/routes';
import type { BookName } from '../api/types';
import { drop, isOutbox, keep, kept, makeBatch, readWhere, sendAll, settled, type Batch, type Draft, type Round, type Sent } from '../lib/outbox';
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

/** How long a form waits to hear what the book says of it; after that it goes on, and the entry is kept. */
const patienceMs = 4000;

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
  private running: Promise<Round> | null = null;
  /** The batch whose form is still open and waits for the answer: that form tells a refusal. */
  private entering = '';

  constructor() {
    this.look();
    // Another tab kept, sent or let go of something: what it wrote makes the answers shown here old.
    window.addEventListener('storage', (event) => {
      this.look();
      if (event.key !== null && isOutbox(event.key) && event.newValue === null) void page.refresh();
    });
    window.addEventListener('hashchange', () => {
      if (Date.now() - this.toldAt > 1500) this.told = [];
    });
    window.addEventListener('online', () => void this.flush());
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') void this.flush();
    });
    setInterval(() => {
      if (this.waiting.length > 0 && !this.running) void this.flush();
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
    this.batches = now.filter((one) => one.id !== this.entering || !one.refusal || one.refusal.inBook !== undefined);
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
    if (sent.state === 'written') this.wrote(batch, sent.texts);
    return { kept: sent.state === 'written', batch };
  }

  /**
   * As `put`, for a form that stays until it is known what the book says: a refusal comes back to it, and what was refused is kept
   * no longer, since the form holds it. `left`: the owner has gone elsewhere meanwhile; the list of what is kept tells then.
   */
  async enter(given: Parameters<Sending['put']>[0]): Promise<{ state: 'written' | 'waits' | 'lost' | 'left' } | { state: 'refused'; batch: Batch }> {
    const [address, book] = [window.location.hash, page.book];
    const batch = makeBatch({ ...given, book: page.book }, Date.now());
    if (!keep(store, batch)) {
      const sent = await send(batch);
      if (sent.state === 'refused') return { state: 'refused', batch: { ...batch, refusal: { what: sent.what, ...readWhere(sent.where) } } };
      if (sent.state === 'written') this.wrote(batch, sent.texts);
      return { state: sent.state === 'written' ? 'written' : 'lost' };
    }
    this.entering = batch.id;
    this.look();
    await Promise.race([this.flush(), new Promise((done) => setTimeout(done, patienceMs))]);
    this.entering = '';
    const held = kept(store).find((one) => one.id === batch.id);
    if (window.location.hash !== address || page.book !== book) {
      this.look();
      return { state: 'left' };
    }
    if (held?.refusal && held.refusal.inBook === undefined) {
      this.leaveOut(held.id);
      return { state: 'refused', batch: held };
    }
    this.look();
    return { state: held ? 'waits' : 'written' };
  }

  private wrote(batch: Batch, texts: string[]): void {
    this.took(batch);
    this.tell(texts);
    void page.refresh();
  }

  /** One round at a time; who asks while one goes on gets one of his own after it. */
  async flush(): Promise<Round> {
    while (this.running) await this.running.catch(() => undefined);
    this.running = this.round();
    try {
      return await this.running;
    } finally {
      this.running = null;
    }
  }

  private async round(): Promise<Round> {
    const round = await withLock(() => sendAll(store, send, () => this.look()));
    if (round.written.length > 0) this.tell(round.written.flatMap((one) => one.texts));
    this.look();
    if (round.written.length > 0) void page.refresh();
    return round;
  }

  /** What was written on another way. */
  say(texts: string[]): void {
    this.tell(texts);
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
    // Left out is not written: it must not pass for what the book took.
    this.batches = this.batches.filter((batch) => batch.id !== id);
    this.look();
  }
}

export const sending = new Sending();
