// A long list in blocks: only the blocks near the window are drawn; the others keep their height as empty space.

export interface Block {
  /** First place in the list, and how many. */
  from: number;
  count: number;
}

export function blocksOf(total: number, size: number): Block[] {
  if (total <= 0 || size <= 0) return [];
  return Array.from({ length: Math.ceil(total / size) }, (_, k) => ({ from: k * size, count: Math.min(size, total - k * size) }));
}
