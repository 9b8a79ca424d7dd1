import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { describe, expect, test } from "vitest";
import { CONTACT_FACTS } from "../../controller/cli/wiring/contacts.ts";
import { CONTACT_PARTS, type ContactPart, INPUT_PARTS, OUTPUT_PARTS } from "../../shared/contract/index.ts";
import {
  boxBudget,
  checkSettings,
  judgeHeaterPower,
  mostReturnPumpW,
  type Settings,
} from "../../shared/settings/index.ts";
import { isWellFormed } from "./well-formed.ts";

/** The wiring notes: whole, linked, true to the settings and to what the drivers read. */

const ROOM = resolve(import.meta.dirname, "../../wiring-notes");
const read = (name: string): string => readFileSync(join(ROOM, name), "utf8");
const PAGES = readdirSync(ROOM).filter((name) => name.endsWith(".md") && name !== "README.md");
const DRAWINGS = readdirSync(join(ROOM, "drawings"));

/** What each page must answer, in this order. */
const SECTIONS = [
  "What to look for",
  "Wiring",
  "What an open and a shorted wire read",
  "Fail-safe position",
  "In the settings",
  "The test that shows it",
];

/** Pages on which something hangs on mains, near or far. */
const ON_MAINS = [
  "return-pump-and-mains.md",
  "top-off-pump.md",
  "heater.md",
  "input-board.md",
  "base-heater.md",
  "enclosure-and-power.md",
];

describe("pages of the wiring notes", () => {
  test("index: links to every page and no other", () => {
    const linked = [...read("README.md").matchAll(/\]\(([a-z-]+\.md)\)/g)].map(([, page]) => page as string);
    expect([...new Set(linked)].sort()).toEqual([...PAGES].sort());
  });

  test.each(PAGES)("%s: all six sections in their order", (page) => {
    const sections = [...read(page).matchAll(/^## (.+)$/gm)].map(([, title]) => title as string);
    expect(sections.filter((title) => title !== "Cautions")).toEqual(SECTIONS);
  });

  test.each(PAGES)("%s: its own drawing, which is there", (page) => {
    expect(read(page)).toContain(`(drawings/${page.replace(".md", ".svg")})`);
    expect(DRAWINGS).toContain(page.replace(".md", ".svg"));
  });

  test.each([...PAGES, "README.md"])("%s: every link leads to a file", (page) => {
    const links = [...read(page).matchAll(/\]\(([^)#\s]+)(?:#[^)]*)?\)/g)].map(([, to]) => to as string);
    expect(links.filter((to) => !existsSync(resolve(ROOM, dirname(page), to)))).toEqual([]);
  });

  test.each(ON_MAINS)("%s: all ten cautions before anything else", (page) => {
    const [, cautions = ""] = read(page).match(/^## Cautions\n([\s\S]*?)\n!\[/m) ?? [];
    const words = cautions.replace(/\s+/g, " ");
    for (const caution of [
      "kill",
      "Residual-current protection",
      "drip loops",
      "certified appliances",
      "plug pulled before hands go in",
      "licensed electrician under your local code",
      "not a certified safety device",
      "own thermostat",
      "in series with the pump",
      "no larger than the box can take",
    ]) {
      expect(words).toContain(caution);
    }
  });

  test("page of a socket, mains wire or adapter: has the cautions", () => {
    const speaks = PAGES.filter((page) =>
      /residual-current device|\bsocket\b.*\bheater|mains ─|plug-in adapter/i.test(read(page)),
    );
    expect(speaks.filter((page) => !ON_MAINS.includes(page))).toEqual([]);
  });
});

type Json = { [key: string]: Json | unknown };

/** Settings of a whole box, into which the fragment of a page is put; its high float hangs where the notes have it. */
const EXAMPLE = JSON.parse(read("settings-example.json")) as { inputs: { "high-float": Json } };
const WHOLE: Json = {
  ...EXAMPLE,
  inputs: { ...EXAMPLE.inputs, "high-float": { ...EXAMPLE.inputs["high-float"], pin: 16 } },
};

const fragmentsOf = (page: string): Json[] =>
  [...read(page).matchAll(/```json\n([\s\S]*?)```/g)].map(([, text]) => JSON.parse(text as string) as Json);

/** Objects are joined; where a part is wired in another way, the fragment's wiring takes the place of the old. */
function joined(base: Json, fragment: Json, depth = 0): Json {
  const both = { ...base };
  for (const [key, value] of Object.entries(fragment)) {
    const old = base[key];
    const isObject = (one: unknown): one is Json => typeof one === "object" && one !== null && !Array.isArray(one);
    both[key] = depth < 1 && isObject(old) && isObject(value) ? joined(old, value, depth + 1) : value;
  }
  return both;
}

function settingsWith(page: string, fragment: Json): Settings {
  let whole = WHOLE;
  // A fragment that brings its own use of a port or a pin replaces whoever had it.
  for (const room of ["inputs", "outputs"] as const) {
    const taken = new Set(Object.values((fragment[room] ?? {}) as Json).map((wired) => (wired as Json).pin));
    const kept = Object.entries(whole[room] as Json).filter(([, wired]) => !taken.has((wired as Json).pin ?? "none"));
    whole = { ...whole, [room]: Object.fromEntries(kept) };
  }
  const merged = joined(whole, fragment);
  const isGuard = JSON.stringify(fragment.boards ?? "").includes('"guard"');
  if (isGuard) merged.topOff = { sliceMl: 100, ...(merged.topOff as Json) };
  const { settings, faults } = checkSettings(merged);
  if (settings === null) throw new Error(`${page}: ${JSON.stringify(faults)}`);
  return settings;
}

describe("settings on the pages", () => {
  test.each(PAGES)("%s: each fragment accepted in a whole box", (page) => {
    const fragments = fragmentsOf(page);
    expect(fragments.length).toBeGreaterThan(0);
    for (const fragment of fragments) settingsWith(page, fragment);
  });

  test("fragment with pn for pin: refused", () => {
    expect(() => settingsWith("x", { inputs: { "high-float": { board: "io", pn: 3, closedWhen: "off" } } })).toThrow(
      /pn/,
    );
  });

  test("parts: each on some page", () => {
    const shown = new Set(
      PAGES.flatMap(fragmentsOf).flatMap(({ inputs, outputs }) =>
        Object.keys({ ...(inputs as Json), ...(outputs as Json) }),
      ),
    );
    expect([...INPUT_PARTS, ...OUTPUT_PARTS].filter((part) => !shown.has(part))).toEqual([]);
  });

  test("contacts: closed on the side that a broken wire must not look like", () => {
    for (const fragment of PAGES.flatMap(fragmentsOf)) {
      for (const [part, wired] of Object.entries((fragment.inputs ?? {}) as Json)) {
        if (!(CONTACT_PARTS as readonly string[]).includes(part)) continue;
        const { safe } = CONTACT_FACTS[part as ContactPart];
        expect([part, (wired as Json).closedWhen]).toEqual([part, safe === "on" ? "off" : "on"]);
      }
    }
  });
});

describe("what a page says of the reference tank", () => {
  const reference = settingsWith("heater.md", fragmentsOf("heater.md")[0] as Json);
  const words = (page: string): string => read(page).replace(/\s+/g, " ");

  test("heater: least and most watts, and those of the return pump, as init and check judge them", () => {
    const { leastW, mostW } = judgeHeaterPower(reference);
    expect(reference).toMatchObject({ tank: { netVolumeL: 140 }, heat: { lossWPerK: 15, roomC: 22, returnPumpW: 25 } });
    expect(words("heater.md")).toContain(`25 W of return pump (${leastW} W)`);
    expect(words("heater.md")).toContain(`while it is stuck on (${mostW} W)`);
    expect(words("heater.md")).toContain(`at most ${mostReturnPumpW(reference)} W in a room of 22 °C`);
  });

  test("reservoir: litres of the smallest free space", () => {
    const small = settingsWith("tube-and-reservoir.md", fragmentsOf("tube-and-reservoir.md")[0] as Json);
    const budget = boxBudget(small);
    expect(words("tube-and-reservoir.md")).toContain(`${budget.byRimL} L`);
    expect(words("tube-and-reservoir.md")).toContain(`140/34 = ${budget.largestReservoirL.toFixed(1)} L`);
  });

  test("larger reservoir without one of its means: refused", () => {
    const large = fragmentsOf("tube-and-reservoir.md")[1] as { topOff: { largeReservoir: Json } };
    for (const means of Object.keys(large.topOff.largeReservoir)) {
      const { [means]: _, ...rest } = large.topOff.largeReservoir;
      const without = { ...large, topOff: { ...large.topOff, largeReservoir: rest } };
      expect(() => settingsWith("tube-and-reservoir.md", without)).toThrow(/largeReservoir/);
    }
    expect(() => settingsWith("tube-and-reservoir.md", { topOff: large.topOff })).toThrow(/guard firmware/);
  });
});

/** Which page tells of which contact; two of them share one. */
const PAGE_OF: Readonly<Record<ContactPart, string>> = {
  "working-float": "working-float.md",
  "high-float": "high-float.md",
  "low-float": "low-float.md",
  "reservoir-float": "reservoir-float.md",
  "floor-sensor": "floor-sensor.md",
  "mains-sensor": "return-pump-and-mains.md",
  "return-sensor": "return-pump-and-mains.md",
};

test.each(CONTACT_PARTS)("%s: its page and the wiring sheet say the same of an open and a shorted wire", (part) => {
  const { safe, on, off, means } = CONTACT_FACTS[part];
  const words = { on, off };
  const other = safe === "on" ? "off" : "on";
  expect(read(PAGE_OF[part])).toContain(`| open | ${words[safe]} | ${means[safe]} |`);
  expect(read(PAGE_OF[part])).toContain(`| shorted | ${words[other]} | ${means[other]} |`);
});

describe("drawings of the wiring notes", () => {
  test("siphon break: inside the rim of the box", () => {
    const svg = read("drawings/tube-and-reservoir.svg");
    const [, left, width] = svg.match(/d="M(\d+) 90v230h(\d+)v-230"/) ?? [];
    const at = Number(svg.match(/<circle class="body" cx="(\d+)"/)?.[1]);
    expect(at).toBeGreaterThan(Number(left));
    expect(at).toBeLessThan(Number(left) + Number(width));
  });

  test.each(DRAWINGS)(
    "%s: well formed, titled, no script or foreign file, readable on dark screens and in print",
    (name) => {
      const svg = read(`drawings/${name}`);
      expect(isWellFormed(svg)).toBe(true);
      expect(svg).toMatch(/<title id="title">.{5,}<\/title>\n<desc id="desc">.{20,}<\/desc>/);
      expect(svg).toMatch(/role="img" aria-labelledby="title desc"/);
      expect(svg).toMatch(/@media screen and \(prefers-color-scheme: dark\)/);
      expect(svg).not.toMatch(/<script|href=|url\(|@import|<image/);
    },
  );

  test.each(DRAWINGS)("%s: every word on the paper", (name) => {
    const svg = read(`drawings/${name}`);
    const [, width, height] = svg.match(/viewBox="0 0 (\d+) (\d+)"/) ?? [];
    for (const [, x, y, look = "", words = ""] of svg.matchAll(
      /<text x="([\d.]+)" y="([\d.]+)"(?: class="([^"]*)")?>([^<]*)</g,
    )) {
      // An average letter of these fonts is a little more than half as wide as it is high.
      const wide =
        words.length *
        (look.includes("small") ? 13 : 15) *
        (look.includes("bold") || look.includes("red") ? 0.53 : 0.48);
      const left = Number(x) - (look.includes("mid") ? wide / 2 : look.includes("end") ? wide : 0);
      expect([words, left >= 0, left + wide <= Number(width), Number(y) <= Number(height) - 4]).toEqual([
        words,
        true,
        true,
        true,
      ]);
    }
  });

  test("drawing: has a page of its name", () => {
    expect(DRAWINGS.map((name) => name.replace(".svg", ".md")).filter((page) => !PAGES.includes(page))).toEqual([]);
  });
});
