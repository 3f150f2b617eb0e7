// Times for reading: in the zone of the book, whatever the zone of the phone.

// A formatter takes long to make: each is made once. A zone that this browser does not know is UTC.
const made = new Map<string, Intl.DateTimeFormat>();
function formatter(name: string, options: Intl.DateTimeFormatOptions, zone: string): Intl.DateTimeFormat {
  const key = `${name} ${zone}`;
  let found = made.get(key);
  if (!found) {
    try {
      found = new Intl.DateTimeFormat('en-GB', { ...options, timeZone: zone });
    } catch {
      found = new Intl.DateTimeFormat('en-GB', { ...options, timeZone: 'UTC' });
    }
    made.set(key, found);
  }
  return found;
}

/** Minutes east of UTC of a zone that is only an offset, "+02:00"; null for a zone with a name. */
function fixed(zone: string): number | null {
  const found = /^([+-])(\d\d):(\d\d)$/.exec(zone);
  return found ? (found[1] === '-' ? -1 : 1) * (Number(found[2]) * 60 + Number(found[3])) : null;
}

/** This browser's own clocks, told by Date alone: the first use of Intl takes longer than drawing the whole brief. */
export const here = 'here';

/** The time as the clocks of a zone show it, in the UTC fields of a date. */
function shown(atMs: number, zone: string): Date {
  // Not every browser takes an offset for a zone: the time is moved instead, and read as UTC.
  const offset = zone === 'UTC' ? 0 : zone === here ? -new Date(atMs).getTimezoneOffset() : fixed(zone);
  if (offset !== null) return new Date(atMs + offset * 60_000);
  const how = { year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' } as const;
  const form = formatter('minute', how, zone);
  const part = Object.fromEntries(form.formatToParts(new Date(atMs)).map((one) => [one.type, one.value]));
  return new Date(`${part['year']}-${part['month']}-${part['day']}T${part['hour']}:${part['minute']}Z`);
}

const weekdays = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'] as const;
const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'] as const;

/** The offset of now as a zone: 120 is "+02:00". */
export function offsetZone(minutes: number): string {
  const [hours, rest] = [Math.floor(Math.abs(minutes) / 60), Math.abs(minutes) % 60];
  return `${minutes < 0 ? '-' : '+'}${String(hours).padStart(2, '0')}:${String(rest).padStart(2, '0')}`;
}

/**
 * The one clock of the page: the zone of the book; where none is chosen the clocks of the server, so that a time the page writes
 * agrees with one in a sentence of the server. Where this browser's clocks show the same as the server's (`at` is when the server
 * said so), its zone is taken, because it also knows the other half of the year; else the offset alone.
 */
export function zoneOf(now: { zone: string | null; offset_min: number } | null, browser: string, at: number): string {
  if (!now) return browser;
  if (now.zone !== null) return now.zone;
  const minute = Math.floor(at / 60_000) * 60_000;
  const here = Date.parse(`${localOf(minute, browser)}Z`) - minute;
  return here === now.offset_min * 60_000 ? browser : offsetZone(now.offset_min);
}

/** "2026-06-14T18:30" as the clocks of a zone show an instant. */
export const localOf = (atMs: number, zone: string): string => shown(atMs, zone).toISOString().slice(0, 16);

/** "07:10" in the zone of the book. */
export const clock = (time: string, zone: string): string => localOf(Date.parse(time), zone).slice(11);

/** "07:10" of today; "Tuesday 24 November, 07:10" of another day: a time without its day is taken for today's. */
export function clockOrDay(time: string, zone: string, nowMs: number): string {
  const [then, today] = [localOf(Date.parse(time), zone), localOf(nowMs, zone)];
  if (then.slice(0, 10) === today.slice(0, 10)) return clock(time, zone);
  return `${dated(time, zone, Number(today.slice(0, 4)))}, ${clock(time, zone)}`;
}

/** "Thursday 26 November" in the zone of the book. */
export const day = (time: string, zone: string): string => {
  const then = shown(Date.parse(time), zone);
  return `${weekdays[then.getUTCDay()]} ${then.getUTCDate()} ${months[then.getUTCMonth()]}`;
};

/** "Thursday 26 November", with the year when it is not `thisYear`. */
export function dated(time: string, zone: string, thisYear = new Date().getFullYear()): string {
  const year = shown(Date.parse(time), zone).getUTCFullYear();
  return year === thisYear ? day(time, zone) : `${day(time, zone)} ${year}`;
}

/**
 * A sentence of the server with its days as the page tells days: "2026-12-05" is "Saturday 5 December", "2026-12-05 18:30" has its
 * time after a comma. A sentence that stands in a command line as well has them as they are typed there.
 */
export const inDays = (text: string, thisYear = new Date().getFullYear()): string =>
  text.replace(/(?<![\w.:/-])(\d{4}-\d\d-\d\d)(?: (\d\d:\d\d)\b)?(?![\w/-])/g, (all: string, date: string, time: string | undefined) => {
    const noon = `${date}T12:00:00Z`;
    if (Number.isNaN(Date.parse(noon)) || new Date(noon).toISOString().slice(0, 10) !== date) return all;
    return dated(noon, 'UTC', thisYear) + (time === undefined ? '' : `, ${time}`);
  });

/** From this age on, kept margins say as of when they are. */
const keptMs = 10 * 60_000;

/** As of when the margins are that this browser kept, with the day when it is not today; empty for what was heard just now. */
export function keptAsOf(madeMs: number, zone: string, nowMs: number): string {
  const age = nowMs - madeMs;
  return age > -60_000 && age <= keptMs ? '' : clockOrDay(new Date(madeMs).toISOString(), zone, nowMs);
}

/** "Sunday 14 June, 06:42", on the clocks where it was; with the year when it is not `thisYear`. */
export function whenThere(time: string, offsetMin: number, thisYear: number): string {
  const there = new Date(Date.parse(time) + offsetMin * 60_000);
  const year = there.getUTCFullYear();
  const iso = there.toISOString();
  return `${day(iso, 'UTC')}${year === thisYear ? '' : ` ${year}`}, ${iso.slice(11, 16)}`;
}

/** "45 min", "1 h", "1 h 30 min". */
export function length(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  if (hours === 0) return `${minutes} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** The UTC of "2026-06-14T18:30" on the clocks of a zone; null for what is no time. In the hour that comes twice, the first. */
export function utcOf(local: string, zone: string): string | null {
  const asUtc = Date.parse(`${local}Z`);
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d$/.test(local) || !Number.isFinite(asUtc)) return null;
  const ahead = (at: number): number => Date.parse(`${localOf(at, zone)}Z`) - at;
  const summer = asUtc - Math.max(ahead(asUtc - 86_400_000), ahead(asUtc + 86_400_000));
  return new Date(summer + ahead(summer) === asUtc ? summer : asUtc - ahead(summer)).toISOString();
}
