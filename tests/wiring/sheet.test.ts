import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { choosePacemakers } from "../../controller/boards/pacemaker.ts";
import { CONTACT_FACTS } from "../../controller/cli/wiring/contacts.ts";
import { LETTER, PAGE, STYLE } from "../../controller/cli/wiring/drawing.ts";
import { openPins, pinWords } from "../../controller/cli/wiring/pins.ts";
import type { Row } from "../../controller/cli/wiring/row.ts";
import { sheetOf } from "../../controller/cli/wiring/sheet.ts";
import { drawSheet } from "../../controller/cli/wiring/svg.ts";
import { textOf } from "../../controller/cli/wiring/text.ts";
import { wrapWords } from "../../controller/cli/wrap-words.ts";
import { contactReading } from "../../controller/inputs/contact.ts";
import { CONTACT_PARTS } from "../../shared/contract/index.ts";
import { BROKEN_WIRE_READS } from "../../shared/settings/broken-wire.ts";
import { checkSettings, checkUnfinished, type Settings } from "../../shared/settings/index.ts";
import { randomSettings } from "./random-settings.ts";
import { isWellFormed } from "./well-formed.ts";

/** The wiring sheet of any set-up: whole, true to what the drivers read, and readable at arm's length. */

const valid = (): fc.Arbitrary<Settings> =>
  randomSettings()
    .map((raw) => checkSettings(raw).settings)
    .filter((settings) => settings !== null);

const partsOf = ({ inputs, outputs }: Settings): string[] =>
  [...Object.entries(inputs), ...Object.entries(outputs)].flatMap(([part, wiring]) => (wiring ? [part] : [])).sort();

const pagesOf = (settings: Settings, toMeasure: string[] = []): string[] =>
  drawSheet(sheetOf(settings, toMeasure), { mark: "0a1b2c3d", date: "2026-01-31" });
const draw = (settings: Settings): string => pagesOf(settings).join("\n");
const print = (settings: Settings): string => textOf(sheetOf(settings), "0a1b2c3d");

describe("parts of any accepted settings on the sheet", () => {
  test("drawn: each once, with its key", () => {
    fc.assert(
      fc.property(valid(), (settings) => {
        const marked = [...draw(settings).matchAll(/data-part="([^"]+)"/g)].map(([, part]) => part as string);
        expect(marked.sort()).toEqual(partsOf(settings));
        const named = [...draw(settings).matchAll(/class="key">([a-z0-9-]+)</g)].map(([, part]) => part as string);
        expect(named.sort()).toEqual(partsOf(settings));
      }),
      { numRuns: 300 },
    );
  });

  test("printed: each once", () => {
    fc.assert(
      fc.property(valid(), (settings) => {
        const heads = print(settings)
          .split("\n")
          .flatMap((line) => line.match(/^ {2}([a-z]+(?:-[a-z0-9]+)+) {2,}\S/)?.[1] ?? []);
        expect(heads.sort()).toEqual(partsOf(settings));
      }),
      { numRuns: 300 },
    );
  });

  test("grouped: each under its board, each board once", () => {
    fc.assert(
      fc.property(valid(), (settings) => {
        const { groups } = sheetOf(settings);
        expect(groups.map(({ board }) => board)).toEqual(Object.keys(settings.boards));
        const wired = { ...settings.inputs, ...settings.outputs } as Record<string, { board: string } | undefined>;
        for (const { board, rows } of groups) for (const { key } of rows) expect(wired[key]?.board).toBe(board);
      }),
    );
  });
});

describe("the drawn sheet", () => {
  test("any settings: pages of A4, well formed, nothing beyond foot and margin", () => {
    fc.assert(
      fc.property(valid(), (settings) => {
        for (const svg of pagesOf(settings)) {
          expect(svg).toMatch(/^<svg [^>]*width="210mm" height="297mm" viewBox="0 0 1050 1485">/);
          expect(isWellFormed(svg)).toBe(true);
          for (const [, x = "", y = "", look = "", words = ""] of svg.matchAll(TEXTS)) {
            expect(Number(y)).toBeLessThanOrEqual(PAGE.height - PAGE.margin);
            // Escaped characters count as one; a drawn letter is a little narrower than what is reckoned for it.
            const wide = look.includes("end") || look.includes("mid") ? 0 : unescaped(words).length * LETTER * 0.92;
            expect(Number(x) + wide).toBeLessThanOrEqual(PAGE.width - PAGE.margin);
          }
        }
      }),
      { numRuns: 200 },
    );
  });

  // 9 points are 9 × 25.4 / 72 = 3.175 mm; 1050 units are 210 mm wide.
  test("style of the sheet: no letter smaller than 9 points", () => {
    const sizes = [...STYLE.matchAll(/font(?:-size)?: ?(\d+(?:\.\d+)?)px/g)].map(([, size]) => Number(size));
    expect(sizes.length).toBeGreaterThan(3);
    const points = sizes.map((size) => (size * (210 / PAGE.width) * 72) / 25.4);
    expect(Math.min(...points)).toBeGreaterThanOrEqual(9);
    const { settings } = checkSettings({});
    expect(draw(settings as Settings).replaceAll(STYLE, "")).not.toMatch(/font/);
  });

  test("any settings: every part in the picture of the cabling, each with its pin", () => {
    fc.assert(
      fc.property(valid(), (settings) => {
        const [first = ""] = draw(settings).split('data-part="');
        const inPicture = unescaped(first);
        for (const { rows, sensors, isPinned } of sheetOf(settings).groups) {
          for (const row of [...rows, ...sensors]) {
            expect(inPicture).toContain(row.words.slice(0, 18));
            if (isPinned) expect(inPicture).toContain(`>${row.terminal.replace("pin ", "")}<`);
          }
        }
      }),
      { numRuns: 100 },
    );
  });

  test("two measures left for later: both listed, no litres", () => {
    const { settings } = checkUnfinished({
      boards: { io: { kind: "firmata", port: "/dev/ttyACM0", firmware: "guard" } },
      inputs: {
        "working-float": { board: "io", pin: 2, closedWhen: "off" },
        "high-float": { board: "io", pin: 16, closedWhen: "off" },
      },
      outputs: {
        "top-off-pump": { board: "io", pin: 8, energisedLevel: "high" },
        "water-guard": { board: "io", pin: 9, energisedLevel: "high" },
      },
    });
    const toMeasure = ["tank.highFloatMm", "topOff.evaporationLPerDay"];
    const drawn = pagesOf(settings as Settings, toMeasure)
      .join("")
      .replace(/<[^>]+>/g, " ");
    expect(drawn).toContain("High float above the working mark");
    expect(drawn).toContain("Still to be measured");
    expect(drawn).not.toMatch(/takes at worst|Reservoir:/);
    expect(textOf(sheetOf(settings as Settings, toMeasure), "x")).toMatch(/\[ \] High float above the working mark/);
  });

  test("six cautions always; 10.5, 4.4 and 4.1 L with a pump, heat with a heater only", () => {
    const words = (settings: Settings) =>
      draw(settings)
        .replace(/<[^>]+>/g, " ")
        .replace(/\s+/g, " ");
    const without = words(checkSettings({}).settings as Settings);
    for (const word of ["kill", "licensed electrician", "local code", "residual-current", "drip loops", "unplug"]) {
      expect(without).toContain(word);
    }
    expect(without).not.toMatch(/takes at worst|Heat: /);
    const example = JSON.parse(
      readFileSync(new URL("../../wiring-notes/settings-example.json", import.meta.url), "utf8"),
    );
    const whole = words(checkSettings(example).settings as Settings);
    for (const word of ["10.5 L", "4.4 L", "4.1 L", "lowers salinity by 1", "Heat: 200 W"])
      expect(whole).toContain(word);
    const { "heater-1": _heater, "heat-guard": _guard, ...pump } = example.outputs;
    expect(words(checkSettings({ ...example, outputs: pump }).settings as Settings)).not.toContain("Heat: ");
  });
});

const TEXTS = /<text x="([\d.]+)" y="([\d.]+)"(?: class="([^"]*)")?>([^<]*)</g;
const unescaped = (text: string): string => text.replace(/&(amp|lt|gt|quot);/g, "&");

test("isWellFormed: five broken texts refused, a whole one accepted", () => {
  for (const broken of ["<svg>", "<svg><g></svg></g>", "<svg>a & b</svg>", "<svg>a < b</svg>", "<svg>\u0001</svg>"]) {
    expect(isWellFormed(broken)).toBe(false);
  }
  expect(isWellFormed('<svg><rect x="1"/>a &amp; b</svg>')).toBe(true);
});

describe("wire of a contact, open and shorted", () => {
  const contactRows = CONTACT_PARTS.flatMap((part) =>
    // The other way round a broken wire would be believed, and the settings are refused.
    (["on", "off"] as const)
      .filter((closedWhen) => closedWhen !== BROKEN_WIRE_READS[part])
      .map((closedWhen) => [part, closedWhen] as const),
  );

  /** The sheet against the driver that reads the pin: high is an open wire, low a shorted one. */
  test.each(contactRows)("%s, closed when %s: as its driver reads it", (part, closedWhen) => {
    const row = rowOf({ [part]: { board: "io", pin: 2, closedWhen } }, part);
    const reads = (high: boolean) =>
      contactReading({ value: high, fault: null, atMs: 0, sample: 1 }, { closedWhen }, 0).value ? "on" : "off";
    const facts = CONTACT_FACTS[part];
    expect(row.broken).toBe(`${facts[reads(true)]} (${facts.means[reads(true)]})`);
    expect(row.shorted).toBe(`${facts[reads(false)]} (${facts.means[reads(false)]})`);
    expect(row.drawing).toBe(closedWhen === "off" ? "closed-contact" : "open-contact");
  });

  test("supervised: both ends known, nothing poured", () => {
    const supervised = { pullUpOhms: 10_000, closedOhms: 4700, openOhms: 14_700 };
    const row = rowOf({ "working-float": { board: "io", pin: 14, closedWhen: "off", supervised } }, "working-float");
    expect(row.wiring).toMatch(/10\skΩ to the supply.*4\.7\skΩ in series and 10\skΩ across/);
    expect(row.broken).toBe("known, counts as full (nothing is poured)");
    expect(row.shorted).toBe(row.broken);
  });
});

function sheetFor(inputs: object, more: object = {}) {
  const { settings, faults } = checkSettings({
    boards: { io: { kind: "firmata", port: "/dev/ttyACM0" } },
    inputs,
    ...more,
  });
  if (settings === null) throw new Error(JSON.stringify(faults));
  return sheetOf(settings);
}

const rowOf = (inputs: object, part: string): Row =>
  sheetFor(inputs)
    .groups.flatMap(({ rows }) => rows)
    .find(({ key }) => key === part) as Row;

describe("advice on the sheet", () => {
  const floats = (working: number, high: number) => ({
    "working-float": { board: "io", pin: working, closedWhen: "off" },
    "high-float": { board: "io", pin: high, closedWhen: "off" },
  });
  const pump = (more = {}) => ({
    tank: {
      netVolumeL: 140,
      lastChamberM2: 0.02,
      pumpOffLevelMm: 60,
      highFloatMm: 70,
      freeVolumePumpOffL: 10,
      freeVolumeWeirBlockedL: 5,
    },
    targets: { salinity: 35 },
    topOff: { provenFlowLPerMin: 1.5, evaporationLPerDay: 1.5, reservoirL: 4, sliceMl: 100 } as object,
    outputs: {
      "top-off-pump": { board: "io", pin: 8, energisedLevel: "high" },
      "water-guard": { board: "io", pin: 9, energisedLevel: "high" },
    },
    attendedMinutes: 60,
    ...more,
  });

  test.each([
    [2, 3, true],
    [2, 7, true],
    [2, 16, false],
  ])("floats on pins %i and %i: one port %s", (working, high, onePort) => {
    expect(sheetFor(floats(working, high)).advice.some((line) => /one port/.test(line))).toBe(onePort);
  });

  test("any seven pins, standard firmware: leaves open what the board paces by; guard firmware: none", () => {
    const digital = { supportedModes: [0, 1, 4], analogChannel: 127 };
    const uno = Array.from({ length: 20 }, (_, pin) =>
      pin < 2 ? { supportedModes: [] } : pin < 14 ? digital : { supportedModes: [0, 1, 2], analogChannel: pin - 14 },
    );
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 2, max: 19 }), { minLength: 7, maxLength: 7 }), (pins) => {
        const inputs = Object.fromEntries(
          CONTACT_PARTS.map((part, index) => [
            part,
            { board: "io", pin: pins[index], closedWhen: BROKEN_WIRE_READS[part] === "on" ? "off" : "on" },
          ]),
        );
        const { settings } = checkSettings({ boards: { io: { kind: "firmata", port: "/dev/ttyACM0" } }, inputs });
        if (settings === null) return;
        const ports = [...new Set(pins.map((pin) => pin >> 3))].sort((a, b) => a - b);
        const paced = choosePacemakers(ports, new Set(pins), uno).map(({ pin }) => pin);
        expect(openPins(settings, "io")).toEqual(paced);
        expect(sheetOf(settings).advice.join()).toContain(`Leave ${paced.map(pinWords).join(" and ")} of io`);
        const guarded = { ...settings, boards: { io: { ...settings.boards.io, firmware: "guard" } } } as Settings;
        expect(openPins(guarded, "io")).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });

  test("fan of 3 L: litres, 1.3 days, hand test after 3.3; small budget: 13 hours advised; no fan: not told", () => {
    const wiring = { ...floats(2, 16) };
    const told = (topOff: object) => sheetFor(wiring, pump({ topOff: { ...pump().topOff, ...topOff } }));
    const fan = { aboveC: 27, evaporationLPerDay: 3 };
    // 1.25 × 3 L are charged and 1.2 L surely evaporate: 140 × 2 / 33 L are full after 8.48 / 2.55 days.
    expect(told({ fan, dailyBudgetL: 4 }).boxLines).toContain(
      "Fan above 27 °C: 3 L a day, 1.3 days. No budget grows with it. After 3.3 such days top-off waits for a hand test.",
    );
    expect(told({ fan, dailyBudgetL: 4 }).advice.join()).not.toMatch(/fan/);
    expect(told({ fan, dailyBudgetL: 2 }).advice.join()).toMatch(/makes good 13 hours of the fan in a day/);
    expect(told({}).boxLines.join()).not.toMatch(/[Ff]an/);
  });

  test("pins 14 and 19: with A0 and A5, 13 and 20 without", () => {
    expect([13, 14, 19, 20].map(pinWords)).toEqual(["pin 13", "pin 14 (A0)", "pin 19 (A5)", "pin 20"]);
    expect(rowOf({ "high-float": { board: "io", pin: 16, closedWhen: "off" } }, "high-float").terminal).toBe(
      "pin 16 (A2)",
    );
  });

  test("waits divided by 100: never above water; otherwise no advice", () => {
    expect(sheetFor({}, { bench: { waitsDividedBy: 100 } }).advice[0]).toMatch(/Never above water/);
    expect(sheetFor({}).advice).toEqual([]);
  });

  test("computer dies: attended only, guard firmware, own guard or no output, as set", () => {
    expect(sheetFor(floats(2, 16), pump()).whenItDies).toMatch(/ATTENDED ONLY.*60 min/);
    const guarded = { boards: { io: { kind: "firmata", port: "/dev/ttyACM0", firmware: "guard" } } };
    expect(sheetFor(floats(2, 16), pump(guarded)).whenItDies).toMatch(/2 s after the last healthy scan/);
    expect(sheetFor(floats(2, 16), pump({ independentGuard: "A fed timer relay." })).whenItDies).toMatch(/A fed timer/);
    expect(sheetFor({}).whenItDies).toMatch(/No output/);
  });

  test("a relay that a low level closes: how its firmware is built", () => {
    const boards = { io: { kind: "firmata", port: "/dev/ttyACM0", firmware: "guard" } };
    const outputs = {
      "top-off-pump": { board: "io", pin: 8, energisedLevel: "low" },
      "water-guard": { board: "io", pin: 9, energisedLevel: "high" },
    };
    expect(sheetFor(floats(2, 16), pump({ boards, outputs })).advice.join()).toMatch(/build .* with PUMP_REST=1/);
    expect(sheetFor(floats(2, 16), pump({ outputs })).advice.join()).toMatch(/closes on a low pin: at power-on/);
  });

  test("chain of the pump: supply, fuse, high float's own contact, relay, guard", () => {
    const [chain] = sheetFor(floats(2, 16), pump()).chains;
    expect(chain).toEqual({
      of: "pump",
      links: ["12 or 24 V DC", "fuse", "high float, own contact", "relay pin 8", "guard pin 9"],
    });
  });

  test("parts not fitted: listed", () => {
    const { missing } = sheetFor(floats(2, 16), pump());
    expect(missing.join("; ")).toMatch(/reservoir float.*floor sensor.*mains sensor.*return-pump sensor.*no heater/s);
  });
});

test("any text wrapped at any width: no line wider, no character lost", () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 200 }), fc.integer({ min: 1, max: 40 }), (text, most) => {
      const lines = wrapWords(text, most);
      expect(lines.every((line) => line.length <= most)).toBe(true);
      expect(lines.join("").replaceAll(" ", "")).toBe(text.replaceAll(" ", ""));
    }),
  );
});
