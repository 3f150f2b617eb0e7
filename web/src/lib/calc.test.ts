import { describe, expect, it } from 'vitest';
import { askedOf, boxOfWhere, calcs } from './calc';
import { labels } from './labels';

describe('the arithmetic', () => {
  it('has a label for each form and each box, and no box twice in a form', () => {
    for (const calc of calcs) {
      expect(labels.calcs[calc.key]).toBeTruthy();
      for (const box of calc.boxes) expect(labels.calcBoxes[box.label]).toBeTruthy();
      expect(new Set(calc.boxes.map((box) => box.key)).size).toBe(calc.boxes.length);
    }
  });
  it('asks with what is filled', () => {
    const run = calcs.find((calc) => calc.key === 'run');
    expect(run && askedOf(run, { mass: ' 120 kg ', wheels: 'yes', slope: '', other: 'x' })).toEqual({ mass: '120 kg', wheels: '1' });
  });
  it('finds the box of an error', () => {
    expect(boxOfWhere('--dew-point')).toBe('dew_point');
    expect(boxOfWhere('mass')).toBe('mass');
  });
});
