// Files dropped or chosen, one after the other in the order they came. A refused one is told beside its name; the others go on.
import * as routes from '../api/routes';
import type { Debriefed } from '../api/types';
import { addressOf } from '../lib/route';
import { sentences } from '../lib/sentences';
import { page } from './page.svelte';

export interface Handed {
  name: string;
  state: 'queued' | 'reading' | 'done' | 'refused';
  text: string;
  done: number;
  of: number;
  flight: string | null;
}

class Files {
  list: Handed[] = $state([]);
  private waiting: { file: File; at: number }[] = [];
  busy = $state(false);

  add(files: Iterable<File>): void {
    for (const file of files) {
      this.list.push({ name: file.name, state: 'queued', text: sentences.queued(file.name), done: 0, of: 0, flight: null });
      this.waiting.push({ file, at: this.list.length - 1 });
    }
    void this.work();
  }

  clear(): void {
    if (!this.busy) this.list = [];
  }

  private async work(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    let last: string | null = null;
    for (let next = this.waiting.shift(); next; next = this.waiting.shift()) {
      const handed = this.list[next.at];
      if (!handed) continue;
      await this.one(next.file, handed);
      last = handed.flight ?? last;
    }
    this.busy = false;
    void page.refresh();
    if (last !== null && this.list.every((one) => one.state === 'done')) window.location.hash = addressOf('flown', last);
  }

  private async one(file: File, handed: Handed): Promise<void> {
    const refuse = (text: string): void => {
      handed.state = 'refused';
      handed.text = text;
    };
    handed.state = 'reading';
    handed.text = sentences.reading(file.name);
    if (file.size === 0) return refuse(sentences.fileRefused(file.name, sentences.fileEmpty));
    const answer = page.heard(await routes.addRecording(page.book, file));
    if (!answer.ok) {
      return refuse(answer.gone ? sentences.fileGone(file.name) : sentences.fileRefused(file.name, answer.problem.what));
    }
    const end = await routes.follow<Debriefed>(answer.body.job, (step) => {
      handed.text = step.what;
      handed.done = step.done;
      handed.of = step.of;
    });
    if (end.state === 'gone') return refuse(sentences.fileGone(file.name));
    if (end.state === 'failed') return refuse(sentences.fileRefused(file.name, end.problem.what));
    handed.state = 'done';
    handed.text = sentences.fileDone(file.name);
    handed.flight = end.answer.recordings.flatMap((one) => ('flights' in one ? one.flights : [])).find((flight) => flight.entry !== null)?.entry ?? null;
  }
}

export const files = new Files();
