import { describe, expect, it } from 'vitest';
import { makeBatch, type Batch, type Draft } from './outbox';
import { boxRefused, markedWith } from './refused';

const batch = (form: string, entries: Draft[], entry: number, box: string): Batch => ({
  ...makeBatch({ book: 'own', form, typed: { mass: 'heavy' }, text: '', entries }, 0),
  refusal: { what: "'heavy kg' does not begin with a number", entry, box },
});

describe('the box that a refusal belongs to', () => {
  it('of the first questions is found by the kind of entry and its word', () => {
    const entries: Draft[] = [
      { kind: 'machine', name: 'M' },
      { kind: 'pilot', name: 'P', mass: 'heavy kg' },
      { kind: 'service', line: 'plug', at: '2026-06-01T12:00:00Z' },
      { kind: 'hours', value: '-4' },
      { kind: 'figure', figure: 'wing_area', value: '26 kg' },
      { kind: 'left', value: '900 L' },
      { kind: 'service_line', line: 'propeller_bolts' },
    ];
    const box = (entry: number, word: string): string => boxRefused(batch('first', entries, entry, word));
    expect([box(0, 'name'), box(1, 'mass'), box(1, 'name'), box(2, 'at'), box(3, 'value'), box(4, 'value'), box(5, 'value'), box(6, '')]).toEqual([
      'machine', 'mass', 'pilot', 'service:plug', 'hours', 'figure:wing_area', 'tank', 'service:propeller_bolts',
    ]);
  });
  it('of the form after a flight is the one it was typed into', () => {
    const entries: Draft[] = [{ kind: 'left', value: '900 L' }, { kind: 'plug', colour: 'tan', wet: true }];
    expect([boxRefused(batch('after', entries, 0, 'value')), boxRefused(batch('after', entries, 1, 'wet'))]).toEqual(['left', 'wet']);
  });
  it('of any other form is named as the word of the entry', () => {
    expect(boxRefused(batch('figure', [{ kind: 'figure', figure: 'wing_area' }], 0, 'value'))).toBe('value');
  });
  it('is none when the server named none', () => {
    expect([boxRefused(batch('first', [{ kind: 'machine' }], -1, '')), boxRefused(batch('after', [], -1, ''))]).toEqual(['', '']);
  });
});

describe('what was typed into a refused form', () => {
  it('stays, with the reason and the box of it', () => {
    expect(markedWith(batch('pilot', [{ kind: 'pilot' }], 0, 'mass'))).toEqual({
      mass: 'heavy',
      refusedBox: 'mass',
      refusedWhat: "'heavy kg' does not begin with a number",
    });
  });
});
