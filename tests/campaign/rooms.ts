import { OPTIONAL_PARTS, type OptionalPart } from "../../controller/rehearsal/fitting.ts";
import { boxSettings, evaporationInRoom, surfaceOf } from "./boxes.ts";
import type { Chance } from "./chance.ts";

/** Rooms and boxes by chance: what both campaigns draw their weeks from. */
export interface Drawn {
  readonly room: { readonly temperatureC: number; readonly swingC: number; readonly humidityPct: number };
  readonly start: { readonly salinity: number };
  /** As a scenario writes them. */
  readonly settings: { readonly without: readonly OptionalPart[] };
  readonly volumeL: number;
  readonly reservoirL: number;
  /** The most that may evaporate in a day, as who fills the reservoir sees it: with the fan, where there is one. */
  readonly mostLPerDay: number;
  readonly fan: boolean;
  /** How it is called in a table. */
  readonly words: string;
}

export interface Drawing {
  readonly coldestC: number;
  readonly warmestC: number;
  readonly swingMostK: number;
  /** How far what was commissioned may be off, as a share. */
  readonly commissionedWithin: number;
  /** Parts that must be fitted. */
  readonly needs: readonly string[];
  readonly needsFan: boolean;
}

/** The default tank as often as all others together. */
const DEFAULT_L = 140;
const ACCEPTED = {
  because: "A large reservoir, chosen by chance.",
  noSiphon: "air-gap",
  highFloatInSeries: true,
  displayGuard: "overflow",
} as const;

export function drawBox(chance: Chance, drawing: Drawing): Drawn {
  const volumeL = chance.of(0.5) ? DEFAULT_L : Math.round(chance.spread(40, 400));
  const salinity = chance.between(34, 36);
  const room = {
    temperatureC: chance.between(drawing.coldestC, drawing.warmestC),
    swingC: chance.between(0, drawing.swingMostK),
    humidityPct: chance.between(35, 65),
  };
  const evaporatesLPerDay = evaporationInRoom(surfaceOf(volumeL), room.temperatureC, room.humidityPct);
  const off = drawing.commissionedWithin;
  const box = boxSettings({
    volumeL,
    salinity,
    evaporationLPerDay: Math.max(0.05, evaporatesLPerDay * chance.between(1 - off, 1 + off)),
    reservoirDays: chance.between(3, 9),
    roomC: room.temperatureC,
  });
  const fan = fanOf(chance, drawing.needsFan);
  const heat = heatOf(chance, box.heat);
  const without = leftOut(chance, heat.thermometerSharesHeaterChamber ? drawing.needs : [...drawing.needs, FLOW]);
  const topOff = { ...box.topOff, ...(fan === null ? {} : withFan(box.topOff, fan)), largeReservoir: ACCEPTED };
  return {
    room,
    start: { salinity },
    settings: { ...box, targets: { salinity }, topOff, heat, without } as Drawn["settings"],
    volumeL,
    reservoirL: box.topOff.reservoirL,
    mostLPerDay: Math.max(evaporatesLPerDay, box.topOff.evaporationLPerDay) * (fan?.times ?? 1),
    fan: fan !== null,
    words: [`${volumeL} L`, ...(fan === null ? [] : ["fan"]), ...without.map((part) => `no ${part}`)].join(", "),
  };
}

const FLOW = "return-sensor";

interface DrawnFan {
  readonly aboveC: number;
  /** What evaporates while it blows, against still air. */
  readonly times: number;
}

const fanOf = (chance: Chance, needed: boolean): DrawnFan | null =>
  needed || chance.of(0.3) ? { aboveC: chance.between(25.5, 27), times: chance.between(1.5, 2.5) } : null;

/** The day's litres must cover what the fan takes, within what a settings file may ask for. */
function withFan(
  { evaporationLPerDay, dailyBudgetL }: { evaporationLPerDay: number; dailyBudgetL: number },
  fan: DrawnFan,
) {
  const blownLPerDay = round(evaporationLPerDay * fan.times);
  const most = Math.max(3, 5 * evaporationLPerDay);
  return {
    dailyBudgetL: round(Math.min(0.99 * most, Math.max(dailyBudgetL, 1.5 * blownLPerDay))),
    fan: { aboveC: fan.aboveC, evaporationLPerDay: blownLPerDay },
  };
}

/** One heater or two of half the power and a little more; a thermometer beside it in most. */
function heatOf(chance: Chance, heat: { readonly heaterW: number }) {
  const own = { thermometerSharesHeaterChamber: !chance.of(0.15) };
  if (!chance.of(0.15)) return { ...heat, ...own };
  const heaterW = Math.round(0.6 * heat.heaterW);
  return { ...heat, ...own, heaterW, secondHeater: { ...own, heaterW, heaterPlace: "pinned-chamber" } };
}

/** Half of all boxes have every part; the others lack some. Thermometer 1 or the conductivity probe stays. */
function leftOut(chance: Chance, needs: readonly string[]): OptionalPart[] {
  const whole = chance.of(0.5);
  const without = OPTIONAL_PARTS.filter((part) => chance.of(0.25) && !whole && !needs.includes(part));
  return without.includes("thermometer-1") ? without.filter((part) => part !== "conductivity-probe") : without;
}

const round = (value: number): number => Math.round(value * 1000) / 1000;
