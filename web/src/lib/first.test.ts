import { describe, expect, it } from 'vitest';
import { askedLines, entriesAfter, firstEntries } from './first';

const units = { mass: 'kg', volume: 'L' };

describe('the first questions', () => {
  it('write only what was answered', () => {
    expect(firstEntries({}, units, 'UTC')).toEqual([]);
    expect(firstEntries({ machine: 'Ashleaf', hours: '41,2', mass: '84' }, units, 'UTC')).toEqual([
      { kind: 'machine', name: 'Ashleaf' },
      { kind: 'hours', value: '41.2' },
    ]);
  });
  it('ask for each line once, also before the lines of the book are known', () => {
    expect(askedLines([]).map((one) => one.line)).toEqual(['propeller_bolts']);
    expect(askedLines([{ line: 'reserve_repack' }, { line: 'plug' }]).map((one) => one.line)).toEqual(['plug', 'propeller_bolts', 'reserve_repack']);
  });
  it('date a service by its day on the clocks of the book', () => {
    expect(firstEntries({ 'service:plug': '2026-06-14', 'service:belt': '' }, units, 'Europe/Berlin')).toEqual([
      { kind: 'service', line: 'plug', at: '2026-06-14T10:00:00.000Z' },
    ]);
  });
  it('take what the hour meter showed at a service, once for a day', () => {
    const typed = { 'service:plug': '2026-06-14', 'then:plug': '30,5', 'service:belt': '2026-06-14', 'then:belt': '30.5', 'then:reeds': '12', hours: '42' };
    expect(firstEntries(typed, units, 'UTC').filter((one) => one.kind === 'hours')).toEqual([
      { kind: 'hours', value: '30.5', at: '2026-06-14T12:00:00.000Z' },
      { kind: 'hours', value: '42' },
    ]);
  });
  it('register the machine before anything is said of it', () => {
    const kinds = firstEntries({ hours: '1', 'service:plug': '2026-06-14', machine: 'A', pilot: 'B', mass: '84' }, units, 'UTC');
    expect(kinds.map((one) => one.kind)).toEqual(['machine', 'pilot', 'service', 'hours']);
    expect(kinds[1]).toEqual({ kind: 'pilot', name: 'B', mass: '84 kg' });
  });
  it('make the line of the propeller bolts before its service is written', () => {
    const typed = { 'service:propeller_bolts': '2026-06-14' };
    expect(firstEntries(typed, units, 'UTC')).toEqual([
      { kind: 'service_line', line: 'propeller_bolts', title: 'Propeller bolts: torque', role: 'propeller', running: '5 h' },
    ]);
    expect(entriesAfter(typed, 'UTC', [])).toEqual([{ kind: 'service', line: 'propeller_bolts', at: '2026-06-14T12:00:00.000Z' }]);
    expect(firstEntries(typed, units, 'UTC', ['propeller_bolts'])).toEqual([{ kind: 'service', line: 'propeller_bolts', at: '2026-06-14T12:00:00.000Z' }]);
    expect(entriesAfter(typed, 'UTC', ['propeller_bolts'])).toEqual([]);
  });
  it('give a bare figure its unit', () => {
    expect(firstEntries({ 'figure:wing_area': '26', 'figure:reserve_most': '298', tank: '9' }, { mass: 'lb', volume: 'L' }, 'UTC')).toEqual([
      { kind: 'figure', figure: 'wing_area', value: '26 m2' },
      { kind: 'figure', figure: 'reserve_most', value: '298 lb' },
      { kind: 'left', value: '9 L' },
    ]);
  });
  it('give a bare tank its unit', () => {
    expect(firstEntries({ tank: '9' }, { mass: 'kg', volume: 'L' }, 'UTC')).toEqual([{ kind: 'left', value: '9 L' }]);
  });
});
