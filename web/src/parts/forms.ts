// Fetched when the page rests, like the other places.
export const forms = (): Promise<typeof import('./Forms.svelte')> => import('./Forms.svelte');
