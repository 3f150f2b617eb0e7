// From a row of the brief to the box in which what it lacks is entered: one table. `today` is a box of today, `figure` a figure of
// the machine or a rule of the owner, `kind` another form. To add a row, add a line here.
import { addressOf } from './route';

export type Way = { today: string } | { figure: string } | { kind: string; given?: Record<string, string> };

const ways: Record<string, readonly Way[]> = {
  take_off_room: [{ today: 'field' }, { kind: 'strip' }, { figure: 'machine_mass' }, { figure: 'wing_mass' }, { figure: 'wing_area' }],
  'service:reserve_life': [{ kind: 'part', given: { role: 'reserve' } }],
  light: [{ today: 'field' }, { kind: 'field' }],
  wind_mean: [{ today: 'wind' }],
  gust_spread: [{ today: 'wind' }, { figure: 'limit_gust_spread' }],
  crosswind: [{ today: 'wind' }, { today: 'strip' }],
  wind_aloft: [{ today: 'wind_aloft' }],
  wind_forecast: [{ today: 'taf' }],
  wind_chill: [{ today: 'temperature' }],
  thunderstorm: [{ today: 'sky' }],
  visibility: [{ today: 'visibility' }],
  cloud_base: [{ today: 'cloud_base' }],
  carburettor_icing: [{ today: 'temperature' }, { today: 'dew_point' }],
  load_on_wing: [{ figure: 'wing_most' }, { figure: 'machine_mass' }],
  load_on_reserve: [{ today: 'temperature' }, { figure: 'reserve_most' }],
  load_on_harness: [{ figure: 'harness_most' }],
  load_on_carabiners: [{ figure: 'carabiners_most' }],
  fuel: [{ today: 'tank' }, { kind: 'left' }],
  fuel_mix: [{ kind: 'mixed' }],
  head_maximum: [{ kind: 'head' }],
  head_limit: [{ figure: 'limit_head' }],
  plug_word: [{ kind: 'reading_plug' }],
  reserve_drill: [{ kind: 'drill', given: { drill: 'reserve' } }],
  engine_off_landing: [{ kind: 'drill', given: { drill: 'engine-off-landing' } }],
  days_since_last_flight: [{ kind: 'flight' }],
  launches_in_90_days: [{ kind: 'flight' }],
};

/** `service:LINE` and `service:LINE:PART` lead to that service, `finding:ID` to putting it right. */
export function waysIn(id: string): readonly Way[] {
  const [family = '', name = '', part = ''] = id.split(':');
  if (Object.hasOwn(ways, id)) return ways[id] ?? [];
  if (family === 'service' && name !== '') return [{ kind: 'service', given: { line: name, ...(part === '' ? {} : { part }) } }];
  if (family === 'finding' && name !== '') return [{ kind: 'closed', given: { finding: name } }];
  return [];
}

export interface Known {
  said: Readonly<Record<string, string>>;
  /** Figures that stand in the book; null when that is not known here. */
  figures: readonly string[] | null;
  fields: readonly { strips: readonly unknown[] }[];
}

/** Without the ways to what is there already; all of them when that leaves none, and three at most. */
export function stillOpen(all: readonly Way[], known: Known): readonly Way[] {
  const left = all.filter((way) => {
    if ('today' in way) return (known.said[way.today] ?? '') === '';
    if ('figure' in way) return known.figures !== null && !known.figures.includes(way.figure);
    if (way.kind === 'field') return known.fields.length === 0;
    return way.kind !== 'strip' || !known.fields.some((field) => field.strips.length > 0);
  });
  return (left.length > 0 ? left : all).slice(0, 3);
}

/** The address of a way that leads to a form; a box of today is opened on the brief itself. */
export function addressOfWay(way: Exclude<Way, { today: string }>): string {
  return 'figure' in way ? addressOf('enter', 'figure', { figure: way.figure }) : addressOf('enter', way.kind, way.given ?? {});
}

export const everyWay: readonly Way[] = Object.values(ways).flat();

/** What the server calls the next thing worth entering, and where it is entered; a recording is added on the brief itself. */
const nextWays: Record<string, Way> = {
  close_finding: { kind: 'closed' },
  hours: { kind: 'hours' },
  fuel_left: { kind: 'left' },
  fuel_mixed: { kind: 'mixed' },
  part_made: { kind: 'part' },
  service: { kind: 'service' },
  drill: { kind: 'drill' },
  flights: { kind: 'flight' },
  machine: { kind: 'machine' },
  pilot: { kind: 'pilot' },
};
export const wayOfNext = (what: string): Exclude<Way, { today: string }> | null =>
  Object.hasOwn(nextWays, what) ? ((nextWays[what] ?? null) as Exclude<Way, { today: string }> | null) : null;
