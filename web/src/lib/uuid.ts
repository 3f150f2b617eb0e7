// UUIDv7 (RFC 9562, section 5.7): 48 bits of milliseconds since 1970, version 7, 12 + 62 random bits, variant 10.
// The page gives each entry its id before it is sent, so that an entry sent twice is written once.

export type Random = (bytes: Uint8Array) => Uint8Array;

const fromBrowser: Random = (bytes) => crypto.getRandomValues(bytes);

export function uuid7(nowMs: number, random: Random = fromBrowser): string {
  const bytes = random(new Uint8Array(16));
  let rest = Math.floor(nowMs);
  for (let k = 5; k >= 0; k--) {
    bytes[k] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x70;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}
