import { tick } from 'svelte';

/** Goes to the first box of a form that is marked wrong, wherever it is folded away, and moves the focus into it. */
export async function showWrong(form: HTMLElement | undefined): Promise<void> {
  await tick();
  // After the page has gone to the beginning of a new place.
  await new Promise((done) => requestAnimationFrame(done));
  const box = form?.querySelector<HTMLElement>('[data-wrong]');
  if (!box) return;
  for (let held = box.parentElement?.closest<HTMLElement>('details, .shut'); held; held = held.parentElement?.closest<HTMLElement>('details, .shut')) {
    if (held instanceof HTMLDetailsElement) held.open = true;
    else document.querySelector<HTMLElement>(`[aria-controls="${CSS.escape(held.id)}"]`)?.click();
  }
  await tick();
  const control = box.matches('[tabindex]') ? box : (box.querySelector<HTMLElement>('[aria-invalid]') ?? box.querySelector<HTMLElement>('input, select, textarea, button'));
  box.scrollIntoView({ block: 'center' });
  control?.focus({ preventScroll: true });
}
