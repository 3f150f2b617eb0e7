import { describe, expect, it } from 'vitest';
import { firstOpen, heldOf, lapsed, marksOf, toldOf } from './checks';

const [done, not, none, nothing] = [{ state: 'done' }, { state: 'not_done' }, { state: 'not_applicable' }, { state: null }];

describe('a group of checks', () => {
  it('is counted by its states', () => {
    expect(toldOf([done, not, none, nothing])).toEqual({ done: 1, undone: 1, notHere: 1, all: 4, finished: false });
  });
  it('is finished when each is done or does not apply, not when one was seen not to be', () => {
    expect(toldOf([done, none]).finished).toBe(true);
    expect(toldOf([done, not]).finished).toBe(false);
    expect(toldOf([done, nothing]).finished).toBe(false);
  });
  it('is found when it is the first that is not finished', () => {
    expect(firstOpen([[done], [done, nothing], [nothing]])).toBe(1);
    expect(firstOpen([[done], [none]])).toBe(-1);
  });
});

describe('what was touched here', () => {
  const at = '2026-06-14T16:05:00.000Z';
  const batch = { entries: [{ kind: 'check', check: 'straps', state: 'done', at }] };
  const silent = { key: 'straps', state: null, at: null };
  const start = Date.parse('2026-06-14T16:30:00Z');

  it('waits until the book has taken it', () => {
    expect(heldOf(silent, marksOf([batch], [], 0), start)).toEqual({ state: 'done', at, said: 'done', waits: true });
  });
  it('stands when it was taken, until a brief was asked for after that', () => {
    const taken = [{ batch, at: 1000 }];
    expect(heldOf(silent, marksOf([], taken, 999), start)).toEqual({ state: 'done', at, said: 'done', waits: false });
    expect(heldOf(silent, marksOf([], taken, 1000), start)).toEqual({ state: null, at: null, said: null, waits: false });
  });
  it('gives way to what the brief says is newer', () => {
    const newer = { key: 'straps', state: 'not_done', at: '2026-06-14T16:06:00Z' };
    expect(heldOf(newer, marksOf([batch], [], 0), start).state).toBe('not_done');
    expect(heldOf({ ...newer, at: '2026-06-14T16:04:00Z' }, marksOf([batch], [], 0), start).state).toBe('done');
  });
  it('of yesterday counts for nothing today, and is told', () => {
    expect(heldOf(silent, marksOf([batch], [], 0), start + 24 * 3600_000)).toEqual({ state: null, at, said: 'done', waits: true });
  });
  it('is the last of several', () => {
    const later = { entries: [{ kind: 'check', check: 'straps', state: 'not_done', at: '2026-06-14T16:07:00.000Z' }] };
    expect(heldOf(silent, marksOf([later, batch], [], 0), start).state).toBe('not_done');
  });
});

describe('that somebody knows where and until when', () => {
  const at = '2026-06-14T16:05:00.000Z';
  const start = Date.parse('2026-06-14T16:30:00Z');
  const plan = { field: 'Meadow', startMs: start, endMs: start + 3600_000 };
  const told = { ...plan, at };
  const hour = 3600_000;

  it('stands while field and times stay', () => {
    expect(lapsed(at, told, plan, 0)).toBe(false);
    expect(lapsed('2026-06-14T16:05:00Z', told, plan, start)).toBe(false);
    expect(lapsed(at, told, { ...plan, startMs: start + 10 * 60_000, endMs: plan.endMs + 10 * 60_000 }, start)).toBe(false);
  });
  it('lapses when the field or the time moves', () => {
    expect(lapsed(at, told, { ...plan, field: 'Bank' }, 0)).toBe(true);
    expect(lapsed(at, told, { ...plan, startMs: start + hour }, 0)).toBe(true);
    expect(lapsed(at, told, { ...plan, endMs: plan.endMs + hour }, 0)).toBe(true);
  });
  it('of another device lapses when the plan was typed anew after it', () => {
    const then = Date.parse(at);
    expect(lapsed(at, null, plan, then - 1)).toBe(false);
    expect(lapsed(at, null, plan, then + 1)).toBe(true);
    expect(lapsed(at, { ...told, at: '2026-06-13T16:05:00.000Z' }, plan, then + 1)).toBe(true);
  });
  it('that was never done does not lapse', () => {
    expect(lapsed(null, told, plan, start)).toBe(false);
  });
});
