import { describe, expect, it } from 'vitest';
import { kindOf } from './kinds';
import { readRoute } from './route';
import { todayBoxes } from './today';
import { addressOfWay, everyWay, stillOpen, wayOfNext, waysIn } from './wayIn';

describe('the way from a row to its box', () => {
  it('leads to boxes and forms that exist', () => {
    for (const way of everyWay) {
      if ('today' in way) expect(todayBoxes.map((box) => box.key)).toContain(way.today);
      else if ('kind' in way) expect(kindOf(way.kind), way.kind).not.toBeNull();
    }
  });
  it('chooses the figure', () => {
    const way = waysIn('load_on_reserve')[1];
    expect(way && 'figure' in way && readRoute(addressOfWay(way))).toEqual({ place: 'enter', what: 'figure', given: { figure: 'reserve_most' } });
  });
  it('reads the line and the part of a service', () => {
    expect(waysIn('service:reserve_repack')).toEqual([{ kind: 'service', given: { line: 'reserve_repack' } }]);
    expect(waysIn('service:plug:01')).toEqual([{ kind: 'service', given: { line: 'plug', part: '01' } }]);
  });
  it('leads to what is worth entering next', () => {
    for (const what of ['close_finding', 'hours', 'fuel_left', 'fuel_mixed', 'part_made', 'service', 'drill', 'flights', 'machine', 'pilot']) {
      const way = wayOfNext(what);
      expect(way && 'kind' in way && kindOf(way.kind), what).toBeTruthy();
    }
    expect(wayOfNext('nothing')).toBeNull();
    expect(wayOfNext('toString')).toBeNull();
  });
  it('leaves out what is there already', () => {
    const nothing = { said: {}, figures: [], fields: [] };
    expect(stillOpen(waysIn('light'), nothing)).toEqual([{ today: 'field' }, { kind: 'field' }]);
    expect(stillOpen(waysIn('take_off_room'), { said: { field: 'North' }, figures: ['wing_mass', 'wing_area'], fields: [{ strips: ['24'] }] })).toEqual([{ figure: 'machine_mass' }]);
  });
  it('leaves all when everything seems to be there', () => {
    expect(stillOpen(waysIn('wind_mean'), { said: { wind: 'calm' }, figures: [], fields: [] })).toEqual([{ today: 'wind' }]);
  });
  it('asks for the date of the reserve, not for a service of it', () => {
    expect(waysIn('service:reserve_life')).toEqual([{ kind: 'part', given: { role: 'reserve' } }]);
  });
  it('is none for a row that is none', () => {
    for (const id of ['', 'toString', 'route', 'service:', 'constructor']) expect(waysIn(id)).toEqual([]);
  });
});
