import { describe, expect, test } from "vitest";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { planTopOff } from "../../controller/decisions/top-off/plan.ts";
import { keptIn } from "../../controller/scan/memory.ts";
import {
  CONTACT_PARTS,
  type ContactPart,
  INPUT_PARTS,
  type InputPart,
  type ReadingFault,
} from "../../shared/contract/index.ts";
import { BROKEN_WIRE_READS } from "../../shared/settings/broken-wire.ts";
import { type Answer, DANGERS, type Danger, LOADS, type Load } from "../../shared/settings/dangerous-side.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { Box, SETTINGS, type Sight } from "../scan/box.ts";

/** Each row of the table of dangerous sides against the whole scan: alone, to a box that pours and heats. */

const WHERE: Readonly<Record<NonNullable<Danger["where"]>, Settings>> = {
  "heater-in-last-chamber": { ...SETTINGS, heat: { ...SETTINGS.heat, heaterPlace: "last-chamber" } },
  "no-thermometer-beside-heater": { ...SETTINGS, heat: { ...SETTINGS.heat, thermometerSharesHeaterChamber: false } },
};
const COLD_AND_LOW: Sight = {
  "working-float": "dry",
  "thermometer-1": 24,
  "thermometer-2": 24,
  probeTemperature: 24,
};
/** The cut-out takes three conversions, at most ten seconds; everything else acts in its scan. */
const CONVERSIONS_S = 10;

const busy = new Map<Settings, Box>();
function pouringAndHeating(settings: Settings, sight: Sight = {}): Box {
  const made = () => {
    const box = Box.atRest(sight, settings).sees(COLD_AND_LOW);
    box.until(({ pumpOn, heaterOn }) => pumpOn && heaterOn, 20);
    return box;
  };
  if (Object.keys(sight).length > 0) return made();
  const known = busy.get(settings) ?? made();
  busy.set(settings, known);
  return known.twin();
}

const nameOf = (input: InputPart | "board") => (input === "conductivity-probe" ? "conductivity" : input);
const isContact = (input: InputPart | "board"): input is ContactPart =>
  (CONTACT_PARTS as readonly string[]).includes(input);

function sightOf(input: InputPart | "board", side: Danger["side"]): Sight {
  if (isContact(input)) return { [input]: side === "on" ? "wet" : "dry" };
  return { [nameOf(input)]: side === "hot" ? SETTINGS.heat.cutOutC + 0.6 : 50 };
}

const UNKNOWN: readonly ("nothing" | "old" | ReadingFault)[] = ["nothing", "old", "garbled", "no-answer", "not-yet"];
const unknownSights = (input: InputPart | "board"): readonly Sight[] =>
  input === "board"
    ? [{ board: "silent" }, { board: "restarted" }, { board: "unattended" }]
    : UNKNOWN.map((says) => ({ [nameOf(input)]: says }) as Sight);

const isOn = (box: Box, load: Load): boolean => (load === "heater-1" ? box.heaterOn : box.pumpOn);
const guardOf = (load: Load) => (load === "heater-1" ? "heat-guard" : "water-guard");

function expectAnswer(box: Box, load: Load, answer: Answer, at: string): void {
  if (answer === "off") {
    expect(isOn(box, load), at).toBe(false);
    if (load === "top-off-pump") expect(box.commands["water-guard"], at).toBe(false);
    return;
  }
  if (answer === "careful-heat") {
    expect(box.heat.state, at).toBe("cautious");
    return;
  }
  expect([isOn(box, load), box.commands[guardOf(load)]], at).toEqual([true, true]);
  if (load === "heater-1") return;
  const { bucketUlPerMs, lowestEvaporationUlPerMs } = planTopOff(box.settings);
  const earned = box.topOff.bucketUl - keptIn(box.before, TOP_OFF).durable.bucketUl;
  const rate = answer === "lowest-evaporation" ? lowestEvaporationUlPerMs : bucketUlPerMs;
  expect(earned / box.settings.scanMs, at).toBeCloseTo(rate, 6);
}

const ROWS = ([...INPUT_PARTS, "board"] as const).flatMap((input) =>
  LOADS.map((load) => [input, load, DANGERS[input][load]] as const),
);

const settingsOf = ({ where }: Danger): Settings => (where === undefined ? SETTINGS : WHERE[where]);

describe("dangerous side of an input, pouring and heating: the table's answer", () => {
  test.each(ROWS.filter(([, , { side }]) => side !== null))("%s for %s", (input, load, danger) => {
    const sight = sightOf(input, danger.side);
    // A leap is a spike to the cell, so it reads low from the start.
    const isSlow = danger.side === "low";
    const box = pouringAndHeating(settingsOf(danger), isSlow ? sight : {}).sees(sight);
    if (danger.side === "hot") box.afterSeconds(CONVERSIONS_S);
    else box.scan();
    expectAnswer(box, load, danger.does, danger.why);
  });
});

describe("input unknown, pouring and heating: the table's answer", () => {
  test.each(ROWS)("%s for %s", (input, load, danger) => {
    for (const sight of unknownSights(input)) {
      const box = pouringAndHeating(settingsOf(danger)).sees(sight).scan();
      expectAnswer(box, load, danger.unknown, JSON.stringify(sight));
    }
  });
});

describe("box without that dependence, dangerous side or unknown: goes on", () => {
  test.each(ROWS.filter(([, , { where }]) => where !== undefined))("%s for %s", (input, load, { side }) => {
    for (const sight of [sightOf(input, side), ...unknownSights(input)]) {
      expectAnswer(pouringAndHeating(SETTINGS).sees(sight).scan(), load, "goes-on", JSON.stringify(sight));
    }
  });
});

describe("contact without a dangerous side, wet or dry: goes on", () => {
  const rows = ROWS.filter(([input, , { side }]) => side === null && isContact(input));
  test.each(rows)("%s for %s", (input, load) => {
    for (const says of ["wet", "dry"] as const) {
      const box = pouringAndHeating(SETTINGS)
        .sees({ [input]: says })
        .scan();
      expect([isOn(box, load), box.commands[guardOf(load)]]).toEqual([true, true]);
    }
  });
});

test("broken wire of each contact: reads as its only dangerous side", () => {
  for (const part of CONTACT_PARTS) {
    const sides = LOADS.flatMap((load) => DANGERS[part][load].side ?? []);
    expect(new Set(sides)).toEqual(new Set([BROKEN_WIRE_READS[part]]));
  }
});
