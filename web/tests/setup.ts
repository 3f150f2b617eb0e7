// Node 18 has the web's random numbers, but not under their global name.
import { webcrypto } from 'node:crypto';

if (!('crypto' in globalThis)) Object.defineProperty(globalThis, 'crypto', { value: webcrypto });
