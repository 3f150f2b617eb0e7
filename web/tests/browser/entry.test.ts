// Entering by hand: quick, lost to nothing, and sent once.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { listen, open, phone, total, visit, type Held } from './open';

let held: Held;
beforeAll(async () => {
  held = await open('season');
});
afterAll(() => held.stop());

const written = async (before: number, want: number): Promise<void> => {
  for (let k = 0; k < 100 && (await total(held)) < before + want; k++) await new Promise((done) => setTimeout(done, 100));
  expect(await total(held)).toBe(before + want);
};

describe('an entry by hand', () => {
  it('is made from anywhere in a few touches', async () => {
    const context = await held.browser.newContext({ viewport: phone, hasTouch: true });
    const page = await visit(context, held.address, 'shed');
    const said = listen(page);
    const before = await total(held);
    await page.getByRole('link', { name: 'Enter', exact: true }).tap();
    await page.getByRole('button', { name: 'Higher: Hour meter' }).tap();
    await page.getByRole('textbox', { name: 'Head, highest' }).fill('197');
    await page.getByRole('button', { name: 'tan' }).tap();
    await page.getByRole('button', { name: 'dry' }).tap();
    await page.getByRole('textbox', { name: 'Anything seen' }).fill('<img src=x onerror=alert(1)> a loose spring');
    await page.getByRole('button', { name: 'a finding, deferred' }).tap();
    await page.getByRole('button', { name: 'Write it in the book' }).tap();
    await page.getByText('Written in the book').waitFor();
    await written(before, 4);
    expect(said).toEqual([]);
    await context.close();
  });

  it('has targets for a gloved thumb', async () => {
    const context = await held.browser.newContext({ viewport: phone, hasTouch: true });
    const page = await visit(context, held.address, 'enter');
    for (const target of await page.locator('form button, nav a.enter').all()) {
      const box = await target.boundingBox();
      expect(box?.height ?? 0).toBeGreaterThanOrEqual(55.5);
      expect(box?.width ?? 0).toBeGreaterThanOrEqual(48);
    }
    await context.close();
  });

  it('survives a server that is gone and a closed tab, and is sent once', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const before = await total(held);
    const page = await visit(context, held.address, 'enter');
    await held.server.kill();
    await page.getByRole('textbox', { name: 'Fuel left' }).fill('4,5');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await page.getByText('Kept here: 1, not yet in the book.').waitFor();
    await page.getByText('The server does not answer.').first().waitFor();
    await page.close();
    await held.server.start();
    expect(await total(held)).toBe(before);
    const again = await visit(context, held.address);
    await again.getByText('Written in the book').waitFor();
    await again.getByText('Kept here:').waitFor({ state: 'detached', timeout: 15_000 });
    await written(before, 1);
    await context.close();
  });

  it('is written once when the answer is lost on the way', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const before = await total(held);
    const page = await visit(context, held.address, 'enter');
    let lost = 0;
    await context.route('**/api/own/entries', async (route) => {
      if (route.request().method() !== 'POST' || lost++ > 0) return route.continue();
      await route.fetch();
      return route.abort();
    });
    await page.getByRole('textbox', { name: 'Fuel left' }).fill('4');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await page.getByText('Kept here:').waitFor();
    await page.getByText('Kept here:').waitFor({ state: 'detached', timeout: 15_000 });
    expect(lost).toBeGreaterThan(1);
    await written(before, 1);
    await context.close();
  });

  it('is written once from two tabs that wake together', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const before = await total(held);
    const page = await visit(context, held.address, 'enter');
    const other = await visit(context, held.address);
    await held.server.kill();
    await page.getByRole('textbox', { name: 'Fuel left' }).fill('3');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    for (const one of [page, other]) await one.getByText('Kept here:').waitFor();
    await held.server.start();
    await Promise.all([page, other].map((one) => one.evaluate(() => window.dispatchEvent(new Event('online')))));
    for (const one of [page, other]) await one.getByText('Kept here:').waitFor({ state: 'detached', timeout: 15_000 });
    await written(before, 1);
    await context.close();
  });

  it('in one tab tells the other, whose form is open', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const before = await total(held);
    const other = await visit(context, held.address, 'enter');
    await other.getByText('last time').first().waitFor();
    const page = await visit(context, held.address, 'enter');
    await page.getByRole('textbox', { name: 'Fuel left' }).fill('2.2');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await written(before, 1);
    await other.getByText(/^Meanwhile the book has something newer: Fuel left 2\.2 L/).waitFor();
    await context.close();
  });

  it('that is refused stays, with what was typed, and says why beside its box', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const before = await total(held);
    const page = await visit(context, held.address, 'enter');
    await page.getByRole('textbox', { name: 'Head, highest' }).fill('1970');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    const box = page.getByRole('textbox', { name: 'Head, highest' });
    await page.locator('[aria-invalid]:focus').waitFor();
    expect(await box.inputValue()).toBe('1970');
    expect(await box.getAttribute('aria-invalid')).toBe('true');
    expect(await page.getByText('Not yet in the book').count()).toBe(0);
    await box.fill('197');
    expect(await box.getAttribute('aria-invalid')).toBeNull();
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await written(before, 1);
    await context.close();
  });

  it('on its way takes nobody back who has gone elsewhere, and a refusal is told there', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address, 'enter');
    await context.route('**/api/own/entries', async (route) => {
      if (route.request().method() === 'POST') await new Promise((done) => setTimeout(done, 1200));
      return route.continue();
    });
    await page.getByRole('textbox', { name: 'Head, highest' }).fill('1970');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await page.goto(`${held.address}#/enter/finding`);
    await page.getByLabel('What').fill('a loose spring');
    await page.getByText('Not taken by the book: 1.').waitFor();
    expect(page.url()).toMatch(/#\/enter\/finding$/);
    expect(await page.getByLabel('What').inputValue()).toBe('a loose spring');
    await context.close();
  });

  it('that is refused after it was kept goes back into its form', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const before = await total(held);
    const page = await visit(context, held.address, 'enter');
    await held.server.kill();
    await page.getByRole('textbox', { name: 'Head, highest' }).fill('1970');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await page.getByText('Kept here: 1').waitFor();
    await held.server.start();
    await page.getByText('Not taken by the book: 1.').waitFor({ timeout: 15_000 });
    await page.getByRole('button', { name: 'Put it right' }).click();
    await page.locator('[aria-invalid]:focus').waitFor();
    const box = page.getByRole('textbox', { name: 'Head, highest' });
    expect(await box.inputValue()).toBe('1970');
    await box.fill('197');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await written(before, 1);
    await context.close();
  });

  it('of the first questions that is refused is shown in the fold it is in', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const before = await total(held);
    const page = await visit(context, held.address, 'first');
    await page.getByRole('button', { name: 'Wing area, loads and tank' }).click();
    await page.getByRole('textbox', { name: 'Flat wing area' }).fill('26 kg');
    await page.getByRole('button', { name: 'Wing area, loads and tank' }).click();
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await page.locator('[aria-invalid]:focus').waitFor();
    expect(await page.getByRole('textbox', { name: 'Flat wing area' }).inputValue()).toBe('26 kg');
    expect(await total(held)).toBe(before);
    await context.close();
  });

  it('has steppers that invent nothing', async () => {
    const empty = await open('empty');
    const context = await empty.browser.newContext({ viewport: phone });
    const page = await visit(context, empty.address, 'enter');
    const higher = page.getByRole('button', { name: 'Higher: Hour meter' });
    expect(await higher.getAttribute('aria-disabled')).toBe('true');
    await higher.click({ force: true });
    expect(await page.getByRole('textbox', { name: 'Hour meter' }).inputValue()).toBe('');
    await context.close();
    await empty.stop();
  });

  it('keeps what is typed when the tab is closed before it is written', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address, 'enter/finding');
    await page.getByLabel('What').fill('a crack in the frame');
    await page.close();
    const again = await visit(context, held.address, 'enter/finding');
    expect(await again.getByLabel('What').inputValue()).toBe('a crack in the frame');
    await context.close();
  });

  it('asks for what is needed before it is sent', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address, 'enter/finding');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await page.getByText('This is needed.').waitFor();
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('TEXTAREA');
    await context.close();
  });
});
