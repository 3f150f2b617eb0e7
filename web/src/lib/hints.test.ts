import { describe, expect, it } from 'vitest';
import { calcs } from './calc';
import { hintOfFigure } from './figures';
import { hintIn } from './hints';
import { kinds } from './kinds';
import type { ShownUnit } from './number';
import { todayBoxes } from './today';

// Factors of NIST SP 811, appendix B.8; the server's table holds the same.
const unit = (name: string, factor: number, offset = 0): ShownUnit => ({ unit: name, factor, offset, decimals: 1 });
const metric = { height: unit('m', 1), distance: unit('km', 1000), speed: unit('km/h', 1 / 3.6), temperature: unit('C', 1, 273.15), volume: unit('L', 0.001), mass: unit('kg', 1), pressure: unit('hPa', 100) };
const us = {
  height: unit('ft', 0.3048),
  distance: unit('mi', 1609.344),
  speed: unit('mph', 0.44704),
  temperature: unit('F', 5 / 9, 459.67 * (5 / 9)),
  volume: unit('US gal', 0.003785411784),
  mass: unit('lb', 0.45359237),
  pressure: unit('inHg', 3386.389),
};

describe('the example beside a box', () => {
  it('is in the owner’s units', () => {
    expect(hintIn('180 m', us)).toBe('590 ft');
    expect(hintIn('18 °C', us)).toBe('64 °F');
    expect(hintIn('180 C', us)).toBe('356 °F');
    expect(hintIn('1013 hPa', us)).toBe('29.91 inHg');
    expect(hintIn('8 L', us)).toBe('2.1 US gal');
    expect(hintIn('0.4 kg; 0 takes it off the list', us)).toBe('0.88 lb; 0 takes it off the list');
    expect(hintIn('82 kg, dressed to fly', us)).toBe('180 lb, dressed to fly');
    expect(hintIn('10 km', us)).toBe('6.2 mi');
    expect(hintIn('240/12kt gust 18kt, or calm', us)).toBe('240/14mph gust 21mph, or calm');
    expect(hintIn('230m/12m; 300m/20m: from the beginning, and how tall', us)).toBe('750ft/39ft; 980ft/66ft: from the beginning, and how tall');
  });
  it('is in metric units for who has those', () => {
    expect(hintIn('240/12kt gust 18kt, or calm', metric)).toBe('240/22km/h gust 33km/h, or calm');
    expect(hintIn('180 C', metric)).toBe('180 °C');
    expect(hintIn('180 m', metric)).toBe('180 m');
  });
  it('is as it stands while the units are not known, and where there is no choice of unit', () => {
    expect(hintIn('180 m', {})).toBe('180 m');
    for (const text of ['26 m2', '560 N, or 57 kgf', '45 min in the air', '45 min, or 1h30', '12 h; 0 h when new', '50, or 50:1', '52.31,0.42', 'plug, or a new word of your own: exhaust_springs']) expect(hintIn(text, us)).toBe(text);
  });
  it('holds no metric unit for who has others, in any form', () => {
    const all = [
      ...kinds.flatMap((kind) => kind.words.map((word) => word.hint ?? '')),
      ...todayBoxes.map((box) => box.hint ?? ''),
      ...calcs.flatMap((calc) => calc.boxes.map((box) => box.hint ?? '')),
      ...Object.values(hintOfFigure),
    ];
    expect(all.length).toBeGreaterThan(60);
    expect(all.map((hint) => hintIn(hint, us)).filter((hint) => /\d ?(m|km|km\/h|C|°C|L|mL|kg|hPa|kt)(?![\w/²])/.test(hint))).toEqual([]);
  });
});
