// The whole round on an empty book, on a phone: machine, field, brief, recording, debrief, reading, a service, and a brief that has
// changed with it; the server gone in between.
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { inject } from 'vitest';
import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { entries, listen, open, phone, recording, serious, shot, total, visit, type Held } from './open';

let held: Held;
let context: BrowserContext;
let page: Page;
let said: string[];
beforeAll(async () => {
  held = await open('empty');
  context = await held.browser.newContext({ viewport: phone, hasTouch: true, reducedMotion: 'reduce' });
  context.setDefaultTimeout(15_000);
  page = await visit(context, held.address);
  said = listen(page);
});
afterAll(async () => {
  expect(said).toEqual([]);
  await context.close();
  await held.stop();
});

const write = (): Promise<void> => page.getByRole('button', { name: 'Write it in the book' }).tap();
const kinds = async (): Promise<string[]> => (await entries(held)).map((one) => one.kind);
const until = async (done: () => Promise<boolean>, what: string): Promise<void> => {
  for (let k = 0; k < 100 && !(await done()); k++) await new Promise((next) => setTimeout(next, 100));
  expect(await done(), what).toBe(true);
};
const written = (kind: string): Promise<void> => until(async () => (await kinds()).includes(kind), `${kind} is in the book`);
/** A form of the kinds that are not asked after every flight, reached by its address. */
async function form(kind: string): Promise<void> {
  await page.goto(`${held.address}#/enter/${kind}`);
  await page.getByRole('button', { name: 'Write it in the book' }).waitFor();
}
const margins = async (): Promise<string> => {
  await page.goto(`${held.address}#/brief`);
  await page.locator('.margins').waitFor();
  return (await page.locator('main').innerText()).replace(/\d\d:\d\d/g, '');
};

describe('the round', () => {
  it('begins with a few questions', async () => {
    await page.getByRole('heading', { name: 'Your machine in three minutes' }).waitFor();
    expect(await serious(page)).toEqual([]);
    await shot(page, 'round-1-empty');
    await page.getByLabel('Name of the machine').fill('Ashleaf 125 (invented)');
    await page.getByLabel('Hour meter now').fill('41.2');
    await page.getByLabel('Who flies it').fill('Owner (invented)');
    await page.getByLabel('Mass of the pilot').fill('84');
    await write();
    for (const kind of ['machine_registered', 'pilot_registered', 'counter_read']) await written(kind);
    await page.locator('.margins').waitFor();
    await shot(page, 'round-2-first-brief');
  });

  it('goes on with a field and its strip', async () => {
    await form('field');
    await page.getByLabel('Name', { exact: true }).fill('Long Acre (invented)');
    await page.getByLabel('Height above sea level').fill('40 m');
    await write();
    await until(async () => (await total(held)) >= 4 && (await kinds()).some((kind) => kind.startsWith('field')), 'the field is in the book');
    await form('strip');
    await page.getByLabel('Which field').selectOption('Long Acre (invented)');
    await page.getByLabel('Name', { exact: true }).fill('09');
    await page.getByLabel('Leads towards').fill('090');
    await page.getByLabel(/^Length/).fill('220 m');
    await page.getByLabel('Surface').selectOption('short grass');
    await write();
    await page.goto(`${held.address}#/machine`);
    await page.getByText('Long Acre (invented)').first().waitFor();
    await page.getByText(/220 m/).first().waitFor();
    await shot(page, 'round-3-machine');
  });

  it('is briefed for the day in a few boxes', async () => {
    await page.goto(`${held.address}#/brief`);
    await page.getByRole('button', { name: 'Change today' }).tap();
    await page.getByLabel('Field', { exact: true }).selectOption('Long Acre (invented)');
    await page.getByLabel('Strip', { exact: true }).selectOption('09');
    await page.getByLabel('Wind at the field').fill('090/6kt');
    await page.getByLabel('In the tank').fill('8 L');
    await page.getByRole('button', { name: 'Brief me' }).tap();
    await page.getByLabel('Wind at the field').waitFor({ state: 'detached' });
    await page.getByText(/Long Acre \(invented\)/).first().waitFor();
    expect(await serious(page)).toEqual([]);
    await shot(page, 'round-4-brief');
  });

  it('takes a recording and leads to its debrief', async () => {
    const name = '<b onclick=alert(1)>real.igc';
    const file = join(inject('folder'), name);
    writeFileSync(file, recording('s_028.igc'));
    await page.locator('input[type=file]').setInputFiles(file);
    await page.waitForURL(/#\/flown\/[0-9a-f-]{36}$/);
    await page.locator('.u-over').waitFor();
    expect(await serious(page)).toEqual([]);
    await shot(page, 'round-5-debrief');
    await page.getByText(name).first().waitFor();
    expect(await page.locator('main b[onclick]').count()).toBe(0);
    await written('flight');
  });

  it('takes the readings in a few taps and 30 seconds', async () => {
    const begun = Date.now();
    let taps = 0;
    const tap = async (role: 'link' | 'button', label: string): Promise<void> => {
      taps++;
      await page.getByRole(role, { name: label, exact: true }).first().tap();
    };
    const type = async (label: string, text: string): Promise<void> => {
      taps++;
      await page.getByRole('textbox', { name: label }).tap();
      await page.keyboard.type(text, { delay: 60 });
    };
    await tap('link', 'Enter');
    await type('Hour meter', '41.6');
    await type('Head, highest', '196');
    await type('Fuel left', '5.5');
    await tap('button', 'tan');
    await type('Anything seen', '<script>alert(1)</script> springs tight');
    await tap('button', 'a note');
    await tap('button', 'Write it in the book');
    await page.getByText('Written in the book').waitFor();
    const took = (Date.now() - begun) / 1000;
    console.log(`entry by hand: ${taps} taps, ${took.toFixed(1)} s`);
    expect(taps).toBeLessThanOrEqual(8);
    expect(took).toBeLessThan(30);
    await written('plug_read');
    await page.goto(`${held.address}#/book`);
    await page.getByText('<script>alert(1)</script> springs tight').first().waitFor();
    expect(await page.locator('main script').count()).toBe(0);
    await shot(page, 'round-6-book');
  });

  it('loses no entry to a server that dies and a tab that is closed, and writes it once', async () => {
    await page.goto(`${held.address}#/enter`);
    await page.getByRole('textbox', { name: 'Fuel left' }).waitFor();
    const before = await total(held);
    await held.server.kill();
    await page.getByRole('textbox', { name: 'Fuel left' }).fill('5');
    await write();
    await page.getByText('Kept here: 1, not yet in the book.').waitFor();
    expect(await serious(page)).toEqual([]);
    await shot(page, 'round-7-server-gone');
    await page.close();
    await held.server.start();
    page = await visit(context, held.address);
    said.push(...listen(page));
    await page.getByText('Written in the book').waitFor();
    await page.waitForTimeout(1000);
    expect(await total(held)).toBe(before + 1);
    expect((await entries(held)).filter((one) => one.kind === 'fuel_left')).toHaveLength(2);
  });

  it('ends with a service, and a brief that has changed', async () => {
    const before = await margins();
    await form('service');
    await page.getByLabel('Which service').selectOption({ index: 1 });
    await write();
    await written('service_done');
    await page.waitForTimeout(500);
    await form('hours');
    await page.getByLabel('What it shows').fill('42.8');
    await write();
    await page.waitForTimeout(1500);
    expect(await margins()).not.toBe(before);
    await shot(page, 'round-8-brief-after');
  });
});
