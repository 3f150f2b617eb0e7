import { describe, expect, it } from 'vitest';
import { toldCounters } from './counters';

describe('the counters of a part', () => {
  it('are told apart by what is known', () => {
    expect(
      toldCounters([
        { name: 'running', text: '41.2 h', value: { basis: 'measured' } },
        { name: 'in the air', text: 'not known in all; 12.4 h since this book began', value: { basis: 'unknown' } },
        { name: 'launches', text: 'not known in all; 0 since this book began', value: { basis: 'unknown' } },
        { name: 'ground handling', text: 'not known in all; 0.5 h since this book began', value: { basis: 'unknown' } },
      ]),
    ).toEqual({
      known: ['running 41.2 h'],
      unknown: ['in the air (12.4 h since this book began)', 'launches', 'ground handling (0.5 h since this book began)'],
    });
  });
  it('are judged by their words where no value came', () => {
    expect(toldCounters([{ name: 'running', text: 'not known' }])).toEqual({ known: [], unknown: ['running'] });
  });
});
