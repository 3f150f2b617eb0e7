import { describe, expect, it } from 'vitest';
import { browserStore, isTexts, memoryStore, readKept } from './store';

describe('what the browser keeps', () => {
  it('says when nothing is kept', () => {
    const refuses = {
      length: 0,
      key: () => null,
      clear: () => undefined,
      getItem: () => null,
      removeItem: () => undefined,
      setItem: () => {
        throw new DOMException('full', 'QuotaExceededError');
      },
    };
    expect(browserStore(refuses).set('a', 'b')).toBe(false);
  });
  it('takes what is broken or of another shape for nothing', () => {
    const store = memoryStore();
    store.set('broken', '{');
    store.set('other', '[1]');
    store.set('right', '{"a":"b"}');
    expect(readKept(store, 'broken', isTexts)).toBeNull();
    expect(readKept(store, 'other', isTexts)).toBeNull();
    expect(readKept(store, 'right', isTexts)).toEqual({ a: 'b' });
    expect(readKept(store, 'missing', isTexts)).toBeNull();
  });
});
