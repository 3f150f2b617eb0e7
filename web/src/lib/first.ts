// The first questions, as entries. What is left out is not written: it is then assumed, and said so.
import { withUnit } from './number';
import type { Draft } from './outbox';
import { utcOf } from './time';

/** A line the usual list lacks and nearly every owner keeps; the interval is common practice, and is told beside its box. */
export const boltsLine = { line: 'propeller_bolts', title: 'Propeller bolts: torque', role: 'propeller', running: '5 h' } as const;

/** Asked at once; the other lines are asked for in a fold. */
export const firstLines: readonly string[] = ['plug', boltsLine.line, 'reserve_repack'];

/** Those of them that the book has, and the bolts anyway; before the lines of the book are known, the bolts alone. */
export const askedLines = <T extends { line: string }>(lines: readonly T[]): (T | typeof boltsLine)[] =>
  firstLines.flatMap<T | typeof boltsLine>((line) => lines.find((one) => one.line === line) ?? (line === boltsLine.line ? boltsLine : []));

/** Figures that may wait. */
export const laterFigures = ['wing_area', 'wing_most', 'machine_mass', 'wing_mass', 'reserve_most', 'tank_holds'] as const;

const text = (typed: Record<string, string>, key: string): string => (typed[key] ?? '').trim();
const noon = (day: string, zone: string): string | null => (day === '' ? null : utcOf(`${day}T12:00`, zone));

/** The day of a service is taken as its noon on the clocks of the book. `known`: the service lines of the book. */
export function firstEntries(
  typed: Record<string, string>,
  units: { mass: string; volume: string },
  zone: string,
  known: readonly string[] = [],
): Draft[] {
  const entries: Draft[] = [];
  const said = (key: string): string => text(typed, key);
  if (said('machine') !== '') entries.push({ kind: 'machine', name: said('machine') });
  if (said('pilot') !== '') {
    const pilot: Draft = { kind: 'pilot', name: said('pilot') };
    if (said('mass') !== '') pilot['mass'] = withUnit(said('mass'), units.mass);
    entries.push(pilot);
  }
  if (said(`service:${boltsLine.line}`) !== '' && !known.includes(boltsLine.line)) entries.push({ kind: 'service_line', ...boltsLine });
  for (const [key, value] of Object.entries(typed)) {
    const line = /^service:(.+)$/.exec(key)?.[1];
    const at = line === undefined ? null : noon(value, zone);
    if (line !== undefined && at !== null && (line !== boltsLine.line || known.includes(line))) entries.push({ kind: 'service', line, at });
  }
  // What the meter showed then: hours since are counted from it. The same day's is written once.
  const days = new Map<string, string>();
  for (const [key, value] of Object.entries(typed)) {
    const line = /^then:(.+)$/.exec(key)?.[1];
    const at = line === undefined ? null : noon(said(`service:${line}`), zone);
    if (at !== null && value.trim() !== '') days.set(at, value.trim().replace(',', '.'));
  }
  for (const [at, value] of days) entries.push({ kind: 'hours', value, at });
  if (said('hours') !== '') entries.push({ kind: 'hours', value: said('hours').replace(',', '.') });
  for (const figure of laterFigures) {
    const value = said(`figure:${figure}`);
    if (value !== '') entries.push({ kind: 'figure', figure, value: withUnit(value, figure === 'wing_area' ? 'm2' : figure === 'tank_holds' ? units.volume : units.mass) });
  }
  if (said('tank') !== '') entries.push({ kind: 'left', value: withUnit(said('tank'), units.volume) });
  return entries;
}

/** The box that an entry of the first questions came from. */
export function boxOfFirst(entry: { kind: string; [word: string]: unknown }, word: string): string {
  if (entry.kind === 'pilot') return word === 'mass' ? 'mass' : 'pilot';
  if (entry.kind === 'service' || entry.kind === 'service_line') return `service:${String(entry['line'])}`;
  if (entry.kind === 'figure') return `figure:${String(entry['figure'])}`;
  return entry.kind === 'left' ? 'tank' : ['machine', 'hours'].includes(entry.kind) ? entry.kind : '';
}

/** What can only be written once the line before it is in the book. */
export function entriesAfter(typed: Record<string, string>, zone: string, known: readonly string[]): Draft[] {
  const at = noon(text(typed, `service:${boltsLine.line}`), zone);
  return at === null || known.includes(boltsLine.line) ? [] : [{ kind: 'service', line: boltsLine.line, at }];
}
