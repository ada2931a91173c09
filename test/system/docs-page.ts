/** The documentation page, worked by its forms. */
import type { Locator, Page } from 'playwright-core';

/** Opens an operation of the page and waits for its form. */
export async function openOperation(page: Page, url: string, id: string): Promise<Locator> {
  await page.goto(`${url}/docs`);
  const block = page.locator(`[id="operations-${id}"]`);
  await block.locator('.opblock-summary').click();
  await block.locator('button.execute').waitFor();
  return block;
}

/** Types into the parameter fields of an operation. */
export async function fill(block: Locator, values: { readonly [name: string]: string }): Promise<void> {
  for (const [name, value] of Object.entries(values)) {
    await block.locator(`tr[data-param-name="${name}"] input`).fill(value);
  }
}

/** Presses Execute and reads what came back. */
export async function execute(block: Locator): Promise<{ status: string; body: string }> {
  // what an earlier call brought must not be read as the answer of this one
  const clear = block.locator('button.btn-clear');
  if ((await clear.count()) > 0) await clear.click();
  await block.locator('button.execute').click();
  const live = block.locator('.live-responses-table .response').first();
  await live.waitFor();
  const status = (await live.locator('.response-col_status').first().innerText()).trim();
  // the box also holds the buttons to copy and download
  const box = await live.locator('.highlight-code').first().innerText();
  return { status, body: box.slice(box.indexOf('{')) };
}
