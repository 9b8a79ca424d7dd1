import { FAULT_KINDS, isOfSecondHeater } from "../../controller/rehearsal/faults/table.ts";
import { checkScenario, type Scenario } from "../../controller/rehearsal/index.ts";
import { evaporationLPerHM2 } from "../../controller/rehearsal/plant/evaporation.ts";
import { createRandom } from "../../controller/rehearsal/plant/random.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type FaultShape, faultOf, type RawFault } from "./faults.ts";

/** Seeded weeks on the simulated tank: a room, a keeper, and one or two things that go wrong. */

export interface Week {
  readonly week: number;
  readonly campaignSeed: number;
  /** Of the plant's own noise. */
  readonly seed: number;
  /** What the figures are counted by: one kind of fault, or two. */
  readonly faults: readonly string[];
  readonly scenario: Scenario;
}

export const WEEK_H = 168;
/** Weeks of one fault and of two take turns: two with one, then one with two. */
const TURN = 3;
const TRIES = 200;

/** Kinds of fault with the parts and the positions that make them different: each gets its weeks in turn. */
export const FAULT_SHAPES: readonly FaultShape[] = FAULT_KINDS.flatMap((kind) => {
  const fitting = kind.parts.filter((part) => !isOfSecondHeater(part));
  const parts = kind.partImplied || fitting.length < 2 ? [undefined] : fitting;
  const choices = kind.value.of === "choice" ? kind.value.choices : [undefined];
  return parts.flatMap((part) => choices.map((choice) => ({ kind: kind.kind, part: part ?? fitting[0], choice })));
});

export function weekOf(campaignSeed: number, week: number): Week {
  const chance = chanceFrom(createRandom(campaignSeed * 1_000_003 + week));
  const shapes = shapesOf(campaignSeed, week);
  const box = boxOf(chance);
  for (let tried = 0; tried < TRIES; tried++) {
    const faults = shapes.flatMap((shape) => faultOf(shape, chance));
    const raw = { ...box, name: nameOf(week, campaignSeed, shapes), faults, hands: handsOf(chance, box, faults) };
    const { scenario } = checkScenario(raw, rehearsalSettings());
    if (scenario === null) continue;
    return { week, campaignSeed, seed: campaignSeed * 1000 + week, faults: shapes.map(shapeName), scenario };
  }
  throw new Error(`no good scenario for week ${week} of campaign ${campaignSeed}`);
}

export const shapeName = ({ kind, part, choice }: FaultShape): string =>
  [kind, FAULT_SHAPES.filter((other) => other.kind === kind).length > 1 ? part : undefined, choice]
    .filter((word) => word !== undefined)
    .join(" ");

const nameOf = (week: number, seed: number, shapes: readonly FaultShape[]): string =>
  `week ${week} of campaign ${seed}: ${shapes.map(shapeName).join(", ")}`;

/** One fault: all shapes in a shuffled order, one after the other. Two: any two different ones. */
function shapesOf(campaignSeed: number, week: number): FaultShape[] {
  const turn = Math.floor(week / TURN);
  const place = week % TURN;
  if (place < TURN - 1) {
    const order = shuffled(campaignSeed);
    return [order[(turn * (TURN - 1) + place) % order.length] as FaultShape];
  }
  const chance = chanceFrom(createRandom(campaignSeed * 2_000_003 + week));
  const first = chance.one(FAULT_SHAPES);
  const second = chance.one(FAULT_SHAPES.filter((shape) => shape !== first));
  return [first, second];
}

function shuffled(campaignSeed: number): readonly FaultShape[] {
  const chance = chanceFrom(createRandom(campaignSeed));
  const order = [...FAULT_SHAPES];
  for (let place = order.length - 1; place > 0; place--) {
    const other = Math.floor(chance.between(0, place + 1));
    [order[place], order[other]] = [order[other] as FaultShape, order[place] as FaultShape];
  }
  return order;
}

const WATER_C = 25.2;
/** The plant's own stirring of the air, and the surface of the default tank. */
const STIRRED = 1.2;
const SURFACE_M2 = 0.35;

/** Room, start, and what the keeper measured in the first weeks: the settings fit the box, as commissioning makes them. */
function boxOf(chance: Chance) {
  const room = {
    temperatureC: chance.between(18, 26),
    swingC: chance.between(0, 3),
    humidityPct: chance.between(35, 65),
  };
  const air = { celsius: room.temperatureC, humidity: room.humidityPct / 100 };
  const litres = evaporationLPerHM2(WATER_C, 35, air) * STIRRED * SURFACE_M2 * 24;
  const evaporationLPerDay = round(litres * chance.between(0.92, 1.08));
  const reservoirL = chance.of(0.3) ? 4 : 10;
  return {
    hours: WEEK_H,
    settings: {
      topOff: { evaporationLPerDay, dailyBudgetL: round(Math.max(1.5, 2 * evaporationLPerDay)), reservoirL },
      heat: { roomC: round(room.temperatureC) },
    },
    room,
    start: { salinity: chance.between(34, 36) },
  };
}

type Box = ReturnType<typeof boxOf>;

/** A keeper who fills up, is at home on most evenings, reads what is locked, and has hands in the tank now and then. */
function handsOf(chance: Chance, box: Box, faults: readonly RawFault[]): object[] {
  const hands: object[] = [...refills(chance, box), ...evenings(chance), ...holds(chance)];
  const colder = faults.find(({ kind }) => kind === "cold-water-change");
  if (colder !== undefined) hands.push(waterChange(chance, box, Math.min(WEEK_H - 1, colder.atH + 1)));
  if (chance.of(0.5)) hands.push(waterChange(chance, box, chance.between(6, 160)));
  return hands;
}

function refills(chance: Chance, { settings }: Box): object[] {
  const { reservoirL, evaporationLPerDay } = settings.topOff;
  const hands: object[] = [];
  let atH = 0;
  while (true) {
    atH = round(atH + chance.between(0.4, 0.75) * (reservoirL / evaporationLPerDay) * 24);
    if (atH >= WEEK_H) return hands;
    hands.push({ do: "refill", atH, told: !chance.of(0.1) });
  }
}

function evenings(chance: Chance): object[] {
  return [0, 1, 2, 3, 4, 5, 6].flatMap((day) => {
    const atH = round(day * 24 + chance.between(18, 22));
    const away = chance.of(0.12);
    const tests = chance.of(0.6);
    if (away) return [];
    const answers = [
      { do: "acknowledge", atH },
      { do: "clear", atH },
      { do: "end-hold", atH },
    ];
    return tests ? [{ do: "hand-test", atH: round(atH - 0.05) }, ...answers] : answers;
  });
}

function holds(chance: Chance): object[] {
  const hands: object[] = [];
  for (let left = Math.floor(chance.between(0, 4)); left > 0; left--) {
    const atH = chance.between(1, 160);
    const minutes = Math.round(chance.between(5, 90));
    hands.push({ do: "hold", atH, minutes, told: !chance.of(0.1) });
    if (chance.of(0.8)) hands.push({ do: "end-hold", atH: round(atH + minutes / 60), answer: "evaporation" });
  }
  return hands;
}

const waterChange = (chance: Chance, { start }: Box, atH: number): object => ({
  do: "water-change",
  atH,
  litres: chance.between(5, 25),
  salinity: round(start.salinity + chance.between(-0.5, 0.5)),
  told: !chance.of(0.1),
});

const round = (value: number): number => Math.round(value * 1000) / 1000;
