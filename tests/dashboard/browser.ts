import { execFile } from "node:child_process";
import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { promisify } from "node:util";
import { gzipSync } from "node:zlib";
import { type Browser, chromium, type Page } from "playwright-core";

const top = resolve(import.meta.dirname, "../..");

/** As root and without a screen; nothing in it may call anybody (the page under test needs only loopback). */
const FLAGS = [
  "--headless",
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

export const openBrowser = (): Promise<Browser> =>
  chromium.launch({ executablePath: process.env.CHROMIUM_PATH ?? "/usr/bin/chromium", args: FLAGS });

/** Builds the page as `npm run build` does, but into a folder of its own, since others may be using theirs. */
export async function buildSite(): Promise<{ folder: string; remove(): Promise<void> }> {
  const folder = await mkdtemp(join(tmpdir(), "evenbrine-dashboard-"));
  // In a process of its own: a test runner's NODE_ENV would make another page than the keeper gets.
  const vite = join(top, "node_modules/vite/bin/vite.js");
  const words = [vite, "build", "--config", join(top, "dashboard/vite.config.ts"), "--outDir", folder, "--emptyOutDir"];
  await promisify(execFile)(process.execPath, words, { env: { ...process.env, NODE_ENV: "production" } });
  return { folder, remove: () => rm(folder, { recursive: true, force: true }) };
}

/** Everything that the first view loads, compressed as a web server would. */
export async function gzipSizes(folder: string): Promise<{ name: string; bytes: number }[]> {
  const names = (await readdir(folder, { recursive: true })).filter((name) => /\.(html|js|css|svg)$/.test(name));
  return Promise.all(
    names.map(async (name) => ({ name, bytes: gzipSync(await readFile(join(folder, name)), { level: 9 }).length })),
  );
}

export interface Violation {
  readonly id: string;
  readonly nodes: readonly { readonly html: string }[];
}

/** axe-core's verdict on what stands on the page, by the rules of WCAG 2.2 A and AA and its best practices. */
export async function axeViolations(page: Page): Promise<Violation[]> {
  const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  await page.evaluate(axe);
  return (await page.evaluate("axe.run().then(({ violations }) => violations)")) as Violation[];
}

/** Presses Tab until what is named has the focus, as somebody without a pointer would. */
export async function tabTo(page: Page, isThere: string): Promise<void> {
  for (let presses = 0; presses < 60; presses += 1) {
    if (await page.evaluate(`((element) => ${isThere})(document.activeElement)`)) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`not reached by keyboard: ${isThere}`);
}
