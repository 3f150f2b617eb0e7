// The places at any width and by the keyboard, and the brief. Their looks are in phone.test.ts and desk.test.ts.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ask, desk, open, phone, screens, shot, visit, type Held } from './open';

const places = ['brief', 'flown', 'flown/FLIGHT', 'shed', 'machine', 'book', 'enter', 'enter/else', 'enter/finding', 'first'];

let held: Held;
let flight = '';
const addressed = (place: string): string => place.replace('FLIGHT', flight);
beforeAll(async () => {
  held = await open('season');
  flight = (await ask<{ flights: { id: string }[] }>(held, 'own/flights?most=1')).flights[0]?.id ?? '';
});
afterAll(() => held.stop());

describe('every place', () => {
  it('is never wider than its window, from 320 to 2560 px', async () => {
    const context = await held.browser.newContext();
    const page = await visit(context, held.address);
    for (const width of [320, 360, 390, 600, 899, 900, 1280, 2560]) {
      await page.setViewportSize({ width, height: 800 });
      for (const place of places) {
        await page.goto(`${held.address}#/${addressed(place)}`);
        await page.waitForTimeout(30);
        const over = await page.evaluate(() => {
          const wide = document.documentElement.clientWidth;
          if (document.documentElement.scrollWidth <= wide) return '';
          return [...document.querySelectorAll('main *')].filter((one) => one.getBoundingClientRect().right > wide).map((one) => one.outerHTML.slice(0, 200)).join('\n');
        });
        expect(over, `${place} at ${width}`).toBe('');
        if (width === 320 || width === 2560) await shot(page, `${place.replace('/', '-').toLowerCase()}-${width}`);
      }
    }
    await context.close();
  });

  it('is reached with the keyboard alone', async () => {
    const context = await held.browser.newContext({ viewport: desk });
    const page = await visit(context, held.address);
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Skip to what matters');
    for (let k = 0; k < 6; k++) await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Enter');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'After the flight' }).waitFor();
    const outline = await page.evaluate(() => {
      document.querySelector<HTMLElement>('main input')?.focus();
      return getComputedStyle(document.activeElement ?? document.body).outlineWidth;
    });
    expect(parseFloat(outline)).toBeGreaterThanOrEqual(2);
    await context.close();
  });
});

describe('the brief', () => {
  it('keeps what was typed and tells the reason beside the box', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    await page.getByRole('button', { name: 'Change today' }).click();
    await page.getByLabel('Wind at the field').fill('strong');
    await page.getByRole('button', { name: 'Brief me' }).click();
    const box = page.getByLabel('Wind at the field');
    await page.locator('.error').first().waitFor();
    expect(await box.inputValue()).toBe('strong');
    expect(await box.getAttribute('aria-invalid')).toBe('true');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-invalid'))).toBe('true');
    await box.fill('240/12kt');
    await page.getByRole('button', { name: 'Brief me' }).click();
    await box.waitFor({ state: 'detached' });
    await page.reload();
    await page.getByRole('button', { name: 'Change today' }).click();
    expect(await page.getByLabel('Wind at the field').inputValue()).toBe('240/12kt');
    await context.close();
  });

  it('says so when it was worked out before what is typed now', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    await page.locator('.margins').waitFor();
    const marked = page.getByText('Not for what is typed now');
    expect(await marked.count()).toBe(0);
    await page.getByRole('button', { name: 'Change today' }).click();
    await page.getByLabel('Wind at the field').fill('240/8kt');
    await marked.first().waitFor();
    await page.getByRole('button', { name: 'Brief me' }).click();
    await marked.first().waitFor({ state: 'detached' });
    await context.close();
  });

  it('shows the caution and opens a row to its reasons', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    expect(await page.getByText('Advice from your own book, not permission').isVisible()).toBe(true);
    const button = page.getByRole('button', { name: /^Reasons/ }).first();
    expect(await button.getAttribute('aria-expanded')).toBe('false');
    await button.click();
    expect(await page.getByRole('button', { name: /^Hide reasons/ }).first().getAttribute('aria-expanded')).toBe('true');
    await context.close();
  });

  it('keeps the state of a check with its time', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    const group = page.getByRole('button', { name: /^Last before launch/ });
    await group.click();
    const check = page.getByRole('group', { name: /Leg straps/ });
    // Groups that are not begun are folded.
    await page.locator('#checks button[aria-expanded="false"]').first().waitFor();
    await page.locator('#checks button[aria-expanded="false"]').evaluateAll((all) => all.forEach((one) => (one as HTMLElement).click()));
    await check.getByRole('button', { name: 'done', exact: true }).click();
    expect(await check.getByRole('button', { name: 'done', exact: true }).getAttribute('aria-pressed')).toBe('true');
    await page.getByText('Written in the book').waitFor();
    expect(await group.textContent()).toMatch(/1 of \d+ done/);
    await page.reload();
    await page.locator('.margins').waitFor();
    await group.click();
    await page.getByText(/done at \d\d:\d\d/).first().waitFor();
    await context.close();
  });

  it('lets the word to who waits lapse when the field moves', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    await page.getByRole('button', { name: /^Last before launch/ }).click();
    const done = page.getByRole('group', { name: /Somebody knows where/ }).getByRole('button', { name: 'done', exact: true });
    await done.click();
    expect(await done.getAttribute('aria-pressed')).toBe('true');
    await page.getByRole('button', { name: 'Change today' }).click();
    await page.getByLabel('Field', { exact: true }).selectOption({ index: 1 });
    await page.getByText('for another field or time than is planned now').waitFor();
    expect(await done.getAttribute('aria-pressed')).toBe('false');
    await context.close();
  });

  it('prints on one sheet', async () => {
    const context = await held.browser.newContext({ viewport: desk });
    const page = await visit(context, held.address);
    await page.waitForTimeout(400);
    const pdf = (await page.pdf({ preferCSSPageSize: true, path: new URL('brief.pdf', screens).pathname })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page[^s]/g)?.length).toBe(1);
    await context.close();
  });

  it('still shows what was known when the server is gone', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    await page.locator('.margins').waitFor();
    // The other places are fetched when the page rests.
    await page.waitForTimeout(3000);
    await held.server.kill();
    await page.getByRole('button', { name: 'Change today' }).click();
    await page.getByRole('button', { name: 'Brief me' }).click();
    await page.getByText('The server does not answer.').waitFor();
    await page.locator('.margins').waitFor();
    for (const [place, text] of [['shed', 'Due'], ['machine', ''], ['flown', ''], ['enter', '']] as const) {
      await page.goto(`${held.address}#/${place}`);
      await page.locator('main h1').waitFor();
      expect(await page.locator('main h1').textContent(), text).not.toBe('');
    }
    await page.goto(`${held.address}#/brief`);
    await page.locator('.margins').waitFor();
    await held.server.start();
    await page.getByText('The server does not answer.').waitFor({ state: 'detached', timeout: 15_000 });
    await context.close();
  });
});
