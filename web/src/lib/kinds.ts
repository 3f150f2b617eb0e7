// What can be entered, as one table: each kind is a small form. To add a kind, add a line here, its label under `kinds` and its
// boxes under `words` in labels.ts. What the words of a kind mean is for the server to say.
import type { EntryKind } from '../api/types';
import { measureOfFigure } from './figures';
import type { KindLabel, WordLabel } from './labels';
import { inOwn, type MeasuredIn, type OwnUnits } from './number';
import type { Draft } from './outbox';
import { utcOf } from './time';

/** From the book: part, line, finding, field, strip, figure, pilot. `place` is latitude,longitude; `day` a day without a time. */
export type WordShape =
  'text' | 'long' | 'yes' | 'pick' | 'part' | 'line' | 'finding' | 'at' | 'day' | 'field' | 'strip' | 'figure' | 'pilot' | 'place';

export interface KindWord {
  /** The name in the entry, and of the box when the server refuses it. */
  key: string;
  label: WordLabel;
  shape: WordShape;
  needed?: boolean;
  /** A bare number in it is in the owner's unit of this. Durations, ratios, slopes, degrees and counts have no choice of unit. */
  measure?: MeasuredIn;
  options?: readonly string[];
  hint?: string;
}

export const kindGroups = ['flying', 'upkeep', 'fuel', 'machine', 'fields', 'rest'] as const;
export type KindGroup = (typeof kindGroups)[number];

export interface Kind {
  key: KindLabel;
  group: KindGroup;
  /** The kind that is sent. */
  kind: EntryKind;
  /** What the book calls such an entry, where it is of no other kind: it can then be put right in this form. */
  inBook?: string;
  words: readonly KindWord[];
}

const at: KindWord = { key: 'at', label: 'at', shape: 'at' };
const part: KindWord = { key: 'part', label: 'part', shape: 'part' };
const note: KindWord = { key: 'note', label: 'note', shape: 'text' };
const field: KindWord = { key: 'field', label: 'field', shape: 'field', needed: true };
const strip: KindWord = { key: 'strip', label: 'strip', shape: 'strip', needed: true };
const surfaces = ['short grass', 'long grass', 'hard', 'sand', 'stones', 'stubble'] as const;
const roles = [
  'engine', 'drive', 'propeller', 'frame', 'harness', 'wing', 'reserve', 'ignition', 'carburettor', 'fuel_system', 'exhaust', 'lines', 'carabiners', 'other',
] as const;

export const kinds: readonly Kind[] = [
  {
    key: 'finding',
    group: 'upkeep',
    kind: 'finding',
    inBook: 'finding',
    words: [{ key: 'text', label: 'text', shape: 'long', needed: true }, { key: 'grounding', label: 'grounding', shape: 'yes' }, part, at],
  },
  {
    key: 'closed',
    group: 'upkeep',
    kind: 'closed',
    inBook: 'finding_closed',
    words: [
      { key: 'finding', label: 'finding', shape: 'finding', needed: true },
      { key: 'text', label: 'text', shape: 'long', needed: true },
      at,
    ],
  },
  { key: 'service', group: 'upkeep', kind: 'service', inBook: 'service_done', words: [{ key: 'line', label: 'line', shape: 'line', needed: true }, part, note, at] },
  {
    key: 'service_line',
    group: 'upkeep',
    kind: 'service_line',
    inBook: 'service_line_set',
    words: [
      { key: 'line', label: 'lineKey', shape: 'text', needed: true, hint: 'plug, or a new word of your own: exhaust_springs' },
      { key: 'title', label: 'title', shape: 'text', hint: 'Exhaust springs: renew' },
      { key: 'role', label: 'role', shape: 'pick', options: roles },
      { key: 'running', label: 'eachRunning', shape: 'text', hint: '25 h' },
      { key: 'air', label: 'eachAir', shape: 'text', hint: '100 h' },
      { key: 'months', label: 'eachMonths', shape: 'text', hint: '12' },
      { key: 'launches', label: 'eachLaunches', shape: 'text', hint: '50' },
      { key: 'drop', label: 'drop', shape: 'yes' },
    ],
  },
  {
    key: 'reading_plug',
    group: 'upkeep',
    kind: 'plug',
    inBook: 'plug_read',
    words: [
      { key: 'colour', label: 'colour', shape: 'pick', needed: true, options: ['white', 'pale', 'tan', 'dark', 'black'] },
      { key: 'wet', label: 'wet', shape: 'yes' },
      { key: 'reading', label: 'reading', shape: 'pick', options: ['lean', 'right', 'rich'] },
      at,
    ],
  },
  {
    key: 'alteration',
    group: 'upkeep',
    kind: 'alteration',
    inBook: 'alteration',
    words: [
      {
        key: 'area',
        label: 'area',
        shape: 'pick',
        needed: true,
        options: ['wing', 'lines', 'propeller', 'jet', 'plug', 'oil', 'exhaust', 'undercarriage', 'seats', 'other'],
      },
      { key: 'text', label: 'text', shape: 'long', needed: true },
      part,
      at,
    ],
  },
  { key: 'hours', group: 'flying', kind: 'hours', inBook: 'counter_read', words: [{ key: 'value', label: 'hours', shape: 'text', needed: true, hint: '41.2' }, part, at] },
  { key: 'head', group: 'flying', kind: 'head', words: [{ key: 'value', label: 'head', shape: 'text', measure: 'temperature', needed: true, hint: '180 C' }, at] },
  {
    key: 'flight',
    group: 'flying',
    kind: 'flight',
    words: [
      { key: 'value', label: 'time', shape: 'text', needed: true, hint: '45 min in the air' },
      { key: 'launches', label: 'launches', shape: 'text', hint: '1' },
      { ...at, hint: 'the launch' },
    ],
  },
  {
    key: 'run',
    group: 'flying',
    kind: 'run',
    inBook: 'engine_run',
    words: [{ key: 'value', label: 'time', shape: 'text', needed: true, hint: '12 min' }, note, at],
  },
  { key: 'handling', group: 'flying', kind: 'handling', inBook: 'ground_handling', words: [{ key: 'value', label: 'time', shape: 'text', needed: true, hint: '40 min' }, at] },
  {
    key: 'take_off_run',
    group: 'flying',
    kind: 'take_off_run',
    inBook: 'run_measured',
    words: [
      { key: 'distance', label: 'distance', shape: 'text', measure: 'height', hint: '34 m, by tape; or steps' },
      { key: 'steps', label: 'steps', shape: 'text', hint: '42, walked back' },
      { key: 'headwind', label: 'headwind', shape: 'text', measure: 'speed', hint: '8 km/h; 0 is calm' },
      { key: 'tailwind', label: 'tailwind', shape: 'text', measure: 'speed', hint: 'only if it came from behind' },
      { key: 'field', label: 'field', shape: 'field' },
      { key: 'strip', label: 'strip', shape: 'strip' },
      { key: 'surface', label: 'surface', shape: 'pick', options: surfaces },
      { key: 'temperature', label: 'temperature', shape: 'text', measure: 'temperature', hint: '18 C' },
      { key: 'height', label: 'heightMsl', shape: 'text', measure: 'height', hint: 'when no field is named' },
      { key: 'all_up', label: 'allUp', shape: 'text', measure: 'mass', hint: 'in place of the kit list' },
      { key: 'wheels', label: 'wheels', shape: 'yes' },
      note,
      { ...at, hint: 'the launch' },
    ],
  },
  {
    key: 'drill',
    group: 'flying',
    kind: 'drill',
    inBook: 'drill_practised',
    words: [
      { key: 'drill', label: 'drill', shape: 'pick', needed: true, options: ['reserve', 'engine-off-landing', 'start', 'other'] },
      note,
      at,
    ],
  },
  {
    key: 'filled',
    group: 'fuel',
    kind: 'filled',
    inBook: 'fuel_filled',
    words: [
      { key: 'value', label: 'value', shape: 'text', measure: 'volume', needed: true, hint: '5 L' },
      { key: 'tank', label: 'tank', shape: 'text', measure: 'volume', hint: '8 L' },
      at,
    ],
  },
  { key: 'left', group: 'fuel', kind: 'left', inBook: 'fuel_left', words: [{ key: 'value', label: 'value', shape: 'text', measure: 'volume', needed: true, hint: '2.5 L' }, at] },
  {
    key: 'mixed',
    group: 'fuel',
    kind: 'mixed',
    inBook: 'fuel_mixed',
    words: [
      { key: 'value', label: 'value', shape: 'text', measure: 'volume', needed: true, hint: '10 L of petrol' },
      { key: 'ratio', label: 'ratio', shape: 'text', hint: '50, or 50:1' },
      { key: 'oil', label: 'oil', shape: 'text', measure: 'volume', hint: 'or 200 mL' },
      note,
      at,
    ],
  },
  {
    key: 'figure',
    group: 'machine',
    kind: 'figure',
    words: [
      { key: 'figure', label: 'figure', shape: 'figure', needed: true },
      { key: 'value', label: 'value', shape: 'text', needed: true },
      at,
    ],
  },
  {
    key: 'part',
    group: 'machine',
    kind: 'part',
    inBook: 'part_registered',
    words: [
      { key: 'role', label: 'role', shape: 'pick', needed: true, options: roles },
      { key: 'name', label: 'name', shape: 'text', needed: true, hint: 'as you call it' },
      { key: 'made', label: 'made', shape: 'day' },
      { key: 'running_before', label: 'runningBefore', shape: 'text', hint: '12 h; 0 h when new' },
      { key: 'air_before', label: 'airBefore', shape: 'text', hint: '40 h' },
      { key: 'launches_before', label: 'launchesBefore', shape: 'text', hint: '60' },
    ],
  },
  { key: 'fitted', group: 'machine', kind: 'fitted', inBook: 'part_fitted', words: [{ ...part, needed: true }, at] },
  { key: 'removed', group: 'machine', kind: 'removed', inBook: 'part_removed', words: [{ ...part, needed: true }, { key: 'text', label: 'text', shape: 'text' }, at] },
  {
    key: 'kit',
    group: 'machine',
    kind: 'kit',
    words: [
      { key: 'name', label: 'name', shape: 'text', needed: true, hint: 'radio' },
      { key: 'mass', label: 'mass', shape: 'text', measure: 'mass', needed: true, hint: '0.4 kg; 0 takes it off the list' },
      { key: 'place', label: 'place', shape: 'text', hint: 'left pocket' },
    ],
  },
  { key: 'machine', group: 'machine', kind: 'machine', inBook: 'machine_registered', words: [{ key: 'name', label: 'name', shape: 'text', needed: true, hint: 'as you call it' }] },
  {
    key: 'pilot',
    group: 'machine',
    kind: 'pilot',
    inBook: 'pilot_registered',
    words: [
      { key: 'name', label: 'name', shape: 'text', needed: true },
      { key: 'mass', label: 'mass', shape: 'text', measure: 'mass', hint: '82 kg, dressed to fly' },
    ],
  },
  {
    key: 'field',
    group: 'fields',
    kind: 'field',
    words: [
      { key: 'field', label: 'name', shape: 'text', needed: true, hint: 'a name of yours; one that is there is told anew' },
      { key: 'place', label: 'where', shape: 'place', hint: '52.31,0.42' },
      { key: 'height', label: 'heightMsl', shape: 'text', measure: 'height', hint: '38 m' },
      { key: 'landable', label: 'landable', shape: 'text', hint: 'the pasture to the north, not after May' },
      { key: 'text', label: 'note', shape: 'long' },
    ],
  },
  {
    key: 'strip',
    group: 'fields',
    kind: 'strip',
    words: [
      field,
      { key: 'strip', label: 'name', shape: 'text', needed: true, hint: '24, or any word of yours' },
      { key: 'towards', label: 'towards', shape: 'text', needed: true, hint: '240, in degrees from true north' },
      { key: 'length', label: 'length', shape: 'text', measure: 'height', needed: true, hint: '180 m' },
      { key: 'slope', label: 'slope', shape: 'text', hint: '2 is up 2 per cent, -2 down' },
      { key: 'surface', label: 'surface', shape: 'pick', options: surfaces },
    ],
  },
  {
    key: 'obstacle',
    group: 'fields',
    kind: 'obstacle',
    words: [
      field,
      strip,
      { key: 'obstacle', label: 'obstacle', shape: 'pick', needed: true, options: ['trees', 'hedge', 'wires', 'building', 'fence', 'crop', 'other'] },
      { key: 'distance', label: 'fromBeginning', shape: 'text', measure: 'height', needed: true, hint: '210 m' },
      { key: 'height', label: 'tall', shape: 'text', measure: 'height', needed: true, hint: '12 m' },
    ],
  },
  { key: 'walked', group: 'fields', kind: 'walked', words: [field, strip, at] },
  { key: 'note', group: 'rest', kind: 'note', inBook: 'note', words: [{ key: 'text', label: 'text', shape: 'long', needed: true }, at] },
  {
    key: 'spent',
    group: 'rest',
    kind: 'spent',
    inBook: 'money_spent',
    words: [
      { key: 'value', label: 'value', shape: 'text', needed: true, hint: '24.90' },
      { key: 'currency', label: 'currency', shape: 'text', needed: true, hint: 'EUR' },
      { key: 'what', label: 'what', shape: 'text', needed: true, hint: 'two plugs' },
      at,
    ],
  },
];

export const kindOf = (key: string): Kind | null => kinds.find((kind) => kind.key === key) ?? null;

/** The form in which an entry of the book can be put right. */
export const kindInBook = (name: string): Kind | null => kinds.find((kind) => kind.inBook === name) ?? null;

/** The boxes that are needed and empty. */
export const missingOf = (kind: Kind, typed: Record<string, string>): string[] =>
  kind.words.filter((word) => word.needed === true && (typed[word.key] ?? '').trim() === '').map((word) => word.key);

/** The entry a form makes: only what was filled in; flags as truth values. */
export function entryOf(kind: Kind, typed: Record<string, string>, zone: string, units: OwnUnits = {}): Draft {
  const entry: Draft = { kind: kind.kind };
  for (const word of kind.words) {
    const value = (typed[word.key] ?? '').trim();
    if (value === '') continue;
    // A time is made UTC when it is typed: "yesterday" would be another day by the time a kept entry is sent.
    if (word.shape === 'at') {
      const utc = utcOf(value, zone);
      if (utc !== null) entry.at = utc;
      continue;
    }
    entry[word.key] = word.shape === 'yes' ? value === 'yes' : whole.has(word.key) && /^\d{1,6}$/.test(value) ? Number(value) : inOwn(value, measureOf(kind, word, typed), units);
  }
  return entry;
}

/** A figure is measured in what that figure is. */
const measureOf = (kind: Kind, word: KindWord, typed: Record<string, string>): MeasuredIn | undefined =>
  kind.key === 'figure' && word.key === 'value' ? measureOfFigure(typed['figure'] ?? '') : word.measure;

/** Counted, not measured: the server takes these as whole numbers. */
const whole = new Set(['launches', 'launches_before', 'steps']);
