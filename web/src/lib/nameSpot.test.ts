import { describe, expect, it } from 'vitest';
import { nameSpot, type Line } from './nameSpot';

const room = { left: 0, top: 0, width: 200, height: 100 };
const flat = (y: number): Line => Array.from({ length: 201 }, (_, x) => ({ x, y }));

describe('the name of a line', () => {
  it('stands beside its line, not on it', () => {
    const spot = nameSpot(flat(50), [], 40, 14, room);
    expect(spot && (spot.top + 14 < 50 || spot.top > 50)).toBe(true);
  });
  it('keeps off the other line', () => {
    // The other line runs close above: beneath is the only free place.
    const spot = nameSpot(flat(50), [flat(38)], 40, 14, room);
    expect(spot?.top).toBeGreaterThan(50);
  });
  it('goes where the room is', () => {
    const own: Line = Array.from({ length: 201 }, (_, x) => ({ x, y: x < 100 ? (x % 2) * 95 : 60 }));
    expect(nameSpot(own, [], 40, 14, room)?.left).toBeGreaterThanOrEqual(95);
  });
  it('is nowhere for a line without a point', () => {
    expect(nameSpot([null, null], [], 40, 14, room)).toBeNull();
  });
});
