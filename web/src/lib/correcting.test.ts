import { describe, expect, it } from 'vitest';
import { amendmentOf, wordsOf } from './correcting';
import { kindInBook, kinds } from './kinds';

const filled = kindInBook('fuel_filled');

describe('putting an entry right', () => {
  it('finds the form of a kind of the book, each in one form only', () => {
    expect(filled?.key).toBe('filled');
    expect(kindInBook('recording_attached')).toBeNull();
    const names = kinds.flatMap((kind) => (kind.inBook === undefined ? [] : [kind.inBook]));
    expect(new Set(names).size).toBe(names.length);
  });
  it('sends the words anew, or the time alone', () => {
    expect(filled && amendmentOf(filled, { value: '4 L', at: '2026-06-14T18:30' }, ' misread ', 'UTC')).toEqual({
      reason: 'misread',
      at: '2026-06-14T18:30:00.000Z',
      entry: { kind: 'filled', value: '4 L' },
    });
    expect(filled && amendmentOf(filled, { at: '2026-06-14T18:30' }, 'wrong day', 'UTC')).toEqual({ reason: 'wrong day', at: '2026-06-14T18:30:00.000Z' });
  });
  it('begins with what stands in the book as words', () => {
    const finding = kindInBook('finding');
    expect(finding && wordsOf(finding, { grounding: true, part: null }, { text: 'a loose spring' })).toEqual({ text: 'a loose spring', grounding: 'yes' });
    expect(filled && wordsOf(filled, { added_m3: 0.003 }, {})).toEqual({});
  });
});
