import { z } from "zod";
import { CONTACT_PARTS, OUTPUT_PARTS, THERMOMETER_PARTS } from "../contract/parts.ts";

/** Which wire goes where. A name in `boards` is what the parts below refer to. */
const serialPort = z.string().min(1).describe("Path of the serial port, such as /dev/ttyUSB0");

const firmataBoard = z.strictObject({
  kind: z.literal("firmata"),
  port: serialPort,
  baud: z.number().int().min(9600).max(1_000_000).default(57_600),
  firmware: z
    .enum(["standard", "guard"])
    .default("standard")
    .describe("`guard` is the firmware of the wiring notes: its outputs rest as soon as no scan feeds it"),
});

const modbusLine = z.strictObject({
  kind: z.literal("modbus"),
  port: serialPort,
  baud: z.number().int().min(1200).max(115_200).default(9_600),
  parity: z.enum(["none", "even", "odd"]).default("none"),
  stopBits: z.union([z.literal(1), z.literal(2)]).default(1),
  pollMs: z.number().int().min(100).max(60_000).default(1000).describe("Time between two polls of a slave"),
  timeoutMs: z.number().int().min(20).max(5000).default(300).describe("How long an answer may take"),
});

/** DS18B20 thermometers as the kernel shows them. */
const oneWireBus = z.strictObject({
  kind: z.literal("one-wire"),
  folder: z.string().min(1).default("/sys/bus/w1/devices").describe("Where the kernel shows the bus's devices"),
  pollMs: z.number().int().min(1000).max(60_000).default(1000).describe("Time between two conversions"),
});

/** An instrument that writes its values as text, a line for each reply. */
const textLine = z.strictObject({
  kind: z.literal("text"),
  port: serialPort,
  baud: z.number().int().min(300).max(1_000_000).default(9_600),
  parity: z.enum(["none", "even", "odd"]).default("none"),
  stopBits: z.union([z.literal(1), z.literal(2)]).default(1),
  request: z
    .string()
    .min(1)
    .max(80)
    .nullable()
    .default(null)
    .describe("What is sent to get a reply, with its own \\r or \\n; null where the instrument talks by itself"),
  pollMs: z.number().int().min(100).max(60_000).default(1000).describe("Time between two requests"),
  timeoutMs: z.number().int().min(20).max(5000).default(1000).describe("How long a reply may take"),
  pattern: z
    .string()
    .min(1)
    .max(300)
    .refine(hasNamedGroups, "a regular expression with a named group for each value, such as ^(?<ec>[\\d.]+)$")
    .describe("What a whole line of the reply looks like, with a named group for each value"),
});

function hasNamedGroups(pattern: string): boolean {
  try {
    // The alternative of nothing makes every pattern match, so that its groups can be asked for.
    return new RegExp(`${pattern}|`, "u").exec("")?.groups !== undefined;
  } catch {
    return false;
  }
}

export const boardsSchema = z
  .record(
    z.string().regex(/^[a-z][a-z0-9-]{0,30}$/),
    z.discriminatedUnion("kind", [firmataBoard, modbusLine, oneWireBus, textLine]),
  )
  .default({});

/** A number in a slave's registers: `value = raw × scale + offset`. */
const register = z.strictObject({
  table: z.enum(["holding", "input"]).default("input"),
  address: z.number().int().min(0).max(65_535),
  type: z.enum(["int16", "uint16", "int32", "uint32", "float32"]),
  wordOrder: z.enum(["high-first", "low-first"]).default("high-first"),
  scale: z.number().default(1),
  offset: z.number().default(0),
});

const slave = z.number().int().min(1).max(247).describe("Address of the slave on the line");

const pin = z.number().int().min(2).max(69);

/** A board reads and reports its pins eight at a time: these are one port of it. */
export const portOfPin = (number: number): number => Math.floor(number / 8);

/**
 * A contact between a pin and ground, with the board's pull-up. An open wire reads as an open contact: choose the
 * contact so that this is the safe side, as the wiring notes show for each part.
 */
const contactWiring = z.strictObject({
  board: z.string(),
  pin,
  closedWhen: z
    .enum(["on", "off"])
    .describe("`on` is wet for floats and the floor sensor, power for the mains sensor, running for the return pump"),
  supervised: z
    .strictObject({
      pullUpOhms: ohms("Resistor from the pin to the board's supply"),
      closedOhms: ohms("Pin to ground with the contact closed: the resistor in series with it"),
      openOhms: ohms("Pin to ground with the contact open: that one and the resistor across the contact"),
    })
    .optional()
    .describe("Resistors at the end of the line, on an analog pin: then a broken and a shorted wire are both known"),
});

function ohms(words: string) {
  return z.number().min(100).max(1_000_000).describe(words);
}

const buttonWiring = z.strictObject({ board: z.string(), pin });

const temperatureUnit = z.enum(["°C", "°F", "K"]);
const group = z.string().regex(/^[A-Za-z]\w*$/, "the name of a group in the line's pattern");

const registerThermometer = z.strictObject({ board: z.string(), slave, temperatureC: register });
const oneWireThermometer = z.strictObject({
  board: z.string(),
  device: z.string().regex(/^28-[0-9a-f]{12}$/, "a DS18B20's folder, such as 28-0316a2795caa"),
});
const thermistor = z.strictObject({
  board: z.string(),
  pin,
  thermistor: z
    .strictObject({
      seriesOhms: ohms("Resistor from the pin to the board's supply"),
      ohmsAt25C: ohms("The thermistor's resistance at 25 °C"),
      betaK: z.number().min(2000).max(6000).describe("Its constant between 25 °C and the water's temperature"),
    })
    .describe("An NTC between the pin and ground"),
});
const textThermometer = z.strictObject({ board: z.string(), text: z.strictObject({ group, unit: temperatureUnit }) });

const thermometerWiring = z.union([registerThermometer, oneWireThermometer, thermistor, textThermometer]);

const compensation = z
  .union([
    z.literal("none"),
    z.strictObject({
      percentPerK: z.number().min(0).max(5),
      referenceC: z.number().min(15).max(30),
    }),
  ])
  .describe("What the instrument does to the value; undone before salinity is reckoned");

const registerConductivity = z.strictObject({
  board: z.string(),
  slave,
  conductivityMsPerCm: register,
  temperatureC: register.nullable().default(null),
  compensation,
});
const textConductivity = z.strictObject({
  board: z.string(),
  text: z.strictObject({
    group,
    unit: z.enum(["mS/cm", "µS/cm", "S/m", "mg/L TDS"]),
    tdsFactor: z.number().min(0.4).max(1).optional().describe("By which the instrument makes mg/L out of µS/cm"),
    temperature: z.strictObject({ group, unit: temperatureUnit }).nullable().default(null),
  }),
  compensation,
});
const conductivityWiring = z.union([registerConductivity, textConductivity]);

const outputWiring = z.strictObject({
  board: z.string(),
  pin,
  energisedLevel: z.enum(["high", "low"]).describe("Level of the pin that closes the contact"),
  sensed: z
    .strictObject({
      board: z.string(),
      pin,
      closedWhen: z.enum(["on", "off"]).describe("`on` where the sensor's contact closes when there is voltage"),
    })
    .optional()
    .describe("Voltage or current sensed behind the contact, by a sensor whose own contact is on a pin"),
});

const partial = <const Keys extends readonly string[], Schema extends z.ZodType>(keys: Keys, schema: Schema) =>
  Object.fromEntries(keys.map((key) => [key, schema.optional()])) as Record<Keys[number], z.ZodOptional<Schema>>;

export const inputsSchema = z
  .strictObject({
    ...partial(CONTACT_PARTS, contactWiring),
    ...partial(THERMOMETER_PARTS, thermometerWiring),
    "conductivity-probe": conductivityWiring.optional(),
    "source-probe": conductivityWiring.optional().describe("A second cell, in the water that fills the reservoir"),
    "tank-button": buttonWiring
      .optional()
      .describe("A push button at the tank that closes to ground while it is pressed"),
  })
  .prefault({});

export const outputsSchema = z.strictObject(partial(OUTPUT_PARTS, outputWiring)).prefault({});

export type Boards = z.infer<typeof boardsSchema>;
export type FirmataBoard = z.infer<typeof firmataBoard>;
export type ModbusLine = z.infer<typeof modbusLine>;
export type OneWireBus = z.infer<typeof oneWireBus>;
export type TextLine = z.infer<typeof textLine>;
export type TemperatureUnit = z.infer<typeof temperatureUnit>;
export type TextConductivity = z.infer<typeof textConductivity>;
export type Thermistor = z.infer<typeof thermistor>["thermistor"];
export type Supervision = NonNullable<ContactWiring["supervised"]>;
export type Compensation = z.infer<typeof compensation>;
export type Register = z.infer<typeof register>;
export type ContactWiring = z.infer<typeof contactWiring>;
export type ThermometerWiring = z.infer<typeof thermometerWiring>;
export type ConductivityWiring = z.infer<typeof conductivityWiring>;
export type OutputWiring = z.infer<typeof outputWiring>;
export type InputsWiring = z.infer<typeof inputsSchema>;
export type OutputsWiring = z.infer<typeof outputsSchema>;
