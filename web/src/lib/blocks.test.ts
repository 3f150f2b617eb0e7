import { describe, expect, it } from 'vitest';
import { blocksOf } from './blocks';

describe('a list in blocks', () => {
  it('leaves none out and holds none twice', () => {
    for (const total of [0, 1, 49, 50, 51, 10_000]) {
      const places = blocksOf(total, 50).flatMap((block) => Array.from({ length: block.count }, (_, k) => block.from + k));
      expect(places).toEqual(Array.from({ length: total }, (_, k) => k));
    }
  });
});
