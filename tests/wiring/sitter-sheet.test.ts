import { describe, expect, it } from "vitest";
import { CONDITIONS } from "../../controller/alarms/list.ts";
import { type SheetAsked, sheetOf } from "../../controller/cli/sitter-sheet/sheet.ts";
import { drawSheet, PAPERS, type Paper } from "../../controller/cli/sitter-sheet/svg.ts";
import { textOf } from "../../controller/cli/sitter-sheet/text.ts";
import { STYLE } from "../../controller/cli/wiring/drawing.ts";
import { CAUTIONS } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

const SETTINGS = rehearsalSettings();
const asked = (change: Partial<SheetAsked> = {}): SheetAsked => ({
  settings: SETTINGS,
  seen: null,
  call: [],
  ...change,
});

/** As much as ever stands on it: long names, five to call, a long sentence and everything read with a doubt. */
const FULLEST = asked({
  settings: { ...SETTINGS, tank: { ...SETTINGS.tank, name: "x".repeat(40) } },
  seen: {
    date: "2027-02-02",
    sentence: "Water over the high mark, and 3 more alarms: go to the tank now and look at what is written below.",
    rows: ["Temperature", "Salinity", "Level", "Reservoir"].map((name) => [name, "25.0 ± 0.2 °C", "d".repeat(60)]),
  },
  call: Array.from({ length: 5 }, () => "W".repeat(50)),
});

describe("the sitter's sheet", () => {
  // ISO 216: A4 is 210 × 297 mm. ANSI Y14.1: A (letter) is 8.5 × 11 in = 215.9 × 279.4 mm.
  it.each([
    ["a4", 210, 297],
    ["letter", 215.9, 279.4],
  ] as const)(
    "%s: the fullest sheet ends above its lower edge, and the page is %d × %d mm",
    (paper: Paper, widthMm, heightMm) => {
      const { svg, used } = drawSheet(sheetOf(FULLEST), paper);
      expect(used).toBeLessThanOrEqual(PAPERS[paper].height);
      expect(svg).toContain(`width="${widthMm}mm" height="${heightMm}mm"`);
      expect(svg.match(/<svg /g)).toHaveLength(1);
    },
  );

  // A point is 1/72 in = 0.3528 mm: nine of them are 15.9 fifths of a millimetre.
  it("letters: 9 points at least, and no size but those of the wiring sheet", () => {
    const sizes = [...STYLE.matchAll(/font(?:-size)?: ?(\d+)px/g)].map(([, size]) => Number(size));
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual((9 * 25.4 * 5) / 72);
    expect(drawSheet(sheetOf(asked()), "a4").svg.replace(STYLE, "")).not.toMatch(/font/);
  });

  it("alarms: every one that is marked for a sitter, in order of rank, with its own first words; no other", () => {
    const { alarms } = sheetOf(asked());
    const marked = CONDITIONS.filter(({ inAbsence }) => inAbsence === "for-sitter");
    expect(alarms.map(([title]) => title)).toEqual(marked.map(({ title }) => title));
    for (const [index, [, action]] of alarms.entries()) {
      const { id, whatToDo } = marked[index] as (typeof marked)[number];
      if (!id.startsWith("reservoir-")) expect(whatToDo.startsWith(action)).toBe(true);
    }
  });

  it("every alarm of high priority but the one that only a thermometer answers: for a sitter", () => {
    const others = CONDITIONS.filter(({ priority, inAbsence }) => priority === "high" && inAbsence !== "for-sitter");
    expect(others.map(({ id }) => id)).toEqual(["temperature-unknown"]);
  });

  it("nobody given, no controller: lines to write on; 4 L: refill to 4 L, in gallons where they were chosen", () => {
    const settings = { ...SETTINGS, topOff: { ...SETTINGS.topOff, reservoirL: 4 } };
    const text = textOf(sheetOf(asked({ settings })));
    expect(text).toMatch(/Whom to call\n {2}_{20,}\n/);
    expect(text).toMatch(/fresh water to 4 L, never above that/);
    const gallons = { ...settings, units: { ...settings.units, volume: "US gal" as const } };
    expect(textOf(sheetOf(asked({ settings: gallons })))).toMatch(/to 1\.1 US gal/);
  });

  it("cautions: mains and salt water, unplug before hands go in, not certified, on text and drawing", () => {
    for (const page of [textOf(sheetOf(asked())), drawSheet(sheetOf(asked()), "a4").svg]) {
      for (const words of ["Mains and salt water kill", "before hands go in", "not a certified safety device"]) {
        expect(page.replace(/\s+/g, " ")).toContain(words);
        expect(CAUTIONS.join(" ")).toContain(words);
      }
    }
  });

  it("a name with signs that XML forbids: escaped", () => {
    expect(drawSheet(sheetOf(asked({ call: ["<Kim & Co>"] })), "a4").svg).toContain("&lt;Kim &amp; Co&gt;");
  });

  it("a box without a top-off pump: no reservoir on the sheet", () => {
    const boards = { io: { kind: "one-wire", folder: "/x" } } as unknown as typeof SETTINGS.boards;
    const text = textOf(sheetOf(asked({ settings: { ...SETTINGS, boards, outputs: {} } })));
    expect(text).not.toMatch(/reservoir/i);
  });
});
