import { describe, expect, it } from 'vitest';
import { clockAt, nearest, nextPlace, runs, timeStep } from './strip';

describe('the strip', () => {
  it('finds the moment that was tapped', () => {
    const times = [0, 1, 2, 10, 11];
    expect([-5, 0.4, 1.6, 5, 7, 99].map((at) => nearest(times, at))).toEqual([0, 0, 2, 2, 3, 4]);
    expect(nearest([], 3)).toBe(-1);
    expect(nearest([7], 3)).toBe(0);
  });
  it('knows whether the engine ran', () => {
    expect([-1, 0, 9, 10, 25].map((at) => runs([[0, 10], [20, 30]], at))).toEqual([false, true, true, false, true]);
  });
  it('tells the clock where the flight was', () => {
    expect(clockAt('2026-06-14T22:59:30Z', 90, 120)).toBe('01:01:00');
    expect(clockAt('2026-06-14T00:10:00Z', 0, -60)).toBe('23:10:00');
  });
  it('has round steps for short and long flights', () => {
    expect([timeStep(300, 5), timeStep(3600, 6), timeStep(10_800, 6)]).toEqual([60, 600, 1800]);
  });
});

describe('going through a chart without a touch', () => {
  it('begins at the end it goes from, and stays within', () => {
    expect([nextPlace(-1, -1, 5), nextPlace(-1, 1, 5), nextPlace(2, 1, 5), nextPlace(4, 1, 5), nextPlace(1, -3, 5), nextPlace(-1, 1, 0)]).toEqual([4, 0, 3, 4, 0, -1]);
  });
});
