// What is needed soon, but not to read the margins: one chunk, fetched right after they are painted.
export { default as AddFiles } from './AddFiles.svelte';
export { default as Card } from './Card.svelte';
export { default as Checks } from './Checks.svelte';
export { default as Packing } from './Packing.svelte';
export { default as TodayForm } from './TodayForm.svelte';
export { default as Enter } from '../views/Enter.svelte';
