// What the browser tests share: Debian's Chromium, and the real server on a book of its own.
import { createRequire } from 'node:module';
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { inject } from 'vitest';
import { Server } from './server';

export interface Held {
  address: string;
  browser: Browser;
  server: Server;
  stop: () => Promise<void>;
}

/** On an empty book, or on a copy of the invented season. */
export async function open(book: 'empty' | 'season', ...more: string[]): Promise<Held> {
  const folder = mkdtempSync(join(inject('folder'), 'one-'));
  const file = join(folder, 'book', 'book.db');
  mkdirSync(join(folder, 'book'));
  if (book === 'season') copyFileSync(join(inject('folder'), 'season', 'book.db'), file);
  const server = new Server(folder, file, more);
  const [browser] = await Promise.all([
    chromium.launch({ executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium', args: ['--no-sandbox'] }),
    server.start(),
  ]);
  return {
    address: server.address,
    browser,
    server,
    stop: async () => {
      await browser.close();
      await server.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export const phone = { width: 390, height: 844 };
export const desk = { width: 1280, height: 900 };
export const screens = new URL('../../screens/', import.meta.url);

/** A recording of tests/data/igc, of a licence that lets it be passed on. */
export const recording = (name: string): Buffer => readFileSync(new URL(`../../../tests/data/igc/${name}`, import.meta.url));
/** The season's last flight: it is not in its book yet. */
export function lastOfSeason(): Buffer {
  const folder = join(inject('folder'), 'season', 'recordings');
  const last = readdirSync(folder).sort().at(-1) ?? '';
  return readFileSync(join(folder, last));
}

/** Everything the browser complained of: errors of scripts, and what the Content-Security-Policy refused. */
export function listen(page: Page): string[] {
  const said: string[] = [];
  page.on('pageerror', (error) => said.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource')) said.push(message.text());
  });
  return said;
}

export async function visit(context: BrowserContext, address: string, place = 'brief'): Promise<Page> {
  const page = await context.newPage();
  await page.goto(`${address}#/${place}`);
  await page.waitForSelector('main h1');
  return page;
}

/** Files let fall on the page, as a file manager does it. */
export const drop = (page: Page, files: { name: string; bytes: Buffer }[]): Promise<void> =>
  page.evaluate(
    (all) => {
      const data = new DataTransfer();
      for (const { name, text } of all) data.items.add(new File([Uint8Array.from(atob(text), (one) => one.charCodeAt(0))], name));
      for (const kind of ['dragover', 'drop']) {
        document.body.dispatchEvent(new DragEvent(kind, { dataTransfer: data, bubbles: true, cancelable: true }));
      }
    },
    files.map((one) => ({ name: one.name, text: one.bytes.toString('base64') })),
  );

export async function ask<T>(held: Held, path: string, body?: unknown): Promise<T> {
  const response = await fetch(
    `${held.address}api/${path}`,
    body === undefined
      ? {}
      : { method: 'POST', headers: { 'Content-Type': 'application/json', Origin: held.address.replace(/\/$/, '') }, body: JSON.stringify(body) },
  );
  if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
  return (await response.json()) as T;
}

export interface Listed {
  id: string;
  kind: string;
  text: string;
}

export const entries = async (held: Held, book = 'own'): Promise<Listed[]> => (await ask<{ entries: Listed[] }>(held, `${book}/entries?most=500`)).entries;

export const total = async (held: Held, book = 'own'): Promise<number> => (await ask<{ total: number }>(held, `${book}/entries?most=1`)).total;

const AxeBuilder = (createRequire(import.meta.url)('@axe-core/playwright') as typeof import('@axe-core/playwright')).default;

/** What axe calls serious or critical, one line each; by all its rules, or by those named. */
export async function serious(page: Page, rules: string[] = []): Promise<string[]> {
  const axe = new AxeBuilder({ page });
  const result = await (rules.length > 0 ? axe.withRules(rules) : axe).analyze();
  return result.violations
    .filter((one) => one.impact === 'serious' || one.impact === 'critical')
    .map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(' ')}`);
}

/** A picture of the whole page, into screens/. */
export async function shot(page: Page, name: string): Promise<void> {
  // A list of 10,000 is taller than a picture may be.
  const fullPage = (await page.evaluate(() => document.documentElement.scrollHeight)) < 15_000;
  await page.screenshot({ path: new URL(`${name}.png`, screens).pathname, fullPage });
}

/** Opens everything on the page that is folded. */
export const unfold = (page: Page): Promise<void> =>
  page.evaluate(() => {
    for (const button of document.querySelectorAll<HTMLElement>('main :is(h2, h3) button[aria-expanded="false"]')) button.click();
  });
