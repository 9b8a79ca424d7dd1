import type { ContactPart, InputPart, OutputPart, ThermometerPart } from "../../../shared/contract/index.ts";
import type { HeaterSettings, Settings } from "../../../shared/settings/index.ts";
import { type Accounts, createAccounts } from "./accounts.ts";
import { type Board, createBoard } from "./board.ts";
import { type ConductivityProbe, createConductivityProbe } from "./conductivity-probe.ts";
import { type Contact, createContact } from "./contact.ts";
import { type ContactSensor, createContactSensor, type FloatMarks, type ReservoirMarks } from "./contact-sensor.ts";
import { createFan, type Fan } from "./fan.ts";
import { createFloor, type Floor } from "./floor.ts";
import { type Geometry, geometryOf } from "./geometry.ts";
import { createHeat, type Heat } from "./heat-balance.ts";
import { createHeater, type Heater } from "./heater.ts";
import type { Clogging } from "./levels.ts";
import { createMains, type Mains } from "./mains.ts";
import { createNitrogen, MATURE, type Nitrogen, type NitrogenStart } from "./nitrogen.ts";
import { createPlumbing, type Plumbing } from "./plumbing.ts";
import { lampInWaterW, reservoirMarks } from "./proportions.ts";
import { createRandom, type Random } from "./random.ts";
import { type Room, roomCelsius } from "./room.ts";
import { createSlosh, type Slosh } from "./slosh.ts";
import { createThermometer, type Thermometer } from "./thermometer.ts";
import { createWater, type Water } from "./water.ts";

/** What a scenario may choose, and what only a check of a worked figure needs to. */
export interface TankOptions {
  readonly room?: { readonly temperatureC: number; readonly swingC: number; readonly humidityPct: number };
  readonly start?: { readonly temperatureC: number; readonly salinity: number; readonly reservoirL: number };
  /** Hour of the local day at which it begins. */
  readonly startH?: number;
  /** Heat of the lamp in the water. */
  readonly lampW?: number;
  /** Left out = a box that has run for a year. */
  readonly nitrogen?: NitrogenStart;
  /** Inputs that this box is built without. */
  readonly without?: readonly InputPart[];
  /** Evaporation against Shah's still air. */
  readonly stirred?: number;
}

export interface ReturnPump {
  stopped: boolean;
  /** Switched off by a hand or a timer for so long yet. */
  restLeftS: number;
  running: boolean;
  onForS: number;
  readonly watts: number;
}

/** A bucket of the keeper's: negative litres go out, positive come in, one job after the other. */
export interface HandJob {
  litresLeft: number;
  readonly outwards: boolean;
  readonly salinity: number;
  readonly celsius: number;
}

export interface TankState {
  readonly geometry: Geometry;
  readonly random: Random;
  /** Simulated time since the local midnight before the start. */
  nowMs: number;
  readonly water: Water;
  readonly heat: Heat;
  readonly nitrogen: Nitrogen;
  readonly clogging: Clogging;
  readonly slosh: Slosh;
  readonly room: Room;
  roomC: number;
  lampOn: boolean;
  readonly lampW: number;
  readonly stirred: number;
  /** What really evaporates beside what the room alone would make of it. */
  evaporationFactor: number;
  readonly fan: Fan | null;
  evaporationLPerS: number;
  readonly mains: Mains;
  readonly floor: Floor;
  readonly plumbing: Plumbing;
  readonly heaters: { readonly "heater-1": Heater; readonly "heater-2": Heater | null };
  readonly returnPump: ReturnPump;
  readonly contacts: Record<OutputPart, Contact>;
  readonly sensors: Record<ContactPart, ContactSensor>;
  readonly marks: Record<"working-float" | "high-float" | "low-float", FloatMarks>;
  readonly reservoirMarks: ReservoirMarks;
  readonly thermometers: Record<ThermometerPart, Thermometer>;
  readonly probe: ConductivityProbe;
  readonly board: Board;
  /** Inputs that this box is built without. */
  readonly without: ReadonlySet<InputPart>;
  leakLPerH: number;
  saltLossPercentPerDay: number;
  /** The next water change comes this much colder than the tank. */
  nextChangeColderK: number;
  readonly jobs: HandJob[];
  readonly accounts: Accounts;
  /** Time since the laws of seconds were last applied. */
  secondMs: number;
  seconds: number;
  readonly extremes: Extremes;
}

export interface Extremes {
  peakLevelMm: number;
  salinityMin: number;
  salinityMax: number;
  temperatureMinC: number;
  temperatureMaxC: number;
}

/** The falling water of weir and return stirs the air: between Shah (still) and Penman's aerodynamic form. */
const STIRRED = 1.2;
/** Share of the settings' loss per kelvin that is not evaporation: 11 of 15 W/K (trade facts §3). */
const SENSIBLE_SHARE = 11 / 15;
const HYSTERESIS_MM = 5;
/** A heater in the last chamber comes out of the water when it has fallen this far below the low float. */
const HEATER_UNDER_LOW_FLOAT_MM = 20;

const heaterIn = ({ heaterW, heaterPlace }: HeaterSettings, { targets, tank }: Settings): Heater =>
  createHeater(
    heaterW,
    targets.temperatureC,
    heaterPlace === "last-chamber" ? tank.lowFloatMm - HEATER_UNDER_LOW_FLOAT_MM : null,
  );

export function createTankState(seed: number, settings: Settings, options: TankOptions): TankState {
  const random = createRandom(seed);
  const { tank, targets, topOff, heat } = settings;
  const start = options.start ?? {
    temperatureC: targets.temperatureC,
    salinity: targets.salinity,
    reservoirL: topOff.reservoirL,
  };
  const geometry = geometryOf(tank);
  const given = options.room ?? { temperatureC: 22, swingC: 2, humidityPct: 50 };
  const room: Room = {
    meanC: given.temperatureC,
    swingC: given.swingC,
    humidity: given.humidityPct / 100,
    overrideC: null,
  };
  const startH = options.startH ?? 0;
  const flowLPerMin = topOff.provenFlowLPerMin * (1 + 0.02 * (2 * random.uniform() - 1));
  return {
    geometry,
    random,
    nowMs: startH * 3_600_000,
    water: createWater(geometry, tank.netVolumeL, start.salinity),
    heat: createHeat(tank.netVolumeL, start.temperatureC, heat.lossWPerK * SENSIBLE_SHARE),
    nitrogen: createNitrogen(tank.netVolumeL, options.nitrogen ?? MATURE),
    clogging: { weir: 0, chamber: 0 },
    slosh: createSlosh(),
    room,
    roomC: roomCelsius(room, startH),
    lampOn: false,
    lampW: options.lampW ?? lampInWaterW(tank),
    stirred: options.stirred ?? STIRRED,
    evaporationFactor: 1,
    fan: createFan(topOff),
    evaporationLPerS: 0,
    mains: createMains(),
    floor: createFloor(),
    plumbing: createPlumbing({
      flowLPerMin,
      coastL: topOff.coastMl / 1000,
      fullL: topOff.reservoirL,
      reservoirL: start.reservoirL,
    }),
    heaters: {
      "heater-1": heaterIn(heat, settings),
      "heater-2": heat.secondHeater === null ? null : heaterIn(heat.secondHeater, settings),
    },
    returnPump: { stopped: false, restLeftS: 0, running: true, onForS: 86_400, watts: heat.returnPumpW },
    contacts: createContacts(),
    sensors: createSensors(start.reservoirL > reservoirMarks(topOff).dryAtL),
    marks: createMarks(tank),
    reservoirMarks: reservoirMarks(topOff),
    thermometers: createThermometers(random, start.temperatureC, roomCelsius(room, startH)),
    probe: createConductivityProbe(1 + 0.005 * (2 * random.uniform() - 1)),
    board: createBoard(),
    without: new Set(options.without),
    leakLPerH: 0,
    saltLossPercentPerDay: 0,
    nextChangeColderK: 0,
    jobs: [],
    accounts: createAccounts(),
    secondMs: 0,
    seconds: 0,
    extremes: createExtremes(start),
  };
}

const createContacts = (): TankState["contacts"] => ({
  "top-off-pump": createContact(),
  "heater-1": createContact(),
  "heater-2": createContact(),
  "water-guard": createContact(),
  "heat-guard": createContact(),
  "heat-guard-2": createContact(),
});

const createExtremes = ({ salinity, temperatureC }: NonNullable<TankOptions["start"]>): Extremes => ({
  peakLevelMm: 0,
  salinityMin: salinity,
  salinityMax: salinity,
  temperatureMinC: temperatureC,
  temperatureMaxC: temperatureC,
});

const createSensors = (reservoirHasWater: boolean): TankState["sensors"] => ({
  "working-float": createContactSensor(true),
  "high-float": createContactSensor(false),
  "low-float": createContactSensor(true),
  "reservoir-float": createContactSensor(reservoirHasWater),
  "floor-sensor": createContactSensor(false),
  "mains-sensor": createContactSensor(true),
  "return-sensor": createContactSensor(true),
});

const createMarks = (tank: Settings["tank"]): TankState["marks"] => ({
  "working-float": { wetAtMm: 0, dryAtMm: -tank.floatHysteresisMm },
  "high-float": { wetAtMm: tank.highFloatMm, dryAtMm: tank.highFloatMm - HYSTERESIS_MM },
  "low-float": { wetAtMm: tank.lowFloatMm + HYSTERESIS_MM, dryAtMm: tank.lowFloatMm },
});

/** Proving removes the offsets between the thermometers but for a tenth of a kelvin. */
const createThermometers = (random: Random, waterC: number, roomC: number): TankState["thermometers"] => ({
  "thermometer-1": createThermometer(waterC, 0.1 * (2 * random.uniform() - 1), "water"),
  "thermometer-2": createThermometer(waterC, 0.1 * (2 * random.uniform() - 1), "water"),
  "room-thermometer": createThermometer(roomC, 0.3 * (2 * random.uniform() - 1), "air"),
});
