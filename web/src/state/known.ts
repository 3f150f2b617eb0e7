// What is known here of what a margin rests on, for the ways that lead to what lacks.
import { capital, labels, type KindLabel } from '../lib/labels';
import type { FormWay, Known } from '../lib/wayIn';
import { page } from './page.svelte';

export function knownNow(): Known {
  const { machine, now, said } = page;
  const flies = now?.pilots.find((one) => (said['pilot'] ? one.name === said['pilot'] : one.flies)) ?? now?.pilots[0];
  return {
    said,
    figures: machine?.masses.filter((one) => one.text !== null).map((one) => one.key) ?? null,
    fields:
      machine?.fields.map((one) => ({
        name: one.name,
        place: one.latitude !== null,
        height: one.height_m !== null,
        strips: one.strips.map((strip) => ({ name: strip.name, walked: strip.walked !== null })),
      })) ??
      now?.fields ??
      [],
    ...(now ? { pilotMass: typeof flies?.mass_kg === 'number' } : {}),
    ...(machine ? { parts: machine.parts.map((one) => ({ id: one.id, role: one.role, fitted: one.fitted, made: one.made !== null })) } : {}),
  };
}

/** What is entered there, in a word. */
export function nameOfWay(way: FormWay): string {
  if ('figure' in way) return capital(page.now?.figures.find((one) => one.key === way.figure)?.words ?? labels.kinds.figure);
  // The table of forms itself is fetched later; a test holds the two together.
  if (way.kind === 'made') return labels.headings.made;
  return Object.hasOwn(labels.kinds, way.kind) ? labels.kinds[way.kind as KindLabel] : labels.kinds.note;
}
