// The list of flights and a flight as a page: smooth, drawn soon, and text stays text.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ask, desk, drop, lastOfSeason, listen, open, phone, visit, type Held } from './open';

let held: Held;
const many = 3000;
beforeAll(async () => {
  held = await open('season');
  const there = (await ask<{ total: number }>(held, 'own/flights?most=1')).total;
  for (let from = there; from < many; from += 200) {
    const entries = Array.from({ length: Math.min(200, many - from) }, (_, k) => ({
      kind: 'flight',
      value: `${10 + ((from + k) % 50)} min`,
      at: new Date(Date.UTC(2001, 0, 1) + (from + k) * 3600_000).toISOString(),
    }));
    await ask(held, 'own/entries', { entries });
  }
});
afterAll(() => held.stop());

describe('3,000 flights', () => {
  it('scroll without a long frame and keep few of them drawn', async () => {
    const context = await held.browser.newContext({ viewport: phone });
    const page = await visit(context, held.address, 'flown');
    await page.getByText(`${many} flights`).waitFor();
    const frames = await page.evaluate(async () => {
      const times: number[] = [];
      let before = performance.now();
      for (let k = 0; k < 120; k++) {
        window.scrollBy(0, k < 60 ? 400 : 2000);
        await new Promise(requestAnimationFrame);
        const now = performance.now();
        times.push(now - before);
        before = now;
      }
      await new Promise((done) => setTimeout(done, 400));
      return { longest: Math.max(...times), drawn: document.querySelectorAll('main a').length };
    });
    console.log(`longest frame ${frames.longest.toFixed(0)} ms, ${frames.drawn} flights drawn`);
    expect(frames.drawn).toBeLessThan(400);
    // The bench holds it to 50 ms; a test on a shared machine only to what could never pass unnoticed.
    expect(frames.longest).toBeLessThan(400);
    const oldest = (await ask<{ flights: { id: string }[] }>(held, `own/flights?skip=${many - 1}&most=1`)).flights[0]?.id ?? 'none';
    await page.evaluate(() => window.scrollTo(0, document.documentElement.scrollHeight));
    await page.waitForTimeout(300);
    await page.evaluate(() => window.scrollTo(0, document.documentElement.scrollHeight));
    await page.locator(`a[href$="${oldest}"]`).waitFor();
    await context.close();
  });
});

describe('a flight', () => {
  it('of a dropped recording is drawn, a tap gives a sentence, and a name with script in it is shown as text', async () => {
    const context = await held.browser.newContext({ viewport: desk });
    const page = await visit(context, held.address, 'book');
    const said = listen(page);
    const name = '<img src=x onerror=alert(1)>.igc';
    await drop(page, [{ name, bytes: lastOfSeason() }]);
    await page.waitForURL(/#\/flown\/.+/, { timeout: 30_000 });
    await page.locator('.u-over').waitFor();
    await page.locator('.u-over').click({ position: { x: 140, y: 60 } });
    await page.getByText(/^\d\d:\d\d:\d\d: pressure altitude -?\d+ m/).waitFor();
    expect(await page.locator('.u-legend').count()).toBe(0);
    expect(await page.locator('.u-cursor-x').count()).toBe(0);
    await page.getByText(name).first().waitFor();
    expect(await page.locator('main img').count()).toBe(0);
    await page.getByRole('button', { name: 'Show the map' }).click();
    await page.locator('.leaflet-control-scale').waitFor();
    expect(said).toEqual([]);
    await context.close();
  });
});
