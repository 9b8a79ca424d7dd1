import type { Browser, BrowserContextOptions, Locator, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, expect } from "vitest";
import { buildSite, openBrowser } from "./browser.ts";
import { type MadeController, type MadeTank, makeController } from "./made-controller.ts";

/** The built page in a real browser, for the tests of one file: it is opened before them and gone after them. */
export function pageInBrowser() {
  let browser: Browser;
  let site: Awaited<ReturnType<typeof buildSite>>;
  const toClose: (() => Promise<unknown>)[] = [];

  beforeAll(async () => {
    site = await buildSite();
    browser = await openBrowser();
  });
  afterEach(async () => {
    for (const close of toClose.splice(0).reverse()) await close();
  });
  afterAll(async () => {
    await browser?.close();
    await site?.remove();
  });

  /** A page that has heard the controller; anything it throws or is refused fails the test that used it. */
  async function open(
    made: MadeTank = {},
    options: BrowserContextOptions = {},
  ): Promise<{ page: Page; controller: MadeController; faults: string[]; fetched: string[] }> {
    const controller = await makeController(site.folder, made);
    toClose.push(() => controller.close());
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, ...options });
    toClose.push(() => context.close());
    const page = await context.newPage();
    page.setDefaultTimeout(15_000);
    const faults: string[] = [];
    page.on("pageerror", (error) => faults.push(String(error.stack)));
    page.on("console", (message) => {
      if (/content security policy/i.test(message.text())) faults.push(message.text());
    });
    const fetched: string[] = [];
    page.on("request", (request) => fetched.push(new URL(request.url()).pathname));
    await page.goto(controller.address);
    await page.locator('[data-fresh="true"]').waitFor();
    // A broker hands out retained words in any order, live ones between them.
    await expect
      .poll(
        async () => `${await page.locator("svg.drawing").getAttribute("aria-label")} ${await textOf(page, ".scan")}`,
      )
      .not.toMatch(/unknown|not known/);
    return { page, controller, faults, fetched };
  }

  /** A controller, and a page that has not been to it yet. */
  async function meet(): Promise<{ page: Page; controller: MadeController }> {
    const controller = await makeController(site.folder);
    toClose.push(() => controller.close());
    const page = await browser.newPage();
    toClose.push(() => page.close());
    return { page, controller };
  }

  /** What a person sees of it, on one line. */
  async function seen(place: Locator): Promise<string> {
    // biome-ignore lint/performance/useDomNodeTextContent: what is hidden must not count as seen.
    const text = await place.innerText();
    return text.replace(/\s+/g, " ").trim();
  }
  const textOf = (page: Page, selector: string): Promise<string> => seen(page.locator(selector));
  return { open, meet, seen, textOf, siteFolder: () => site.folder };
}
