// Where the name of a line is written in a chart: beside its own line, across no line, where there is such a place.
// Pixels, y downward. A line is a row of points, ascending in x; null is a break.

export interface Point {
  x: number;
  y: number;
}
export type Line = readonly (Point | null)[];
export interface Area {
  left: number;
  top: number;
  width: number;
  height: number;
}

const touches = (line: Line, area: Area): number =>
  line.reduce((count, one) => (one && one.x >= area.left && one.x <= area.left + area.width && one.y >= area.top && one.y <= area.top + area.height ? count + 1 : count), 0);

/** Left and top of a name `width` by `height`; null when the line has no point at all. */
export function nameSpot(own: Line, others: readonly Line[], width: number, height: number, room: Area, gap = 6): { left: number; top: number } | null {
  let best: { left: number; top: number; cost: number } | null = null;
  const steps = 24;
  for (let k = 0; k <= steps; k++) {
    const left = room.left + ((room.width - width) * k) / steps;
    const over = own.filter((one): one is Point => one !== null && one.x >= left && one.x <= left + width);
    if (over.length === 0) continue;
    const highest = Math.min(...over.map((one) => one.y));
    const lowest = Math.max(...over.map((one) => one.y));
    const middle = over.reduce((sum, one) => sum + one.y, 0) / over.length;
    for (const top of [highest - gap - height, lowest + gap]) {
      if (top < room.top || top + height > room.top + room.height) continue;
      const area = { left: left - gap, top: top - 2, width: width + 2 * gap, height: height + 4 };
      const crossed = others.reduce((sum, one) => sum + touches(one, area), 0) + touches(own, area);
      // Across nothing first; then near its line; then early in the chart.
      const cost = crossed * 1000 + Math.abs(top + height / 2 - middle) + k * 0.5;
      if (!best || cost < best.cost) best = { left, top, cost };
    }
  }
  if (best) return { left: best.left, top: best.top };
  const any = own.find((one): one is Point => one !== null);
  return any ? { left: Math.min(any.x, room.left + room.width - width), top: Math.max(room.top, any.y - gap - height) } : null;
}
