// The first sentence of the brief as its heading. A long list makes no heading: its first stands there, the others right under it.
import { sentences } from './sentences';

const longest = 64;

export function headingOf(line: string): { head: string; also: string[] } {
  const cut = line.indexOf(': ');
  const [first = '', ...also] = line.slice(cut + 2).replace(/\.$/, '').split('; ');
  if (line.length <= longest || cut < 0 || also.length === 0) return { head: line, also: [] };
  return { head: sentences.andMore(line.slice(0, cut + 2) + first, also.length), also };
}
