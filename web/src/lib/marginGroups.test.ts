import { describe, expect, it } from 'vitest';
import { toShow } from './marginGroups';

const margin = (id: string, state: 'short' | 'thin' | 'ample' | 'unknown', deadly = false): { id: string; state: typeof state; deadly: boolean } => ({ id, state, deadly });

describe('the rows of the brief', () => {
  const many = [margin('a', 'unknown', true), margin('b', 'short'), ...['c', 'd', 'e', 'f'].map((id) => margin(id, 'unknown')), margin('g', 'thin'), margin('h', 'ample', true)];
  it('always hold what is short, thin, or unknown and deadly', () => {
    expect(toShow(many).first.map((one) => one.id)).toEqual(['a', 'b', 'g']);
  });
  it('name the other unknown ones apart from the ample', () => {
    expect(toShow(many).unknown.map((one) => one.id)).toEqual(['c', 'd', 'e', 'f']);
    expect(toShow(many).ample.map((one) => one.id)).toEqual(['h']);
  });
  it('hold a few unknown ones as they come', () => {
    expect(toShow([margin('a', 'thin'), margin('b', 'unknown')]).first.map((one) => one.id)).toEqual(['a', 'b']);
  });
  it('lose none', () => {
    const groups = toShow(many);
    expect([...groups.first, ...groups.unknown, ...groups.ample].map((one) => one.id).sort()).toEqual(many.map((one) => one.id).sort());
  });
});
