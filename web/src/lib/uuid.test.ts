import { describe, expect, it } from 'vitest';
import { uuid7 } from './uuid';

describe('uuid7', () => {
  it('gives the example of RFC 9562, appendix A.6', () => {
    // 017F22E2-79B0-7CC3-98C4-DC0C0C07398F: 2022-02-22T19:22:22Z, rand_a CC3, rand_b 18C4DC0C0C07398F.
    const random = (bytes: Uint8Array): Uint8Array => {
      bytes.set([0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
      return bytes;
    };
    expect(uuid7(Date.UTC(2022, 1, 22, 19, 22, 22), random)).toBe('017f22e2-79b0-7cc3-98c4-dc0c0c07398f');
  });
  it('sorts by the time it was made', () => {
    expect(uuid7(1_000) < uuid7(1_001)).toBe(true);
  });
  it('is never the same twice', () => {
    expect(new Set(Array.from({ length: 1000 }, () => uuid7(5))).size).toBe(1000);
  });
});
