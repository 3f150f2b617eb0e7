// The arithmetic that can be asked for, as one table: each is a small form whose boxes go to the server as typed. To add one: a line
// here, its label under `calcs` and its boxes under `calcBoxes` in labels.ts.
import type { CalcBoxKey, CalcRoute } from '../api/types';
import type { CalcBoxLabel, CalcLabel } from './labels';

export interface CalcBox {
  /** As its route calls it. */
  key: CalcBoxKey;
  label: CalcBoxLabel;
  hint?: string;
  shape?: 'long' | 'yes' | 'pick' | 'day';
  options?: readonly string[];
  /** A figure of the machine that stands in the box to begin with. */
  figure?: string;
}

export interface Calc {
  key: CalcLabel;
  /** The end of its route. */
  route: CalcRoute;
  boxes: readonly CalcBox[];
}

const height: CalcBox = { key: 'height', label: 'height', hint: '38 m' };
const temperature: CalcBox = { key: 'temperature', label: 'temperature', hint: '18 C' };
const qnh: CalcBox = { key: 'qnh', label: 'qnh', hint: '1013 hPa' };
const mass: CalcBox = { key: 'mass', label: 'mass', hint: '120 kg, all that hangs on the wing and the wing' };
const wingArea: CalcBox = { key: 'wing_area', label: 'wing_area', figure: 'wing_area' };

export const calcs: readonly Calc[] = [
  { key: 'air', route: 'air', boxes: [height, temperature, qnh, { key: 'dew_point', label: 'dew_point', hint: '11 C' }] },
  { key: 'metar', route: 'metar', boxes: [{ key: 'text', label: 'text', shape: 'long' }] },
  {
    key: 'load',
    route: 'load',
    boxes: [
      mass,
      { key: 'wing_mass', label: 'wing_mass', figure: 'wing_mass' },
      wingArea,
      { key: 'wing_least', label: 'wing_least', figure: 'wing_least' },
      { key: 'wing_most', label: 'wing_most', figure: 'wing_most' },
      { key: 'reserve', label: 'reserve', figure: 'reserve_most' },
      { key: 'harness', label: 'harness', figure: 'harness_most' },
      { key: 'carabiners', label: 'carabiners', figure: 'carabiners_most' },
      { key: 'before', label: 'before', hint: '112 kg' },
      height,
      temperature,
    ],
  },
  {
    key: 'run',
    route: 'run',
    boxes: [
      mass,
      wingArea,
      { key: 'thrust', label: 'thrust', figure: 'static_thrust' },
      { key: 'propeller', label: 'propeller', figure: 'propeller_diameter' },
      { key: 'headwind', label: 'headwind', hint: '8 km/h' },
      { key: 'slope', label: 'slope', hint: '2 is up 2 per cent, -2 down' },
      { key: 'surface', label: 'surface', shape: 'pick', options: ['short grass', 'long grass', 'hard', 'sand', 'stones', 'stubble'] },
      { key: 'strip', label: 'strip', hint: '180 m' },
      { key: 'obstacle', label: 'obstacles', hint: '230m/12m; 300m/20m: from the beginning, and how tall' },
      height,
      temperature,
      qnh,
      { key: 'wheels', label: 'wheels', shape: 'yes' },
    ],
  },
  {
    key: 'turn_back',
    route: 'turn-back',
    boxes: [
      { key: 'track', label: 'track', hint: '250, the way out, in degrees from true north' },
      { key: 'airspeed', label: 'airspeed', hint: '38 km/h, trim' },
      { key: 'wind', label: 'wind', hint: '240/12kt' },
      { key: 'endurance', label: 'endurance', hint: '1h30, what the tank gives without what is held back' },
      { key: 'distance', label: 'distance', hint: '15 km' },
    ],
  },
  {
    key: 'sun',
    route: 'sun',
    boxes: [
      { key: 'latitude', label: 'latitude', hint: '52.31' },
      { key: 'longitude', label: 'longitude', hint: '0.42; west is below zero' },
      { key: 'date', label: 'date', shape: 'day' },
    ],
  },
];

/** What is asked: the boxes that are filled; a flag is 1. */
export function askedOf(calc: Calc, typed: Record<string, string>): Partial<Record<CalcBoxKey, string>> {
  const asked: Partial<Record<CalcBoxKey, string>> = {};
  for (const box of calc.boxes) {
    const value = (typed[box.key] ?? '').trim();
    if (value !== '') asked[box.key] = box.shape === 'yes' ? '1' : value;
  }
  return asked;
}

/** The box an error is about: the server names it as it was asked, or as the option of the command, "--dew-point". */
export const boxOfWhere = (where: string): string => where.replace(/^--/, '').replaceAll('-', '_');
