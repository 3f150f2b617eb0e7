// One way to ask the server. It answers, refuses with a sentence, or is gone; nothing here throws. Paths, what is sent and what comes
// back are those of docs/openapi.yaml: a route that is not there does not compile.
// Asking again for what has not changed costs a 304: the browser keeps the answers and sends their ETag ("no-cache" means that).
import type { paths } from './openapi';
import type { Problem } from './types';

export type Answer<T> = { ok: true; status: number; body: T } | { ok: false; gone: boolean; status: number; problem: Problem };

type Method = 'get' | 'post' | 'delete';
export type PathOf<M extends Method> = { [P in keyof paths]: paths[P] extends Record<M, { responses: unknown }> ? P : never }[keyof paths];
export type OperationOf<P extends keyof paths, M extends Method> = paths[P][M];

type Content<R> = R extends { content: { 'application/json': infer T } } ? T : R extends { content: unknown } ? never : null;
type Good = 200 | 201 | 202 | 204;
type Body<O> = O extends { responses: infer R } ? { [S in keyof R & Good]: Content<R[S]> }[keyof R & Good] : never;
/** What a route answers when it answers well. */
export type AnswerOf<P extends keyof paths, M extends Method> = Body<OperationOf<P, M>>;

type Sent<O> = O extends { requestBody?: infer B } ? (NonNullable<B> extends { content: { 'application/json': infer T } } ? T : never) : never;
/** What a route takes. */
export type SentTo<P extends PathOf<'post'>> = Sent<OperationOf<P, 'post'>>;

type Here<P extends keyof paths> = paths[P]['parameters'] extends { path: infer V } ? V : unknown;
type There<O> = O extends { parameters: { path: infer V } } ? V : unknown;
type Query<O> = O extends { parameters: { query?: infer Q } } ? NonNullable<Q> : never;
/** What stands in the address: the parts of its path, and what follows the question mark. */
export type Params<P extends keyof paths, M extends Method> = Here<P> & There<OperationOf<P, M>> & { query?: Query<OperationOf<P, M>> };

const longest = 20_000;

const gone = (status: number, what: string): Answer<never> => ({ ok: false, gone: true, status, problem: { kind: 'gone', what, where: '' } });

function readProblem(body: unknown): Problem | null {
  const error = (body as { error?: Partial<Problem> } | null)?.error;
  if (!error || typeof error.what !== 'string') return null;
  return { kind: error.kind ?? '', what: error.what, where: String(error.where ?? '') };
}

async function ask<T>(path: string, init: RequestInit): Promise<Answer<T>> {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), longest);
  try {
    const response = await fetch(path, { ...init, cache: 'no-cache', credentials: 'same-origin', signal: init.signal ?? stop.signal });
    const text = await response.text();
    let body: unknown;
    try {
      body = text === '' ? null : JSON.parse(text);
    } catch {
      return gone(response.status, 'The answer could not be read.');
    }
    if (response.ok) return { ok: true, status: response.status, body: body as T };
    const problem = readProblem(body);
    // Without a sentence of ours it was not our server that answered (a proxy, another program on the port).
    return problem ? { ok: false, gone: response.status >= 500, status: response.status, problem } : gone(response.status, '');
  } catch {
    return gone(0, '');
  } finally {
    clearTimeout(timer);
  }
}

/** The address of a route: `{name}` filled in, the rest as its query. */
export function addressOf<P extends keyof paths, M extends Method>(path: P, _method: M, params: Params<P, M>): string {
  const { query = {}, ...parts } = params as { query?: Record<string, unknown> } & Record<string, unknown>;
  const filled = Object.entries(parts).reduce((at, [name, value]) => at.replace(`{${name}}`, encodeURIComponent(String(value))), path as string);
  const asked = new URLSearchParams(
    Object.entries(query)
      .filter(([, value]) => value !== undefined && value !== null)
      .map(([name, value]) => [name, String(value)]),
  ).toString();
  return asked === '' ? filled : `${filled}?${asked}`;
}

export const get = <P extends PathOf<'get'>>(path: P, params: Params<P, 'get'>): Promise<Answer<AnswerOf<P, 'get'>>> =>
  ask(addressOf(path, 'get', params), { method: 'GET' });

export const post = <P extends PathOf<'post'>>(path: P, params: Params<P, 'post'>, body: SentTo<P>): Promise<Answer<AnswerOf<P, 'post'>>> =>
  ask(addressOf(path, 'post', params), { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });

export const postBytes = <P extends PathOf<'post'>>(path: P, params: Params<P, 'post'>, bytes: Blob): Promise<Answer<AnswerOf<P, 'post'>>> =>
  ask(addressOf(path, 'post', params), {
    method: 'POST',
    headers: { 'Content-Type': 'application/octet-stream' },
    body: bytes,
    signal: new AbortController().signal,
  });

export const remove = <P extends PathOf<'delete'>>(path: P, params: Params<P, 'delete'>): Promise<Answer<AnswerOf<P, 'delete'>>> =>
  ask(addressOf(path, 'delete', params), { method: 'DELETE', headers: { 'Content-Type': 'application/json' } });
