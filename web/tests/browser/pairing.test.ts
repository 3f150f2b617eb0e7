// A phone on the same network: it sees nothing until it is paired, and then what the computer sees.
import { networkInterfaces } from 'node:os';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ask, desk, open, phone, serious, shot, visit, type Held } from './open';

let held: Held;
// The machine asked by its own address on the network is asked from elsewhere, as a phone would. Without a network there is none.
const outside = Object.values(networkInterfaces())
  .flatMap((all) => all ?? [])
  .find((one) => one.family === 'IPv4' && !one.internal)?.address;
beforeAll(async () => {
  held = await open('season', '--share');
});
afterAll(() => held.stop());

interface Shown {
  code: string;
  phones: { mark: string }[];
}

describe.skipIf(outside === undefined)('a phone', () => {
  it('sees the pairing screen, is refused with a wrong code, and let in with the right one, for good', async () => {
    const address = `http://${outside}:${new URL(held.address).port}/`;
    const context = await held.browser.newContext({ viewport: phone, hasTouch: true });
    const page = await visit(context, address);
    await page.getByRole('link', { name: 'Pair this phone' }).tap();
    const code = page.getByLabel('Code shown on the computer');
    await code.waitFor();
    expect(await page.locator('.margins').count()).toBe(0);
    expect(await serious(page)).toEqual([]);
    await shot(page, 'unpaired-phone-light');
    await code.fill('0000 0000');
    await page.getByRole('button', { name: 'Pair this phone' }).tap();
    await page.getByText(/not the one that is good now/i).waitFor();
    expect(await code.inputValue()).toBe('0000 0000');

    await code.fill((await ask<Shown>(held, 'pairing')).code);
    await page.getByRole('button', { name: 'Pair this phone' }).tap();
    await code.waitFor({ state: 'detached' });
    await page.getByRole('link', { name: 'Brief', exact: true }).tap();
    await page.locator('.margins').waitFor();
    const cookie = (await context.cookies(address))[0];
    expect(cookie).toMatchObject({ httpOnly: true, sameSite: 'Strict' });
    expect((cookie?.expires ?? 0) - Date.now() / 1000).toBeGreaterThan(30 * 86_400);
    await page.close();
    const again = await visit(context, address);
    await again.locator('.margins').waitFor();
    // A paired phone lets nobody else in.
    expect(await again.evaluate(() => fetch('/api/pairing').then((answer) => answer.status))).toBe(409);
    await context.close();
    expect((await ask<Shown>(held, 'pairing')).phones).toHaveLength(1);
  });

  it('is let in by the picture with the address, and the code is good once', async () => {
    const address = `http://${outside}:${new URL(held.address).port}/`;
    const { code } = await ask<Shown>(held, 'pairing', {});
    for (const [turn, right] of [[1, true], [2, false]] as const) {
      const context = await held.browser.newContext({ viewport: phone });
      const page = await visit(context, address, `book/${code.replace(' ', '')}`);
      await page.getByRole('button', { name: 'Pair this phone' }).click();
      const box = page.getByLabel('Code shown on the computer');
      if (right) await box.waitFor({ state: 'detached' });
      else await page.getByText(/not the one that is good now/i).waitFor();
      expect(await page.evaluate(() => fetch('/api/own/now').then((answer) => answer.status)), `turn ${turn}`).toBe(right ? 200 : 401);
      await context.close();
    }
  });
});

describe('the computer', () => {
  it('shows the code with its picture, and makes a new one', async () => {
    const context = await held.browser.newContext({ viewport: desk });
    const page = await visit(context, held.address, 'book');
    await page.getByRole('button', { name: /^Pair/ }).click();
    const before = (await ask<Shown>(held, 'pairing')).code;
    await page.getByText(before).waitFor();
    await page.locator('svg.qr path').waitFor();
    await shot(page, 'pairing-desk-light');
    await page.getByRole('button', { name: 'A new code' }).click();
    await page.getByText(before).waitFor({ state: 'detached' });
    await context.close();
  });
});
