import { describe, expect, it } from 'vitest';
import { boxOf, entriesOf, problemsOf } from './afterFlight';

const units = { temperature: '°C', volume: 'L' };

describe('after the flight', () => {
  it('makes one entry for each box that was filled', () => {
    const typed = { hours: '48,6', head: '197', left: '4.5 L', plug: 'tan', wet: 'dry', seen: 'a loose spring', seenAs: 'deferred' };
    expect(entriesOf(typed, units)).toEqual([
      { kind: 'hours', value: '48.6' },
      { kind: 'head', value: '197 °C' },
      { kind: 'left', value: '4.5 L' },
      { kind: 'plug', colour: 'tan', wet: false },
      { kind: 'finding', text: 'a loose spring', grounding: false },
    ]);
  });
  it('writes nothing that was not looked at', () => {
    expect(entriesOf({ head: '', plug: 'tan' }, units)).toEqual([{ kind: 'plug', colour: 'tan' }]);
  });
  it('asks what a line of text is, so that a finding is not lost among notes', () => {
    expect(problemsOf({ seen: 'a loose spring' })).toEqual([{ box: 'seenAs', what: 'sayWhich' }]);
  });
  it('tells an empty form and a box without a number', () => {
    expect(problemsOf({ hours: ' ' })).toEqual([{ box: '', what: 'nothingTyped' }]);
    expect(problemsOf({ head: 'hot' })).toEqual([{ box: 'head', what: 'noNumber' }]);
    expect(problemsOf({ hours: '41:12' })).toEqual([]);
  });
  it('finds the box of a refused entry', () => {
    expect([boxOf('finding', 'text'), boxOf('plug', 'wet'), boxOf('plug', 'colour')]).toEqual(['seen', 'wet', 'plug']);
  });
});
