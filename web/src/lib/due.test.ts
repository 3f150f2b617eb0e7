import { describe, expect, it } from 'vitest';
import { foldsAway } from './due';

const by = '2026-12-28T12:00:00Z';
const line = (low: string | null, chance_by: number | null, state = 'ample'): Parameters<typeof foldsAway>[0] => ({ state, by, chance_by, date: low === null ? { basis: 'unknown' } : { low } });

describe('what is due is folded away', () => {
  it('when it is ample and surely later than the day the server looks ahead to', () => {
    expect(foldsAway(line('2027-03-01T12:00:00Z', 0))).toBe(true);
    expect(foldsAway(line('2027-03-01T12:00:00Z', 0.05))).toBe(true);
  });
  it('never when it falls due, or may, before that day', () => {
    expect(foldsAway(line('2026-12-21T09:00:00Z', 1))).toBe(false);
    expect(foldsAway(line('2026-12-21T09:00:00Z', 0))).toBe(false);
    expect(foldsAway(line('2027-03-01T12:00:00Z', 0.06))).toBe(false);
  });
  it('never when it is short, thin or unknown, or its date or chance is not known', () => {
    for (const state of ['short', 'thin', 'unknown']) expect(foldsAway(line('2027-03-01T12:00:00Z', 0, state))).toBe(false);
    expect(foldsAway(line(null, 0))).toBe(false);
    expect(foldsAway(line('2027-03-01T12:00:00Z', null))).toBe(false);
  });
});
