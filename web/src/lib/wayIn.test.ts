import { describe, expect, it } from 'vitest';
import { kindOf } from './kinds';
import { readRoute } from './route';
import { todayBoxes } from './today';
import { addressOfWay, everyRow, wayOfNext, waysIn, type FormWay, type Known } from './wayIn';

/** A kind of entry, a figure, or the day a part was made. */
const formOf = (way: FormWay): boolean => 'figure' in way || way.kind === 'made' || kindOf(way.kind) !== null;

const allFigures = ['machine_mass', 'wing_mass', 'wing_area', 'wing_most', 'reserve_most', 'harness_most', 'carabiners_most', 'static_thrust'];
/** As a fresh book: nothing is known. */
const empty: Known = { said: {}, figures: [], fields: [], pilotMass: false, parts: [] };
const meadow = { name: 'Meadow', place: true, height: true, strips: [{ name: '24', walked: true }, { name: '06', walked: false }] };
/** A book in use: all figures, one field. */
const full: Known = { said: {}, figures: allFigures, fields: [meadow], pilotMass: true, parts: [{ id: '01', role: 'reserve', fitted: true, made: true }] };
const saying = (said: Record<string, string>, known = full): Known => ({ ...known, said });

describe('the way from a row to its box', () => {
  it('leads to boxes and forms that exist, with the words they take', () => {
    for (const known of [empty, full, saying({ field: 'Meadow', strip: '06' }), saying({ field: 'Meadow', strip: '24', wind: 'calm' })])
      for (const id of [...everyRow, 'service:plug:01', 'finding:01']) {
        const ways = waysIn(id, known);
        expect(ways.length, id).toBeGreaterThan(0);
        expect(ways.length, id).toBeLessThanOrEqual(3);
        for (const way of ways) {
          if ('today' in way) expect(todayBoxes.map((box) => box.key)).toContain(way.today);
          else if ('kind' in way) {
            expect(formOf(way), `${id}: ${way.kind}`).toBe(true);
            const words = kindOf(way.kind)?.words.map((word) => word.key) ?? ['part'];
            for (const key of Object.keys(way.given ?? {})) expect(words, `${id}: ${way.kind}`).toContain(key);
          }
        }
      }
  });
  it('chooses the figure', () => {
    const way = waysIn('load_on_reserve', { ...full, figures: [] })[0];
    expect(way && 'figure' in way && readRoute(addressOfWay(way))).toEqual({ place: 'enter', what: 'figure', given: { figure: 'reserve_most' } });
  });
  it('reads the line and the part of a service', () => {
    expect(waysIn('service:reserve_repack', full)).toEqual([{ kind: 'service', given: { line: 'reserve_repack' } }]);
    expect(waysIn('service:plug:01', full)).toEqual([{ kind: 'service', given: { line: 'plug', part: '01' } }]);
  });
  it('never asks again for a load that is known', () => {
    const reserve = { figure: 'reserve_most' };
    expect(waysIn('load_on_reserve', { ...full, figures: allFigures.filter((one) => one !== 'reserve_most') })).toContainEqual(reserve);
    for (const said of [{}, { field: 'Meadow' }, { field: 'Meadow', temperature: '18 C' }] as Record<string, string>[])
      expect(waysIn('load_on_reserve', saying(said))).not.toContainEqual(reserve);
    // The air is known from the height of the field on: that is what lacks.
    expect(waysIn('load_on_reserve', full)).toEqual([{ today: 'field' }]);
    for (const key of ['wing_most', 'harness_most', 'carabiners_most'])
      for (const id of ['load_on_wing', 'load_on_harness', 'load_on_carabiners']) expect(waysIn(id, full)).not.toContainEqual({ figure: key });
  });
  it('leads from a strip that nobody walked to its obstacles and to the walk, of that field', () => {
    const given = { field: 'Meadow', strip: '06' };
    expect(waysIn('take_off_room', saying({ field: 'Meadow', strip: '06', wind: 'calm' }))).toEqual([
      { kind: 'obstacle', given },
      { kind: 'walked', given },
    ]);
    expect(waysIn('take_off_room', saying({ field: 'Meadow', strip: '24' }))).toEqual([{ today: 'wind' }]);
  });
  it('leads to the field first, to one that is there or to a new one', () => {
    expect(waysIn('take_off_room', full)[0]).toEqual({ today: 'field' });
    expect(waysIn('take_off_room', empty)[0]).toEqual({ kind: 'field' });
    expect(waysIn('light', saying({ field: 'Meadow' }, { ...full, fields: [{ ...meadow, place: false }] }))).toEqual([{ kind: 'field', given: { field: 'Meadow' } }]);
    expect(waysIn('take_off_room', saying({ field: 'Meadow' }, { ...full, fields: [{ ...meadow, strips: [] }] }))[0]).toEqual({ kind: 'strip', given: { field: 'Meadow' } });
  });
  it('asks for the date of the reserve that is fitted, and for a new one only when there is none or its life is over', () => {
    const parts = [{ id: '07', role: 'reserve', fitted: true, made: false }];
    expect(waysIn('service:reserve_life', { ...full, parts })).toEqual([{ kind: 'made', given: { part: '07' } }]);
    expect(waysIn('service:reserve_life', empty)).toEqual([{ kind: 'part', given: { role: 'reserve' } }]);
    expect(waysIn('service:reserve_life', full)).toEqual([{ kind: 'part', given: { role: 'reserve' } }]);
  });
  it('leads to saying it anew when everything is there', () => {
    expect(waysIn('wind_mean', saying({ wind: 'calm' }))).toEqual([{ today: 'wind' }, { figure: 'limit_wind' }]);
  });
  it('is none for a row that is none', () => {
    for (const id of ['', 'toString', 'route', 'service:', 'constructor']) expect(waysIn(id, full)).toEqual([]);
  });
});

describe('the way to what is worth entering next', () => {
  const now = {
    findings: [{ id: '05', grounding: false, text: 'a frayed cord' }, { id: '06', grounding: true, text: 'a crack' }],
    service_lines: [{ line: 'belt', title: 'Belt: tension' }, { line: 'belt_first', title: 'New belt: tension again' }, { line: 'reserve_repack', title: 'Reserve: repack' }],
  };
  const way = (what: string, text = ''): ReturnType<typeof wayOfNext> => wayOfNext({ what, text, at: null, part: null }, now, empty, 'UTC');

  it('leads to a form that exists', () => {
    for (const what of ['first_recording', 'close_finding', 'hours', 'fuel_left', 'fuel_mixed', 'part_made', 'service', 'drill', 'flights', 'machine', 'pilot']) {
      const found = way(what);
      expect(found && formOf(found), what).toBe(true);
    }
    expect(way('nothing')).toBeNull();
    expect(way('toString')).toBeNull();
  });
  it('begins with what is meant', () => {
    expect(way('close_finding')).toEqual({ kind: 'closed', given: { finding: '06' } });
    expect(way('service', 'When was "Reserve: repack" last done?')).toEqual({ kind: 'service', given: { line: 'reserve_repack' } });
    expect(way('drill')).toEqual({ kind: 'drill', given: { drill: 'reserve' } });
    expect(
      wayOfNext({ what: 'use_since', text: '', at: '2026-06-14T12:00:00Z', part: 'wing' }, now, { ...empty, parts: [{ id: '08', role: 'wing', fitted: true, made: true }] }, 'UTC'),
    ).toEqual({ kind: 'hours', given: { at: '2026-06-14T12:00', part: '08' } });
    expect(wayOfNext({ what: 'part_made', text: '', at: null, part: null }, now, { ...empty, parts: [{ id: '07', role: 'reserve', fitted: true, made: false }] }, 'UTC')).toEqual({ kind: 'made', given: { part: '07' } });
  });
});
