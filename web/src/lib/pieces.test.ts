import { describe, expect, it } from 'vitest';
import { piecesOf } from './pieces';

describe('a track in pieces', () => {
  const times = [0, 1, 2, 3, 4, 5];
  const line = [0, 1, 2, 3, 4, 5];
  it('is cut where the engine stops, without a gap', () => {
    const pieces = piecesOf(times, line, line, [[0, 3]]);
    expect(pieces.map((piece) => [piece.on, piece.points.map(([lat]) => lat)])).toEqual([
      [true, [0, 1, 2]],
      [false, [2, 3, 4, 5]],
    ]);
  });
  it('has a gap where nothing was recorded', () => {
    const pieces = piecesOf(times, [0, 1, null, 3, 4, 5], line, [[0, 9]]);
    expect(pieces.map((piece) => piece.points.length)).toEqual([2, 3]);
  });
});
