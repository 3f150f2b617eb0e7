// Files dropped anywhere, and the first run.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { desk, drop, entries, open, phone, recording, visit, type Held } from './open';

let held: Held;
beforeAll(async () => {
  held = await open('empty');
});
afterAll(() => held.stop());

describe('the first run', () => {
  it('leads to the invented season, marked on every page and easy to leave', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    await page.getByRole('button', { name: 'Look around in an invented season' }).click();
    await page.getByText('Invented season', { exact: true }).waitFor();
    for (const place of ['flown', 'shed', 'machine', 'book', 'enter']) {
      await page.goto(`${held.address}#/${place}`);
      expect(await page.getByText('Invented season', { exact: true }).isVisible()).toBe(true);
    }
    await page.getByRole('button', { name: 'Leave the invented season' }).click();
    await page.getByText('Invented season', { exact: true }).waitFor({ state: 'detached' });
    await context.close();
  });

  it('writes what was answered', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address);
    await page.getByLabel('Name of the machine').fill('Ashleaf 125 (invented)');
    await page.getByLabel('Hour meter now').fill('41.2');
    await page.getByLabel('Who flies it').fill('Owner (invented)');
    await page.getByLabel('Mass of the pilot').fill('84');
    await page.getByLabel('Spark plug: renew').fill('2026-06-14');
    await page.getByRole('button', { name: 'Write it in the book' }).click();
    await page.getByText('Written in the book').waitFor();
    const kinds = (await entries(held)).map((one) => one.kind);
    for (const kind of ['machine_registered', 'pilot_registered', 'service_done', 'counter_read']) expect(kinds).toContain(kind);
    await page.getByRole('button', { name: 'Change today' }).waitFor();
    await context.close();
  });
});

describe('a dropped file', () => {
  it('leads to its flight', async () => {
    const context = await held.browser.newContext({ viewport: desk });
    const page = await visit(context, held.address, 'book');
    await drop(page, [{ name: 's_028.igc', bytes: recording('s_028.igc') }]);
    await page.waitForURL(/#\/flown\/[0-9a-f-]{36}$/);
    await page.locator('main h1').waitFor();
    await context.close();
  });

  it('that is refused says what and why, and the next is read all the same, in their order', async () => {
    const context = await held.browser.newContext({ viewport: desk });
    const page = await visit(context, held.address, 'machine');
    const asked: string[] = [];
    page.on('request', (request) => {
      const url = new URL(request.url());
      if (url.pathname.endsWith('/recordings')) asked.push(url.searchParams.get('name') ?? '');
    });
    const text = (words: string): Buffer => Buffer.from(words);
    await drop(page, [
      { name: '<b>notes</b>.txt', bytes: text('no recording at all') },
      { name: 's_003.igc', bytes: recording('s_003.igc') },
      { name: 'empty.igc', bytes: text('') },
    ]);
    await page.getByText('<b>notes</b>.txt was not taken:').waitFor();
    await page.getByText('s_003.igc is in the book.').waitFor();
    await page.getByText('empty.igc was not taken:').waitFor();
    expect(asked).toEqual(['<b>notes</b>.txt', 's_003.igc']);
    expect(page.url()).toContain('#/machine');
    await context.close();
  });
});
