/** Headless Chromium, Debian's package. A missing browser is a failure with a clear message, never a skip. */
import { existsSync } from 'node:fs';
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright-core';

const CHROMIUM = '/usr/bin/chromium';
const QUIET = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export interface Browser {
  readonly page: Page;
  /** What the page complained about: errors on its console and uncaught errors. */
  readonly complaints: string[];
  screenshot(name: string): Promise<void>;
  close(): Promise<void>;
}

export async function openBrowser(): Promise<Browser> {
  if (!existsSync(CHROMIUM)) throw new Error(`${CHROMIUM} is missing: install Debian's package "chromium"`);
  const profile = await mkdtemp(join(tmpdir(), 'browser-'));
  const context: BrowserContext = await chromium.launchPersistentContext(profile, {
    executablePath: CHROMIUM,
    args: QUIET,
    viewport: { width: 1280, height: 1600 },
  });
  const page = context.pages()[0] ?? (await context.newPage());
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  const folder = process.env.SCREENSHOTS;
  return {
    page,
    complaints,
    async screenshot(name) {
      if (folder === undefined) return;
      await mkdir(folder, { recursive: true });
      await page.screenshot({ path: join(folder, `${name}.png`), fullPage: false });
    },
    async close() {
      await context.close();
      await rm(profile, { recursive: true, force: true });
    },
  };
}
