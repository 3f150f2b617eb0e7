// What the owner says of today, box by box, as typed. Remembered from last time in two ways: what lasts (field, who flies, the
// rule for light) stands in its box again; what belongs to its day (weather, fuel, times) does not, because yesterday's
// wind must never pass for today's. It is offered beside the box instead.
import { inOwn, type MeasuredIn, type OwnUnits } from './number';
import { clock, localOf, utcOf } from './time';

/** `lasts`: until it is changed. `day`: for some hours. `clock`: a time to come, an instant from when it is typed until it has passed. */
export type Lasting = 'lasts' | 'day' | 'clock';
export type BoxKind = 'text' | 'long' | 'pick' | 'yes' | 'words';
export type Group = 'first' | 'weather' | 'rest';

export interface TodayBox {
  key: string;
  group: Group;
  kind: BoxKind;
  lasts: Lasting;
  /** How many hours what belongs to its day counts; 6 where nothing is said. */
  hours?: number;
  /** A flight, or fuel that was entered, makes it void. */
  fuel?: boolean;
  /** A bare number in it is in the owner's unit of this, as that is when it is typed. */
  measure?: MeasuredIn;
  /** Fixed words to pick from; fields, strips and pilots come from the book. */
  words?: readonly string[];
  from?: 'fields' | 'strips' | 'pilots';
  hint?: string;
}

/** One table: to add a box, add a line here and its label under `boxes` in labels.ts. */
export const todayBoxes: readonly TodayBox[] = [
  { key: 'field', group: 'first', kind: 'pick', lasts: 'lasts', from: 'fields' },
  { key: 'strip', group: 'first', kind: 'pick', lasts: 'lasts', from: 'strips' },
  { key: 'wind', group: 'first', kind: 'text', lasts: 'day', hours: 2, hint: '240/12kt gust 18kt, or calm' },
  { key: 'tank', group: 'first', kind: 'text', lasts: 'day', hours: 2, fuel: true, measure: 'volume', hint: '9 L' },
  { key: 'start', group: 'first', kind: 'text', lasts: 'clock', hint: '18:30, or tomorrow 07:10; empty is now' },
  { key: 'planned', group: 'first', kind: 'text', lasts: 'lasts', hint: '45 min, or 1h30' },
  { key: 'ground', group: 'first', kind: 'pick', lasts: 'day', words: ['firm', 'dry grass', 'wet grass', 'soft', 'snow'] },
  { key: 'sky', group: 'first', kind: 'words', lasts: 'day', hours: 2, words: ['nothing', 'rain', 'fog', 'thunderstorm'] },
  { key: 'metar', group: 'weather', kind: 'long', lasts: 'day' },
  { key: 'taf', group: 'weather', kind: 'long', lasts: 'day' },
  { key: 'wind_aloft', group: 'weather', kind: 'text', lasts: 'day', hours: 2, hint: '250/25kt, or flight: as your last flight of the day found it' },
  { key: 'temperature', group: 'weather', kind: 'text', lasts: 'day', hours: 2, measure: 'temperature', hint: '18 °C' },
  { key: 'dew_point', group: 'weather', kind: 'text', lasts: 'day', hours: 2, measure: 'temperature', hint: '11 °C' },
  { key: 'qnh', group: 'weather', kind: 'text', lasts: 'day', hours: 2, measure: 'pressure', hint: '1013 hPa' },
  { key: 'visibility', group: 'weather', kind: 'text', lasts: 'day', hours: 2, measure: 'distance', hint: '10 km' },
  { key: 'cloud_base', group: 'weather', kind: 'text', lasts: 'day', hours: 2, measure: 'height', hint: '900 m, above the field; or none' },
  { key: 'windsock', group: 'weather', kind: 'text', lasts: 'day', hours: 2, hint: '240/45: from where, and degrees it hangs below the level' },
  { key: 'station', group: 'weather', kind: 'text', lasts: 'lasts', measure: 'distance', hint: '18 km, from the field' },
  { key: 'hills', group: 'weather', kind: 'yes', lasts: 'lasts' },
  { key: 'pilot', group: 'rest', kind: 'pick', lasts: 'lasts', from: 'pilots' },
  { key: 'passenger', group: 'rest', kind: 'text', lasts: 'day', measure: 'mass', hint: '78 kg' },
  { key: 'all_up', group: 'rest', kind: 'text', lasts: 'day', measure: 'mass', hint: 'in place of the kit list' },
  { key: 'wheels', group: 'rest', kind: 'yes', lasts: 'lasts' },
  { key: 'mown', group: 'rest', kind: 'yes', lasts: 'day' },
  { key: 'light', group: 'rest', kind: 'pick', lasts: 'lasts', words: ['sunset', 'beacon', 'twilight', 'own'] },
  { key: 'who_knows', group: 'rest', kind: 'text', lasts: 'lasts', hint: 'a name' },
  { key: 'overdue', group: 'rest', kind: 'text', lasts: 'clock', hint: '45 minutes after the landing when not said' },
  { key: 'over_water', group: 'rest', kind: 'yes', lasts: 'day' },
  { key: 'borrower', group: 'rest', kind: 'yes', lasts: 'day' },
  { key: 'pilot_mass', group: 'rest', kind: 'text', lasts: 'day', measure: 'mass', hint: 'of who borrows it, 84 kg' },
];

export type Said = Record<string, string>;

/**
 * What was typed into a box, and when: each box ages by itself, so that a new field does not make an old wind new. `sent` is what the
 * text meant when it was typed, where it would mean something else on another day: it is sent in place of the text.
 */
export type Remembered = Record<string, { value: string; at: number; sent?: string }>;

const hourMs = 3600_000;
const minuteMs = 60_000;
/** A time of day that is past by no more than this is still that of today. The server has the same five minutes. */
const justPastMs = 5 * minuteMs;
/** How long it is told that a planned time has passed. */
const passedToldMs = 12 * hourMs;
/** What is older than this is told in the sentence of today as well. */
const olderMs = 30 * minuteMs;

/**
 * The instant that a planned time means when it is typed, RFC 3339 in UTC: 18:30, tomorrow 07:10, 2026-06-20 21:00. A time alone is the
 * next one, also after `afterMs`. Null for what is no time: the server says so.
 */
export function instantOf(text: string, nowMs: number, zone: string, afterMs = 0): string | null {
  const typed = text.trim();
  if (/^\d{4}-\d\d-\d\dT.*(?:Z|[+-]\d\d:\d\d)$/.test(typed)) {
    const at = Date.parse(typed);
    return Number.isFinite(at) ? new Date(at).toISOString() : null;
  }
  const found = /^(?:(today|tomorrow|yesterday|\d{4}-\d\d-\d\d)(?:[ T]+|$))?(?:(\d{1,2}):(\d\d))?$/i.exec(typed);
  if (!found || typed === '') return null;
  const [, dayWord = '', hour = '12', minute = '00'] = found;
  if (Number(hour) > 23 || Number(minute) > 59) return null;
  const dayFrom = (days: number): string => {
    const today = Date.parse(`${localOf(nowMs, zone).slice(0, 10)}T00:00Z`);
    return new Date(today + days * 24 * hourMs).toISOString().slice(0, 10);
  };
  const on = (day: string): string | null => utcOf(`${day}T${hour.padStart(2, '0')}:${minute}`, zone);
  const word = dayWord.toLowerCase();
  if (word !== '') return on({ today: dayFrom(0), tomorrow: dayFrom(1), yesterday: dayFrom(-1) }[word] ?? word);
  const today = on(dayFrom(0));
  if (today === null) return null;
  const at = Date.parse(today);
  return at < nowMs - justPastMs || at <= afterMs ? on(dayFrom(1)) : today;
}

/** What a text means now, where it would mean something else later; undefined where the text itself lasts. */
export function meantOf(key: string, value: string, nowMs: number, zone: string, remembered: Remembered = {}, units: OwnUnits = {}): string | undefined {
  const box = todayBoxes.find((one) => one.key === key);
  if (!box) return undefined;
  if (box.lasts === 'clock') {
    // Overdue comes after the launch.
    const start = key === 'overdue' ? Date.parse(remembered['start']?.sent ?? '') : NaN;
    return instantOf(value, nowMs, zone, start > nowMs ? start : 0) ?? undefined;
  }
  const measured = inOwn(value, box.measure, units);
  return measured === value.trim() ? undefined : measured;
}

const dayOf = (atMs: number, zone: string): string => localOf(atMs, zone).slice(0, 10);

/** An instant as it can be typed on the day of `nowMs`. */
function typedClock(atMs: number, nowMs: number, zone: string): string {
  const time = clock(new Date(atMs).toISOString(), zone);
  const day = dayOf(atMs, zone);
  if (day === dayOf(nowMs, zone)) return time;
  return day === dayOf(nowMs + 24 * hourMs, zone) ? `tomorrow ${time}` : `${day} ${time}`;
}

export interface Carried {
  /** What stands in the boxes, as typed. */
  said: Said;
  /** What of it is sent. */
  sent: Said;
  /** What is only offered beside them. */
  offered: Said;
  /** When it was said, of what belongs to its day. */
  saidAt: Record<string, number>;
  /** The planned times that have passed, as instants: they are not sent any more. */
  passed: Record<string, string>;
  /** The numbers that are sent with a unit which was not typed. */
  measured: Said;
  /** The planned times to come, as instants. */
  planned: Record<string, string>;
}

/** `fuelMs`: when the last flight ended or fuel was entered last; a tank that was told before that is not today's. */
export function carry(remembered: Remembered, nowMs: number, zone = 'UTC', fuelMs = 0): Carried {
  const carried: Carried = { said: {}, sent: {}, offered: {}, saidAt: {}, passed: {}, planned: {}, measured: {} };
  const { said, sent, offered, saidAt, passed, planned, measured } = carried;
  for (const { key, lasts, hours = 6, fuel = false } of todayBoxes) {
    const held = remembered[key];
    if (!held || held.value === '') continue;
    const age = nowMs - held.at;
    const fresh = age >= 0 && age <= hours * hourMs;
    if (lasts === 'clock') {
      const instant = held.sent ?? instantOf(held.value, held.at, zone);
      const at = instant === null ? NaN : Date.parse(instant);
      if (instant === null || Number.isNaN(at)) {
        // No time that can be read is told by the server, as long as it was typed just now.
        if (fresh && held.value.trim() !== 'now') said[key] = sent[key] = held.value;
        continue;
      }
      if (nowMs - at > passedToldMs) continue;
      said[key] = dayOf(held.at, zone) === dayOf(nowMs, zone) ? held.value : typedClock(at, nowMs, zone);
      saidAt[key] = held.at;
      if (at < nowMs) {
        passed[key] = instant;
      } else {
        planned[key] = instant;
        sent[key] = instant;
      }
    } else if (lasts === 'lasts' || (fresh && !(fuel && held.at < fuelMs))) {
      said[key] = held.value;
      sent[key] = held.sent ?? held.value;
      if (held.sent !== undefined) measured[key] = held.sent;
      if (lasts === 'day') saidAt[key] = held.at;
    } else {
      offered[key] = held.sent ?? held.value;
    }
  }
  return carried;
}

/** When the tank was last made another: the end of the last flight, fuel in the book, or fuel and flights still to be sent. */
export function fuelAt(
  now: { last_flight: { landing: string } | null; last: { left: { at: string } | null } } | null,
  waiting: readonly { entries: readonly { kind: string; at: string }[] }[] = [],
): number {
  const times = [now?.last_flight?.landing, now?.last.left?.at, ...waiting.flatMap((batch) => batch.entries.filter((one) => ['left', 'filled', 'flight'].includes(one.kind)).map((one) => one.at))];
  return Math.max(0, ...times.map((time) => Date.parse(time ?? '')).filter((at) => Number.isFinite(at)));
}

/** The boxes whose words are not of the last half hour: the sentence of today says so. */
export const olderOf = (saidAt: Record<string, number>, nowMs: number): string[] =>
  todayBoxes.filter(({ key, lasts }) => lasts === 'day' && nowMs - (saidAt[key] ?? nowMs) > olderMs).map(({ key }) => key);

/** With one box written now; the others keep their age. */
export const typedInto = (remembered: Remembered, key: string, value: string, nowMs: number, sent?: string): Remembered => ({
  ...remembered,
  [key]: sent === undefined ? { value, at: nowMs } : { value, at: nowMs, sent },
});

export type TodayBody = Record<string, string | boolean | string[]>;

/** The body of POST brief: only what was said; flags as truth values, the sky as a list. */
export function bodyOf(said: Said): TodayBody {
  const body: TodayBody = {};
  for (const { key, kind } of todayBoxes) {
    const value = (said[key] ?? '').trim();
    if (value === '') continue;
    if (kind === 'yes') body[key] = value === 'yes';
    else if (kind === 'words') body[key] = value.split(',');
    else body[key] = value;
  }
  return body;
}

/** Picking a word of the sky: "nothing" stands alone. */
export function pickWord(value: string, word: string): string {
  const held = value === '' ? [] : value.split(',');
  if (held.includes(word)) return held.filter((one) => one !== word).join(',');
  if (word === 'nothing') return word;
  return [...held.filter((one) => one !== 'nothing'), word].join(',');
}
