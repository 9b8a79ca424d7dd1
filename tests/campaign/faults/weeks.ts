import { FAULT_KINDS, isOfFan, isOfSecondHeater } from "../../../controller/rehearsal/faults/table.ts";
import { checkScenario, type Scenario } from "../../../controller/rehearsal/index.ts";
import { createRandom } from "../../../controller/rehearsal/plant/random.ts";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { type Chance, chanceFrom } from "../chance.ts";
import { type Drawn, drawBox } from "../rooms.ts";
import { handsOf } from "./keeper.ts";
import { type FaultShape, faultOf } from "./shapes.ts";

/** Seeded weeks on the simulated tank: a room, a box, a keeper, and one or two things that go wrong. */
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
  for (let tried = 0; tried < TRIES; tried++) {
    const { scenario } = checkScenario(rawWeek(campaignSeed, week, shapes, chance), rehearsalSettings());
    if (scenario === null) continue;
    return { week, campaignSeed, seed: campaignSeed * 1000 + week, faults: shapes.map(shapeName), scenario };
  }
  throw new Error(`no good scenario for week ${week} of campaign ${campaignSeed}`);
}

/** A keeper measures what evaporates in a week of their own: within two fifths. */
const COMMISSIONED_WITHIN = 0.4;

function rawWeek(campaignSeed: number, week: number, shapes: readonly FaultShape[], chance: Chance): object {
  const box: Drawn = drawBox(chance, {
    coldestC: 18,
    warmestC: 26,
    swingMostK: 3,
    commissionedWithin: COMMISSIONED_WITHIN,
    // What breaks is there to break.
    needs: shapes.flatMap(({ part }) => part ?? []),
    needsFan: shapes.some(({ kind }) => isOfFan(kind)),
  });
  const faults = shapes.flatMap((shape) => faultOf(shape, chance));
  const { room, start, settings } = box;
  const hands = handsOf(chance, box, faults, WEEK_H);
  return { name: nameOf(week, campaignSeed, shapes), hours: WEEK_H, room, start, settings, faults, hands };
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
