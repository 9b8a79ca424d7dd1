import { z } from "zod";
import type { HeaterPart } from "../contract/parts.ts";
import { LARGEST_HEATER_W } from "./limits.ts";
import { boardsSchema, inputsSchema, outputsSchema } from "./wiring.ts";

/**
 * The settings file. Every number carries its unit in its name and its bounds here; unknown keys are errors; what a
 * keeper cannot choose sensibly is no setting but a constant in `limits.ts`.
 */
const between = (low: number, high: number, words: string) => z.number().min(low).max(high).describe(words);

const tankSchema = z
  .strictObject({
    id: z
      .string()
      .regex(/^[a-z0-9](?:[a-z0-9-]{0,30}[a-z0-9])?$/, "letters a–z, digits and hyphens, at most 32")
      .default("reef-box")
      .describe("Name of the tank in topics"),
    name: z.string().min(1).max(60).default("Reef box").describe("Name of the tank for people"),
    netVolumeL: between(20, 2000, "Water in display and rear chambers").default(140),
    surfaceM2: between(0.02, 10, "Open surface of all chambers").default(0.35),
    lastChamberM2: between(0.002, 1, "Surface of the last chamber, where all evaporation shows").default(0.02),
    floatHysteresisMm: between(1, 50, "Between the working float's low and full").default(5),
    highFloatMm: between(5, 300, "High float above the working mark").default(70),
    lowFloatMm: between(-300, -5, "Low float, below the working mark").default(-60),
    pumpOffLevelMm: between(0, 300, "Level that the chamber reaches when the return pump stops").default(60),
    freeVolumePumpOffL: between(0, 500, "Free volume up to the rim with the return pump off").default(10.5),
    freeVolumeWeirBlockedL: between(
      0,
      500,
      "Free volume of the display with the weir blocked, less what the return pump can move before it sucks air",
    ).default(4.4),
  })
  .prefault({});

const targetsSchema = z
  .strictObject({
    temperatureC: between(18, 30, "Setpoint of the heat").default(25),
    salinity: between(28, 40, "Practical salinity to hold").default(35),
  })
  .prefault({});

const fanSchema = z
  .strictObject({
    aboveC: between(18, 34, "The fan's own thermostat: it blows while the water is warmer than this"),
    evaporationLPerDay: between(0.05, 100, "Evaporation measured with the fan on all day"),
  })
  .describe("A fan that blows over the water in summer and cools it by evaporation; null = none");

/** Each answers for one way in which a large reservoir could still run into a box that cannot take it. */
const largeReservoirSchema = z
  .strictObject({
    because: z.string().min(10).max(300).describe("In your own words: why so much, and how long it shall last"),
    noSiphon: z
      .enum(["air-gap", "pump-that-blocks"])
      .describe("The tube ends in air above the highest level, or the pump lets nothing through while it stands still"),
    highFloatInSeries: z
      .literal(true)
      .describe("The high float's own contact stands in the supply of the pump and was seen to stop it"),
    displayGuard: z
      .enum(["display-float", "overflow", "no-weir"])
      .describe(
        "What stops or carries off water that a clogged weir keeps in the display; `no-weir`: nothing can clog",
      ),
  })
  .describe(
    "Why a reservoir larger than the box can take is harmless here; recorded and shown; null = it is not larger",
  );

const topOffSchema = z
  .strictObject({
    provenFlowLPerMin: between(0.05, 10, "Flow of the top-off pump, measured into a jug").default(1.5),
    coastMl: between(0, 200, "What still runs after the pump stops").default(20),
    sliceMl: between(20, 250, "Most that is poured at once").default(250),
    confirmS: between(5, 600, "How long the working float must read low").default(30),
    settleS: between(10, 900, "Between slices").default(60),
    restS: between(30, 3600, "Between pours").default(120),
    evaporationLPerDay: between(0.05, 50, "Evaporation measured in the first weeks").default(1.5),
    lowestEvaporationShare: between(0.5, 1, "Share of it that is credible on the dampest day").default(0.8),
    fan: fanSchema.nullable().default(null),
    dailyBudgetL: between(0.1, 100, "Litres that may be poured in a day").default(3),
    allowedDilution: between(0.2, 3, "Salinity by which unexplained pours may dilute the tank").default(2),
    reservoirL: between(0.5, 200, "Litres in a full reservoir").default(4),
    largeReservoir: largeReservoirSchema.nullable().default(null),
    clearingAFloodFromADistance: z
      .boolean()
      .default(false)
      .describe("Lets high float, wet floor and cut-out be cleared by somebody who cannot see the water"),
  })
  .prefault({});

const heaterFields = {
  heaterW: between(10, LARGEST_HEATER_W, "Power of the heater").default(200),
  heaterPlace: z
    .enum(["pinned-chamber", "last-chamber"])
    .default("pinned-chamber")
    .describe("Whether the level around the heater can fall"),
  thermometerSharesHeaterChamber: z
    .boolean()
    .default(true)
    .describe("Whether a thermometer hangs in the chamber of the heater"),
};

const heatSchema = z
  .strictObject({
    deadbandK: between(0.1, 2, "Whole width around the setpoint").default(0.3),
    ...heaterFields,
    lossWPerK: between(1, 200, "Heat that the tank loses per kelvin above the room").default(15),
    roomC: between(0, 40, "Usual room temperature, where no room thermometer is fitted").default(22),
    coldestRoomC: between(-10, 30, "Coldest that the room becomes, on a winter night").default(18),
    returnPumpW: between(0, 500, "Power of the return pump: all of it becomes heat in the water").default(25),
    cutOutC: between(25, 34, "The heater is cut at this temperature of the warmest thermometer").default(28.5),
    secondHeater: z
      .strictObject(heaterFields)
      .nullable()
      .default(null)
      .describe("A second one: the two take turns, and heat together when one of them is not enough"),
  })
  .prefault({});

const alarmsSchema = z
  .strictObject({
    temperatureBandC: z.tuple([z.number().min(10), z.number().max(35)]).default([23, 28]),
    temperatureLimitsC: z.tuple([z.number().min(10), z.number().max(35)]).default([20, 30]),
    salinityWithin: between(0.5, 5, "Warns beyond the target by this much").default(1),
    salinityLimit: between(0.5, 8, "Alarms beyond the target by this much").default(2),
    sourceTdsMgPerL: between(0.5, 200, "Warns when the source water holds this much dissolved").default(1),
  })
  .prefault({});

const conductivitySchema = z
  .strictObject({
    cellConstantPercent: between(0, 10, "Half-width of the doubt in the cell constant").default(1),
    temperatureK: between(0.01, 2, "Half-width of the doubt in the probe's temperature").default(0.5),
    driftPercentPerMonth: between(0, 10, "Fouling since the last calibration").default(1),
    calibratedDaysAgo: between(0, 3650, "Age of the calibration when this file was written").default(0),
  })
  .prefault({});

const unitsSchema = z
  .strictObject({
    temperature: z.enum(["°C", "°F"]).default("°C"),
    volume: z.enum(["L", "US gal", "UK gal"]).default("L"),
    length: z.enum(["mm", "in"]).default("mm"),
  })
  .prefault({})
  .describe("In which units the keeper is spoken with; this file stays in °C, L and mm");

/** The format of settings files. */
export const SETTINGS_VERSION = 1;

export const settingsSchema = z
  .strictObject({
    version: z.literal(SETTINGS_VERSION).default(SETTINGS_VERSION),
    scanMs: z.number().int().min(50).max(400).default(250).describe("Time between two scans"),
    units: unitsSchema,
    tank: tankSchema,
    targets: targetsSchema,
    topOff: topOffSchema,
    heat: heatSchema,
    alarms: alarmsSchema,
    conductivity: conductivitySchema,
    boards: boardsSchema,
    inputs: inputsSchema,
    outputs: outputsSchema,
    bench: z
      .strictObject({
        waitsDividedBy: between(1, 100, "Shortens every wait, to try wiring on a workbench; 1 above water").default(1),
        shorterWaitsAccepted: z
          .string()
          .min(10)
          .nullable()
          .default(null)
          .describe("In your own words: why nothing that these outputs switch is near water"),
      })
      .prefault({}),
    independentGuard: z
      .string()
      .min(10)
      .nullable()
      .default(null)
      .describe("In your own words: what opens pump and heater when this computer dies, if the board does not"),
    attendedMinutes: z
      .number()
      .int()
      .min(10)
      .max(240)
      .nullable()
      .default(null)
      .describe("To try things out: somebody stays beside the box for so long after each start, then all goes off"),
  })
  .prefault({});

export type Settings = z.infer<typeof settingsSchema>;
/** As a file may have it: what is left out has its default. */
export type SettingsFile = NonNullable<z.input<typeof settingsSchema>>;
export type LargeReservoir = NonNullable<Settings["topOff"]["largeReservoir"]>;

/** What the settings say of one heater. */
export type HeaterSettings = NonNullable<Settings["heat"]["secondHeater"]>;

/** Null = this box has none. */
export const heaterOf = ({ heat }: Settings, heater: HeaterPart): HeaterSettings | null =>
  heater === "heater-1" ? heat : heat.secondHeater;
