// Every route the page uses. To add one, add a line here; its shapes come from docs/openapi.yaml ("npm run types").
import { addressOf, get, post, postBytes, remove, type Answer, type SentTo } from './call';
import type { BookName, CalcAnswer, CalcBoxKey, CalcRoute, Problem, QueryOf } from './types';

export const hello = () => get('/api/hello', {});
export const now = (book: BookName) => get('/api/{book}/now', { book });
export const brief = (book: BookName, today: SentTo<'/api/{book}/brief'>) => post('/api/{book}/brief', { book }, today);
export const write = (book: BookName, entries: SentTo<'/api/{book}/entries'>['entries']) => post('/api/{book}/entries', { book }, { entries });
export const flights = (book: BookName, skip: number, most: number) => get('/api/{book}/flights', { book, query: { skip, most } });
export const flight = (book: BookName, id: string) => get('/api/{book}/flights/{id}', { book, id });
export const series = (book: BookName, id: string) => get('/api/{book}/flights/{id}/series', { book, id });
export const shed = (book: BookName) => get('/api/{book}/shed', { book });
export const machine = (book: BookName) => get('/api/{book}/machine', { book });
export const entries = (book: BookName, before: number | null, most: number) =>
  get('/api/{book}/entries', { book, query: before === null ? { most } : { most, before } });
export const entry = (book: BookName, id: string) => get('/api/{book}/entries/{id}', { book, id });
export const voidEntry = (book: BookName, id: string, reason: string) => post('/api/{book}/entries/{id}/void', { book, id }, { reason });
/** Puts an entry right: the old one stays to be seen. `entry` holds the words anew; without it only the time is put right. */
export const amendEntry = (book: BookName, id: string, body: SentTo<'/api/{book}/entries/{id}/amend'>) =>
  post('/api/{book}/entries/{id}/amend', { book, id }, body);
export const addPhoto = (book: BookName, about: QueryOf<'keepPhoto'>, file: Blob) => postBytes('/api/{book}/photos', { book, query: about }, file);
export const verify = (book: BookName) => post('/api/{book}/verify', { book }, {});
/** Arithmetic: the boxes as typed, those that are filled. What is missing is told by the server. */
export const calc = (book: BookName, what: CalcRoute, boxes: Partial<Record<CalcBoxKey, string>>): Promise<Answer<CalcAnswer>> =>
  get(`/api/{book}/calc/${what}`, { book, query: boxes as QueryOf<'calcAir'> & QueryOf<'calcMetar'> });
export const pairing = () => get('/api/pairing', {});
export const newPairing = () => post('/api/pairing', {}, {});
export const pair = (code: string) => post('/api/pair', {}, { code });
export const exportOf = (book: BookName, priv: boolean): string =>
  addressOf('/api/{book}/export.zip', 'get', { book, query: { private: priv ? '1' : '0' } });
export const blob = (book: BookName, sha256: string): string => addressOf('/api/{book}/blobs/{sha256}', 'get', { book, sha256 });
export const mapBytes = (offset: number, length: number): string => addressOf('/api/map/bytes', 'get', { query: { offset, length } });
export const addRecording = (book: BookName, file: File) => postBytes('/api/{book}/recordings', { book, query: { name: file.name } }, file);
export const makeSeason = () => post('/api/season', {}, {});
export const removeSeason = () => remove('/api/season', {});

export type JobEnd<T> = { state: 'done'; answer: T } | { state: 'failed'; problem: Problem } | { state: 'gone' };
export interface Step {
  what: string;
  done: number;
  of: number;
}

/** Follows a job to its end. The browser connects again by itself; after `patience` ms without a word the server counts as gone. */
export function follow<T>(job: string, step: (step: Step) => void, patience = 20_000): Promise<JobEnd<T>> {
  return new Promise((resolve) => {
    const events = new EventSource(`/api/jobs/${encodeURIComponent(job)}/events`);
    let timer: ReturnType<typeof setTimeout>;
    const end = (how: JobEnd<T>): void => {
      clearTimeout(timer);
      events.close();
      resolve(how);
    };
    const heard = (): void => {
      clearTimeout(timer);
      timer = setTimeout(() => end({ state: 'gone' }), patience);
    };
    const read = (event: Event): unknown => {
      try {
        return JSON.parse((event as MessageEvent<string>).data);
      } catch {
        return null;
      }
    };
    events.addEventListener('step', (event) => {
      heard();
      const said = read(event) as Step | null;
      if (said) step(said);
    });
    events.addEventListener('done', (event) => end({ state: 'done', answer: (read(event) as { answer: T }).answer }));
    events.addEventListener('failed', (event) => {
      const said = read(event) as { error?: Problem } | null;
      end({ state: 'failed', problem: said?.error ?? { kind: '', what: '', where: '' } });
    });
    events.addEventListener('error', () => {
      if (events.readyState === EventSource.CLOSED) end({ state: 'gone' });
    });
    heard();
  });
}
