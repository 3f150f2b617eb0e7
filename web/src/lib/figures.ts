import type { MeasuredIn } from './number';

// The figures of the machine and the owner's rules, in groups to be read; one that is in none stands among the rules.
export const figureGroups = ['loads', 'engine', 'rules'] as const;
export type FigureGroup = (typeof figureGroups)[number];

const groupOf: Record<string, FigureGroup> = {
  machine_mass: 'loads',
  wing_mass: 'loads',
  wing_area: 'loads',
  wing_least: 'loads',
  wing_most: 'loads',
  reserve_most: 'loads',
  harness_most: 'loads',
  carabiners_most: 'loads',
  static_thrust: 'engine',
  propeller_diameter: 'engine',
  tank_holds: 'engine',
  unusable_fuel: 'engine',
};

export const groupOfFigure = (key: string): FigureGroup => (Object.hasOwn(groupOf, key) ? (groupOf[key] ?? 'rules') : 'rules');

/** A figure as the server tells it, as it can be typed: "26 m²" is typed "26 m2", "29.00 kg" "29 kg", "180 °C" "180 C". */
export function typedOf(text: string): string {
  return text
    .replace(/²/g, '2')
    .replace(/°/g, '')
    .replace(/(\.\d*?)0+(?=\s|$)/, '$1')
    .replace(/\.(?=\s|$)/, '');
}

/** The unit a bare figure is written in, where the server does not take the owner's; shown as the hint of its box. */
export const hintOfFigure: Record<string, string> = {
  wing_area: '26 m2',
  static_thrust: '560 N, or 57 kgf',
  tank_holds: '11 L',
  unusable_fuel: '0.3 L',
  machine_mass: '29 kg',
  wing_mass: '5.8 kg',
  wing_least: '95 kg',
  wing_most: '140 kg',
  reserve_most: '135 kg',
  harness_most: '150 kg',
  carabiners_most: '1800 kg',
  propeller_diameter: '1.25 m',
  step_length: '0.8 m',
  limit_wind: '18 km/h',
  limit_gust_spread: '10 km/h',
  limit_crosswind: '10 km/h',
  limit_head: '200 C',
  light_before_sunrise: '30 min',
  light_after_sunset: '30 min',
  least_visibility: '5 km',
  least_cloud_base: '300 m',
};

/** What a bare figure is measured in, where the owner's unit is taken for it; areas, thrusts and minutes have no choice of unit. */
const measures: Record<string, MeasuredIn> = {
  tank_holds: 'volume',
  unusable_fuel: 'volume',
  machine_mass: 'mass',
  wing_mass: 'mass',
  wing_least: 'mass',
  wing_most: 'mass',
  reserve_most: 'mass',
  harness_most: 'mass',
  carabiners_most: 'mass',
  propeller_diameter: 'height',
  step_length: 'height',
  limit_wind: 'speed',
  limit_gust_spread: 'speed',
  limit_crosswind: 'speed',
  limit_head: 'temperature',
  least_visibility: 'height',
  least_cloud_base: 'height',
};

export const measureOfFigure = (key: string): MeasuredIn | undefined => (Object.hasOwn(measures, key) ? measures[key] : undefined);
