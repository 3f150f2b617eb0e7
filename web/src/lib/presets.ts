// Units all at once: three usual sets. Each can be changed by itself afterwards. The words are those of the server's table.
import type { Quantity } from '../api/types';

export type Preset = Record<Quantity, string>;

export const presets: Record<'metric' | 'us' | 'uk', Preset> = {
  metric: { height: 'm', distance: 'km', speed: 'km/h', climb: 'm/s', temperature: 'C', volume: 'L', mass: 'kg', pressure: 'hPa' },
  us: { height: 'ft', distance: 'mi', speed: 'mph', climb: 'ft/min', temperature: 'F', volume: 'US gal', mass: 'lb', pressure: 'inHg' },
  uk: { height: 'ft', distance: 'mi', speed: 'mph', climb: 'ft/min', temperature: 'C', volume: 'L', mass: 'kg', pressure: 'hPa' },
};

export type PresetName = keyof typeof presets;

/** What must be set for a preset: only what differs from now and can be chosen. */
export function toSet(name: PresetName, now: Partial<Record<Quantity, string>>, choices: Partial<Record<Quantity, readonly string[]>>): [Quantity, string][] {
  return (Object.entries(presets[name]) as [Quantity, string][]).filter(([quantity, unit]) => now[quantity] !== unit && (choices[quantity] ?? []).includes(unit));
}

export const presetOf = (now: Partial<Record<Quantity, string>>): PresetName | '' =>
  (Object.keys(presets) as PresetName[]).find((name) => Object.entries(presets[name]).every(([quantity, unit]) => now[quantity as Quantity] === unit)) ?? '';
