// The examples beside the boxes are written down once, in metric units and knots, and told in the units that the owner has chosen.
import { rounded, shownOf, unitText, type MeasuredIn, type ShownUnit } from './number';

export type UnitTable = Partial<Record<MeasuredIn, ShownUnit>>;

/** What the units of the examples are of, and what one of each is in SI. */
const written: Record<string, { measure: MeasuredIn; factor: number; offset?: number }> = {
  m: { measure: 'height', factor: 1 },
  km: { measure: 'distance', factor: 1000 },
  'km/h': { measure: 'speed', factor: 1 / 3.6 },
  kt: { measure: 'speed', factor: 1852 / 3600 },
  C: { measure: 'temperature', factor: 1, offset: 273.15 },
  L: { measure: 'volume', factor: 0.001 },
  mL: { measure: 'volume', factor: 0.000001 },
  kg: { measure: 'mass', factor: 1 },
  hPa: { measure: 'pressure', factor: 100 },
};
const example = /(\d+(?:\.\d+)?)( ?)°?(km\/h|km|kt|kg|hPa|mL|m|C|L)(?![\w/²])|(\d+(?:\.\d+)?)( ?)(m)(?=\/\d)/g;

/** As an example is told: two figures, more where a unit needs them. */
function round(value: number, measure: MeasuredIn): string {
  if (measure === 'temperature') return rounded(value, 0);
  if (measure === 'pressure') return String(Number(value.toPrecision(4)));
  return String(Number(value.toPrecision(2)));
}

export function hintIn(hint: string, units: UnitTable): string {
  return hint.replace(example, (text: string, ...found: (string | undefined)[]) => {
    const [number, space = '', unit = ''] = found[0] === undefined ? found.slice(3, 6) : found.slice(0, 3);
    const from = written[unit];
    const own = from && units[from.measure];
    if (!from || !own) return text;
    if (own.unit === unit) return `${number}${space}${unitText(unit)}`;
    // Oil by the millilitre stays so for who measures in litres.
    if (unit === 'mL' && own.unit === 'L') return text;
    return `${round(shownOf(Number(number) * from.factor + (from.offset ?? 0), own), from.measure)}${space}${unitText(own.unit)}`;
  });
}
