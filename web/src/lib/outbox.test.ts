import { describe, expect, it } from 'vitest';
import { drop, keep, kept, makeBatch, readWhere, sendAll, settled, type Batch, type Sent } from './outbox';
import { memoryStore } from './store';

const batch = (text: string, nowMs = 1_000): Batch =>
  makeBatch({ book: 'own', form: 'after', typed: { note: text }, text, entries: [{ kind: 'note', text }] }, nowMs);
const written: Sent = { state: 'written', texts: ['Written.'] };

describe('the outbox', () => {
  it('keeps before it sends, and lets go only when it is in the book', async () => {
    const store = memoryStore();
    keep(store, batch('a'));
    const seen: number[] = [];
    const round = await sendAll(store, async () => {
      seen.push(kept(store).length);
      return written;
    });
    expect(seen).toEqual([1]);
    expect(round.written.map((one) => one.batch.text)).toEqual(['a']);
    expect(kept(store)).toEqual([]);
  });
  it('keeps everything while the server is gone, and stops asking', async () => {
    const store = memoryStore();
    keep(store, batch('a', 1_000));
    keep(store, batch('b', 2_000));
    let asked = 0;
    const round = await sendAll(store, async () => {
      asked++;
      return { state: 'gone' };
    });
    expect([asked, round.left, kept(store).length]).toEqual([1, 2, 2]);
  });
  it('sends with the same ids again after an answer was lost', async () => {
    const store = memoryStore();
    keep(store, batch('a'));
    const ids: string[] = [];
    const note = (one: Batch): void => void ids.push(one.entries[0]?.id ?? '');
    await sendAll(store, async (one) => (note(one), { state: 'gone' }));
    await sendAll(store, async (one) => (note(one), written));
    expect(ids[0]).toBe(ids[1]);
    expect(ids[0]).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7/);
  });
  it('sends the oldest first', async () => {
    const store = memoryStore();
    for (const [text, time] of [['late', 9_000], ['early', 1_000], ['between', 5_000]] as const) keep(store, batch(text, time));
    const order: string[] = [];
    await sendAll(store, async (one) => (order.push(one.text), written));
    expect(order).toEqual(['early', 'between', 'late']);
  });
  it('keeps a refused one with its sentence and its box, goes on with the next, and does not send it again', async () => {
    const store = memoryStore();
    keep(store, batch('bad', 1_000));
    keep(store, batch('good', 2_000));
    let asked = 0;
    const send = async (one: Batch): Promise<Sent> => {
      asked++;
      return one.text === 'bad' ? { state: 'refused', what: 'Not a reading.', where: 'entries.0.text' } : written;
    };
    expect((await sendAll(store, send)).refused).toBe(1);
    await sendAll(store, send);
    expect(asked).toBe(2);
    expect(kept(store).map((one) => one.refusal)).toEqual([{ what: 'Not a reading.', entry: 0, box: 'text' }]);
    expect(kept(store)[0]?.typed).toEqual({ note: 'bad' });
  });
  it('skips what another tab has sent meanwhile', async () => {
    const store = memoryStore();
    const first = batch('a', 1_000);
    const second = batch('b', 2_000);
    keep(store, first);
    keep(store, second);
    const order: string[] = [];
    await sendAll(store, async (one) => {
      order.push(one.text);
      drop(store, second.id);
      return written;
    });
    expect(order).toEqual(['a']);
  });
  it('leaves what it cannot read where it is', () => {
    const store = memoryStore();
    store.set('headroom.outbox.x', '{"half":');
    store.set('headroom.draft.after', '{}');
    expect(kept(store)).toEqual([]);
    expect(store.get('headroom.outbox.x')).not.toBeNull();
  });
  it('reads the name of a box', () => {
    expect(readWhere('entries.2.value')).toEqual({ entry: 2, box: 'value' });
    expect(readWhere('entries[0]')).toEqual({ entry: 0, box: '' });
    expect(readWhere('wind')).toEqual({ entry: -1, box: 'wind' });
  });
  it('keeps the time it was entered, not the time it is sent', () => {
    expect(batch('a', Date.UTC(2026, 5, 14, 8)).entries[0]?.at).toBe('2026-06-14T08:00:00.000Z');
  });
  it('that is in the book with other words says what the book says, and loses neither', async () => {
    const store = memoryStore();
    const two = makeBatch({ book: 'own', form: 'after', typed: { hours: '41.2', left: '3' }, text: 'two', entries: [{ kind: 'hours', value: '41.2' }, { kind: 'left', value: '3 L' }] }, 1_000);
    keep(store, two);
    await sendAll(store, async () => ({ state: 'refused', what: 'in the book already, with other words', where: 'entries.1', inBook: 'Fuel left: 4 L.' }));
    const [held] = kept(store);
    if (!held) throw new Error('lost');
    expect(held.refusal).toEqual({ what: 'in the book already, with other words', entry: 1, box: '', inBook: 'Fuel left: 4 L.' });

    const asNew = settled(held, 'new', 2_000);
    expect(asNew?.refusal).toBeNull();
    expect(asNew?.entries.map((entry) => entry['value'])).toEqual(['41.2', '3 L']);
    expect(asNew?.entries[0]?.id).toBe(two.entries[0]?.id);
    expect(asNew?.entries[1]?.id).not.toBe(two.entries[1]?.id);
    expect(asNew?.entries[1]?.at).toBe(two.entries[1]?.at);

    const asBook = settled(held, 'book', 2_000);
    expect(asBook?.entries).toEqual([two.entries[0]]);
    expect(asBook && settled({ ...asBook, refusal: { what: '', entry: 0, box: '', inBook: 'x' } }, 'book', 2_000)).toBeNull();
  });
  it('is left alone where the book has no other words for it', () => {
    const plain = { ...batch('a'), refusal: { what: 'Not a reading.', entry: 0, box: 'text' } };
    expect(settled(plain, 'book', 2_000)).toBe(plain);
  });
});
