// Numbers as typed: a point or a comma for the decimals, a unit behind it if the owner writes one.
// The page only steps and shows them; what they mean is for the server to say.

export interface Typed {
  value: number;
  /** Digits after the point, as typed. */
  decimals: number;
  /** What stands behind the number, without blanks around it. */
  unit: string;
}

const shape = /^\s*([+-]?\d+)(?:[.,](\d+))?\s*(\D*)\s*$/;

export function readTyped(text: string): Typed | null {
  const found = shape.exec(text);
  if (!found) return null;
  const [, whole = '', fraction = '', unit = ''] = found;
  const value = Number(fraction === '' ? whole : `${whole}.${fraction}`);
  return Number.isFinite(value) ? { value, decimals: fraction.length, unit: unit.trim() } : null;
}

/** The text after one press of a stepper; from `start` when the box is empty. Null when there is no number to step from. */
export function stepped(text: string, by: number, decimals: number, start: number | null, least = 0): string | null {
  const blank = text.trim() === '';
  const typed = !blank ? readTyped(text) : start === null ? null : { value: start, decimals, unit: '' };
  if (!typed) return null;
  const places = Math.max(decimals, typed.decimals);
  const raised = Math.max(least, typed.value + by);
  return raised.toFixed(places) + (typed.unit === '' ? '' : ` ${typed.unit}`);
}

/** With the owner's unit behind a bare number, so that it still means the same if units are changed before it is sent. */
export function withUnit(text: string, unit: string): string {
  const typed = readTyped(text);
  return typed && typed.unit === '' && unit !== '' ? `${text.trim().replace(',', '.')} ${unit}` : text.trim();
}

/** What a bare number of the owner's is measured in; the words of the server's table. */
export type MeasuredIn = 'height' | 'distance' | 'speed' | 'temperature' | 'volume' | 'mass' | 'pressure';
export type OwnUnits = Partial<Record<MeasuredIn, { unit: string }>>;

/** The same by its measure; as typed where the units are not known yet. */
export const inOwn = (text: string, measure: MeasuredIn | undefined, units: OwnUnits): string =>
  measure === undefined ? text : withUnit(text, units[measure]?.unit ?? '');

/** SI to what the owner sees; the table is the server's: si = shown * factor + offset. */
export interface ShownUnit {
  unit: string;
  factor: number;
  offset: number;
  decimals: number;
}

export const shownOf = (si: number, unit: ShownUnit): number => (si - unit.offset) / unit.factor;

/** With so many decimals, and never a minus before nothing. */
export function rounded(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text;
}

/** A unit as it is read: the degree sign stands before C and F. */
export const unitText = (unit: string): string => (unit === 'C' || unit === 'F' ? `°${unit}` : unit);
