import { afterAll, beforeAll, beforeEach, expect, it } from "vitest";
import { openModbusLine, type Question, type RegisterLine } from "../../controller/boards/modbus.ts";
import { floatWords, MODBUS_SLAVE_TOOLS, type ModbusSlaves, startModbusSlaves } from "../system/rig/modbus-slave.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause, until } from "../system/rig/until.ts";

const CONDUCTIVITY: Question = { slave: 1, table: "input", address: 10, count: 2 };
const WATER: Question = { slave: 1, table: "input", address: 12, count: 2 };
const ROOM: Question = { slave: 2, table: "holding", address: 0, count: 1 };
const REFUSED: Question = { slave: 2, table: "holding", address: 5000, count: 1 };
const ABSENT: Question = { slave: 9, table: "input", address: 0, count: 1 };
const nowMs = () => performance.now();

const settings = (port: string) =>
  ({ kind: "modbus", port, baud: 9600, parity: "none", stopBits: 1, pollMs: 100, timeoutMs: 100 }) as const;

describeWith(MODBUS_SLAVE_TOOLS, "a Modbus line with slaves that are not ours", () => {
  let slaves: ModbusSlaves;
  let line: RegisterLine;
  const faultOf = (question: Question) => line.words(question).fault;
  const well = () => [CONDUCTIVITY, WATER, ROOM].every((question) => faultOf(question) === null);

  beforeAll(async () => {
    slaves = await startModbusSlaves(1, 2);
    await slaves.set(1, "input", 10, floatWords(53.1));
    await slaves.set(1, "input", 12, floatWords(25.2));
    await slaves.set(2, "holding", 0, [2210]);
    line = await openModbusLine("probes", settings(slaves.path), [CONDUCTIVITY, WATER, ROOM, REFUSED], nowMs);
  });

  beforeEach(async () => {
    slaves.cable("whole");
    await until("everything answers", well);
  });

  afterAll(async () => {
    await line.close();
    await slaves.stop();
  });

  it("input and holding registers of two slaves: read as set", () => {
    expect(line.words(CONDUCTIVITY).value).toEqual(floatWords(53.1));
    expect(line.words(WATER).value).toEqual(floatWords(25.2));
    expect(line.words(ROOM).value).toEqual([2210]);
  });

  it("one register changed: its new value; the other: three more samples of the old one", async () => {
    const { sample } = line.words(WATER);
    await slaves.set(1, "input", 10, floatWords(50));
    await until("the new value", () => line.words(CONDUCTIVITY).value?.[0] === floatWords(50)[0]);
    await until("more samples", () => line.words(WATER).sample >= sample + 3);
    expect(line.words(WATER).value).toEqual(floatWords(25.2));
  });

  it("register refused: garbled, told with the exception, others read", () => {
    expect(faultOf(REFUSED)).toBe("garbled");
    expect(line.describe().join(" ")).toMatch(/slave 2: refuses to read its registers \(Modbus exception 2/);
  });

  it.each(["truncated", "corrupted", "noise"] as const)("%s answer: garbled; whole again: read", async (cable) => {
    slaves.cable(cable);
    await until("garbled", () => faultOf(CONDUCTIVITY) === "garbled" && faultOf(ROOM) === "garbled");
    expect(line.words(CONDUCTIVITY).value).toBeNull();
    expect(line.describe().join(" ")).toMatch(/slave 1: answers with broken bytes/);
    slaves.cable("whole");
    await until("well again", well);
    expect(line.words(CONDUCTIVITY).value).toHaveLength(2);
  });

  it.each([
    ["collided", /slave 1: answers with broken bytes; .* no two slaves have this address/],
    ["twice", /slave 1: two answers came to one question: two slaves have this address/],
  ] as const)("two slaves with one address, answers come %s: garbled, never a value, told", async (cable, words) => {
    slaves.cable(cable);
    await until("garbled", () => [CONDUCTIVITY, WATER, ROOM].every((question) => faultOf(question) === "garbled"));
    await until("it says so", () => words.test(line.describe().join(" ")));
    const seen = new Set<string>();
    for (let look = 0; look < 100; look += 1) {
      for (const question of [CONDUCTIVITY, WATER, ROOM]) seen.add(String(line.words(question).value));
      await pause(5);
    }
    expect([...seen]).toEqual(["null"]);
  });

  it("silent: no-answer, age and sample kept; whole again: read", async () => {
    slaves.cable("silent");
    await until("no answer", () => faultOf(CONDUCTIVITY) === "no-answer" && faultOf(WATER) === "no-answer");
    const { atMs, sample } = line.words(WATER);
    await pause(500);
    expect(line.words(WATER)).toMatchObject({ fault: "no-answer", atMs, sample });
    slaves.cable("whole");
    await until("well again", well);
  });

  it("answers 130 ms late, 100 allowed: never taken for the next question's", async () => {
    slaves.cable({ lateMs: 130 });
    const seen = new Set<string>();
    for (let look = 0; look < 300; look += 1) {
      const words = line.words(WATER).value;
      if (words) seen.add(String(words));
      await pause(5);
    }
    expect([...seen]).toEqual([String(floatWords(25.2))]);
  });

  it("1 s of four questions a round every 100 ms: 8 to 44 asked", async () => {
    const before = slaves.asked;
    await pause(1000);
    // Four questions a round, a round at least every 100 ms: a line that asked without waiting would show more.
    expect(slaves.asked - before).toBeLessThanOrEqual(44);
    expect(slaves.asked - before).toBeGreaterThanOrEqual(8);
  });

  it("plug pulled: disconnected, told; back: read", async () => {
    await slaves.unplug();
    await until("disconnected", () => faultOf(CONDUCTIVITY) === "disconnected" && faultOf(ROOM) === "disconnected");
    expect(line.describe()).toEqual([
      `Line probes on ${slaves.path}: the port has vanished: look at its plug and its power; trying again every second.`,
    ]);
    await slaves.plug();
    await until("well again", well);
  });
});

describeWith(MODBUS_SLAVE_TOOLS, "a Modbus line with one slave missing", () => {
  it("slave 9 missing: no-answer and told; slave 2: read", async () => {
    const slaves = await startModbusSlaves(2);
    await slaves.set(2, "holding", 0, [2210]);
    const line = await openModbusLine("probes", settings(slaves.path), [ABSENT, ROOM], nowMs);
    await until("both are known", () => line.words(ABSENT).fault === "no-answer" && line.words(ROOM).fault === null);
    expect(line.words(ROOM).value).toEqual([2210]);
    expect(line.describe().join(" ")).toMatch(/slave 9: does not answer.*slave 2: answers/);
    await line.close();
    await slaves.stop();
  });

  it("no such port: disconnected; closes at once", async () => {
    const line = await openModbusLine("probes", settings("/dev/no-such-port"), [ROOM], nowMs);
    await pause(50);
    expect(line.words(ROOM)).toMatchObject({ value: null, fault: "disconnected", sample: 0 });
    await line.close();
  });
});
