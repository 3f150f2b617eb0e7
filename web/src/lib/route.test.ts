import { describe, expect, it } from 'vitest';
import { addressOf, readRoute } from './route';

describe('the address', () => {
  it('leads back to where it came from', () => {
    for (const what of ['', 'a b', 'x/y?z#q', '%', 'é 空'])
      expect(readRoute(addressOf('flown', what))).toEqual({ place: 'flown', what, given: {} });
  });
  it('carries what a form begins with', () => {
    const given = { figure: 'wing_area', value: '26 m², or 100 % & more = ?' };
    expect(readRoute(addressOf('enter', 'figure', given))).toEqual({ place: 'enter', what: 'figure', given });
  });
  it('leads to the brief when it names nothing known', () => {
    for (const hash of ['', '#', '#/', '#/constructor', '#/nowhere/1', 'brief'])
      expect(readRoute(hash)).toEqual({ place: 'brief', what: '', given: {} });
  });
  it('takes a broken escape for nothing', () => {
    expect(readRoute('#/flown/%E0%A4%A')).toEqual({ place: 'flown', what: '', given: {} });
  });
});
