import { describe, expect, it } from 'vitest';
import { firstAt, lastAt, limitAt, marksOf, placeOf } from './limitLine';

describe('the limit line', () => {
  it('puts the limit, half again and double where the scale says', () => {
    expect([placeOf(0), placeOf(0.5), placeOf(1)]).toEqual([22, 51, 80]);
  });
  it('draws what crosses the limit as a block and the rest as a line', () => {
    const marks = marksOf({ low: -0.1, mid: 0.3, high: 0.7 });
    expect(marks?.block?.from).toBeCloseTo(16.2);
    expect(marks?.block?.to).toBe(limitAt);
    expect(marks?.bar).toEqual({ from: limitAt, to: placeOf(0.7) });
    expect(marks?.middle).toBeCloseTo(39.4);
  });
  it('has no block when all of it is left', () => {
    expect(marksOf({ low: 0.1, mid: 0.2, high: 0.3 })?.block).toBeNull();
  });
  it('has no line when all of it is past the limit', () => {
    const marks = marksOf({ low: -0.3, mid: -0.2, high: -0.1 });
    expect(marks?.bar).toBeNull();
    expect(marks?.block?.to).toBeCloseTo(placeOf(-0.1));
  });
  it('says beyond double in place of a circle outside the row', () => {
    const marks = marksOf({ low: 1.1, mid: 4, high: 9 });
    expect(marks?.middle).toBeNull();
    expect(marks?.beyond).toBe('double');
    expect(marks?.runsOut).toEqual({ left: false, right: true });
    expect(marks?.bar?.to).toBe(lastAt);
  });
  it('says past the limit when the middle is far to the left', () => {
    const marks = marksOf({ low: -3, mid: -2, high: -1 });
    expect(marks?.beyond).toBe('limit');
    expect(marks?.block).toEqual({ from: firstAt, to: firstAt });
  });
  it('keeps every mark inside the row, whatever the figures', () => {
    for (let k = 0; k < 2000; k++) {
      const values = [0, 1, 2].map((n) => Math.sin(k * 7.1 + n * 3.3) * 10 ** ((k % 9) - 4)).sort((a, b) => a - b);
      const marks = marksOf({ low: values[0] ?? 0, mid: values[1] ?? 0, high: values[2] ?? 0 });
      for (const x of [marks?.block?.from, marks?.block?.to, marks?.bar?.from, marks?.bar?.to, marks?.middle]) {
        if (x === undefined || x === null) continue;
        expect(x).toBeGreaterThanOrEqual(firstAt);
        expect(x).toBeLessThanOrEqual(lastAt);
      }
    }
  });
  it('draws nothing for what is not known or is no interval', () => {
    expect(marksOf(null)).toBeNull();
    expect(marksOf({ low: NaN, mid: 0, high: 1 })).toBeNull();
    expect(marksOf({ low: 1, mid: 0, high: 2 })).toBeNull();
  });
});
