import { describe, expect, it } from 'vitest';
import { groupOfFigure, typedOf } from './figures';

describe('the figures', () => {
  it('stand in their group, an unknown one among the rules', () => {
    expect(groupOfFigure('wing_most')).toBe('loads');
    expect(groupOfFigure('static_thrust')).toBe('engine');
    expect(groupOfFigure('limit_wind')).toBe('rules');
    expect(groupOfFigure('toString')).toBe('rules');
  });
  it('are typed without what a keyboard lacks', () => {
    expect(typedOf('26 m²')).toBe('26 m2');
    expect(typedOf('29.00 kg')).toBe('29 kg');
    expect(typedOf('5.80 kg')).toBe('5.8 kg');
    expect(typedOf('1800.00 kg')).toBe('1800 kg');
    expect(typedOf('180 °C')).toBe('180 C');
    expect(typedOf('560 N')).toBe('560 N');
    expect(typedOf('1 h 30 min')).toBe('1 h 30 min');
  });
});
