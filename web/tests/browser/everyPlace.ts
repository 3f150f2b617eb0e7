// Every place in one size, in light and dark: nothing that axe calls serious, nothing refused by the policy, nothing wider than the
// window; and a picture of each, as it opens and with everything open, in screens/.
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ask, listen, open, serious, shot, unfold, visit, type Held } from './open';

interface Screen {
  name: string;
  place: string;
  act?: (page: Page) => Promise<unknown>;
  /** Only a picture: another line shows the same with more open. */
  only?: true;
}

const screens: readonly Screen[] = [
  { name: 'brief', place: 'brief', act: (page) => page.locator('.margins').waitFor(), only: true },
  {
    name: 'brief-open',
    place: 'brief',
    act: async (page) => {
      for (const button of await page.getByRole('button', { name: /^Reasons/ }).all().then((all) => all.slice(0, 4).reverse())) await button.click();
      await unfold(page);
    },
  },
  {
    name: 'brief-today',
    place: 'brief',
    act: async (page) => {
      await page.getByRole('button', { name: 'Change today' }).click();
      await page.getByLabel('Wind at the field').fill('strong');
      await page.getByRole('button', { name: 'Brief me' }).click();
      await page.locator('.error').first().waitFor();
    },
  },
  { name: 'flown', place: 'flown', act: (page) => page.locator('main ol a').first().waitFor() },
  {
    name: 'flown-flight',
    place: 'flown/FLIGHT',
    act: async (page) => {
      await page.locator('.u-over').click({ position: { x: 120, y: 100 } });
      await page.getByRole('button', { name: 'Show the map' }).click();
      await page.locator('.leaflet-control-scale').waitFor();
    },
  },
  { name: 'shed', place: 'shed', act: (page) => page.locator('.u-over').first().waitFor(), only: true },
  { name: 'shed-open', place: 'shed', act: unfold },
  { name: 'machine', place: 'machine', act: (page) => page.getByText('Sallow Piece').first().waitFor(), only: true },
  { name: 'machine-open', place: 'machine', act: unfold },
  { name: 'book', place: 'book', act: (page) => page.locator('main ol li').first().waitFor(), only: true },
  { name: 'book-open', place: 'book', act: unfold },
  {
    name: 'enter',
    place: 'enter',
    act: async (page) => {
      await page.getByRole('button', { name: 'Higher: Hour meter' }).click();
      await page.getByRole('button', { name: 'tan' }).click();
      await page.getByRole('textbox', { name: 'Anything seen' }).fill('a loose spring');
      await page.getByRole('button', { name: 'Write it in the book' }).click();
    },
  },
  { name: 'enter-else', place: 'enter/else', act: unfold },
  { name: 'enter-finding', place: 'enter/finding' },
  { name: 'enter-strip', place: 'enter/strip' },
  { name: 'first', place: 'first', act: unfold },
];

export function everyPlace(size: string, viewport: { width: number; height: number }): void {
  let held: Held;
  let flight = '';
  beforeAll(async () => {
    held = await open('season');
    flight = (await ask<{ flights: { id: string }[] }>(held, 'own/flights?most=1')).flights[0]?.id ?? '';
  });
  afterAll(() => held.stop());

  describe(`every place, ${size}`, () => {
    for (const colorScheme of ['light', 'dark'] as const) {
      it(`stands in ${colorScheme}`, { timeout: 150_000 }, async () => {
        const context = await held.browser.newContext({ viewport, colorScheme, reducedMotion: 'reduce', hasTouch: size === 'phone' });
        const bad: string[] = [];
        for (const { name, place, act, only } of screens) {
          const page = await visit(context, held.address, place.replace('FLIGHT', flight));
          const said = listen(page);
          await act?.(page);
          await page.waitForTimeout(150);
          // In the dark only the colours are other ones.
          const found = only ? [] : await serious(page, colorScheme === 'dark' ? ['color-contrast'] : []);
          bad.push(...[...found, ...said].map((one) => `${name}: ${one}`));
          const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
          if (over > 0) bad.push(`${name}: ${over} px too wide`);
          await shot(page, `${name}-${size}-${colorScheme}`);
          await page.close();
        }
        expect(bad).toEqual([]);
        await context.close();
      });
    }
  });
}
