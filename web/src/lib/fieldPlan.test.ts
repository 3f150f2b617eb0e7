import { describe, expect, it } from 'vitest';
import { along, planOf } from './fieldPlan';

describe('a field from above', () => {
  it('has north up and east to the right', () => {
    expect(along(0, 100)).toEqual({ x: 0, y: -100 });
    expect(along(90, 100).x).toBeCloseTo(100);
    expect(along(90, 100).y).toBeCloseTo(0);
    expect(along(225, Math.SQRT2).x).toBeCloseTo(-1);
    expect(along(225, Math.SQRT2).y).toBeCloseTo(1);
  });
  it('draws a strip in its length, and one the other way on the same line', () => {
    const plan = planOf([
      { name: '24', towards_deg: 240, length_m: 240, obstacles: [] },
      { name: '06', towards_deg: 60, length_m: 240, obstacles: [] },
    ]);
    const [a, b] = plan?.strips ?? [];
    expect(Math.hypot((a?.to.x ?? 0) - (a?.from.x ?? 0), (a?.to.y ?? 0) - (a?.from.y ?? 0))).toBeCloseTo(240);
    expect(a?.from.x).toBeCloseTo(b?.to.x ?? NaN);
    expect(a?.from.y).toBeCloseTo(b?.to.y ?? NaN);
  });
  it('measures an obstacle from the beginning of its strip', () => {
    const plan = planOf([{ name: 'N', towards_deg: 0, length_m: 100, obstacles: [{ kind: 'trees', distance_m: 120, height_m: 14 }] }]);
    const one = plan?.obstacles[0];
    expect(((one?.a.y ?? 0) + (one?.b.y ?? 0)) / 2).toBeCloseTo(50 - 120);
  });
  it('holds everything in its box', () => {
    const plan = planOf([{ name: 'N', towards_deg: 37, length_m: 180, obstacles: [{ kind: 'wires', distance_m: 260, height_m: 9 }] }]);
    const box = plan?.box ?? { x: 0, y: 0, width: 0, height: 0 };
    for (const spot of plan?.obstacles.flatMap((one) => [one.a, one.b, one.label]) ?? []) {
      expect(spot.x).toBeGreaterThan(box.x);
      expect(spot.x).toBeLessThan(box.x + box.width);
      expect(spot.y).toBeGreaterThan(box.y);
      expect(spot.y).toBeLessThan(box.y + box.height);
    }
  });
  it('is none without a length', () => {
    expect(planOf([{ name: 'N', towards_deg: 0, length_m: 0, obstacles: [] }])).toBeNull();
    expect(planOf([])).toBeNull();
  });
});
