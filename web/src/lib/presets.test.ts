import { describe, expect, it } from 'vitest';
import { presetOf, presets, toSet } from './presets';

const choices = { height: ['m', 'ft'], speed: ['km/h', 'mph'], mass: ['kg', 'lb'] };

describe('units all at once', () => {
  it('set what differs and can be chosen, nothing else', () => {
    expect(toSet('us', { height: 'ft', speed: 'km/h', mass: 'kg' }, choices)).toEqual([
      ['speed', 'mph'],
      ['mass', 'lb'],
    ]);
  });
  it('are told apart', () => {
    expect(presetOf(presets.uk)).toBe('uk');
    expect(presetOf({ ...presets.uk, mass: 'lb' })).toBe('');
  });
});
