// Names for what the server answers and takes. The shapes are those of docs/openapi.yaml ("npm run types"); none is written here.
import type { components, operations, paths } from './openapi';

type Schemas = components['schemas'];

export type BookName = components['parameters']['book'];

export type Hello = Schemas['Hello'];
export type Now = Schemas['Now'];
export type Quantity = keyof Schemas['UnitTable'];

export type SaidDay = Schemas['SaidDay'];
export type Brief = Schemas['Brief'];
export type Margin = Schemas['Margin'];
export type MarginState = Margin['state'];
export type Check = Schemas['Check'];
export type CheckWhen = Check['when'];
export type CheckState = NonNullable<Check['state']>;
export type Interval = Schemas['Interval'];

/** What the server refuses; `gone` is the page's own word for a server that does not answer. */
export type Problem = Omit<Schemas['Refusal']['error'], 'kind'> & { kind: Schemas['Refusal']['error']['kind'] | 'gone' | '' };

export type SaidEntry = Schemas['SaidEntry'];
export type EntryKind = SaidEntry['kind'];
export type Written = Schemas['Written'];
export type Corrected = Schemas['Corrected'];
export type EntryLine = Schemas['EntryRow'];
export type EntryList = Schemas['EntryList'];

export type FlightLine = Schemas['FlightLine'];
export type FlightList = Schemas['FlightList'];
export type FlightPage = Schemas['FlightPage'];
export type Measure = Schemas['MeasureRow'];
export type WindLayer = Schemas['WindByHeight']['layers'][number];
export type Series = Schemas['Series'];
export type SeriesLine = Schemas['SeriesLine'];

export type Shed = Schemas['Shed'];
type HeadPoint = Shed['head']['points'][number];
type BurnPoint = Shed['burn']['points'][number];
/** One value a flight, or a middle with its spread. */
export type TrendPoint = Pick<HeadPoint, 'at' | 'text'> & Partial<HeadPoint & BurnPoint>;
export type TrendLine = Omit<Shed['head'], 'points' | 'usual'> & { points: TrendPoint[]; usual: Pick<Interval, 'low' | 'high'> | null };
export type DueLine = Schemas['DueLine'];
export type Finding = Schemas['Finding'];
export type CalcAnswer = Schemas['Calculated'] & Partial<Schemas['CalculatedLimit']>;
/** The end of the route of each piece of arithmetic, and the boxes there are. */
export type CalcRoute = keyof paths extends infer P ? (P extends `/api/{book}/calc/${infer Name}` ? Name : never) : never;
type Keys<T> = T extends unknown ? keyof T : never;
export type CalcBoxKey = Keys<NonNullable<paths[`/api/{book}/calc/${CalcRoute}`]['get']['parameters']['query']>>;

export type MachinePage = Schemas['MachinePage'];
export type Strip = Schemas['Strip'];
export type Pairing = Schemas['Pairing'];

/** Answers of jobs, told by their last event. */
export type Debriefed = Schemas['Debriefed'];
export type Verified = Schemas['Verified'];
export type SeasonMade = Schemas['SeasonMade'];

export type QueryOf<Name extends keyof operations> = NonNullable<operations[Name]['parameters']['query']>;
