// Fetched when the page rests, like the other places.
export const forms = (): Promise<typeof import('./Forms.svelte')> => import('./Forms.svelte');

// Fetched as soon as the margins are painted: the rest of the brief, and the form after a flight.
export const further = (): Promise<typeof import('./further')> => import('./further');
