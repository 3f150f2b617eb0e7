// What is typed into a form, kept as it is typed, so that a closed tab loses nothing.
import { isTexts, readKept } from '../lib/store';
import { keeps, store } from './kept';

export class Draft {
  typed: Record<string, string> = $state({});
  private readonly key: string;

  constructor(form: string, book: string) {
    this.key = `headroom.draft.${book}.${form}`;
    this.typed = readKept(store, this.key, isTexts) ?? {};
  }

  set(box: string, value: string): void {
    this.typed[box] = value;
    // What was said against the old words does not stand against the new ones.
    if (this.typed['refusedBox'] === box) {
      delete this.typed['refusedBox'];
      delete this.typed['refusedWhat'];
    }
    if (keeps) store.set(this.key, JSON.stringify($state.snapshot(this.typed)));
  }

  /** Puts back what was typed into a batch that was refused. */
  fill(typed: Record<string, string>): void {
    this.typed = { ...typed };
    if (keeps) store.set(this.key, JSON.stringify(typed));
  }

  /** Let go of by the browser, while the form still shows it: it is kept elsewhere. */
  handOver(): void {
    store.remove(this.key);
  }

  clear(): void {
    this.typed = {};
    store.remove(this.key);
  }
}
