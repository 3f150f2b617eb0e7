// A track in pieces: cut where a fix is missing and where the engine starts or stops, so that each piece is drawn in one manner.
import { runs } from './strip';

export interface Piece {
  on: boolean;
  points: [number, number][];
}

export function piecesOf(
  times: readonly number[],
  latitude: readonly (number | null)[],
  longitude: readonly (number | null)[],
  engineOn: readonly (readonly [number, number])[],
): Piece[] {
  const pieces: Piece[] = [];
  let now = null as Piece | null;
  for (const [k, time] of times.entries()) {
    const lat = latitude[k] ?? null;
    const lon = longitude[k] ?? null;
    if (lat === null || lon === null) {
      now = null;
      continue;
    }
    const on = runs(engineOn, time);
    if (!now || now.on !== on) {
      // The new piece begins where the one before it ended, so that no gap is drawn that was not flown.
      const joint: [number, number] | undefined = now?.points[now.points.length - 1];
      now = { on, points: joint ? [joint] : [] };
      pieces.push(now);
    }
    now.points.push([lat, lon]);
  }
  return pieces.filter((piece) => piece.points.length > 1);
}
