// One line for each place: to add a view, add its place in lib/route.ts, its label in lib/labels.ts, and its line here.
// What is needed at once stands in the first load; the others come in chunks of their own, fetched as soon as the page rests, so that
// they are there when the server is gone.
import type { Component } from 'svelte';
import type { Place } from '../lib/route';
import { forms, further } from '../parts/forms';
import Brief from './Brief.svelte';

type Module = Promise<{ default: Component }>;

export const views: Partial<Record<Place, Component>> = { brief: Brief };

export const later: Partial<Record<Place, () => Module>> = {
  enter: () => further().then((them) => ({ default: them.Enter })),
  flown: () => import('./Flown.svelte'),
  shed: () => import('./Shed.svelte'),
  machine: () => import('./Machine.svelte'),
  book: () => import('./Book.svelte'),
  first: () => import('./First.svelte'),
};

/** Fetches every chunk, so that the browser holds it. */
export function fetchAll(): void {
  for (const one of Object.values(later)) void one().catch(() => undefined);
  void forms().catch(() => undefined);
  void import('../parts/charts').catch(() => undefined);
}
