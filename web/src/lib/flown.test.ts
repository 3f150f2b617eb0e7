import { describe, expect, it } from 'vitest';
import { flownTold } from './flown';
import { sentences } from './sentences';

const now = Date.parse('2026-06-14T18:30:00Z');
const ago = (minutes: number): number => now - minutes * 60_000;

describe('the list of flights', () => {
  it('is not said to be empty before it was heard', () => {
    expect(flownTold(null, true, 'UTC', now)).toBe(sentences.flightsAsked);
    expect(flownTold(null, false, 'UTC', now)).toBe(sentences.flightsNotLoaded);
  });
  it('is as the server says once it was heard', () => {
    expect(flownTold({ total: 0, at: ago(0), live: true }, false, 'UTC', now)).toBe(sentences.flightCount(0));
    expect(flownTold({ total: 41, at: ago(0), live: true }, false, 'UTC', now)).toBe(sentences.flightCount(41));
  });
  it('says as of when it is when it was kept', () => {
    expect(flownTold({ total: 41, at: ago(90), live: false }, false, 'UTC', now)).toBe(sentences.flightsAsOf('17:00', 41));
    expect(flownTold({ total: 41, at: ago(2), live: false }, false, 'UTC', now)).toBe(sentences.flightCount(41));
  });
  it('never says that no flight is there from a list that was kept', () => {
    expect(flownTold({ total: 0, at: ago(2), live: false }, true, 'UTC', now)).toBe(sentences.flightsAsOf('18:28', 0));
    expect(flownTold({ total: 0, at: ago(24 * 60), live: false }, false, 'UTC', now)).toMatch(/^As of Saturday 13 June.*, 18:30: no flight/);
  });
});
