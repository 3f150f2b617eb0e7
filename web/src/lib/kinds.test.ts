import { describe, expect, it } from 'vitest';
import { entryOf, kindOf, kinds, missingOf } from './kinds';
import { labels } from './labels';

describe('the kinds of entries', () => {
  it('have a label each, for themselves and for every box', () => {
    for (const kind of kinds) {
      expect(labels.kinds[kind.key]).toBeTruthy();
      for (const word of kind.words) expect(labels.words[word.label]).toBeTruthy();
    }
    expect(kinds.map((kind) => kind.key).sort()).toEqual(Object.keys(labels.kinds).sort());
  });
  it('tell what is missing', () => {
    const finding = kindOf('finding');
    expect(finding && missingOf(finding, { text: '  ' })).toEqual(['text']);
    expect(finding && missingOf(finding, { text: 'a loose spring' })).toEqual([]);
  });
  it('hold only what was filled in', () => {
    const finding = kindOf('finding');
    expect(finding && entryOf(finding, { text: ' a loose spring ', grounding: 'yes', part: '' }, 'UTC')).toEqual({
      kind: 'finding',
      text: 'a loose spring',
      grounding: true,
    });
  });
  it('hold the time as UTC', () => {
    const run = kindOf('run');
    expect(run && entryOf(run, { value: '12 min', at: '2026-06-14T18:30' }, 'Europe/Berlin').at).toBe('2026-06-14T16:30:00.000Z');
  });
  it('hold a bare number with the unit it was typed in', () => {
    const us = { temperature: { unit: 'F' }, volume: { unit: 'US gal' }, mass: { unit: 'lb' }, height: { unit: 'ft' }, speed: { unit: 'mph' } };
    const made = (key: string, typed: Record<string, string>): unknown => {
      const kind = kindOf(key);
      return kind && entryOf(kind, typed, 'UTC', us);
    };
    expect(made('head', { value: '380' })).toEqual({ kind: 'head', value: '380 F' });
    expect(made('filled', { value: '1,5', tank: '2 L' })).toEqual({ kind: 'filled', value: '1.5 US gal', tank: '2 L' });
    expect(made('mixed', { value: '3', ratio: '50', oil: '200 mL' })).toEqual({ kind: 'mixed', value: '3 US gal', ratio: '50', oil: '200 mL' });
    expect(made('take_off_run', { distance: '120', headwind: '5', surface: 'hard' })).toEqual({ kind: 'take_off_run', distance: '120 ft', headwind: '5 mph', surface: 'hard' });
    expect(made('strip', { field: '7', strip: '24', towards: '240', length: '600', slope: '2' })).toEqual({ kind: 'strip', field: '7', strip: '24', towards: '240', length: '600 ft', slope: '2' });
    expect(made('figure', { figure: 'machine_mass', value: '64' })).toEqual({ kind: 'figure', figure: 'machine_mass', value: '64 lb' });
    expect(made('figure', { figure: 'wing_area', value: '26' })).toEqual({ kind: 'figure', figure: 'wing_area', value: '26' });
  });
  it('hold hours, minutes, counts and money as they were typed', () => {
    for (const [key, value] of [['hours', '41.2'], ['flight', '0.75'], ['run', '0.2'], ['spent', '24.90']] as const) {
      const kind = kindOf(key);
      expect(kind && entryOf(kind, { value }, 'UTC', { volume: { unit: 'L' }, height: { unit: 'm' } })['value']).toBe(value);
    }
  });
  it('are none for a name that is none', () => {
    expect(kindOf('toString')).toBeNull();
  });
});
