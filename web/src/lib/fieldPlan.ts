// A field from above, north up, to scale in metres: each strip as a line through one middle, what stands on or behind it as a mark
// across its direction. The book holds directions and lengths, not where strips lie to each other: that is told beside the drawing.

export interface PlanStrip {
  name: string;
  towards_deg: number;
  length_m: number;
  obstacles: readonly { kind: string; distance_m: number; height_m: number }[];
}

export interface Spot {
  x: number;
  y: number;
}

export interface Plan {
  strips: { name: string; from: Spot; to: Spot; nameAt: Spot }[];
  /** `a` to `b` is the mark across the strip; `label` stands beyond it, along the strip. */
  obstacles: { a: Spot; b: Spot; label: Spot; kind: string; height_m: number }[];
  box: { x: number; y: number; width: number; height: number };
  /** A round length for the scale. */
  scale: number;
}

/** x to the east, y to the south, as a drawing has it. Directions are degrees from true north, clockwise. */
export function along(towardsDeg: number, metres: number): Spot {
  const angle = (towardsDeg * Math.PI) / 180;
  return { x: metres * Math.sin(angle), y: -metres * Math.cos(angle) };
}

const add = (a: Spot, b: Spot): Spot => ({ x: a.x + b.x, y: a.y + b.y });

export function planOf(strips: readonly PlanStrip[]): Plan | null {
  const drawn = strips.filter((strip) => Number.isFinite(strip.towards_deg) && Number.isFinite(strip.length_m) && strip.length_m > 0);
  if (drawn.length === 0) return null;
  const longest = Math.max(...drawn.map((strip) => strip.length_m));
  const unit = longest / 100;
  const plan: Plan = { strips: [], obstacles: [], box: { x: 0, y: 0, width: 0, height: 0 }, scale: 0 };
  for (const strip of drawn) {
    const from = along(strip.towards_deg, -strip.length_m / 2);
    const to = along(strip.towards_deg, strip.length_m / 2);
    // The name stands at the beginning, off to the right of who stands there: the other end may be another strip's beginning.
    plan.strips.push({ name: strip.name, from, to, nameAt: add(add(from, along(strip.towards_deg, 8 * unit)), along(strip.towards_deg + 90, 9 * unit)) });
    for (const one of strip.obstacles) {
      if (!Number.isFinite(one.distance_m) || one.distance_m < 0 || one.distance_m > 5 * longest) continue;
      const at = add(from, along(strip.towards_deg, one.distance_m));
      const half = along(strip.towards_deg + 90, 6 * unit);
      plan.obstacles.push({ a: add(at, half), b: add(at, { x: -half.x, y: -half.y }), label: add(at, along(strip.towards_deg, 9 * unit)), kind: one.kind, height_m: one.height_m });
    }
  }
  const spots = [
    ...plan.strips.flatMap((strip) => [strip.from, strip.to, strip.nameAt]),
    ...plan.obstacles.flatMap((one) => [one.a, one.b, one.label]),
  ];
  const [x0, x1] = [Math.min(...spots.map((one) => one.x)), Math.max(...spots.map((one) => one.x))];
  const [y0, y1] = [Math.min(...spots.map((one) => one.y)), Math.max(...spots.map((one) => one.y))];
  const room = 6 * unit;
  const width = Math.max(x1 - x0, 30 * unit) + 2 * room;
  const height = Math.max(y1 - y0, 20 * unit) + 2 * room;
  plan.box = { x: (x0 + x1 - width) / 2, y: (y0 + y1 - height) / 2, width, height };
  plan.scale = [10, 20, 50, 100, 200, 500, 1000].filter((one) => one <= longest / 2).pop() ?? longest / 2;
  return plan;
}
