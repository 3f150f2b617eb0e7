import { describe, expect, it } from 'vitest';
import { measureMarks, roundSteps } from './scale';

describe('scales', () => {
  it('have round steps', () => {
    expect(roundSteps(0, 30, 3)).toEqual([0, 10, 20, 30]);
    expect(roundSteps(0, 0.7, 4)).toEqual([0, 0.2, 0.4, 0.6]);
    expect(roundSteps(-12, 26, 4)).toEqual([-10, 0, 10, 20]);
    expect(roundSteps(5, 5, 3)).toEqual([]);
  });
  it('keep every mark of a measure inside its row', () => {
    const marks = measureMarks({ low: 190, mid: 197, high: 204 }, { low: 178, mid: 184, high: 190 });
    expect(marks.usual).toEqual({ from: 12, to: 12 + (12 / 26) * 76 });
    expect(marks.today?.to).toBeCloseTo(88);
  });
  it('draw what there is when the other is not known', () => {
    expect(measureMarks(null, null)).toEqual({ usual: null, today: null });
    expect(measureMarks({ low: 1, mid: 1, high: 1 }, null).today?.middle).toBe(50);
  });
});
