import { describe, expect, it } from 'vitest';
import { readTyped, rounded, shownOf, stepped, unitText, withUnit } from './number';

describe('numbers as typed', () => {
  it('reads a point and a comma alike', () => {
    expect(readTyped('48.6')).toEqual({ value: 48.6, decimals: 1, unit: '' });
    expect(readTyped(' 4,50 L ')).toEqual({ value: 4.5, decimals: 2, unit: 'L' });
  });
  it('takes no number from words or from two numbers', () => {
    for (const text of ['', 'x', '1 2', '41:12', '1.2.3', '--1']) expect(readTyped(text)).toBeNull();
  });
  it('steps without the dust of binary fractions', () => {
    expect(stepped('0.1', 0.2, 1, null)).toBe('0.3');
    expect(stepped('48,6', 0.1, 1, null)).toBe('48.7');
  });
  it('starts from the last value in an empty box and never goes below the least', () => {
    expect(stepped('', 0.1, 1, 47.6)).toBe('47.7');
    expect(stepped('0.2', -0.5, 1, null)).toBe('0.0');
  });
  it('invents no value in an empty box without a last one', () => {
    expect(stepped('', 1, 0, null)).toBeNull();
    expect(stepped('  ', -1, 0, null)).toBeNull();
    expect(stepped('', 0.5, 1, 0)).toBe('0.5');
  });
  it('leaves what is no number alone', () => {
    expect(stepped('41:12', 0.1, 1, null)).toBeNull();
  });
  it('keeps a unit that was typed', () => {
    expect(stepped('388 F', 1, 0, null)).toBe('389 F');
    expect(withUnit('388F', '°C')).toBe('388F');
    expect(withUnit('198', '°C')).toBe('198 °C');
    expect(withUnit('41:12', 'h')).toBe('41:12');
  });
  it('writes degrees as degrees', () => {
    expect([unitText('C'), unitText('F'), unitText('km/h')]).toEqual(['°C', '°F', 'km/h']);
  });
  it('has no minus before nothing', () => {
    expect([rounded(-0.04, 1), rounded(-0.06, 1), rounded(386.4, 0)]).toEqual(['0.0', '-0.1', '386']);
  });
  it('turns SI into the owner’s unit (NIST SP 811: 273.15 K is 0 °C and 32 °F)', () => {
    expect(shownOf(273.15, { unit: '°C', factor: 1, offset: 273.15, decimals: 0 })).toBeCloseTo(0, 9);
    expect(shownOf(273.15, { unit: '°F', factor: 5 / 9, offset: 459.67 * (5 / 9), decimals: 0 })).toBeCloseTo(32, 9);
  });
});
