import { describe, expect, it } from 'vitest';
import { headingOf } from './heading';

describe('the heading of the brief', () => {
  it('is the first sentence when that is short', () => {
    expect(headingOf('Take-off room is thin: 1 in 9 not to clear the hedge.')).toEqual({ head: 'Take-off room is thin: 1 in 9 not to clear the hedge.', also: [] });
    expect(headingOf('Short: Propeller bolts: torque; Reserve: repack.')).toEqual({ head: 'Short: Propeller bolts: torque; Reserve: repack.', also: [] });
  });
  it('names the first of a long list, and says how many follow', () => {
    const told = headingOf('Not known, and it can hurt: Light until the landing; Load on the reserve; Take-off room; Wind aloft against trim speed; Mean wind.');
    expect(told.head).toBe('Not known, and it can hurt: Light until the landing, and 4 more.');
    expect(told.also).toEqual(['Load on the reserve', 'Take-off room', 'Wind aloft against trim speed', 'Mean wind']);
  });
  it('is whole when it is long and no list', () => {
    const long = 'Propeller bolts are sixteen minutes past the limit that you have set yourself for them, and nothing else is short.';
    expect(headingOf(long)).toEqual({ head: long, also: [] });
  });
});
