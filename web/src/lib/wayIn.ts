// From a row of the brief to the box in which what it lacks is entered: one table. `today` is a box of today, `figure` a figure of
// the machine or a rule of the owner, `kind` another form. To add a row, add a line here.
import { addressOf } from './route';
import { localOf } from './time';

type Given = Record<string, string>;
export type Way = { today: string } | { figure: string } | { kind: string; given?: Given };
export type FormWay = Exclude<Way, { today: string }>;

/** What is known here of what a margin rests on. */
export interface Known {
  said: Readonly<Record<string, string>>;
  /** Figures that stand in the book; null when that is not known here. */
  figures: readonly string[] | null;
  /** `here`: whether its place and its height stand in the book; not known without the page of the machine. */
  fields: readonly { name: string; strips: readonly { name: string; walked?: boolean }[]; place?: boolean; height?: boolean }[];
  /** Whether the mass of who flies stands in the book. */
  pilotMass?: boolean;
  parts?: readonly { id: string; role: string; fitted: boolean; made: boolean }[];
}

interface Row {
  /** What may be lacking, in the order it is asked for: nothing of it that is known. */
  lacks?: readonly ((known: Known) => readonly Way[])[];
  /** Where to go when nothing is lacking: what can be said anew or changed. */
  anew?: readonly Way[];
}

const none: readonly Way[] = [];
const unsaid = (known: Known, box: string): boolean => (known.said[box] ?? '').trim() === '';
const today =
  (box: string) =>
  (known: Known): readonly Way[] =>
    unsaid(known, box) ? [{ today: box }] : none;
const figure =
  (key: string) =>
  (known: Known): readonly Way[] =>
    known.figures !== null && !known.figures.includes(key) ? [{ figure: key }] : none;

const fieldOf = (known: Known): Known['fields'][number] | undefined => known.fields.find((one) => one.name === known.said['field']);
const field = (known: Known): readonly Way[] => (!unsaid(known, 'field') ? none : known.fields.length > 0 ? [{ today: 'field' }] : [{ kind: 'field' }]);
/** A field is told anew under its name. */
const ofField =
  (what: 'place' | 'height') =>
  (known: Known): readonly Way[] => {
    const held = fieldOf(known);
    return held?.[what] === false ? [{ kind: 'field', given: { field: held.name } }] : none;
  };
function strip(known: Known): readonly Way[] {
  const held = fieldOf(known);
  if (!held || !unsaid(known, 'strip')) return none;
  return held.strips.length > 0 ? [{ today: 'strip' }] : [{ kind: 'strip', given: { field: held.name } }];
}
function walk(known: Known): readonly Way[] {
  const held = fieldOf(known);
  const way = held?.strips.find((one) => one.name === known.said['strip']);
  if (!held || way?.walked !== false) return none;
  const given = { field: held.name, strip: way.name };
  return [
    { kind: 'obstacle', given },
    { kind: 'walked', given },
  ];
}
function pilotMass(known: Known): readonly Way[] {
  // Who borrows it is weighed for the day.
  if (known.said['borrower'] === 'yes') return unsaid(known, 'pilot_mass') ? [{ today: 'pilot_mass' }] : none;
  return known.pilotMass === false ? [{ kind: 'pilot' }] : none;
}
const masses = [pilotMass, figure('machine_mass'), figure('wing_mass')] as const;
const lighter: readonly Way[] = [{ today: 'all_up' }, { kind: 'kit' }];

function made(known: Known): readonly Way[] {
  const reserve = known.parts?.find((one) => one.role === 'reserve' && one.fitted);
  if (reserve?.made) return none;
  return reserve ? [{ kind: 'made', given: { part: reserve.id } }] : [{ kind: 'part', given: { role: 'reserve' } }];
}

const only = (...ways: Way[]): Row => ({ anew: ways });

const rows: Record<string, Row> = {
  take_off_room: {
    lacks: [field, strip, walk, today('wind'), ...masses, figure('wing_area'), figure('static_thrust'), ofField('height')],
    anew: [{ today: 'strip' }, { today: 'wind' }, { kind: 'take_off_run' }],
  },
  'service:reserve_life': { lacks: [made], anew: [{ kind: 'part', given: { role: 'reserve' } }] },
  light: { lacks: [field, ofField('place')], anew: [{ today: 'start' }, { today: 'planned' }, { today: 'light' }] },
  wind_mean: { lacks: [today('wind')], anew: [{ today: 'wind' }, { figure: 'limit_wind' }] },
  gust_spread: { lacks: [today('wind')], anew: [{ today: 'wind' }, { figure: 'limit_gust_spread' }] },
  crosswind: { lacks: [today('wind'), today('strip')], anew: [{ today: 'strip' }, { today: 'wind' }, { figure: 'limit_crosswind' }] },
  wind_aloft: only({ today: 'wind_aloft' }),
  wind_forecast: only({ today: 'taf' }),
  wind_chill: only({ today: 'temperature' }),
  thunderstorm: { lacks: [today('sky')], anew: [{ today: 'sky' }, { today: 'taf' }] },
  visibility: { lacks: [today('visibility')], anew: [{ today: 'visibility' }, { today: 'taf' }, { figure: 'least_visibility' }] },
  cloud_base: { lacks: [today('cloud_base')], anew: [{ today: 'cloud_base' }, { today: 'taf' }, { figure: 'least_cloud_base' }] },
  carburettor_icing: { lacks: [today('temperature'), today('dew_point')], anew: [{ today: 'temperature' }, { today: 'dew_point' }] },
  load_on_wing: { lacks: [figure('wing_most'), ...masses], anew: lighter },
  load_on_reserve: { lacks: [figure('reserve_most'), ...masses, field, ofField('height')], anew: lighter },
  load_on_harness: { lacks: [figure('harness_most'), ...masses], anew: lighter },
  load_on_carabiners: { lacks: [figure('carabiners_most'), ...masses], anew: lighter },
  fuel: only({ today: 'tank' }, { kind: 'left' }),
  fuel_mix: only({ kind: 'mixed' }),
  // The next reading comes after the flight; before it, only what was found can be said.
  head_maximum: only({ kind: 'finding' }),
  head_limit: only({ kind: 'head' }, { figure: 'limit_head' }),
  plug_word: only({ kind: 'reading_plug' }, { kind: 'finding' }),
  reserve_drill: only({ kind: 'drill', given: { drill: 'reserve' } }),
  engine_off_landing: only({ kind: 'drill', given: { drill: 'engine-off-landing' } }),
  days_since_last_flight: only({ kind: 'flight' }),
  launches_in_90_days: only({ kind: 'flight' }),
};

const most = 3;

/** `service:LINE` and `service:LINE:PART` lead to that service, `finding:ID` to putting it right. Three at most. */
export function waysIn(id: string, known: Known): readonly Way[] {
  const [family = '', name = '', part = ''] = id.split(':');
  const row = Object.hasOwn(rows, id) ? rows[id] : undefined;
  if (row) {
    const lacking = (row.lacks ?? []).flatMap((one) => one(known));
    return (lacking.length > 0 ? lacking : row.anew ?? []).slice(0, most);
  }
  if (family === 'service' && name !== '') return [{ kind: 'service', given: { line: name, ...(part === '' ? {} : { part }) } }];
  if (family === 'finding' && name !== '') return [{ kind: 'closed', given: { finding: name } }];
  return [];
}

/** The address of a way that leads to a form; a box of today is opened on the brief itself. */
export function addressOfWay(way: FormWay): string {
  return 'figure' in way ? addressOf('enter', 'figure', { figure: way.figure }) : addressOf('enter', way.kind, way.given ?? {});
}

/** The rows there are, for a test. */
export const everyRow: readonly string[] = Object.keys(rows);

interface Now {
  findings: readonly { id: string; grounding: boolean; text: string }[];
  service_lines: readonly { line: string; title: string }[];
}

/** What the server calls the next thing worth entering, and where it is entered; a recording is added on the brief itself, the hours here. */
const nextWays: Record<string, (text: string, now: Now, known: Known) => FormWay> = {
  close_finding: (_text, now) => {
    const grounding = now.findings.find((one) => one.grounding);
    return { kind: 'closed', ...(grounding ? { given: { finding: grounding.id } } : {}) };
  },
  first_recording: () => ({ kind: 'hours' }),
  hours: () => ({ kind: 'hours' }),
  fuel_left: () => ({ kind: 'left' }),
  fuel_mixed: () => ({ kind: 'mixed' }),
  part_made: (_text, _now, known) => (made(known)[0] ?? { kind: 'part', given: { role: 'reserve' } }) as FormWay,
  service: (text, now) => {
    // The longest: "Belt: tension" may stand within another title.
    const line = now.service_lines.filter((one) => one.title !== '' && text.includes(one.title)).sort((a, b) => b.title.length - a.title.length)[0];
    return { kind: 'service', ...(line ? { given: { line: line.line } } : {}) };
  },
  use_since: () => ({ kind: 'hours' }),
  drill: () => ({ kind: 'drill', given: { drill: 'reserve' } }),
  flights: () => ({ kind: 'flight' }),
  machine: () => ({ kind: 'machine' }),
  pilot: () => ({ kind: 'pilot' }),
};
export function wayOfNext(next: { what: string; text: string; at: string | null; part: string | null }, now: Now, known: Known, zone: string): FormWay | null {
  if (!Object.hasOwn(nextWays, next.what)) return null;
  const way = nextWays[next.what]?.(next.text, now, known) ?? null;
  if (way === null || !('kind' in way) || !next.at) return way;
  const part = known.parts?.find((one) => one.role === next.part && one.fitted);
  return { ...way, given: { ...way.given, at: localOf(Date.parse(next.at), zone), ...(part ? { part: part.id } : {}) } };
}
