// Where the page is, in the part of the address after #: "#/brief", "#/flown/ID", "#/enter/finding", "#/enter/figure?figure=wing_area".
// To add a place: one line in `places` (and its view in views/index.ts).

export const places = ['brief', 'flown', 'shed', 'machine', 'book'] as const;
export const others = ['enter', 'first'] as const;
export type Place = (typeof places)[number] | (typeof others)[number];

export interface Route {
  place: Place;
  /** What of it: an id or a name, as it was before it was written into the address; "" for the place itself. */
  what: string;
  /** What a form begins with, box by box. */
  given: Record<string, string>;
}

const known: readonly string[] = [...places, ...others];

/** An address that names no place leads to the brief. */
export function readRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#/, '').split('?', 2);
  const [, place = '', ...rest] = path.split('/');
  if (!known.includes(place)) return { place: 'brief', what: '', given: {} };
  let what: string;
  try {
    what = decodeURIComponent(rest.join('/'));
  } catch {
    what = '';
  }
  return { place: place as Place, what, given: Object.fromEntries(new URLSearchParams(query)) };
}

export function addressOf(place: Place, what = '', given: Record<string, string> = {}): string {
  const query = new URLSearchParams(given).toString();
  return `#/${place}${what === '' ? '' : `/${encodeURIComponent(what)}`}${query === '' ? '' : `?${query}`}`;
}
