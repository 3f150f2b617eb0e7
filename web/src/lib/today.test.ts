import { describe, expect, it } from 'vitest';
import { bodyOf, carry, fuelAt, instantOf, meantOf, olderOf, pickWord, todayBoxes, typedInto, type Remembered } from './today';

const said = { field: 'Sallow Piece', wind: '240/12kt', tank: '9 L', light: 'sunset', metar: 'METAR' };
const typedAt = (values: Record<string, string>, at: number): Remembered =>
  Object.fromEntries(Object.entries(values).map(([key, value]) => [key, { value, at }]));

const hour = 3600_000;

describe('what is said of today', () => {
  it('never lets the weather or the fuel of another day pass for today’s', () => {
    const { said: now, offered } = carry(typedAt(said, 0), 6 * hour + 1);
    expect(now).toEqual({ field: 'Sallow Piece', light: 'sunset' });
    expect(offered).toEqual({ wind: '240/12kt', tank: '9 L', metar: 'METAR' });
  });
  it('does not make an old wind new by choosing another field', () => {
    const later = typedInto(typedAt(said, 0), 'field', 'Upper meadow', 6 * hour + 1);
    const { said: now, offered } = carry(later, 6 * hour + 2);
    expect(now['field']).toBe('Upper meadow');
    expect(now['wind']).toBeUndefined();
    expect(offered['wind']).toBe('240/12kt');
  });
  it('counts for two hours, a report for six', () => {
    expect(carry(typedAt(said, 0), 2 * hour).said).toEqual(said);
    const weather = { ...said, taf: 'TAF', windsock: '240/45', wind_aloft: '250/25kt', sky: 'rain', visibility: '10 km', cloud_base: '900 m', temperature: '18 C' };
    const { said: now } = carry(typedAt(weather, 0), 2 * hour + 1);
    expect(now).toEqual({ field: said.field, light: said.light, metar: 'METAR', taf: 'TAF' });
    expect(carry(typedAt(weather, 0), 6 * hour).said['metar']).toBe('METAR');
  });
  it('does not send the tank of before a flight, or of before fuel was entered', () => {
    const before = typedAt({ tank: '9 L', wind: 'calm' }, 1000);
    expect(carry(before, 2000, 'UTC', 1000).sent['tank']).toBe('9 L');
    expect(carry(before, 2000, 'UTC', 1001)).toMatchObject({ said: { wind: 'calm' }, sent: { wind: 'calm' }, offered: { tank: '9 L' } });
  });
  it('knows when the tank was made another', () => {
    const now = { last_flight: { landing: '1970-01-01T00:00:02Z' }, last: { left: { at: '1970-01-01T00:00:03Z' } } };
    expect(fuelAt(now)).toBe(3000);
    expect(fuelAt({ ...now, last: { left: null } })).toBe(2000);
    expect(fuelAt(now, [{ entries: [{ kind: 'filled', at: '1970-01-01T00:00:04Z' }, { kind: 'note', at: '1970-01-01T00:00:09Z' }] }])).toBe(4000);
    expect(fuelAt(null)).toBe(0);
  });
  it('says when it was said, in the sentence of today from half an hour on', () => {
    const { saidAt } = carry(typedAt(said, 0), hour / 2);
    expect(saidAt).toEqual({ wind: 0, tank: 0, metar: 0 });
    expect(olderOf(saidAt, hour / 2)).toEqual([]);
    expect(olderOf({ ...saidAt, wind: 1 }, hour / 2 + 1)).toEqual(['tank', 'metar']);
  });
  it('does not trust a clock that was set back', () => {
    expect(carry(typedAt(said, 10_000), 0).said['wind']).toBeUndefined();
  });
  it('sends only what was said', () => {
    expect(bodyOf({ wind: ' 240/12kt ', tank: '', hills: 'yes', sky: 'rain,fog' })).toEqual({
      wind: '240/12kt',
      hills: true,
      sky: ['rain', 'fog'],
    });
  });
  it('lets "nothing" stand alone', () => {
    expect(pickWord('rain,fog', 'nothing')).toBe('nothing');
    expect(pickWord('nothing', 'rain')).toBe('rain');
    expect(pickWord('rain', 'rain')).toBe('');
  });
  it('names each box once', () => {
    expect(new Set(todayBoxes.map((box) => box.key)).size).toBe(todayBoxes.length);
  });
});

describe('a bare number', () => {
  const us = { temperature: { unit: 'F' }, volume: { unit: 'US gal' }, mass: { unit: 'lb' }, distance: { unit: 'mi' }, height: { unit: 'ft' }, pressure: { unit: 'inHg' } };
  const meant = (key: string, value: string): string | undefined => meantOf(key, value, 0, 'UTC', {}, us);

  it('is in the units of when it was typed, also when it is only offered', () => {
    expect([meant('tank', '2'), meant('temperature', '-3,5'), meant('cloud_base', '900')]).toEqual(['2 US gal', '-3.5 F', '900 ft']);
    expect([meant('all_up', '250'), meant('visibility', '6'), meant('qnh', '29.92')]).toEqual(['250 lb', '6 mi', '29.92 inHg']);
    const held = typedInto({}, 'tank', '2', 0, meant('tank', '2'));
    expect(carry(held, 1)).toMatchObject({ said: { tank: '2' }, sent: { tank: '2 US gal' }, measured: { tank: '2 US gal' } });
    expect(carry(held, 3 * hour).offered).toEqual({ tank: '2 US gal' });
  });
  it('keeps what has a unit, is a word, or has none to choose', () => {
    for (const [key, value] of [['tank', '9 L'], ['cloud_base', 'none'], ['wind', '240/12kt'], ['planned', '1.5'], ['windsock', '45'], ['strip', '24'], ['who_knows', '112']] as const)
      expect(meant(key, value)).toBeUndefined();
    expect(meantOf('tank', '2', 0, 'UTC')).toBeUndefined();
  });
});

describe('a planned time', () => {
  const berlin = 'Europe/Berlin';
  // 18:00 there (CEST is UTC+2: Directive 2000/84/EC).
  const six = Date.parse('2026-06-14T16:00:00Z');

  it('is an instant from when it is typed', () => {
    expect(instantOf('18:30', six, berlin)).toBe('2026-06-14T16:30:00.000Z');
    expect(instantOf('tomorrow 7:10', six, berlin)).toBe('2026-06-15T05:10:00.000Z');
    expect(instantOf('2026-06-20 21:00', six, berlin)).toBe('2026-06-20T19:00:00.000Z');
    expect(instantOf('18:30', six, '+00:00')).toBe('2026-06-14T18:30:00.000Z');
    expect(instantOf('2026-06-14T18:30:00+02:00', six, 'UTC')).toBe('2026-06-14T16:30:00.000Z');
  });
  it('is that of today until five minutes after, then that of tomorrow', () => {
    expect(instantOf('17:55', six, berlin)).toBe('2026-06-14T15:55:00.000Z');
    expect(instantOf('17:54', six, berlin)).toBe('2026-06-15T15:54:00.000Z');
    expect(instantOf('today 17:54', six, berlin)).toBe('2026-06-14T15:54:00.000Z');
  });
  it('keeps the clock across the change of clocks (25 October 2026)', () => {
    const saturday = Date.parse('2026-10-24T18:00:00Z');
    expect(instantOf('9:00', saturday, berlin)).toBe('2026-10-25T08:00:00.000Z');
  });
  it('is none where it cannot be read', () => {
    for (const text of ['', '18', '18:3', '25:00', '18:61', 'evening', 'tomorrows 7:00']) expect(instantOf(text, six, berlin)).toBeNull();
  });
  it('of being overdue comes after the launch', () => {
    const start = typedInto({}, 'start', 'tomorrow 07:10', six, meantOf('start', 'tomorrow 07:10', six, berlin));
    expect(meantOf('overdue', '20:00', six, berlin)).toBe('2026-06-14T18:00:00.000Z');
    expect(meantOf('overdue', '20:00', six, berlin, start)).toBe('2026-06-15T18:00:00.000Z');
  });
  const planned = typedInto({}, 'start', '18:30', six, meantOf('start', '18:30', six, berlin));
  it('is sent as that instant, and not any more when it has passed', () => {
    expect(carry(planned, six, berlin)).toMatchObject({ said: { start: '18:30' }, sent: { start: '2026-06-14T16:30:00.000Z' }, passed: {} });
    const after = carry(planned, six + 31 * 60_000, berlin);
    expect(after).toMatchObject({ sent: {}, offered: {}, passed: { start: '2026-06-14T16:30:00.000Z' } });
    expect(carry(planned, six + 20 * hour, berlin)).toMatchObject({ said: {}, sent: {}, offered: {}, passed: {} });
  });
  it('never changes its day: not at midnight, not in another zone, not where only its text was kept', () => {
    const evening = Date.parse('2026-06-14T21:00:00Z');
    const text = 'tomorrow 07:10';
    const instant = '2026-06-15T05:10:00.000Z';
    for (const held of [typedAt({ start: text }, evening), typedInto({}, 'start', text, evening, meantOf('start', text, evening, berlin))]) {
      expect(carry(held, evening + hour / 2, berlin)).toMatchObject({ said: { start: text }, sent: { start: instant } });
      expect(carry(held, evening + 2 * hour, berlin)).toMatchObject({ said: { start: '07:10' }, sent: { start: instant } });
    }
    expect(carry(typedInto({}, 'start', '18:30', six, instant), six, 'Asia/Tokyo').sent['start']).toBe(instant);
  });
  it('that cannot be read is sent as typed, for the server to say so', () => {
    expect(carry(typedAt({ start: 'evening' }, six), six + 1).sent).toEqual({ start: 'evening' });
    expect(carry(typedAt({ start: 'now' }, six), six + 1).sent).toEqual({});
  });
});
