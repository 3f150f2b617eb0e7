// What the page knows: which book, the last answers, whether the server is there. Answers are kept in this browser, so that the
// page opens at once and goes on working when the server is gone.
import type { Answer } from '../api/call';
import * as routes from '../api/routes';
import type { BookName, Brief, Hello, MachinePage, Now, Problem } from '../api/types';
import type { Plan } from '../lib/checks';
import { kept } from '../lib/outbox';
import { readRoute, type Route } from '../lib/route';
import { isRecord, readKept } from '../lib/store';
import { here, zoneOf } from '../lib/time';
import { bodyOf, carry, fuelAt, meantOf, typedInto, type Carried, type Remembered, type Said } from '../lib/today';
import { store } from './kept';

interface Aged<T> {
  at: string;
  body: T;
  /** What it was asked with. */
  with?: string;
}
const isAged = (value: unknown): value is Aged<Record<string, unknown>> =>
  isRecord(value) && typeof value['at'] === 'string' && isRecord(value['body']);
const isPlan = (value: unknown): value is Plan & { at: string } =>
  isRecord(value) && typeof value['at'] === 'string' && typeof value['field'] === 'string' && typeof value['startMs'] === 'number' && typeof value['endMs'] === 'number';
const isRemembered = (value: unknown): value is Remembered =>
  isRecord(value) && Object.values(value).every((one) => isRecord(one) && typeof one['value'] === 'string' && typeof one['at'] === 'number');

const lastKey = (book: BookName, what: string): string => `headroom.last.${book}.${what}`;
const todayKey = (book: BookName): string => `headroom.today.${book}`;
const bookKey = 'headroom.book';

function bookOfTab(): BookName {
  try {
    return window.sessionStorage.getItem(bookKey) === 'season' ? 'season' : 'own';
  } catch {
    return 'own';
  }
}

class Page {
  route: Route = $state(readRoute(window.location.hash));
  book: BookName = $state(bookOfTab());
  /** Counted up to open the view anew at the same address. */
  turn = $state(0);
  hello: Hello | null = $state(null);
  now: Now | null = $state.raw(null);
  /** It was heard since this page was opened, and is not what this browser kept. */
  nowHeard = $state(false);
  brief: Brief | null = $state.raw(null);
  /** The machine with its figures, as last heard. */
  machine: MachinePage | null = $state.raw(null);
  /** The time, told anew every few seconds while the server is gone and with every answer: a page may lie open over midnight. */
  nowMs = $state(Date.now());
  /** When the brief that is shown was asked for; 0 for one that was kept. */
  askedAt = $state(0);
  /** When it was heard, on this browser's clock; 0 without one. */
  briefAt = $state(0);
  /** Why the last brief was refused, and in which box. */
  refused: Problem | null = $state(null);
  asking = $state(false);
  gone = $state(false);
  unpaired = $state(false);
  /** When the answers shown were given. */
  heardAt: string | null = $state(null);
  said: Said = $state({});
  offered: Said = $state({});
  /** When each was said, and what planned times are to come or have passed. */
  saidAt: Carried['saidAt'] = $state({});
  planned: Carried['planned'] = $state({});
  passed: Carried['passed'] = $state({});
  measured: Said = $state({});
  /** The flight that somebody was told of, as this browser knows it, and when the plan of the flight was typed last. */
  toldPlan: (Plan & { at: string }) | null = $state.raw(null);
  planTypedMs = $state(0);
  /** What would be asked now, and what the brief that is shown was asked with; null where that is not known. */
  private wouldAsk = $state('');
  private askedWith: string | null = $state(null);
  private turns = 0;
  private nowTurn = 0;
  private briefTurn = 0;
  private toSend: Said = {};
  private remembered: Remembered = {};

  constructor() {
    this.recall();
    window.addEventListener('hashchange', () => {
      this.route = readRoute(window.location.hash);
      window.scrollTo(0, 0);
    });
  }

  /** The brief that is shown was worked out with other words than stand in the boxes. */
  get otherTyped(): boolean {
    return this.brief !== null && this.askedWith !== null && this.askedWith !== this.wouldAsk;
  }

  /** The one clock of the page. */
  get zone(): string {
    const at = this.heardAt === null ? Date.now() : Date.parse(this.heardAt);
    return zoneOf(this.now, here, at);
  }

  /** What this browser kept of the book. */
  recall(): void {
    const now = readKept(store, lastKey(this.book, 'now'), isAged);
    const brief = readKept(store, lastKey(this.book, 'brief'), isAged);
    this.now = (now?.body as unknown as Now | undefined) ?? null;
    this.brief = (brief?.body as unknown as Brief | undefined) ?? null;
    this.heardAt = now?.at ?? null;
    this.nowHeard = false;
    this.machine = this.recallOther<MachinePage>('machine');
    this.askedAt = 0;
    this.briefAt = brief ? Date.parse(brief.at) : 0;
    this.askedWith = brief?.with ?? null;
    this.toldPlan = readKept(store, lastKey(this.book, 'told'), isPlan);
    this.remembered = readKept(store, todayKey(this.book), isRemembered) ?? {};
    this.carry();
    this.refused = null;
  }

  /** Every answer passes here, so that the page knows whether the server is there. */
  heard<T>(answer: Answer<T>): Answer<T> {
    if (answer.ok) this.gone = false;
    else if (answer.status === 401 || answer.status === 403) this.unpaired = true;
    else this.gone = answer.gone;
    return answer;
  }

  private keep(what: string, body: unknown, asked?: string): void {
    this.heardAt = new Date().toISOString();
    const [key, at] = [lastKey(this.book, what), this.heardAt];
    // Once it is on the screen: writing it down takes as long as drawing some of it.
    setTimeout(() => store.set(key, JSON.stringify({ at, body, with: asked })), 0);
  }

  keepPlan(plan: Plan & { at: string }): void {
    this.toldPlan = plan;
    store.set(lastKey(this.book, 'told'), JSON.stringify(plan));
  }

  /** Other answers worth having when the server is gone. */
  keepOther(what: string, body: object): void {
    store.set(lastKey(this.book, what), JSON.stringify({ at: new Date().toISOString(), body }));
  }
  recallOther<T extends object>(what: string): T | null {
    return (readKept(store, lastKey(this.book, what), isAged)?.body as T | undefined) ?? null;
  }
  /** When it was kept; 0 for what was not. */
  keptAt(what: string): number {
    return Date.parse(readKept(store, lastKey(this.book, what), isAged)?.at ?? '') || 0;
  }

  async refresh(): Promise<void> {
    const book = this.book;
    this.carry();
    // All at once: on a slow phone each way there and back counts.
    const turn = ++this.turns;
    const brief = this.ask();
    const [now, hello] = await Promise.all([routes.now(book), routes.hello(), brief]);
    if (this.heard(hello).ok && hello.ok) this.hello = hello.body;
    // hello is answered to everybody; whether this browser may see the book is told by the rest.
    if (now.ok) this.unpaired = false;
    // Several may be on their way: an older answer must not take the place of a newer one.
    if (this.heard(now).ok && now.ok && book === this.book && turn > this.nowTurn) {
      this.nowTurn = turn;
      this.now = now.body;
      this.nowHeard = true;
      this.keep('now', now.body);
      if (!now.body.empty) void this.askMachine();
      // A flight or fuel that was not known yet makes the tank another.
      const before = JSON.stringify(this.toSend);
      this.carry();
      if (before !== JSON.stringify(this.toSend)) await this.ask();
    }
  }

  /** Asked for by itself, so that nothing waits for it. */
  async askMachine(): Promise<Answer<MachinePage>> {
    const book = this.book;
    const answer = this.heard(await routes.machine(book));
    if (answer.ok && book === this.book) {
      this.machine = answer.body;
      this.keepOther('machine', answer.body);
    }
    return answer;
  }

  /** Asks for the brief with what is said now. What was typed stays, whatever the answer. */
  async ask(): Promise<boolean> {
    const book = this.book;
    this.carry();
    this.asking = this.brief === null || !this.gone;
    const askedAt = Date.now();
    const asked = this.wouldAsk;
    const turn = ++this.turns;
    const answer = this.heard(await routes.brief(book, bodyOf(this.toSend)));
    this.asking = false;
    if (book !== this.book) return false;
    if (turn < this.briefTurn) return this.refused === null;
    this.briefTurn = turn;
    if (answer.ok) {
      this.brief = answer.body;
      this.askedAt = askedAt;
      this.nowMs = Date.now();
      this.briefAt = this.nowMs;
      this.refused = null;
      this.askedWith = asked;
      this.keep('brief', answer.body, asked);
      return true;
    }
    this.refused = answer.gone ? null : answer.problem;
    return false;
  }

  /** One box of today, as typed. */
  say(key: string, value: string): void {
    const at = Date.now();
    this.remembered = typedInto(this.remembered, key, value, at, meantOf(key, value, at, this.zone, this.remembered, this.now?.units));
    store.set(todayKey(this.book), JSON.stringify(this.remembered));
    this.carry();
  }

  /** What was only offered is today's after all: the owner says so. */
  sayOffered(): void {
    for (const [key, value] of Object.entries(this.offered)) this.say(key, value);
  }

  /** A page may stay open for hours: what belongs to its day grows old in it. */
  private carry(): void {
    this.nowMs = Date.now();
    const waiting = kept(store).filter((batch) => batch.book === this.book);
    const { said, sent, offered, saidAt, planned, passed, measured } = carry(this.remembered, this.nowMs, this.zone, fuelAt(this.now, waiting));
    this.said = said;
    this.toSend = sent;
    this.offered = offered;
    this.saidAt = saidAt;
    this.planned = planned;
    this.passed = passed;
    this.measured = measured;
    this.wouldAsk = JSON.stringify(bodyOf(sent));
    this.planTypedMs = Math.max(0, ...['field', 'start', 'planned', 'overdue'].map((key) => this.remembered[key]?.at ?? 0));
  }

  /** The invented season lives in this tab only; other tabs stay with the owner's book. */
  turnTo(book: BookName): void {
    this.book = book;
    try {
      window.sessionStorage.setItem(bookKey, book);
    } catch {
      // Then it is forgotten with the tab.
    }
    this.recall();
    void this.refresh();
  }
}

export const page = new Page();
