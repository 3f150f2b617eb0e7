import { describe, expect, it } from 'vitest';
import { clock, clockOrDay, dated, day, here, inDays, keptAsOf, length, localOf, offsetZone, utcOf, whenThere, zoneOf } from './time';

describe('times for reading', () => {
  it('tells them in the zone of the book (CET is UTC+1, CEST UTC+2: Directive 2000/84/EC)', () => {
    expect(clock('2026-01-15T06:10:00Z', 'Europe/Berlin')).toBe('07:10');
    expect(clock('2026-07-15T06:10:00Z', 'Europe/Berlin')).toBe('08:10');
    expect(day('2026-11-25T23:30:00Z', 'Europe/Berlin')).toBe('Thursday 26 November');
  });
  it('tells the year when it is another', () => {
    expect(dated('2026-11-25T23:30:00Z', 'Europe/Berlin', 2026)).toBe('Thursday 26 November');
    expect(dated('2025-12-31T23:30:00Z', 'Europe/Berlin', 2026)).toBe('Thursday 1 January');
    expect(dated('2025-12-31T22:30:00Z', 'Europe/Berlin', 2026)).toBe('Wednesday 31 December 2025');
  });
  it('tell the days in a sentence of the server as the page tells days (weekdays by the Gregorian calendar, ISO 8601)', () => {
    expect(inDays('about 2026-12-05, from 2026-12-01 to 2027-01-11', 2026)).toBe('about Saturday 5 December, from Tuesday 1 December to Monday 11 January 2027');
    expect(inDays('Part: reserve, made 2020-05-01, 2026-11-28 18:46.', 2026)).toBe('Part: reserve, made Friday 1 May 2020, Saturday 28 November, 18:46.');
    expect(inDays('2026-05-16: Plug: tan, dry.', 2026)).toBe('Saturday 16 May: Plug: tan, dry.');
  });
  it('leave alone what is no day', () => {
    for (const text of ['240/12kt', '2026-13-01', '2026-02-30', '2026-06-14T18:30', 'wing-2026-06-14', '2026-06-14-b.igc', '1013 hPa']) expect(inDays(text, 2026)).toBe(text);
  });
  it('tells them on the clocks of this browser as Intl does', () => {
    const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
    for (const time of ['2026-01-15T23:30:00Z', '2026-07-15T00:10:00Z', '2024-02-29T12:00:00Z']) {
      expect(clock(time, here)).toBe(clock(time, own));
      expect(localOf(Date.parse(time), here)).toBe(localOf(Date.parse(time), own));
      for (const zone of ['UTC', 'Asia/Kathmandu', 'America/St_Johns'])
        expect(day(time, zone)).toBe(new Intl.DateTimeFormat('en-GB', { weekday: 'long', day: 'numeric', month: 'long', timeZone: zone }).format(new Date(time)).replace(',', ''));
    }
  });
  it('falls back to UTC for a zone this browser does not know', () => {
    expect(clock('2026-01-15T06:10:00Z', 'Nowhere/Land')).toBe('06:10');
  });
  it('tells a length in hours and minutes', () => {
    expect([length(2700), length(3600), length(5400), length(3599)]).toEqual(['45 min', '1 h', '1 h 30 min', '1 h']);
  });
  it('tells when it was on the clocks where it was', () => {
    expect(whenThere('2026-06-14T22:59:30Z', 120, 2026)).toBe('Monday 15 June, 00:59');
    expect(whenThere('2025-12-31T23:30:00Z', -60, 2026)).toBe('Wednesday 31 December 2025, 22:30');
  });
  it('finds the UTC of a time on the clocks of a zone, across the change of clocks (Directive 2000/84/EC: 01:00 UTC)', () => {
    expect(utcOf('2026-06-14T18:30', 'Europe/Berlin')).toBe('2026-06-14T16:30:00.000Z');
    expect(utcOf('2026-01-14T18:30', 'Europe/Berlin')).toBe('2026-01-14T17:30:00.000Z');
    expect(utcOf('2026-10-25T02:30', 'Europe/Berlin')).toBe('2026-10-25T00:30:00.000Z');
    expect(utcOf('2026-10-25T03:30', 'Europe/Berlin')).toBe('2026-10-25T02:30:00.000Z');
    expect(utcOf('2026-03-29T03:30', 'Europe/Berlin')).toBe('2026-03-29T01:30:00.000Z');
    expect(utcOf('2026-06-14T18:30', 'UTC')).toBe('2026-06-14T18:30:00.000Z');
    expect(utcOf('tomorrow', 'UTC')).toBeNull();
  });
  it('are told by an offset alone where there is no zone', () => {
    expect([offsetZone(120), offsetZone(-570), offsetZone(0)]).toEqual(['+02:00', '-09:30', '+00:00']);
    expect(clock('2026-06-14T16:30:00Z', '+02:00')).toBe('18:30');
    expect(day('2026-06-14T02:30:00Z', '-09:30')).toBe('Saturday 13 June');
    expect(utcOf('2026-06-14T18:30', '+02:00')).toBe('2026-06-14T16:30:00.000Z');
    expect(localOf(Date.parse('2026-06-14T22:30:00Z'), '+02:00')).toBe('2026-06-15T00:30');
  });
  it('are told on the clocks of the server where no zone is chosen, never on two clocks', () => {
    const summer = Date.parse('2026-06-14T12:00:30Z');
    expect(zoneOf({ zone: 'Europe/Berlin', offset_min: 120 }, 'Asia/Tokyo', summer)).toBe('Europe/Berlin');
    expect(zoneOf({ zone: null, offset_min: 0 }, 'Europe/Berlin', summer)).toBe('+00:00');
    expect(zoneOf({ zone: null, offset_min: 120 }, 'Europe/Berlin', summer)).toBe('Europe/Berlin');
    expect(zoneOf(null, 'Europe/Berlin', summer)).toBe('Europe/Berlin');
  });
  it('show their day when it is not today', () => {
    const now = Date.parse('2026-11-25T22:30:00Z');
    expect(clockOrDay('2026-11-25T06:10:00Z', 'UTC', now)).toBe('06:10');
    expect(clockOrDay('2026-11-24T18:00:00Z', 'UTC', now)).toBe('Tuesday 24 November, 18:00');
    expect(clockOrDay('2026-11-25T22:40:00Z', 'Europe/Berlin', now)).toBe('23:40');
    expect(clockOrDay('2026-11-25T23:10:00Z', 'Europe/Berlin', now)).toBe('Thursday 26 November, 00:10');
    expect(clockOrDay('2025-12-24T18:00:00Z', 'UTC', now)).toBe('Wednesday 24 December 2025, 18:00');
  });
  it('mark what was kept with its day, and leave alone what was heard just now', () => {
    const made = Date.parse('2026-11-24T18:00:00Z');
    expect(keptAsOf(made, 'UTC', made + 9 * 60_000)).toBe('');
    expect(keptAsOf(made, 'UTC', made + 3600_000)).toBe('18:00');
    expect(keptAsOf(made, 'UTC', made + 24 * 3600_000)).toBe('Tuesday 24 November, 18:00');
    expect(keptAsOf(made, 'UTC', made - 60_000)).toBe('18:00');
  });
});
