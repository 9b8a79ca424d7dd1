import { z } from "zod";
import { CONTACT_PARTS, OUTPUT_PARTS, THERMOMETER_PARTS } from "../contract/parts.ts";

/** Which wire goes where. A name in `boards` is what the parts below refer to. */
const serialPort = z.string().min(1).describe("Path of the serial port, such as /dev/ttyUSB0");

const firmataBoard = z.strictObject({
  kind: z.literal("firmata"),
  port: serialPort,
  baud: z.number().int().min(9600).max(1_000_000).default(57_600),
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

export const boardsSchema = z
  .record(z.string().regex(/^[a-z][a-z0-9-]{0,30}$/), z.discriminatedUnion("kind", [firmataBoard, modbusLine]))
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

/**
 * A contact between a pin and ground, with the board's pull-up. An open wire reads as an open contact: choose the
 * contact so that this is the safe side, as the wiring notes show for each part.
 */
const contactWiring = z.strictObject({
  board: z.string(),
  pin: z.number().int().min(2).max(69),
  closedWhen: z
    .enum(["on", "off"])
    .describe("`on` is wet for floats and the floor sensor, power for the mains sensor, running for the return pump"),
});

const thermometerWiring = z.strictObject({ board: z.string(), slave, temperatureC: register });

const conductivityWiring = z.strictObject({
  board: z.string(),
  slave,
  conductivityMsPerCm: register,
  temperatureC: register.nullable().default(null),
  compensation: z
    .union([
      z.literal("none"),
      z.strictObject({
        percentPerK: z.number().min(0).max(5),
        referenceC: z.number().min(15).max(30),
      }),
    ])
    .describe("What the instrument does to the value; undone before salinity is reckoned"),
});

const outputWiring = z.strictObject({
  board: z.string(),
  pin: z.number().int().min(2).max(69),
  energisedLevel: z.enum(["high", "low"]).describe("Level of the pin that closes the contact"),
});

const partial = <const Keys extends readonly string[], Schema extends z.ZodType>(keys: Keys, schema: Schema) =>
  Object.fromEntries(keys.map((key) => [key, schema.optional()])) as Record<Keys[number], z.ZodOptional<Schema>>;

export const inputsSchema = z
  .strictObject({
    ...partial(CONTACT_PARTS, contactWiring),
    ...partial(THERMOMETER_PARTS, thermometerWiring),
    "conductivity-probe": conductivityWiring.optional(),
  })
  .prefault({});

export const outputsSchema = z.strictObject(partial(OUTPUT_PARTS, outputWiring)).prefault({});

export type Boards = z.infer<typeof boardsSchema>;
export type FirmataBoard = z.infer<typeof firmataBoard>;
export type ModbusLine = z.infer<typeof modbusLine>;
export type Register = z.infer<typeof register>;
export type ContactWiring = z.infer<typeof contactWiring>;
export type ThermometerWiring = z.infer<typeof thermometerWiring>;
export type ConductivityWiring = z.infer<typeof conductivityWiring>;
export type OutputWiring = z.infer<typeof outputWiring>;
export type InputsWiring = z.infer<typeof inputsSchema>;
export type OutputsWiring = z.infer<typeof outputsSchema>;
